"""The sums around the job: will it lock, what do the gears give, which holes to index by.

Pure numbers in mm, degrees and newtons; each module names its source.
"""
