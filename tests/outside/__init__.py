"""Models written apart from the program, to check it against: rasters and solids."""
