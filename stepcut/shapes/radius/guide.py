"""What ``stepcut start`` asks of a turned radius, and what each size means on the part."""

from __future__ import annotations

from stepcut.shapes.guiding import LEAVE, RIDGE, Answers, Ask

LINE, SKETCH = "a ball, a round edge, neck, waist or seat", "(___)"
DRAWN = """\
  ball                     fillet                  cove
        ▄▄███▄▄            ███                     ▄▄▄▄▄▄
  ▄▄▄▄█████████▄           ███▄  ◄ RADIUS          ██████   ◄ RADIUS, hollow
  ███████████████ face     █████▄▄                 ████████▄
  ▀▀▀▀█████████▀           ██████████████ face     ███████████▄▄▄ face
        ▀▀███▀▀            - - axis - - -          - - axis - - -
    RADIUS from its        DIAMETER of the         DIAMETER of the cylinder
    centre                 thin shaft              before
  corner: an edge rounded off.  neck, waist: hollow over a LENGTH of the
  shaft; crown: round over it.  seat: a ball's hollow, from its mouth in.
"""


def _of(answers: Answers, *forms: str) -> bool:
    """Whether the form that was answered is one of some."""
    return answers.get("form", "").strip().lower() in forms


QUESTIONS = (
    Ask("form", "Which FORM? Ball, corner (an edge rounded off), fillet (against a shoulder), cove (hollowed into an edge), neck, waist, crown "
        "or seat?", "form"),
    Ask("radius", "Its RADIUS?", "radius", when=lambda a: not _of(a, "waist", "crown")),
    Ask("diameter", "DIAMETER of the shaft or cylinder; of a crown in its middle, of a seat at its mouth?", "diameter",
        when=lambda a: not _of(a, "ball")),
    Ask("small", "The SMALLer diameter: bottom of a neck, middle of a waist, edges of a crown?", "small",
        when=lambda a: _of(a, "neck", "waist", "crown")),
    Ask("length", "Its LENGTH along the axis?", "length", when=lambda a: _of(a, "neck", "waist", "crown")),
    Ask("at", "Where does the neck BEGIN, from the face?", "at", when=lambda a: _of(a, "neck")),
    Ask("blank", "DIAMETER of the hole that is drilled first?", "blank", when=lambda a: _of(a, "seat")),
    Ask("tool-width", "WIDTH of the parting tool?", "tool-width", when=lambda a: _of(a, "neck", "waist")),
    LEAVE,
    RIDGE,
)  # fmt: skip
