"""What the guides of all shapes share: one question of ``stepcut start``, and those that many shapes ask alike.

A shape that is asked for there brings ``guide.py``: ``LINE`` and ``SKETCH`` (its line in the list), ``DRAWN`` (what each size means on
the part, in half blocks; words in capitals are the sizes that are asked for), ``QUESTIONS``; where even steps are worth offering,
``slope(plan)``; and where its plans are not told by their ridges, ``offered(plan, voice)``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from msgspec import Struct

Answers = Mapping[str, str]
PER = re.compile(
    r"(?:/|\b(?:per|every|each|in)\b)\s*[\d.]*\s*(?:d|°|turn|crank)", re.I
)  # so much for so many degrees spaces the cuts by itself
LISTED = re.compile(
    r"(?:°|deg)\s*[\d.][^,]*,"
)  # an angle, a depth and a comma: a list of places, not one amount with a decimal comma


class Ask(Struct, frozen=True):
    """One question: its key, its words, the input that checks the answer ("" for its own reading), whether it may be empty.

    ``how`` says how an answer is found, where that is more than what the input says of itself.
    """

    key: str
    words: str
    field: str = ""
    may_be_empty: bool = False
    when: Callable[[Answers], bool] = lambda answers: True
    how: str = ""


CUTTER = Ask(
    "cutter",
    "Which cutter? Its diameter, and its end where it is not flat (3/8in, 1/4in ball).",
    "cutter",
    how="Measure its diameter; behind it say ball, or bull with the radius of its corner, where its end is round: 3/8in, 1/4in ball.",
)
RIDGE = Ask(
    "ridge", "Ridges for the file: no higher than? Empty to choose among three plans.", "scallop", True,
    lambda answers: not PER.search(answers.get("amount", "")),
)  # fmt: skip
LEAVE_AUTO = Ask(
    "leave", "How much to leave everywhere for the file? Empty for what this machine's errors ask for.", "leave", True
)
