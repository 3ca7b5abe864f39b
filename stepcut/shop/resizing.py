"""What belongs together when a part is made again in another size: a size that grew while its partner was kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# Sizes that usually change together, by shape; common practice, no source.
TOGETHER: dict[str, tuple[tuple[str, str], ...]] = {
    "ramp": (("outside", "bore"), ("outside", "cutter")),
    "taper": (("large", "small"), ("large", "length"), ("large", "blank"), ("large", "bores"), ("length", "work-length")),
    "radius": (("radius", "blank"), ("diameter", "blank"), ("radius", "nose")),
    "profile": (("targets", "blank"),),
    "cam": (("base", "blank"), ("base", "cutter")),
    "helix": (("diameter", "blank"), ("diameter", "depth")),
}  # fmt: skip
SMALL = 0.1  # a change of less than this share is a correction, not another size


def left_behind(shape: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return pairs of a size that changed by more than a tenth and the one beside it that was kept.

    ``old`` and ``new`` are read values, in mm; None where nothing is given.

    Examples
    --------
    >>> left_behind("ramp", {"outside": 40, "bore": 30}, {"outside": 50, "bore": 30})
    [('outside', 'bore')]
    >>> left_behind("ramp", {"outside": 40, "bore": 30}, {"outside": 50, "bore": 38})
    []
    """
    found = []
    for changed, kept in TOGETHER.get(shape, ()):
        was, now = old.get(changed), new.get(changed)
        partner = new.get(kept)
        if was is None or now is None or not partner or old.get(kept) != partner:
            continue
        apart = now != was if isinstance(was, tuple) else abs(now - was) > SMALL * abs(was)
        if apart:
            found.append((changed, kept))
    return found
