"""A groove along a circle in a face: ball ramps, lifter tracks, blind grooves of a changing depth."""
