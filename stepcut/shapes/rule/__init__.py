"""A straight scale or a vernier, ruled line by line along a slide."""
