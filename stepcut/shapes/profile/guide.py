"""What ``stepcut start`` asks of a turned profile, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import LEAVE, RIDGE, Ask

LINE, SKETCH = "a turned profile through places and diameters", "_/--\\_"
DRAWN = """\
           │◄─ place ─►│ face
  ▄▄▄▄▄▄
  ███████████▄▄▄▄▄         each place, counted from the face,
  ████████████████▄▄▄▄▄▄▄  with the DIAMETER there; they grow
  - - - - axis - - - - - -
"""
QUESTIONS = (
    Ask("targets", "Places from the face and the DIAMETER at each? (0mm 20mm, 10mm 24mm, 18mm 25mm)", "targets"),
    LEAVE,
    RIDGE,
)
