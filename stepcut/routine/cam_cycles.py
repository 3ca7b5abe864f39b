"""How one cut of a rim cam goes: with the end of the cutter over the rim, or with its side beside it."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.acts import Axis, Fact
from stepcut.plan import Stop
from stepcut.routine import bite, details
from stepcut.routine.cycles import Cycle, Plunging


class _Cam(Cycle):
    """What both ways of cutting a rim cam share: the height above the axis shrinks as the cutter goes in."""

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the heights of the passes before the last, or of the sweeps before the last."""
        if stop.n in self.hands.sweeps:
            return self.sweep_passes(stop)
        blank = details.blank_radius(self.plan)
        beside = self.hands.beside.get(stop.n)
        before = blank - self.second(beside) if beside else Fraction(0)
        wide = self.come_on(stop, float(blank))
        return self._heights(stop, before, wide)

    def sweep_passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the heights of the sweeps before the last."""
        return self._heights(stop, Fraction(0), math.inf)

    def _heights(self, stop: Stop, before: Fraction, wide: float) -> tuple[Fraction, ...]:
        """Return the heights of the passes before the last, the metal beside being cut so deep and that far away."""
        blank, scale = details.blank_radius(self.plan), self.plan.second
        deep = blank - self.second(stop)
        heights = (scale.up(blank - depth) for depth in bite.milled(self.plan, deep, before, wide))
        return tuple(scale.value(height) for height in dict.fromkeys(heights))


class CamEnd(_Cam):
    """A cam, table on edge: the height is set, the end of the cutter is fed across the rim; a dwell is swept."""

    clear_words = "CUTTER OFF THE RIM"

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a cut goes: along the cam's thickness and back; the end cuts, so neither way climbs as a whole."""
        what = "Feed along the cam's axis from off the rim, through its whole thickness, back off it; either way cuts alike"
        rows = [(f"{what}. Turn and set height only with the cutter", "OFF THE RIM")]
        if self.hands.sweeps:  # standing still along the axis, the end cuts a level stretch no longer than it is wide
            wide = self.hands.voice.size(self.plan.cutter.diameter)
            rows.append(
                (
                    "Sweeps: fed to the middle of the rim, the cutter stays there while the table turns, then off. A cam "
                    "thicker than the cutter is wide: sweep once more beside that place. It is wide",
                    wide,
                )
            )
        return tuple(rows)

    def begin(self) -> None:
        """Height stands over the blank, table at nought."""
        hands = self.hands
        hands.sense["radius"] = -1
        hands.at = {"table": Fraction(0), "radius": details.blank_radius(self.plan) + hands.clearance("radius")}

    def cut(self, stop: Stop) -> None:
        """Turn, lock, set, feed across; or sweep on with the cutter in."""
        hands, sweeps = self.hands, self.hands.sweeps
        if stop.n in hands.swept:
            self.sweep(stop)
            return
        hands.turn(self.first(stop))
        hands.lock()
        for height in (*hands.rough[stop.n], self.second(stop)):
            hands.set("radius", height)
            if stop.n not in sweeps:
                hands.across("Feed across the whole rim, then back off it, clear.")
                continue
            hands.across("Feed across to the middle of the rim and stay in: a sweep follows.", ends="in")
            if height != self.second(stop):
                self.swept_pass(stop)

    def off(self) -> None:
        """Get off the rim after a sweep."""
        self.hands.write("clear", "Feed across off the rim, clear.")

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "cutter off the rim",
            self.hands.dials.cranked,
            "lock the table",
            "set the height; where it grows, back past first and down to it again",
            "feed across the rim and back off it",
        )


class CamSide(Plunging, _Cam):
    """A cam, table flat: the slide feeds the side of the cutter in to the height; a dwell is swept."""

    axis: Axis = "radius"
    clear_words = "CUTTER CLEAR OF THE BLANK"

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a cut goes, and which way the cutter cuts in a sweep.

        The spindle turns clockwise seen from above: beside the cam its teeth meet a rim that comes round clockwise head on.
        """
        hands = self.hands
        name, clear = hands.names["radius"], hands.reading("radius", self.to_clear())
        rows = [(f"Cut in toward the axis and out, table locked: {name}", clear)]
        if self.hands.sweeps:
            how = (
                "conventional" if self.plan.turning == "clockwise" else "CLIMBS: a firm drag on the locks, feed slowly"
            )
            rows.append((f"Sweeps: table turns on, cutter in; {how}", self.plan.turning.upper()))
        return tuple(rows)

    def begin(self) -> None:
        """Cutter outside the blank, table at nought."""
        hands = self.hands
        hands.sense["radius"] = -1
        hands.at = {"table": Fraction(0), "radius": self.to_clear()}

    def to_clear(self) -> Fraction:
        """Return where the cutter is clear of the blank."""
        return details.blank_radius(self.plan) + self.hands.clearance("radius")

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "cutter clear",
            self.hands.dials.cranked,
            "lock the table",
            "feed in to the height",
            "out, clear",
        )
