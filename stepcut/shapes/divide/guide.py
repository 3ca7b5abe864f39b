"""What ``stepcut start`` asks of a dividing job, and what each size means on the part."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.divide.words import off_text
from stepcut.shapes.guiding import Answers, Ask
from stepcut.voice import Voice

LINE, SKETCH = "holes, slots or lines, evenly divided", "| | ' | | '"
DRAWN = """\
   holes or slots round a part     lines on a collar or a disc
        ▄▄▄▄▄▄▄▄▄
      ▄█▀   ░   ▀█▄                │         │         │   each TENTH
     █   ░     ░   █               │    │    │    │    │   each FIFTH
     █             █               │││││││││││││││││││││   every LINE
     █   ░     ░   █               0         10        20
      ▀█▄   ░   ▄█▀
        ▀▀▀▀▀▀▀▀▀      DIVISIONS: how many all the way round; each so DEEP
"""


def _lines(answers: Answers) -> bool:
    return answers.get("make", "").strip().lower() == "lines"


QUESTIONS = (
    Ask("divisions", "How many DIVISIONS round the whole part?", "divisions"),
    Ask("make", "What is made at each: holes, slots or lines? (holes, slots, lines)", "make"),
    Ask("depth", "How DEEP is each of them?", "depth", when=lambda answers: not _lines(answers)),
    Ask("line", "Length of every LINE?", "line", when=_lines),
    Ask("fifth", "Length of each FIFTH line? Empty for like the others.", "fifth", True, when=_lines),
    Ask("tenth", "Length of each TENTH line? Empty for like the others.", "tenth", True, when=_lines),
    Ask("number", "What does one line count? Each tenth is numbered with it; empty for no numbers.", "number", True, when=_lines),
    Ask("diameter", "Diameter of the part there, to say the worst error as a length? Empty for none.", "diameter", True),
)  # fmt: skip


def offered(plan: Plan, voice: Voice) -> str:
    """Return a plan in words: how many places, by what, and how far the worst is off."""
    details = plan.details
    worst = off_text(details.worst, details.dividing.diameter, voice)
    return f"{len(plan.stops)} {details.dividing.make}; the worst place is off by {worst}."
