"""The shapes that can be wanted: one file each, with what is wanted and its own formulas.

A shape says which surface is wanted; it does not know how it will be cut, on which machine, or how it is printed.
"""
