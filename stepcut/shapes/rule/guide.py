"""What ``stepcut start`` asks of a straight scale, and what each size means on the part."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.guiding import Ask
from stepcut.voice import Voice

LINE, SKETCH = "a straight scale, line by line", "|.....|.....|"
DRAWN = """\
       │         │         │   each TENTH
       │    │    │    │    │   each FIFTH
       │││││││││││││││││││││   every LINE
       █████████████████████   edge of the part
       0   ►│◄   10        20
          PITCH       DIVISIONS: how many of them
"""
QUESTIONS = (
    Ask("pitch", "Its PITCH: from one line to the next?", "pitch"),
    Ask("divisions", "How many DIVISIONS?", "divisions"),
    Ask("line", "Length of every LINE?", "line"),
    Ask("fifth", "Length of each FIFTH line? Empty for like the others.", "fifth", True),
    Ask("tenth", "Length of each TENTH line? Empty for like the others.", "tenth", True),
    Ask("number", "What does one line count? Each tenth is numbered with it; empty for no numbers.", "number", True),
)


def offered(plan: Plan, voice: Voice) -> str:
    """Return a plan in words: how many lines, and how far the worst is off."""
    worst = (
        f"the worst is off by {voice.length(plan.details.worst, 5)}"
        if plan.details.worst
        else "each on a mark of the slide"
    )
    return f"{len(plan.stops)} lines; {worst}."
