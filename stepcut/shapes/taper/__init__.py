"""A taper, outside or bore."""
