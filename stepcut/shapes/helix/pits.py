"""Pits at the ends of a groove: a plunge deeper than the groove, in which a ball or a pin comes to rest.

Cut with the groove's own cutter a pit is part of the first or the last cut; with another cutter, or a drill, it is made last.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from stepcut.machine import Cutter
from stepcut.plan import Stop

End = Literal["begin", "end"]


class Pit(Struct, frozen=True):
    """The pits at one end of all grooves.

    Parameters
    ----------
    end : str
        The end of the groove that they lie at.
    depth : Fraction
        Of their bottom below the cylinder, mm.
    cutter : Cutter or None
        What they are made with; None for the groove's own cutter.
    places : tuple of Stop
        Where, one for each groove; the number is that of the cut there.
    """

    end: End
    depth: Fraction
    cutter: Cutter | None
    places: tuple[Stop, ...]


def pits(
    wanted: Mapping[End, Fraction],
    cutter: Cutter | None,
    stops: tuple[Stop, ...],
    beside: int,
    middle: int,
    forward: int,
    turn: int,
) -> Iterator[Pit]:
    """Yield the pits of grooves.

    Parameters
    ----------
    wanted : mapping
        How deep, by the end.
    stops : tuple of Stop
        The cuts.
    beside : int
        How many sweeps make a groove; a pit lies in the middle of them.
    middle : int
        Divisions of the slide from the first sweep to the middle of the groove.
    forward : int
        How many sweeps run from the beginning to the end; those after them, of the other hand, run back.  Where grooves of both
        hands end at one place, x and all but whole turns of the table alike, a pit is made once.
    turn : int
        Divisions of a whole turn of the table.
    """
    firsts: dict[int, list[Stop]] = {}
    for stop in stops:
        if (stop.start - 1) % beside == 0:
            firsts.setdefault(stop.start, []).append(stop)
    for end, depth in wanted.items():
        ends = [(row[0], row[-1]) if start <= forward else (row[-1], row[0]) for start, row in firsts.items()]
        at = {(stop.first % turn, stop.second): stop for stop in (pair[end == "end"] for pair in reversed(ends))}
        places = tuple(
            Stop(stop.n, k, stop.first, stop.second + middle)
            for k, stop in enumerate(sorted(at.values(), key=lambda stop: stop.n), 1)
        )
        yield Pit(end, depth, cutter, places)
