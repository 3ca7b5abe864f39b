"""The picture of a section: the wanted line and the stair that the cuts make of it."""

from __future__ import annotations

from stepcut.kernel.line import Line
from stepcut.kernel.measure import Left
from stepcut.plan import Picture

SAMPLES = 48  # over a whole line


def picture_of(left: Left, wanted: Line, section: int) -> Picture:
    """Return the wanted line and the stair of one section, and of all sections where there is more than one."""
    traced = left.traced[section]
    rows = tuple((each.section.radius, tuple(each.line())) for each in left.traced) if len(left.traced) > 1 else ()
    return Picture(_drawn(wanted), tuple(traced.line()), traced.section.radius, rows)


def _drawn(wanted: Line) -> tuple[tuple[float, float], ...]:
    """Return the wanted line as points: both ends of every stretch, so that a riser stands upright, and places between on a curve."""
    points: list[tuple[float, float]] = []
    for each in wanted.stretches:
        inside = [wanted.span * k / SAMPLES for k in range(SAMPLES)] if not each.straight else []
        points += [
            (each.begin, each.first),
            *((x, each.depth(x)) for x in inside if each.begin < x < each.end),
            (each.end, each.last),
        ]
    return tuple(
        dict.fromkeys(points)
    )  # a joint without a jump is the end of one stretch and the beginning of the next
