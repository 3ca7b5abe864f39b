"""A task: the sections of one part, its guards and fences, and the two scales its cuts are counted on."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from stepcut.kernel.line import Line
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Guard, Place, Section, Touch
from stepcut.machine import Scale

Position = tuple[int, int]  # whole divisions of the first and the second scale


@dataclass(frozen=True)
class Task:
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
    """

    sections: tuple[Section, ...]
    guards: tuple[Guard, ...]
    first: Scale
    second: Scale
    leave: float = 0.0
    fences: tuple[Guard, ...] = ()
    begin: float | None = None
    end: float | None = None
    _depths: dict[int, int] = field(default_factory=dict, repr=False, compare=False)

    @property
    def line(self) -> Line:
        """The wanted line of the first guard."""
        return self.guards[0].line

    @property
    def looked_at(self) -> tuple[Section, ...]:
        """The sections that spacing compares ridges in: those that stand for no width, or all of them."""
        edges = tuple(section for section in self.sections if section.width == 0.0)
        return edges or self.sections

    def touch(self, at: float) -> Touch:
        """Return how deep a cut may be at a coordinate, mm, and the coordinate that holds it back."""
        return min((guard.deepest(at) for guard in self.guards), key=lambda touch: touch.depth)

    def deepest(self, at: float) -> float:
        """Return the greatest depth, mm, at which a cut nowhere goes below the stock line."""
        return self.touch(at).depth - self.leave

    def depth(self, mark: int) -> int:
        """Return the deepest whole division at a whole division of the first scale."""
        found = self._depths.get(mark)
        if found is None:
            at = float(self.first.value(mark))
            deepest = min(self.deepest(at), self.line.deepest - self.leave)
            found = self.second.down(deepest) if math.isfinite(deepest) else self.second.down(-1e9)
            self._depths[mark] = found
        return found

    def place(self, position: Position) -> Place:
        """Return a position in units of the scales."""
        return Place(float(self.first.value(position[0])), float(self.second.value(position[1])))

    def places(self, row: Iterable[Position]) -> list[Place]:
        """Return positions in units of the scales."""
        return [self.place(position) for position in row]

    def cuts(self, position: Position) -> bool:
        """Whether a position takes any metal away."""
        return any(float(self.second.value(position[1])) > section.blank for section in self.looked_at)

    # --- where the first and the last cut stand ---------------------------------------------------------------

    @cached_property
    def first_at(self) -> float:
        """Where the first cut stands: the place that cuts the beginning of the line to its depth."""
        if self.begin is not None:
            return self.begin
        guard = self.guards[0]
        low, high = guard.foot.level
        if guard.line.grows:
            at = -low
            return at if math.isfinite(self.deepest(at)) else self._first_allowed(at)
        return self._best_for(0.0, (-low, -high, -guard.touch(guard.line.slope(1e-9))), last=True)

    def _first_allowed(self, at: float) -> float:
        """Return the first coordinate from `at` on at which a cut is allowed at all: past a wall."""
        low, high = at, at + guard_width(self.guards[0])
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (low, middle) if math.isfinite(self.deepest(middle)) else (middle, high)
        return high

    @cached_property
    def last_at(self) -> float:
        """Where the last cut stands: the first place from which the whole line is cut to its end's depth."""
        if self.end is not None:
            return self.end
        guard, line = self.guards[0], self.guards[0].line
        low, high = guard.foot.level
        if not line.grows:
            return self._best_for(line.span, (line.span - low, line.span - high), last=False)
        last = line.span - low
        outline = guard.foot.outline
        if guard.stepped:
            return last
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

    def _best_for(self, where: float, candidates: Iterable[float], last: bool) -> float:
        """Return the candidate that leaves least at a coordinate; of equals the last or the first one."""
        guard, wanted = self.guards[0], self.line.depth(where)

        def stands(at: float) -> float:
            return wanted - self.deepest(at) + guard.foot.least(where - at)

        ranked = sorted(candidates, reverse=last)
        return min(ranked, key=lambda at: round(stands(at), 9))


def guard_width(guard: Guard) -> float:
    """Return how many units of the coordinate the whole cutter covers."""
    low, high = guard.foot.window
    return high - low
