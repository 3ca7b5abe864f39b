"""What the hands do at one cut of a taper: steps as of any turned shape, or a whole cone."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.acts import Axis, Fact, Reading
from stepcut.plan import Stop
from stepcut.routine.cycles import Cycle, Event
from stepcut.routine.hands import Hands
from stepcut.routine.passes import Milled, Turned
from stepcut.shapes.taper.words import angle_check, gauge_place, set_over_check
from stepcut.written import length_text


class Cones(Cycle):
    """Depth by the cross-slide in front of the face, a whole cone fed along its flank, tool out, and back."""

    clear_words = "TOOL CLEAR"
    measured = True
    along: Axis = "compound"  # what is fed
    first_word, fed, back = (
        "set x in front of the face",
        "feed the compound to its reading",
        "compound back in front of the face",
    )
    each = "set in front of the face, the compound fed by hand as far as the line says"

    @property
    def inward(self) -> int:
        """Which way x goes into the metal."""
        return 1 if self.plan.details.in_bore else -1

    @property
    def ahead(self) -> Fraction:
        """Where a pass begins: in front of the face."""
        return -self.hands.clearance(self.along)

    @property
    def clear_x(self) -> Fraction:
        """Where x stands clear of the work."""
        metal: Fraction = self.plan.details.metal
        return metal - self.inward * self.hands.clearance("x")

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a pass goes and comes back."""
        hands = self.hands
        return (
            (f"Each pass: {hands.names['x']} {self.each}, out to clear: {hands.names['x']}", hands.reading("x", self.clear_x)),
            (f"Only then the {self.back}, to", hands.reading(self.along, self.ahead)),
        )  # fmt: skip

    def begin(self) -> None:
        """Tool clear of the work, in front of the face."""
        hands = self.hands
        hands.sense = {"x": self.inward, self.along: 1}
        hands.at = {self.along: self.ahead, "x": self.clear_x}
        for start in (1, 2):
            hands.said[start] = f"each line: {self.first_word}, {self.fed}"

    def feeding(self, to: Fraction) -> str:
        """Return the words of the feed."""
        return f"Feed the compound slowly and evenly to {self.hands.feed_text(self.along, to)}."

    def cut(self, stop: Stop) -> None:
        """Make one pass."""
        hands, to = self.hands, self.first(stop)
        hands.set("x", self.second(stop))
        hands.feed(self.along, to, self.feeding(to))
        hands.clear("x", self.clear_x, f"Tool out clear to {hands.names['x']} {hands.reading('x', self.clear_x)}.")
        text = f"{self.back.capitalize()} to {hands.reading(self.along, self.ahead)}."
        hands.clear(self.along, self.ahead, text)

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
        said = ("finish.", *self.looked_at(), gauge_place(plan, voice), self.mended)
        return " ".join(words for words in said if words)

    @property
    def mended(self) -> str:
        """Return what is done before the finish: the angle set right, and x anew.

        Swung on its pivot, the compound takes the tip elsewhere, by far more than the angle was off; and set by a cylinder, a round tip of
        radius r leaves r (1 + tan a - 1 / cos a) too much on the radius of the cone.  On the cone itself neither counts.
        """
        return f"{self.mending} set x to the {self.size} measured at the face; only then cut to size."

    mending = "Mend the angle. Mended or not, touch the face anew at compound 0, then the cone, for the tip has moved and a round one leaves more:"

    @property
    def size(self) -> str:
        """What the cross-slide's dial shows."""
        return "DIAMETER" if self.plan.second.doubled else "radius"

    def looked_at(self) -> tuple[str, ...]:
        """Return how the angle is looked at on the cone that stands."""
        return (angle_check(self.plan, self.hands.voice),)

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return what the last pass must measure at the face, and how long the cone then is."""
        plan, hands = self.plan, self.hands
        slope = math.radians(plan.details.taper.half_angle)
        size = f"{self.size} at the face"
        long = float(self.first(stop)) * math.cos(slope)
        return (
            Reading(size, hands.reading("x", self.second(stop))),
            Reading("cone long", length_text(long, hands.voice.unit, 2, with_unit=False)),
        )

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return ("tool clear in front of the face", "set x", self.fed, "tool out", self.back)


class SetOver(Cones):
    """Between centres, the tailstock set over: the flank stands along the ways, and the carriage feeds."""

    along: Axis = "z"
    fed, back = "feed the carriage up to z", "carriage back in front of the face"
    each = "set in front of the face, the carriage fed toward the headstock up to the line's z"
    mending = "Mend the set-over, touch the cone beside the face anew,"

    def feeding(self, to: Fraction) -> str:
        """Return the words of the feed."""
        return f"Feed toward the headstock up to {self.hands.feed_text(self.along, to)}."

    def looked_at(self) -> tuple[str, ...]:
        """Return how two diameters tell what the set-over is off."""
        return (set_over_check(self.plan, self.hands.voice),)


CYCLES = {"compound": Cones, "set-over": SetOver, "lathe": Turned, "mill": Milled}


def cycle(hands: Hands) -> Cycle:
    """Return the cycle of a plan."""
    return CYCLES[hands.plan.approach](hands)
