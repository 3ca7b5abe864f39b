"""What ``stepcut start`` asks of a face scroll, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import CUTTER, RIDGE, Ask

LINE, SKETCH = "a flat spiral groove in a disc: a scroll", "( (@) )"
DRAWN = """\
  the disc from above
      ▄▄████████▄▄
    ▄██▀░░░░░░▀███▄
   ███░░██████▄░░███
  ███░░██░░░░██░░███    ░ the groove, DEPTH deep
  ███░░██░█+██░░░███    + the axis: the radii where it BEGINS and ENDS
   ███░░███░░░░░███       count from there to the groove's middle
    ▀██▄░░░▄▄▄███▀        one turn on it lies a PITCH farther out
      ▀▀████████▀▀
"""
QUESTIONS = (
    Ask("begin", "Radius of the middle of the groove where it BEGINS, near the axis?", "begin"),
    Ask("end", "Radius where it ENDS, farther out?", "end"),
    Ask("pitch", "Its PITCH: how much farther out is it one turn on?", "pitch"),
    Ask("depth", "DEPTH of the groove?", "depth"),
    Ask("winds", "Which way does it run OUTWARD, seen facing it? (clockwise, anticlockwise)", "winds"),
    CUTTER,
    RIDGE,
)
