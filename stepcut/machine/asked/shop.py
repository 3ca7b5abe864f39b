"""What is asked of the shop beside its scales: the unit, the cutters and the change gears on hand."""

from __future__ import annotations

import re

from stepcut.errors import BadValue
from stepcut.machine.asked.question import INCHES, METRIC, NONE, Answers, Found, Question, numbers, unit_of
from stepcut.phrases import parse_cutter, with_unit
from stepcut.quantity import plain_marks


def _unit(text: str, answers: Answers) -> tuple[Found, str]:
    word = text.strip().lower().rstrip(".")
    if word in INCHES:
        return {"unit": "in"}, "Cards are in inches."
    if word in METRIC:
        return {"unit": "mm"}, "Cards are in millimetres."
    raise BadValue("unit", text, "is neither inches nor millimetres", "Write in or mm.")


def _cutters(text: str, answers: Answers) -> tuple[Found, str]:
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    unit = unit_of(answers)
    for part in parts:
        parse_cutter(part, "cutters", unit)
    plain = [with_unit(plain_marks(part), unit) for part in parts]
    return {"cutters": plain}, f"{len(plain)} cutter{'' if len(plain) == 1 else 's'}: {', '.join(plain)}."


UNIT = Question("unit", "Do you work in inches or millimetres? (in, mm)", ("Cards and bare numbers are in this unit; others may still be typed with theirs.",), _unit)  # fmt: skip
ON_HAND = (
    Question("cutters", "Cutters on hand? (3/8in, 1/2in, 1/4in ball; empty for none)", ("Diameter, and its end where it is not flat.",), _cutters, NONE),
    Question("gears", "Change gears on hand, by teeth? Empty for none.", ("Count the teeth, or read the number stamped on each.",), numbers("gears", "gears", 1000), NONE),
)  # fmt: skip
