"""Where to stop: the deepest positions that never gouge, and the ways to space them.

``cut`` joins a wanted surface to a cutter's footprint; ``positions`` spaces the stops on the machine's scales;
``choices`` offers several plans to choose from.  Pure numbers: no text, no files.
"""
