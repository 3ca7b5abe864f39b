"""What tapers, radii and profiles have in common: flanks cut by steps in Z and X."""
