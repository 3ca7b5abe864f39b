"""A turned radius: ball, fillet or cove."""
