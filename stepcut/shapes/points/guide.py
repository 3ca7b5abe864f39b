"""What ``stepcut start`` asks of points in X and Y, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import CUTTER, LEAVE_AUTO, RIDGE, Answers, Ask

LINE, SKETCH = "a circle, an arc or a tube's end in X and Y", ". . ' ' . ."
DRAWN = """\
        Y                    a tube's end, hollowed to sit on another
        │   ▄▄▀▀▀▄▄              │       │
        │  ▀       ▀             │ TUBE  │
        │ █    +──RADIUS►        │▄▄▄▄▄▄▄│
        │  ▄       ▄           ▄█▀       ▀█▄
        │   ▀▀▄▄▄▀▀            █    ONTO   █
        └──────────── X        each cut goes so DEEP
      SPAN: so many degrees of it
"""


def _arc(answers: Answers) -> bool:
    return bool(answers.get("radius", "").strip())


def _mitre(answers: Answers) -> bool:
    return not _arc(answers)


QUESTIONS = (
    Ask("radius", "RADIUS of the circle or arc? Empty for the end of a tube that sits on another.", "radius", True),
    Ask("side", "Does the cutter stand inside it, outside, or on its line? (inside, outside, on)", "side", when=_arc),
    Ask("span", "Its SPAN: how many degrees of it? Empty for the whole circle.", "span", True, when=_arc),
    Ask("tube", "Outside diameter of the TUBE whose end is hollowed?", "tube", when=_mitre),
    Ask("onto", "Outside diameter of the tube that it sits ONTO?", "onto", when=_mitre),
    Ask("angle", "The angle between the two? Empty for square.", "angle", True, when=_mitre),
    Ask("depth", "How DEEP does each cut go?", "depth"),
    CUTTER,
    LEAVE_AUTO,
    RIDGE,
)
