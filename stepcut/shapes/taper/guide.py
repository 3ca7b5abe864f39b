"""What ``stepcut start`` asks of a taper, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import LEAVE_AUTO, RIDGE, Ask

LINE, SKETCH = "a taper, outside or bore", "large |====----- small"
DRAWN = """\
         │◄──── LENGTH ────►│
         █▄▄▄
         ████████▄▄▄▄
  LARGE  ██████████████████▄▄  small
  end    ██████████████████▀▀  end      TAPER: how fast it shrinks
         ████████▀▀▀▀
         █▀▀▀
"""
QUESTIONS = (
    Ask("large", "Diameter at the LARGE end?", "large"),
    Ask("taper", "The TAPER? (1:20, 0.600in/ft, 6deg included, MT2)", "taper"),
    Ask("length", "Its LENGTH along the axis?", "length"),
    Ask("side", "An outside taper or a bore? (outside, bore)", "side"),
    LEAVE_AUTO,
    RIDGE,
)
