"""How one cut of a face ramp goes: fed across the wall, plunged, or with the side of the cutter."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property

from stepcut.acts import Fact
from stepcut.plan import Plan, Stop
from stepcut.routine import bite, details
from stepcut.routine.cycles import Cycle, Event, Plunging
from stepcut.written import length_text


class _Face(Cycle):
    """What all ways of cutting a face ramp share."""

    clear_words = "CUTTER UP CLEAR"

    def begin(self) -> None:
        """Depth stands above the face, rim at nought."""
        self.hands.at = {"table": Fraction(0), "depth": -self.hands.clearance("depth")}

    def place(self, stop: Stop) -> None:
        """Turn the table to its place and lock it."""
        self.hands.turn(self.first(stop))
        self.hands.lock()

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the depths of the passes before the last."""
        if stop.n in self.hands.sweeps:
            return self.sweep_passes(stop)
        beside = self.hands.beside.get(stop.n)
        before = self.second(beside) if beside else Fraction(0)
        wide = self.come_on(stop, float(details.ring(self.plan)[0]))
        return bite.milled(self.plan, self.second(stop), before, wide)

    def sweep_passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the depths of the sweeps before the last."""
        return bite.milled(self.plan, self.second(stop), Fraction(0), math.inf)


class Across(_Face):
    """A ramp, table flat: the end of the cutter fed across the wall, then back out of the ring."""

    def cut(self, stop: Stop) -> None:
        """Turn, lock, set, feed across and back out, as often as the metal asks; or stay in over the wall, and sweep a flat."""
        hands, sweeps = self.hands, self.hands.sweeps
        if stop.n in hands.swept:
            self.sweep(stop)
            return
        self.place(stop)
        start, end = self.feed()
        stay = f"Feed in across the wall from X {start} to {end}, then back to X {self.over_wall()} and stay in: a sweep follows."
        for depth in hands.rough[stop.n]:
            hands.set("depth", depth)
            if stop.n in sweeps:
                hands.across(stay, ends="in")
                self.swept_pass(stop)
                continue
            hands.across(f"Feed in across the wall from X {start} to {end}, into the bore; feed back out to X {start}.")
        hands.set("depth", self.second(stop))
        if stop.n in sweeps:
            hands.across(stay, ends="in")
            return
        hands.across(f"Feed in across the wall from X {start} to {end}, into the bore; feed back out to X {start}.")

    def over_wall(self) -> str:
        """Return the reading of X at which the cutter's axis stands over the middle of the wall."""
        outside, bore = (float(radius) for radius in details.ring(self.plan))
        beside = float(details.offset(self.plan))
        at = max(0.0, ((outside + bore) / 2) ** 2 - beside**2) ** 0.5
        unit = self.hands.voice.unit
        # A cutter may be no wider than the wall.
        return length_text(at, unit, 3 if unit == "in" else 2, with_unit=False)

    def off(self) -> None:
        """Feed across the whole wall at the end of a sweep, and out."""
        start, end = self.feed()
        self.hands.lock("Lock the table again.")
        self.hands.across(f"Feed in to X {end}, into the bore; feed back out to X {start}.")

    def feed(self) -> tuple[str, str]:
        """Return the readings of X where the feed begins, outside the ring, and where it stops in the bore."""
        return self._feed

    @cached_property
    def _feed(self) -> tuple[str, str]:
        begin, end = across_from_to(self.plan, self.hands.voice.unit)
        unit = self.hands.voice.unit
        return length_text(begin, unit, 2, with_unit=False), length_text(end, unit, 2, with_unit=False)

    @property
    def climbs(self) -> bool:
        """Whether the deep, downhill side of the cutter climbs on the way in.

        Fed in, the cutter goes to the left; the spindle turns clockwise seen from above.  Work on the right of the way that
        a cutter goes is climbed on: that is the column's side, which is downhill when the table turns clockwise.
        """
        return self.plan.turning == "clockwise"

    def set_up(self) -> tuple[Fact, ...]:
        """Return the feed across: from which reading of X to which, and which way the deep side cuts."""
        start, end = self.feed()
        if self.climbs:
            how = "going in the low side CLIMBS: gibs snug, slowly"
        else:
            how = "going in the low side cuts conventional"
        rows = [(f"Feed along X from {start} outside into the bore and out; {how}. In to X", end)]
        if self.hands.sweeps:
            # In the bore, where a feed ends, the cutter would stand clear of the wall all through a sweep.
            rows.append(
                (
                    f"Sweeps: fed in to X {end} first, the cutter goes back over the wall and stays there while the table "
                    f"turns; after a sweep in to X {end} again, and out. It stays at X",
                    self.over_wall(),
                )
            )
        return tuple(rows)

    def get_clear(self, event: Event) -> None:
        """Up and above the face before the next ramp; outside the ring before the next depth."""
        hands = self.hands
        if event == "round":
            hands.write("clear", f"CUTTER OUTSIDE THE RING: X {self.feed()[0]} or more.", confirm=True)
            return
        to = -hands.clearance("depth")
        text = (
            f"CUTTER UP CLEAR: {hands.names['depth']} from {hands.reading('depth', hands.at['depth'])} back "
            f"to {hands.reading('depth', to)}, above the face."
        )
        hands.clear("depth", to, text, confirm=True)

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "cutter outside the ring",
            self.hands.dials.cranked,
            "lock the table",
            "set the depth",
            f"feed in across the wall, X {self.feed()[0]} to {self.feed()[1]}",
            f"feed back out to X {self.feed()[0]}",
        )


def across_from_to(plan: Plan, unit: str) -> tuple[Fraction, Fraction]:
    """Return X of the cutter's axis where a feed across the wall begins and ends; mm from the table centre.

    Notes
    -----
    Outside, the cutter is clear when its axis stands a radius beyond the ring.  Inside, the whole strip from -q to 2R - q
    is cut once the axis has passed sqrt(ri^2 - y^2) at the strip's farther side y; from there to the same place on the
    other side of the centre it stands in the bore.  The end is half-way to the centre from there: as much room to be late
    as half of what there is.  No outside source: the circle.
    """
    grain = Fraction(254, 1000) if unit == "in" else Fraction(1, 2)
    outside, bore = details.ring(plan)
    axis = abs(details.offset(plan))
    far = max(float(axis + plan.cutter.radius), float(plan.cutter.radius - axis))
    inside = max(0.0, float(bore) ** 2 - far * far) ** 0.5
    begin = outside + plan.cutter.radius + 1
    end = Fraction(inside / 2) if inside > 4 else Fraction(inside * 0.75)
    return -(-begin // grain) * grain, (end // grain) * grain


class Plunge(Plunging, _Face):
    """A ramp plunged, or cut with the side of the cutter: the feed to the depth is the cut."""

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the depths at which it comes out to let the chips go, or from which it is swept."""
        if stop.n in self.hands.sweeps:
            return self.sweep_passes(stop)
        return bite.plunges(self.plan, self.second(stop), self.plan.second.division)

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return ("cutter clear", self.hands.dials.cranked, "lock the table", "feed in to the depth", "out, clear")


class Side(Plunge):
    """A ramp with the table on edge: the slide feeds the side of the cutter in."""

    clear_words = "CUTTER CLEAR OF THE FACE"

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the depths of the passes before the last: the side of the cutter meets metal as its end does."""
        return _Face.passes(self, stop)
