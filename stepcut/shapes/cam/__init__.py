"""A rim cam."""
