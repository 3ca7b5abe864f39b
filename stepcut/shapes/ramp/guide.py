"""What ``stepcut start`` asks of a face ramp, and what each size means on the part."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.guiding import CUTTER, LEAVE_AUTO, LISTED, RIDGE, Answers, Ask

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


def _listed(answers: Answers) -> bool:
    """Whether the amount is a list of places, whose line may rise again and jump."""
    return bool(LISTED.search(answers.get("amount", "")))


def _upright(answers: Answers) -> bool:
    """Whether an upright face may want a finish of its own: not where the line comes back mirrored."""
    return _listed(answers) and answers.get("mirror", "").strip().lower() not in ("yes", "y", "true")


def _seated(answers: Answers) -> bool:
    """Whether a seat is asked for."""
    return bool(answers.get("seat-low", "").strip())


QUESTIONS = (
    Ask("outside", "OUTSIDE diameter of the ring?", "outside"),
    Ask("bore", "Its BORE?", "bore"),
    Ask("ramps", "How many RAMPS round it?", "ramps"),
    Ask("amount", "The AMOUNT a ramp falls: so much for so many degrees (5 thou per 10 deg), in total (0.090in), or a list of places "
        "(0deg 0, 40deg 0.090in)?",
        how="Measure the old part, or take 5 thou per 10 deg to begin with: the card says whether it will hold. A list names angles and "
        "depths below the face, such as 0deg 0, 40deg 0.090in, joined by straight lines; it may rise again, and two depths at one angle "
        "are an upright face."),
    Ask("span", "Its SPAN: over how many degrees does one ramp run? Empty for the most that fits.", "span", True,
        lambda answers: not _listed(answers)),
    Ask("mirror", "Does the line come back the same way, mirrored at its last angle? (yes, no) Empty for no.", "mirror", True, _listed),
    Ask("angle-cutter", "An upright face below a slope: which single-angle cutter finishes its foot (60deg)? Empty for none.", "angle-cutter",
        True, _upright,
        how="An end mill does not reach the foot of a face that leans over it. A single-angle cutter on a horizontal arbor does, where its "
        "angle is no more than slope and face make."),
    Ask("tilt-head", "Or does the end mill finish it with the head tilted? (yes, no) Empty for no.", "tilt-head", True,
        lambda answers: _upright(answers) and not answers.get("angle-cutter", "").strip(),
        how="Where the head tilts and the depth is read on the knee: the card says by how much, which way, and how it is checked."),
    Ask("tightens", "Which way does the handle turn to tighten, seen at the handle? (clockwise, anticlockwise)", "tightens"),
    Ask("seat-low", "Does a pin come to rest in a hollow at the low end? Its diameter; empty for none (at the high end alone: --seat-high).",
        "seat-low", True,
        how="A pin or roller that rides on the ramp drops into a round hollow across the wall and rests there. It is cut last, with a cutter "
        "as round as the pin: measure the pin."),
    Ask("seat-high", "And at the high end? The pin's diameter; empty for none.", "seat-high", True, _seated),
    Ask("seat-depth", "How deep does the pin rest below the end of the ramp?", "seat-depth", when=_seated),
    CUTTER,
    LEAVE_AUTO,
    RIDGE,
)  # fmt: skip


def slope(plan: Plan) -> float:
    """Return the fall for one degree, mm, from which even steps are offered; the steepest of a list of places."""
    ramp = plan.details.ramp
    return float(ramp.wanted.steepest) if ramp.free else float(plan.target["rise"]) / float(plan.target["span"])
