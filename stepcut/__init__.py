"""stepcut: from a wanted ramp, helix, taper, cam or turned radius to positions on a manual machine's scales."""

__version__ = "0.1.0"
