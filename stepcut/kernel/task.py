"""A task: the sections of one part, its guards and fences, and the two scales its cuts are counted on."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from stepcut.kernel.line import FREE, WALL, Line
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Guard, Place, Section, Touch
from stepcut.machine import Scale

ENOUGH = 1e-9  # mm or degrees: a cut that reaches less far into a line does not reach it
Position = tuple[int, int]  # whole divisions of the first and the second scale


class Task(Struct, frozen=True, dict=True):
    """What is to be cut, ready to be spaced and measured.

    Parameters
    ----------
    sections : tuple of Section
        What is measured.
    guards : tuple of Guard
        What holds the cuts back.
    fences : tuple of Guard
        What a cut would spoil.
    first, second : Scale
        Scales of the place and of the depth.
    leave : float
        Stock to leave, mm.
    begin, end : float or None
        Coordinates of the first and the last cut; worked out from the first guard when None.
    bottom : float or None
        Depth that no cut may pass whatever is wanted, mm, such as the axis of a lathe; the line's own deepest when None.
    counted_from : Fraction or None
        Coordinate from which even steps are counted; the first cut when None.
    again : float or None
        When given, the same cuts are made once more for the next part of the whole, so far on: the next ramp of a ring.
    sweeps : tuple of (int, int)
        Marks between which the cutter stays in while the table or the slide is fed on, in order; no cut stands inside.
    musts : tuple of int
        Marks that carry a cut whatever the step: the foot of a riser, the bottom of a valley.
    """

    sections: tuple[Section, ...]
    guards: tuple[Guard, ...]
    first: Scale
    second: Scale
    leave: float = 0.0
    fences: tuple[Guard, ...] = ()
    begin: float | None = None
    end: float | None = None
    bottom: float | None = None
    counted_from: Fraction | None = None
    again: float | None = None
    sweeps: tuple[tuple[int, int], ...] = ()
    musts: tuple[int, ...] = ()

    @cached_property
    def _depths(self) -> dict[int, int]:
        return {}

    @cached_property
    def _touches(self) -> dict[float, Touch]:
        return {}

    @cached_property
    def kept(self) -> dict[tuple[Place, ...], object]:
        """What was last measured of this task: the same cuts are looked at by the spacing, the remarks and the card."""
        return {}

    @property
    def line(self) -> Line:
        """The wanted line of the first guard."""
        return self.guards[0].line

    @property
    def looked_at(self) -> tuple[Section, ...]:
        """The sections that spacing compares ridges in: those that stand for no width, or all of them."""
        edges = tuple(section for section in self.sections if section.width == 0.0)
        return edges or self.sections

    @cached_property
    def _first(self) -> tuple[float, float]:
        return float(self.first.origin), float(self.first.division)

    @cached_property
    def _second(self) -> tuple[float, float]:
        return float(self.second.origin), float(self.second.division)

    def at(self, mark: int) -> float:
        """Return the coordinate of a whole division of the first scale, degrees or mm."""
        return self._first[0] + mark * self._first[1]

    def touch(self, at: float) -> Touch:
        """Return how deep a cut may be at a coordinate, mm, and the coordinate that holds it back."""
        found = self._touches.get(at)
        if found is None:
            found = min((guard.deepest(at) for guard in self.guards), key=lambda touch: touch.depth)
            self._touches[at] = found
        return found

    def deepest(self, at: float) -> float:
        """Return the greatest depth, mm, at which a cut nowhere goes below the stock line."""
        return self.touch(at).depth - self.leave

    def depth(self, mark: int) -> int:
        """Return the deepest whole division at a whole division of the first scale."""
        found = self._depths.get(mark)
        if found is None:
            deepest = self.allowed(self.at(mark))
            found = self.second.down(deepest) if math.isfinite(deepest) else self.second.down(-1e9)
            self._depths[mark] = found
        return found

    def allowed(self, at: float) -> float:
        """Return the depth that a cut may have at a coordinate, mm; the line's own where nothing holds it."""
        deepest, own = self.deepest(at), self.line.deepest - self.leave
        return own if deepest == FREE else min(deepest, own if self.bottom is None else self.bottom)

    def place(self, position: Position) -> Place:
        """Return a position in units of the scales."""
        return Place(self.at(position[0]), self._second[0] + position[1] * self._second[1])

    def places(self, row: Iterable[Position]) -> list[Place]:
        """Return positions in units of the scales; the two ends of a sweep are one place."""
        if not self.sweeps:
            return [self.place(position) for position in row]
        ends, until, found = dict(self.sweeps), -math.inf, []
        for position in row:
            if position[0] in ends:
                until = ends[position[0]]
                found.append(self.place(position)._replace(until=self.at(until)))
            elif position[0] > until:
                found.append(self.place(position))
        return found

    def cuts(self, position: Position) -> bool:
        """Whether a position takes any metal away from what is wanted, or from what lies level beyond it."""
        place = self.place(position)
        return any(_reaches(section, place) for section in self.looked_at)

    # --- where the first and the last cut stand ---------------------------------------------------------------

    @cached_property
    def uncut(self) -> float:
        """Depth of the highest metal that nothing has cut, mm: less than 0 where a blank stands over the line."""
        return min(section.blank for section in self.sections)

    @cached_property
    def opens(self) -> bool:
        """Whether the first cut opens a line that begins below the metal that stands there, with free metal uphill of it.

        The metal is the face, where a line only grows, or a blank that stands over it.
        """
        line = self.line
        free = self.begin is None and line.before == "level" and (line.grows or self.uncut < 0.0)
        return free and line.start - self.uncut > self.leave

    @cached_property
    def first_at(self) -> float:
        """Where the first cut stands: the place that cuts the beginning of the line to its depth."""
        if self.begin is not None:
            return self.begin
        guard = self.guards[0]
        low, high = guard.foot.level
        if not guard.line.grows and not self.opens:
            return self._best_for(0.0, (-low, -high), last=True)
        # A line that begins below the face is cut to its depth there at every radius, which takes a place farther uphill.
        at = -guard.foot.begins if self.opens else -low
        return self._first_allowed(at) if self.deepest(at) == WALL else at

    def _first_allowed(self, at: float) -> float:
        """Return the first coordinate from `at` on at which a cut is allowed at all: past a wall."""
        low, high = at, at + self.guards[0].width
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.deepest(middle) == WALL else (low, middle)
        return high

    @cached_property
    def last_at(self) -> float:
        """Where the last cut stands: the first place from which the whole line is cut to its end's depth."""
        if self.end is not None:
            return self.end
        guard, line = self.guards[0], self.guards[0].line
        low, high = guard.foot.level
        last = line.span - low
        if guard.stepped and line.grows:
            return last
        if not line.grows or line.after != "level":
            return self._best_for(line.span, (last, line.span - high), last=False)
        outline = guard.foot.outline
        drop, corner = line.floor - line.start, outline.corner

        def behind(angle: float) -> float:
            relief = corner * (1 - math.cos(angle))
            if relief >= drop:
                return -last
            wide = outline.radius - corner + corner * math.sin(angle)
            return guard.foot.within(min(wide, outline.radius))[0] - line.reach(line.floor - relief)

        _, most = lowest(behind, 0.0, math.pi / 2, 24, self._parallel)
        return max(last, -most)

    @cached_property
    def _parallel(self) -> tuple[float, ...]:
        """Angles of the outline, from straight down, at which it is parallel to a straight stretch."""
        angles = []
        for s in self.line.stretches:
            if s.straight:
                slope = s.slope(s.begin)
                angles += [math.atan(slope / section.foot.unit(section.radius)) for section in self.looked_at]
        return tuple(sorted(set(angles)))

    def _best_for(self, where: float, likely: Iterable[float], last: bool) -> float:
        """Return the place that leaves least at a coordinate; of equals the last or the first one.

        The likely places are tried exactly; between them the place that a round cutter needs is searched.
        """
        guard, wanted = self.guards[0], self.line.depth(where)
        low = guard.window(0.0)[0]
        high = low + guard.width

        def stands(at: float) -> float:
            allowed = self.allowed(at)
            return wanted - allowed + guard.foot.least(where - at) if math.isfinite(allowed) else math.inf

        places = list(likely)
        if not guard.stepped:
            places.append(lowest(stands, where - high, where - low, 48)[0])
            places += self._edges_of(stands, places[-1], where - high, where - low)
        ranked = sorted(places, reverse=last)
        return min(ranked, key=lambda at: round(stands(at), 7))

    @staticmethod
    def _edges_of(stands: Callable[[float], float], best: float, low: float, high: float) -> Iterator[float]:
        """Yield the ends of the level stretch around the best place, where there is one."""
        least = stands(best) + 1e-8
        for end in (low, high):
            inside, outside = best, end
            if stands(end) <= least:
                yield end
                continue
            for _ in range(50):
                middle = (inside + outside) / 2
                inside, outside = (middle, outside) if stands(middle) <= least else (inside, middle)
            yield inside


def _reaches(section: Section, place: Place) -> bool:
    """Whether a cut takes metal where a section wants something: not wholly past an end that is free beyond."""
    if place.depth <= section.blank:
        return False
    line = section.line
    if line.period is not None or "free" not in (line.before, line.after):
        return True
    reach = section.extent(place)
    if reach is None or (line.after == "free" and reach[0] >= line.span - ENOUGH):
        return False
    return not (line.before == "free" and reach[1] <= ENOUGH)
