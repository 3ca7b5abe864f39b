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
    Ask("hand", "Its HAND, right or left? (right, left)", "hand",
        how="Stand the shaft upright: a right-hand groove climbs to the right, as the thread of a common screw does."),
    Ask("starts", "How many such grooves round it? Empty for one.", "starts", True),
    Ask("cross", "Do as many of the other hand cross them? (yes, no) Empty for no.", "cross", True,
        how="Grooves of both hands leave diamonds of land between, as on a roller that grease runs over."),
    CUTTER,
    Ask("width", "WIDTH of the groove, where it is wider than a flat cutter? Empty where it is as wide as the cutter.", "groove-width", True),
    Ask("leave", "How much to leave for the file, on the floor and on the walls of a wide groove? Empty for nothing.", "leave", True),
    Ask("pit-begin", "How deep a pit where the groove begins, for a ball or a pin? Empty for none.", "pit-begin", True),
    Ask("pit-end", "How deep a pit where it ends? Empty for none.", "pit-end", True),
    Ask("pit-cutter", "Which cutter or drill makes the pits? Empty for the groove's own.", "pit-cutter", True,
        lambda answers: bool((answers.get("pit-begin", "") + answers.get("pit-end", "")).strip())),
    RIDGE,
)  # fmt: skip
