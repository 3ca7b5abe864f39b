"""What stands between two cuts: the ridge that two neighbours leave, and metal that neither reaches."""

from __future__ import annotations

from itertools import pairwise

from stepcut.kernel.line import FREE
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Position, Task

FULL = 1e9  # mm: deep enough for the whole width of any cutter


def meet(task: Task, before: float, after: float) -> bool:
    """Whether two cuts of the cutter's full width leave no metal between them in any section."""
    return all(_meet(section, before, after) for section in task.looked_at)


def _meet(section: Section, before: float, after: float) -> bool:
    earlier, later = section.extent(Place(before, FULL)), section.extent(Place(after, FULL))
    return earlier is not None and later is not None and later[0] <= earlier[1] + 1e-9


def ridge(task: Task, before: Place | None, after: Place) -> float:
    """Return the scallop that stands between two cuts, mm; before None means the uncut metal."""
    return max(
        _between(task, section, before, after) if section.pivots else _ridge(section, before, after)
        for section in task.looked_at
    )


def _between(task: Task, section: Section, before: Place | None, after: Place) -> float:
    """Return the scallop between the places where two cuts touch the line: beyond them other cuts are the deeper ones.

    Where they meet at the very edge of one cutter, what stands just past that edge is left by the other one alone.
    """
    reaches = [section.extent(place) if place is not None else None for place in (before, after)]
    if before is None or reaches[0] is None or reaches[1] is None or reaches[1][0] > reaches[0][1]:
        return _ridge(section, before, after)
    first, last = sorted((task.touch(before.at).where, task.touch(after.at).where))
    where = section.meeting(before, after, reaches[1][0], min(reaches[0][1], reaches[1][1]))
    inside = min(max(where, first), last)
    at = on_line(section, inside)
    if at is None:
        return 0.0
    cuts = section.cut(before, at), section.cut(after, at)
    stock = section.line.depth(at) - max(section.blank, min(cuts) if inside == where else max(cuts))
    return section.square(at, stock) if stock < FREE else 0.0


def _ridge(section: Section, before: Place | None, after: Place) -> float:
    later = section.extent(after)
    if before is None:
        return _standing(section, 0.0, later[0]) if later is not None else 0.0
    earlier = section.extent(before)
    if earlier is None:
        return _standing(section, _covered(section, before)[0], later[0] if later is not None else after.at)
    if later is None:
        return max(_standing(section, earlier[1], _covered(section, after)[1]), _over(section, before, earlier[1]))
    if later[0] > earlier[1]:
        apart = _standing(section, earlier[1], later[0])
        return max(apart, _over(section, before, earlier[1]), _over(section, after, later[0]))
    where = section.meeting(before, after, later[0], min(earlier[1], later[1]))
    if section.line.period is None and not 0.0 < where < section.line.span:
        return _beyond_the_line(section, before, after, where)
    return max(_over(section, before, where), _over(section, after, where))


def _beyond_the_line(section: Section, before: Place, after: Place, where: float) -> float:
    """Return the ridge of two cuts that meet where nothing is wanted: what the nearer one leaves at the end of the line, mm.

    While all of its bottom lies out there too, its neighbour on the other side is the one that takes that end away.
    """
    low, high = section.foot.extent(section.radius, 0.0) or section.foot.level
    if where <= 0.0:
        return _over(section, after, where) if after.at + high >= 0.0 else 0.0
    return _over(section, before, where) if before.at + low <= section.line.span else 0.0


def _covered(section: Section, place: Place) -> tuple[float, float]:
    """Return the coordinates that the whole cutter covers at a place, whether it cuts or not."""
    low, high = section.foot.window
    return place.at + low, place.at + high


def _over(section: Section, place: Place, where: float) -> float:
    """Return the ridge that a cut leaves where its neighbour takes over, or at the end of the line before that, mm."""
    reach = section.extent(place)
    assert reach is not None  # noqa: S101  # only cuts are looked at
    low, high = reach
    if section.line.period is None:
        low, high = max(low, 0.0), min(high, section.line.span)
    hair = 1e-9 * (reach[1] - reach[0])
    if high - low <= 2 * hair:
        return 0.0  # it does not reach into the line
    at = min(max(where, low + hair), high - hair)
    inside = on_line(section, at)
    if inside is None:
        return 0.0
    stock = section.line.depth(inside) - max(section.blank, section.cut(place, at))
    return section.square(inside, stock) if stock < FREE else 0.0


def on_line(section: Section, at: float) -> float | None:
    """Return a coordinate moved into the line, or None where nothing is wanted."""
    line = section.line
    if line.period is not None:
        at %= line.period
        return at if at <= line.span else None
    return at if 0.0 <= at <= line.span else None


def _standing(section: Section, low: float, high: float) -> float:
    """Return the highest ridge of metal that nothing cuts between two coordinates, mm."""
    line = section.line
    if line.period is None:
        low, high = max(low, 0.0), min(high, line.span)
    most = 0.0
    if high > low:
        for s in line.over(low, high):
            hair = 1e-9 * (s.end - s.begin)
            for at, depth in ((s.begin + hair, s.first), (s.end - hair, s.last)):
                inside = on_line(section, at)
                if inside is not None:
                    most = max(most, section.square(inside, depth - section.blank))
    return most


def uncut(task: Task, row: list[Position]) -> tuple[float, float] | None:
    """Return the first pair of neighbours, as coordinates, that leave uncut metal standing between them."""
    for a, b in pairwise(task.places(row)):
        if not meet(task, a.at, b.at):
            return a.at, b.at
    return None
