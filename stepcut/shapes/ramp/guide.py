"""What ``stepcut start`` asks of a face ramp, and what each size means on the part."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.guiding import CUTTER, LEAVE_AUTO, RIDGE, Ask

LINE, SKETCH = "ramps on a tube's end: clamp, dog, lifter", "high |\\__    |\\__   low"
DRAWN = """\
  from above                the wall laid flat, seen from outside
     ▄▄████▄▄               high
   ▄██▀▀  ▀▀██▄             █▄▄▄                │      █▄▄▄
  ██▀        ▀██            █████▄▄▄         AMOUNT    █████▄▄▄
  ██   BORE   ██ ◄ OUTSIDE  █████████▄▄▄        │      █████████▄
  ██▄        ▄██            █████████████▄▄▄▄▄▄▄▄▄▄▄▄▄▄██████████
   ▀██▄▄  ▄▄██▀             │◄─── SPAN ────►│ low     next of the RAMPS
     ▀▀████▀▀
"""
QUESTIONS = (
    Ask("outside", "OUTSIDE diameter of the ring?", "outside"),
    Ask("bore", "Its BORE?", "bore"),
    Ask("ramps", "How many RAMPS round it?", "ramps"),
    Ask("amount", "The AMOUNT a ramp falls: so much for so many degrees (5 thou per 10 deg), or in total (0.090in)?",
        how="Measure the old part, or take 5 thou per 10 deg to begin with: the card says whether it will hold."),
    Ask("span", "Its SPAN: over how many degrees does one ramp run? Empty for the most that fits.", "span", True),
    Ask("tightens", "Which way does the handle turn to tighten, seen at the handle? (clockwise, anticlockwise)", "tightens"),
    CUTTER,
    LEAVE_AUTO,
    RIDGE,
)  # fmt: skip


def slope(plan: Plan) -> float:
    """Return the fall for one degree, mm, from which even steps are offered."""
    return float(plan.target["rise"]) / float(plan.target["span"])
