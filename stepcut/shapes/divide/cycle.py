"""What the hands do at one place of a dividing job."""

from __future__ import annotations

from fractions import Fraction

from stepcut.acts import Axis
from stepcut.plan import Stop
from stepcut.routine.cycles import Cycle
from stepcut.routine.hands import Hands


class AtPlace(Cycle):
    """Turn and lock; then a line along the slide and back off the part, or down to a depth and up."""

    @property
    def axis(self) -> Axis:
        """What is fed: the slide for lines, the depth for holes and slots."""
        return self.hands.axes[1]

    @property
    def clear_words(self) -> str:  # type: ignore[override]  # a plain attribute elsewhere
        """What the tool does before the table turns."""
        return "TOOL OFF THE PART" if self.axis == "slide" else "CUTTER UP CLEAR"

    def begin(self) -> None:
        """Tool clear of the part, table at nought."""
        self.hands.at = {"table": Fraction(0), self.axis: -self.hands.clearance(self.axis)}

    def cut(self, stop: Stop) -> None:
        """Turn, lock, feed, clear."""
        hands, to = self.hands, self.second(stop)
        hands.turn(self.first(stop))
        hands.lock()
        verb = "Draw the line along to" if self.axis == "slide" else "Feed in to"
        hands.feed(self.axis, to, f"{verb} {hands.feed_text(self.axis, to)}.")
        back = -hands.clearance(self.axis)
        text = f"{self.clear_words.capitalize()}: {hands.names[self.axis]} to {hands.reading(self.axis, back)}."
        hands.clear(self.axis, back, text)

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        feed = "draw the line to its length, the spindle stopped" if self.axis == "slide" else "feed in to the depth"
        direct = self.plan.details.dividing.means == "direct"
        on = "table on by hand, pin in the hole, rim agrees" if direct else "crank on, rim agrees"
        return ("tool clear", on, "lock the table", feed, "back off, clear")


def cycle(hands: Hands) -> Cycle:
    """Return the cycle of a plan."""
    return AtPlace(hands)
