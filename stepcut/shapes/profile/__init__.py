"""A turned profile through places and diameters."""
