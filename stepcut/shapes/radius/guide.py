"""What ``stepcut start`` asks of a turned radius, and what each size means on the part."""

from __future__ import annotations

from collections.abc import Callable

from stepcut.shapes.guiding import LEAVE_AUTO, RIDGE, Answers, Ask

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
  The others are drawn when they are chosen.
"""
# Shown when its form is chosen, for what the sizes of the others mean there.
DRAWN_FOR = {
    "corner": """\
  █████████████▄▄▄
  █████████████████▄   ◄ RADIUS of the round
  ██████████████████ face
  - - - axis - - - -     DIAMETER of the cylinder
""",
    "neck": """\
  █████
  █████ ◄─ LENGTH ─► █████████
  █████              █████████ face
  █████▄            ▄█████████     DIAMETER of the shaft
  ███████▄▄▄▄▄▄▄▄▄▄███████████
  - - - - - - - axis - - - - -     SMALL: the diameter of the bottom
  RADIUS: both hollow corners at the bottom.  It BEGINs where the shaft ends,
  at its end toward the face, and ends at a shoulder.
""",
    "waist": """\
  ██▄▄                ▄▄██         DIAMETER of both ends
  ██████▄▄▄▄    ▄▄▄▄██████
  ████████████████████████ face
  - - - - - axis - - - - -         SMALL: the diameter in the middle
  ◄────── LENGTH ──────►
""",
    "crown": """\
        ▄▄▄██████▄▄▄               DIAMETER in the middle
  ▄▄████████████████████▄▄
  ████████████████████████ face
  - - - - - axis - - - - -         SMALL: the diameter at both edges
  ◄────── LENGTH ──────►
""",
    "seat": """\
  ████████████████████████ face
  ████████████████████▀▀
  ██████████████▀▀▀▀         ◄ RADIUS of the ball that sits in it
  ████████████▀                DIAMETER of the mouth in the face
  ████████████
  - - - axis - - - - - - -     the hole drilled first ends in the hollow
""",
}


def _of(answers: Answers, *forms: str) -> bool:
    """Whether the form that was answered is one of some."""
    return answers.get("form", "").strip().lower() in forms


# What a size is called in the question, by the form.
RADII = {
    "ball": "RADIUS of the ball, from its middle", "corner": "RADIUS of the round on the edge", "fillet": "RADIUS in the corner under the shoulder",
    "cove": "RADIUS of the hollow", "neck": "RADIUS of the two hollow corners at the bottom", "seat": "RADIUS of the ball that sits in it",
}  # fmt: skip
DIAMETERS = {
    "corner": "DIAMETER of the cylinder", "fillet": "DIAMETER of the shaft, the thin one", "cove": "DIAMETER of the cylinder before it is hollowed",
    "neck": "DIAMETER of the shaft before the neck", "waist": "DIAMETER of both ends", "crown": "DIAMETER in the middle, the highest",
    "seat": "DIAMETER of the mouth in the face",
}  # fmt: skip
SMALL = {"neck": "the bottom of the neck", "waist": "in the middle", "crown": "at both edges"}


def _is(form: str) -> Callable[[Answers], bool]:
    return lambda answers: _of(answers, form)


QUESTIONS = (
    Ask("form", "Which FORM? Ball, corner (an edge rounded off), fillet (against a shoulder), cove (hollowed into an edge), neck, waist, crown "
        "or seat?", "form"),
    *(Ask("radius", f"{words}?", "radius", when=_is(form)) for form, words in RADII.items()),
    *(Ask("diameter", f"{words}?", "diameter", when=_is(form)) for form, words in DIAMETERS.items()),
    *(Ask("small", f"The SMALL diameter: {words}?", "small", when=_is(form)) for form, words in SMALL.items()),
    Ask("length", "Its LENGTH along the axis?", "length", when=lambda a: _of(a, "neck", "waist", "crown")),
    Ask("at", "Where does the neck BEGIN, from the face? How long the shaft is before it.", "at", when=lambda a: _of(a, "neck")),
    Ask("blank", "DIAMETER of the hole that is drilled first?", "blank", when=lambda a: _of(a, "seat")),
    Ask("tool-width", "WIDTH of the parting tool?", "tool-width", when=lambda a: _of(a, "neck", "waist")),
    LEAVE_AUTO,
    RIDGE,
)  # fmt: skip
