"""What the hands do at one point: both slides to their places, down, up."""

from __future__ import annotations

from fractions import Fraction

from stepcut.plan import Stop
from stepcut.routine import bite
from stepcut.routine.cycles import Cycle
from stepcut.routine.hands import Hands


class AtPoint(Cycle):
    """X and Y to their places, lock both, down to the depth, up clear."""

    clear_words = "CUTTER UP CLEAR"

    def begin(self) -> None:
        """Cutter up; both slides before their first place, on the side from which they come up to it."""
        hands, first = self.hands, self.plan.stops[0]
        hands.at = {"depth": -hands.clearance("depth")}
        hands.at["x"] = self.first(first) - hands.past("x")
        hands.at["y"] = self.second(first) - hands.past("y")

    @property
    def depth(self) -> Fraction:
        """Depth of a cut in whole divisions, never deeper than asked."""
        scale = self.hands.scale("depth")
        return scale.value(scale.down(self.plan.details.depth))

    def cut(self, stop: Stop) -> None:
        """Set both slides, lock, down in as many plunges as the cutter asks for, up."""
        hands, clear = self.hands, -self.hands.clearance("depth")
        hands.set("x", self.first(stop))
        hands.set("y", self.second(stop))
        hands.lock("Lock both slides.")
        for depth in (*bite.plunges(self.plan, self.depth, hands.scale("depth").division), self.depth):
            hands.feed("depth", depth, f"Feed down slowly to {hands.feed_text('depth', depth)}.")
            hands.clear("depth", clear, f"Cutter up clear: {hands.names['depth']} {hands.reading('depth', clear)}.")

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "cutter up, clear",
            "X to its place",
            "Y to its place",
            "lock both",
            f"down to {self.hands.feed_text('depth', self.depth)}",
            "up, clear",
        )


def cycle(hands: Hands) -> Cycle:
    """Return the cycle of a plan."""
    return AtPoint(hands)
