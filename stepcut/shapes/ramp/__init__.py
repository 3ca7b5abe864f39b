"""A face ramp on the end of a tube."""
