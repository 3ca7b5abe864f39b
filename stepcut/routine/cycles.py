"""How one cut goes, how the cutter gets clear, and what a change is: what all shapes share, what is plunged, and a helix.

A cycle writes acts through :class:`~stepcut.routine.hands.Hands`.  Rules that all keep: the table turns only the working
way; nothing but a feed moves while the cutter is in the work; a depth is always come up to from the clear side.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

from stepcut.acts import Axis, Fact, Reading
from stepcut.plan import Plan, Stop
from stepcut.routine import bite, details
from stepcut.routine.hands import Hands

Event = Literal["start", "round"]


class Cycle:
    """What all cycles share; each shape's own says how it begins, cuts and gets clear.

    Parameters
    ----------
    hands : Hands
        Who does it.
    """

    def __init__(self, hands: Hands) -> None:
        self.hands = hands

    @property
    def plan(self) -> Plan:
        """What is cut."""
        return self.hands.plan

    def begin(self) -> None:
        """Put every axis where the set-up leaves it: clear, on the side it is come up from."""

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return where the second axis stands in the passes before the last of a cut; none where one pass is enough."""
        return ()

    def come_on(self, stop: Stop, radius: float) -> float:
        """Return how far the cutter has come on from the cut beside it, along a circle; mm.  The first of all has none beside it."""
        beside = self.hands.beside.get(stop.n)
        return math.inf if beside is None else radius * math.radians(abs(float(self.first(stop) - self.first(beside))))

    def cut(self, stop: Stop) -> None:
        """Write the acts of one cut."""
        raise NotImplementedError

    def get_clear(self, event: Event) -> None:
        """Write the acts that take the cutter clear before a change."""

    def comes(self, stop: Stop) -> str:
        """Return what changes before a stop where no table turns, and what to touch off."""
        raise NotImplementedError

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        raise NotImplementedError

    def sweep(self, stop: Stop) -> None:
        """Turn on with the cutter in the work, then get off."""
        hands, to = self.hands, self.sweep_end(stop)
        hands.cranked.setdefault(stop.n, hands.turns_to(to))
        hands.lock("Ease the table lock to a light drag.")
        axis = hands.axes[1]
        text = (
            f"SWEEP: keep {hands.names[axis]} {hands.reading(axis, hands.at[axis])} and the cutter in, feed the table on "
            f"{hands.turns_to(to)} to {hands.dials.landed(to)}."
        )
        hands.feed("table", to, text)
        self.off()

    def sweep_end(self, stop: Stop) -> Fraction:
        """Return where a sweep to a stop ends, the table standing where it begins, after however many turns."""
        to, at = self.first(stop), self.hands.at["table"]
        return to + 360 * math.ceil((at - to) / 360) if to < at else to

    def swept_pass(self, stop: Stop) -> None:
        """Sweep as far as the sweep from a stop goes, the cutter standing in the work, and go back to its beginning."""
        begins = self.hands.at["table"]
        self.sweep(self.hands.numbered[self.hands.sweeps[stop.n]])
        self.hands.back(begins)
        self.hands.lock()

    def off(self) -> None:
        """Get the cutter off after a sweep."""

    def set_up(self) -> tuple[Fact, ...]:
        """Return what the cycle adds to the set-up: where a feed begins and ends, and which way it cuts."""
        return ()

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return what must read at a check after a stop: where both axes stand now, the cutter clear."""
        hands = self.hands
        planned = (self.first(stop), self.second(stop))
        return tuple(
            Reading(
                hands.names[axis] + ("" if axis == "table" or hands.at[axis] == at else " (clear)"),
                hands.reading(axis, hands.at[axis]),
            )
            for axis, at in zip(hands.axes, planned, strict=True)
        )

    clear_words = "CUTTER CLEAR"
    measured = False  # whether a check is measured on the part rather than read off the scales

    def first(self, stop: Stop) -> Fraction:
        """Return where the first axis stands at a stop."""
        return self.plan.first.value(stop.first)

    def second(self, stop: Stop) -> Fraction:
        """Return where the second axis stands at a stop."""
        return self.plan.second.value(stop.second)


class Plunging(Cycle):
    """What is fed straight to its depth and taken straight out again, along one axis."""

    axis: Axis = "depth"
    clear_words = "CUTTER UP CLEAR"

    def to_clear(self) -> Fraction:
        """Return where the cutter is clear."""
        return -self.hands.clearance(self.axis)

    def out(self, confirm: bool = False) -> None:
        """Take the cutter clear."""
        hands, to = self.hands, self.to_clear()
        words = self.clear_words if confirm else self.clear_words.capitalize()
        hands.clear(self.axis, to, f"{words}: {hands.names[self.axis]} {hands.reading(self.axis, to)}.", confirm)

    def cut(self, stop: Stop) -> None:
        """Turn, lock, feed in, out, as often as the metal asks; or stay in and sweep."""
        hands = self.hands
        if stop.n in hands.swept:
            self.sweep(stop)
            return
        hands.turn(self.first(stop))
        hands.lock()
        stay = " Stay in: a sweep follows." if stop.n in hands.sweeps else ""
        for place in hands.rough[stop.n]:
            hands.feed(self.axis, place, f"Feed in slowly to {hands.feed_text(self.axis, place)}.{stay}")
            if stay:
                self.swept_pass(stop)
            else:
                self.out()
        text = f"Feed in slowly to {hands.feed_text(self.axis, self.second(stop))}.{stay}"
        hands.feed(self.axis, self.second(stop), text)
        if stop.n not in hands.sweeps:
            self.out()

    def off(self) -> None:
        """Get clear after a sweep."""
        self.out()

    def get_clear(self, event: Event) -> None:
        """Make sure that it is clear before a change."""
        self.out(confirm=True)


class Helix(Plunging):
    """A groove, table on edge: table and slide to their places, down to the depth, up."""

    def begin(self) -> None:
        """Table at nought, slide before its nought on the side it is come up from, cutter up."""
        hands = self.hands
        hands.at = {"table": Fraction(0), "depth": -hands.clearance("depth")}
        hands.at["x"] = -hands.past("x")

    @property
    def depth(self) -> Fraction:
        """Depth of the groove less what is left on its floor, in whole divisions, never deeper than asked."""
        scale = self.hands.scale("depth")
        wanted = Fraction(self.plan.target["depth"]).limit_denominator(10**9)
        return scale.value(scale.down(wanted - self.plan.leave))

    def cut(self, stop: Stop) -> None:
        """Turn, slide, lock both, down, up."""
        hands = self.hands
        hands.turn(self.first(stop))
        if (self.second(stop) - hands.at["x"]) * hands.working("x") < 0 and stop.n in hands.beside:
            past = hands.reading("x", hands.past("x"))
            hands.said[stop.start] = (
                f"{hands.names['x']} comes back from line to line: each time first {past} past it, then up to it"
            )
        hands.set("x", self.second(stop))
        hands.lock("Lock the table and the slide.")
        for depth in (*self.plunges, self.depth):
            hands.feed("depth", depth, f"Feed down slowly to {hands.feed_text('depth', depth)}.")
            self.out()
        for depth in self.pit(stop):
            hands.feed("depth", depth, f"PIT: feed on down slowly to {hands.feed_text('depth', depth)}.")
            self.out()

    def pit(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the depths of the plunges that make a pit of a cut, after its own."""
        bottom = details.deeper(self.plan).get(stop.n)
        return () if bottom is None else bite.deeper(self.plan, bottom, self.depth, self.hands.scale("depth").division)

    @property
    def plunges(self) -> tuple[Fraction, ...]:
        """The depths at which every cut comes up once to let the chips go."""
        return bite.plunges(self.plan, self.depth, self.hands.scale("depth").division)

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a cut goes: straight down and straight up, nothing else moving."""
        what = "Each cut straight down and up, table and slide locked"
        return (
            (
                f"{what}, cutter cutting to its centre: down to {self.hands.names['depth']}",
                ", ".join(self.hands.reading("depth", depth) for depth in (*self.plunges, self.depth)),
            ),
        )

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        depth = self.hands.feed_text("depth", self.depth)
        if self.plunges:
            depth += f", in {len(self.plunges) + 1} plunges, up clear between"
        return (
            "cutter up, clear",
            self.hands.dials.cranked,
            "slide to x",
            "lock table and slide",
            f"down to {depth}",
            "up, clear",
        )
