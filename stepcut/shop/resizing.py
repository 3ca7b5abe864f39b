"""What belongs together when a part is made again in another size: a size that grew while its partner was kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

SMALL = 0.1  # a change of less than this share is a correction, not another size


def left_behind(
    together: Sequence[tuple[str, str]],
    old: Mapping[str, Any],
    new: Mapping[str, Any],
    walls: Sequence[tuple[str, str]] = (),
) -> list[tuple[str, str]]:
    """Return pairs of a size that changed by more than a tenth and the one beside it that was kept.

    ``together`` are the sizes of a shape that usually change together, ``walls`` those of them between which a wall stands: a tenth
    of that is another size already, for a ring of a little more outside has a far thicker wall; ``old`` and ``new`` are read values, in mm; None where
    nothing is given.

    Examples
    --------
    >>> left_behind([("outside", "bore")], {"outside": 40, "bore": 30}, {"outside": 50, "bore": 30})
    [('outside', 'bore')]
    >>> left_behind([("outside", "bore")], {"outside": 40, "bore": 30}, {"outside": 50, "bore": 38})
    []
    >>> left_behind([("outside", "bore")], {"outside": 40, "bore": 30}, {"outside": 42, "bore": 30}, [("outside", "bore")])
    [('outside', 'bore')]
    """
    found = []
    for changed, kept in together:
        was, now = old.get(changed), new.get(changed)
        partner = new.get(kept)
        if was is None or now is None or not partner or old.get(kept) != partner:
            continue
        if isinstance(was, tuple):
            apart = now != was
        else:
            apart = abs(now - was) > SMALL * (abs(was - partner) if (changed, kept) in walls else abs(was))
        if apart:
            found.append((changed, kept))
    return found
