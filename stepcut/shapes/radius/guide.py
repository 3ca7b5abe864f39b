"""What ``stepcut start`` asks of a turned radius, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import LEAVE, RIDGE, Ask

LINE, SKETCH = "a ball, a fillet or a hollow on the lathe", "(___)"
DRAWN = """\
  ball                     fillet                  cove
        ▄▄███▄▄            ███                     ▄▄▄▄▄▄
  ▄▄▄▄█████████▄           ███▄  ◄ RADIUS          ██████   ◄ RADIUS, hollow
  ███████████████ face     █████▄▄                 ████████▄
  ▀▀▀▀█████████▀           ██████████████ face     ███████████▄▄▄ face
        ▀▀███▀▀            - - axis - - -          - - axis - - -
    RADIUS from its        DIAMETER of the         DIAMETER of the cylinder
    centre                 thin shaft              before
"""
QUESTIONS = (
    Ask("form", "Ball, fillet against a shoulder, or cove round an edge? (ball, fillet, cove)", "form"),
    Ask("radius", "Its RADIUS?", "radius"),
    Ask("diameter", "DIAMETER of the shaft or cylinder?", "diameter", when=lambda a: a.get("form", "").strip().lower() != "ball"),
    LEAVE,
    RIDGE,
)  # fmt: skip
