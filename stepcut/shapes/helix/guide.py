"""What ``stepcut start`` asks of a helical groove, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import CUTTER, RIDGE, Ask

LINE, SKETCH = "a helical groove round a shaft", "=====/==/==/====="
DRAWN = """\
        │◄───────── LENGTH ─────────►│
  ████████████████████████████████████  ─┬─
  █████░░░█████████░░░█████████░░░████   │
  ███████░░░█████████░░░█████████░░░██  DIAMETER   ░ the groove, DEPTH deep
  █████████░░░█████████░░░█████████░░░   │         drawn: a right HAND, it
  ████████████████████████████████████  ─┴─        falls to the right
       │◄── LEAD ──►│ for one turn
"""
QUESTIONS = (
    Ask("diameter", "DIAMETER of the shaft?", "diameter"),
    Ask("lead", "Its LEAD: how far does the groove advance in one turn?", "lead"),
    Ask("length", "LENGTH of the groove along the shaft?", "length"),
    Ask("depth", "DEPTH of the groove?", "depth"),
    Ask("hand", "Its HAND, right or left? (right, left)", "hand"),
    CUTTER,
    RIDGE,
)
