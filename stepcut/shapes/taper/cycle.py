"""What the hands do at one cut of a taper: steps as of any turned shape, or a pass of the compound."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.acts import Fact, Reading
from stepcut.plan import Stop
from stepcut.routine.cycles import Cycle, Event
from stepcut.routine.hands import Hands
from stepcut.routine.passes import Milled, Turned
from stepcut.shapes.taper.words import angle_check, gauge_place
from stepcut.written import length_text


class Compound(Cycle):
    """Depth by the cross-slide in front of the face, the compound fed along the flank, tool out, compound back."""

    clear_words = "TOOL CLEAR"
    measured = True

    @property
    def inward(self) -> int:
        """Which way x goes into the metal."""
        return 1 if self.plan.details.in_bore else -1

    @property
    def ahead(self) -> Fraction:
        """Where the compound stands before a pass: in front of the face."""
        return -self.hands.clearance("compound")

    @property
    def clear_x(self) -> Fraction:
        """Where x stands clear of the work."""
        metal: Fraction = self.plan.details.metal
        return metal - self.inward * self.hands.clearance("x")

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a pass goes and comes back."""
        hands = self.hands
        return (
            (f"Each pass: {hands.names['x']} set in front of the face, the compound fed by hand as far as the line says, out to clear: "
             f"{hands.names['x']}", hands.reading("x", self.clear_x)),
            ("Only then the compound back in front of the face, to", hands.reading("compound", self.ahead)),
        )  # fmt: skip

    def begin(self) -> None:
        """Tool clear of the work, in front of the face."""
        hands = self.hands
        hands.sense = {"x": self.inward, "compound": 1}
        hands.at = {"compound": self.ahead, "x": self.clear_x}
        for start in (1, 2):
            hands.said[start] = "each line: set x in front of the face, feed the compound to its reading"

    def cut(self, stop: Stop) -> None:
        """Make one pass."""
        hands, to = self.hands, self.first(stop)
        hands.set("x", self.second(stop))
        hands.feed("compound", to, f"Feed the compound slowly and evenly to {hands.feed_text('compound', to)}.")
        hands.clear("x", self.clear_x, f"Tool out clear to {hands.names['x']} {hands.reading('x', self.clear_x)}.")
        text = f"Compound back in front of the face to {hands.reading('compound', self.ahead)}."
        hands.clear("compound", self.ahead, text)

    def get_clear(self, event: Event) -> None:
        """Stand clear before the angle is looked at."""
        hands = self.hands
        text = (
            f"TOOL CLEAR: {hands.names['x']} {hands.reading('x', self.clear_x)}, clear of the work. Stop the spindle."
        )
        hands.clear("x", self.clear_x, text, confirm=True)

    def comes(self, stop: Stop) -> str:
        """Return what is looked at before the finish."""
        plan, voice = self.plan, self.hands.voice
        check = angle_check(plan, voice)
        said = ("finish.", check, gauge_place(plan, voice), "Mend the angle, and only then cut to size.")
        return " ".join(words for words in said if words)

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return what the last pass must measure at the face, and how long the cone then is."""
        plan, hands = self.plan, self.hands
        slope = math.radians(plan.details.taper.half_angle)
        size = "DIAMETER at the face" if plan.second.doubled else "radius at the face"
        long = float(self.first(stop)) * math.cos(slope)
        return (
            Reading(size, hands.reading("x", self.second(stop))),
            Reading("cone long", length_text(long, hands.voice.unit, 2, with_unit=False)),
        )

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return (
            "tool clear in front of the face",
            "set x",
            "feed the compound to its reading",
            "tool out",
            "compound back in front of the face",
        )


def cycle(hands: Hands) -> Cycle:
    """Return the cycle of a plan."""
    approach = hands.plan.approach
    return Compound(hands) if approach == "compound" else Turned(hands) if approach == "lathe" else Milled(hands)
