"""A turned radius: ball, corner, fillet, cove, neck, waist, crown or seat."""
