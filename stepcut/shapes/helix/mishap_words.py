"""After a mistake at a helix, in words: how its zeros are found again in the groove that stands."""

from __future__ import annotations

from stepcut.shapes.helix.words import TOUCH
from stepcut.shapes.standing import Standing, fitted


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of depth, rim and x.

    In a sweep beside others the cutter has room on the side of those: it is pushed into the corner between its own wall and the metal
    ahead, which it made itself.
    """
    plan, beside = at.plan, at.plan.details.beside
    start = plan.stops[at.n - 1].start
    row = [float(plan.second.value(stop.second)) for stop in plan.stops if stop.start == start]
    here = float(plan.second.value(plan.stops[at.n - 1].second))
    end = "where the groove begins"
    if here != row[0]:
        way = "tailstock" if here > row[0] else "table"
        end = f"{at.voice.length(abs(here - row[0]))} along the axis from its beginning toward the {way}, by rule"
    depth = f"Depth: the cutter {TOUCH}."
    if (start - 1) % beside == 0:
        return depth, fitted(at, end)
    first = next(stop for stop in plan.stops if stop.start == start)
    before = next(stop for stop in plan.stops if stop.start == start - 1)
    wall = "tailstock" if first.second > before.second else "table"
    ends = plan.stops[at.n - 1 :]
    onward = next((stop for stop in reversed(ends) if stop.start == start), first).second >= first.second
    if onward == (wall == "tailstock"):  # then one push holds it against its wall and the metal ahead
        held = (
            f"{at.up}, the cutter moved along the axis toward the {wall} by hand each time until it touches, to where it goes farthest; past it the "
            "metal ahead holds it off"
        )
    else:
        held = (
            f"{at.second} up the way it comes, a little at a time, the table turned the working way by hand each time until the cutter touches, to "
            "where it turns farthest; past it the metal ahead holds it off"
        )
    return (
        depth,
        f"{at.first.capitalize()} and {at.second}: the stopped cutter in the groove at full depth, where cut {at.n} ended, {end}. {held}: set "
        f"{at.first} {at.where}{at.dial} and {at.second} {at.deep} there.",
    )
