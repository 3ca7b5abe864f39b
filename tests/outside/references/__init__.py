"""Published values against what the program works out: one row a value, with its source, and a table made from them.

`python -m tests.outside.references.make` writes TABLE.md.  A value that the program has no quantity for is a row as well,
with the reason.  `expected` is the published figure worked out again to more digits, so a tolerance is half the last digit
that the source prints, or a little more where it rounds on the way.
"""
