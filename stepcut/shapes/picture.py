"""The picture of a section: the wanted line and the stair that the cuts make of it."""

from __future__ import annotations

from stepcut.kernel.line import Line
from stepcut.kernel.measure import Left
from stepcut.plan import Picture


def picture_of(left: Left, wanted: Line, section: int) -> Picture:
    """Return the wanted line and the stair of one section, and of all sections where there is more than one."""
    samples = 1 if wanted.straight else 48
    marks = sorted({*(wanted.span * k / samples for k in range(samples + 1)), *wanted.joints})
    traced = left.traced[section]
    rows = tuple((each.section.radius, tuple(each.line())) for each in left.traced) if len(left.traced) > 1 else ()
    return Picture(tuple((x, wanted.depth(x)) for x in marks), tuple(traced.line()), traced.section.radius, rows)
