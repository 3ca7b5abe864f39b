"""What ``stepcut start`` asks of a groove on a circle, and what each size means on the part."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.guiding import CUTTER, LEAVE_AUTO, RIDGE, Ask

LINE, SKETCH = "a groove round a face, such as ball ramps", "( (o) )"
DRAWN = """\
  the face from above      one groove laid flat, cut along its middle
     ▄▄██████▄▄
   ▄██░░▀▀▀████▄           ████████████████████████████  BEGINS so deep
  ███░       ███           ████████████████████████████
  ███         ░██           ░░░▄▄▄█████████████████████
  ███        ░███           ░░░░░░░░░░▄▄▄██████████████
   ▀██▄▄  ▄▄███▀            ░░░░░░░░░░░░░░░░░▄▄▄███████  ENDS so deep
     ▀▀██████▀▀             │◄────── SPAN ──────►│
                           ░ GROOVES, their middle on one CIRCLE
"""
QUESTIONS = (
    Ask("circle", "Diameter of the CIRCLE that the middle of the groove follows?", "circle"),
    Ask("grooves", "How many GROOVES round it?", "grooves"),
    Ask("span", "Its SPAN: over how many degrees does one groove run?", "span"),
    Ask("begin-depth", "How deep where it BEGINS? Empty to begin at the face.", "begin-depth", True),
    Ask("end-depth", "How deep where it ENDS?", "end-depth"),
    Ask("rises", "Which way does it rise to its shallow end, seen facing it? (clockwise, anticlockwise)", "rises"),
    CUTTER,
    LEAVE_AUTO,
    RIDGE,
)


def slope(plan: Plan) -> float:
    """Return the fall for one degree, mm, from which even steps are offered."""
    return float(plan.target["rise"]) / float(plan.target["span"])
