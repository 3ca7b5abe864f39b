"""What ``stepcut start`` asks of a turned profile, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import LEAVE_AUTO, RIDGE, Ask

LINE, SKETCH = "a turned profile, place by place", "_/--\\_"
DRAWN = """\
           │◄─ place ─►│ face
  ▄▄▄▄▄▄
  ███████████▄▄▄▄▄         each place, counted from the face,
  ████████████████▄▄▄▄▄▄▄  with the DIAMETER there; they grow
  - - - - axis - - - - - -
"""
QUESTIONS = (
    Ask(
        "targets",
        "Places from the face and the DIAMETER at each? (0in 3/4in, 3/8in 15/16in, 3/4in 1in)",
        "targets",
        how="Pairs from the drawing, a comma between: 0in 3/4in, 3/8in 15/16in, 3/4in 1in. Two at one place are the face of a step.",
    ),
    LEAVE_AUTO,
    RIDGE,
)
