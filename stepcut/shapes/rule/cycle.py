"""What the hands do at one line of a straight scale."""

from __future__ import annotations

from stepcut.acts import Reading
from stepcut.plan import Stop
from stepcut.routine.cycles import Cycle
from stepcut.routine.hands import Hands


class AtLine(Cycle):
    """The slide to its place and locked; a line along Y and back off the part."""

    clear_words = "TOOL OFF THE PART"

    def begin(self) -> None:
        """Tool clear of the part; the slide before its first place, on the side from which it comes up to it."""
        hands = self.hands
        hands.at = {"y": -hands.clearance("y"), "x": self.first(self.plan.stops[0]) - hands.past("x")}

    def cut(self, stop: Stop) -> None:
        """Set, lock, draw, back off."""
        hands, to, back = self.hands, self.second(stop), -self.hands.clearance("y")
        hands.set("x", self.first(stop))
        hands.lock("Lock the slide.")
        hands.feed("y", to, f"Draw the line along to {hands.feed_text('y', to)}.")
        hands.clear("y", back, f"Tool off the part: {hands.names['y']} to {hands.reading('y', back)}.")

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return what must read at a check: the slide; the tool is off the part wherever Y stands."""
        return super().readings(stop)[:1]

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "tool off the part",
            "X to its place",
            "lock the slide",
            "draw the line to its length, the spindle stopped",
            "back off, clear",
        )


def cycle(hands: Hands) -> Cycle:
    """Return the cycle of a plan."""
    return AtLine(hands)
