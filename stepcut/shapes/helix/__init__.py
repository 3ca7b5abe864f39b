"""A helical groove on a cylinder."""
