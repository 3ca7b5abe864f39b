"""What ``stepcut start`` asks of a rim cam, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import CUTTER, LEAVE_AUTO, RIDGE, Ask

LINE, SKETCH = "a rim cam: rises, dwells and falls", "( o  )>"
DRAWN = """\
         ▄▄█████▄▄
      ▄███████████▀▄    SEGMENTS, one after the other round the rim:
     ███████████████      rise   so much in so many degrees
     ██████ +──BASE►      dwell  the radius stays
      █████████████       fall   so much in so many degrees
        ▀███████▀       BASE: the radius where the first segment begins
"""
QUESTIONS = (
    Ask("base", "BASE: the radius where the first segment begins?", "base"),
    Ask(
        "segments",
        "The SEGMENTS, round the rim? (rise 1/8in in 120deg; dwell 60deg; fall 1/8in in 120deg)",
        "segments",
        how="One after the other, a semicolon between: rise 1/8in in 120deg; dwell 60deg; fall 1/8in in 120deg. A motion may stand behind, "
        "such as harmonic; stepcut cam --help has more.",
    ),
    CUTTER,
    LEAVE_AUTO,
    RIDGE,
)
