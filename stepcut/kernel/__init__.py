"""The kernel: one way of spacing cuts and one way of measuring what they leave, for every shape."""
