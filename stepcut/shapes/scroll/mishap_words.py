"""After a mistake at a scroll, in words: how its zeros are found again in the groove that stands."""

from __future__ import annotations

from stepcut.shapes.scroll.words import TOUCH
from stepcut.shapes.standing import Standing


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of depth, x and rim: x by the table's centre, as it was set."""
    return (
        f"Depth: the cutter {TOUCH}.",
        f"{at.second}: the table's centre under the spindle again, as in the set-up: set X and Y 0 there. Then {at.second} {at.deep}, locked.",
        f"Rim: the stopped cutter over the end that cut {at.n} made. {at.up}, the cutter let down by hand each time, to where it goes down to its full "
        f"depth; short of it the walls hold it, past it the end does: set {at.first} {at.where}{at.dial}.",
    )
