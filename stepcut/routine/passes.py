"""How a turned flank is cut: passes on the lathe, or full turns of the table on the mill."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from stepcut.acts import Fact, Reading
from stepcut.plan import Stop
from stepcut.routine import bite, details
from stepcut.routine.cycles import Cycle, Event
from stepcut.routine.standing import Pass, left_by, passes_of


class Turned(Cycle):
    """A turned flank: every pass has its x; a pass runs up to z, or from a groove back to z.

    Cuts of a flank that run toward the face are passes from in front of the face up to z.  Cuts that run away from it (the
    back of a ball) begin in a groove at the flank's end: plunge to x, then feed toward the face up to z.
    """

    clear_words = "TOOL CLEAR"
    start = 0
    measured = True  # at a check: the tool is clear, and no scale then reads what was cut
    plunges = False  # straight in at every place of a flank that rises and falls

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a pass goes and comes back: where it begins, which way it feeds; once for each way that the flanks are cut."""
        hands, ways = self.hands, details.ways(self.plan)
        clear = hands.reading("x", self.clear_x)
        facts: list[Fact] = []
        for way in dict.fromkeys(ways):
            starts = [str(n) for n, each in enumerate(ways, 1) if each == way]
            which = "" if len(set(ways)) == 1 else f"{self.plan.details.column.capitalize()} {' and '.join(starts)}: "
            facts += [
                (f"{which}{what if not which else what[0].lower() + what[1:]}", answer)
                for what, answer in self._passes_of(way, clear)
            ]
        return tuple(facts)

    def _passes_of(self, way: str, clear: str) -> tuple[Fact, ...]:
        """Return how one way of cutting goes and comes back."""
        name, ahead = self.hands.names["x"], self.hands.reading("z", -self.hands.clearance("z"))
        inside = " in the hole" if details.in_bore(self.plan, 1) else ""
        if way == "straight-in":
            return (
                (
                    f"Each cut: z set, tool clear; straight in, out clear{inside}: {name}",
                    clear,
                ),
            )
        if way == "to-face":
            return (
                (
                    f"Each pass: at the groove plunge to {name}, feed toward the face up to z, out to clear{inside}: {name}",
                    clear,
                ),
            )
        return (
            (f"Each pass from z {ahead} in front of the face: set {name}, feed toward the headstock up to z, out clear{inside}: {name}", clear),
            ("Only then back, in front of the face: z", ahead),
        )  # fmt: skip

    def begin(self) -> None:
        """Tool outside the work, in front of the face."""
        hands = self.hands
        hands.at = {"z": -hands.clearance("z")}
        self.enter(1)

    def enter(self, start: int) -> None:
        """Take up the ways of a flank: into the metal, and along the pass."""
        hands, plan = self.hands, self.plan
        self.start = start
        inward = 1 if details.in_bore(plan, start) else -1
        self.plunges = details.plunged(plan, start)
        hands.sense = {"x": inward, "z": 1 if details.toward_face(plan, start) else -1}
        hands.at.setdefault("x", self.clear_x)
        hands.said[start] = self.way(start)

    def way(self, start: int) -> str:
        """Return what is alike on all lines of a flank: which corner of a square tool, and how its passes go."""
        square = self.plan.cutter.kind == "square"
        if self.plunges:
            corner = "z is the corner toward the headstock; " if square else ""
            return f"{corner}each line: set z beside the work, plunge to x, out"
        if details.toward_face(self.plan, start):
            corner = "corner toward the headstock; " if square else ""
            return f"{corner}each line: set x, feed from in front of the face up to z"
        corner = "corner toward the tailstock; " if square else ""
        groove = self.hands.reading("z", max(self.first(stop) for stop in self.plan.stops if stop.start == start))
        return f"{corner}each line: in the groove at z {groove} plunge to x, then feed toward the face up to z"

    def comes(self, stop: Stop) -> str:
        """Return what changes before the first cut of a flank: the way of cutting, or the corner, which is touched off anew."""
        ways, shape, name = details.ways(self.plan), self.plan.details, self.hands.names["x"]
        before, now = ways[stop.start - 2], ways[stop.start - 1]
        anew = f"Touch it off anew: z on the face, {name} by a measured cut."
        if shape.rough and stop.start == shape.rough + 1:
            rest = self.hands.voice.length(shape.finish)
            return f"finish; {rest} stands on the radius. Hone the tool or take a fresh one. {anew}"
        if "to-face" not in (before, now) or before == now:
            then = " From here passes up to z." if now == "to-headstock" != before else ""
            return f"the tool stays as it is touched off.{then}"
        other = "the other corner of the tool" if self.plan.cutter.kind == "square" else "the other side of the nose"
        return f"{other} cuts. {anew}"

    @cached_property
    def clear_x(self) -> Fraction:
        """Where x stands clear of the work: outside the blank, or inside the hole of a bore."""
        inward = 1 if details.in_bore(self.plan, 1) else -1
        return details.outermost(self.plan) - inward * self.hands.clearance("x")

    @property
    def behind(self) -> Fraction:
        """Where z stands before a pass: in front of the face, or at the groove."""
        if self.hands.sense["z"] > 0:
            return -self.hands.clearance("z")
        return self._grooves[self.start]

    @cached_property
    def _grooves(self) -> dict[int, Fraction]:
        """Where each flank's groove is: the largest z of its cuts."""
        found: dict[int, Fraction] = {}
        for stop in self.plan.stops:
            found[stop.start] = max(found.get(stop.start, self.first(stop)), self.first(stop))
        return found

    def cut(self, stop: Stop) -> None:
        """Make the roughing passes and the pass itself."""
        if stop.start != self.start:
            self.enter(stop.start)
            self.to_face()
        for x in (*self.hands.rough[stop.n], self.second(stop)):
            self.one_pass(self.first(stop), x)

    def to_face(self) -> None:
        """Bring the tool in front of the face before passes that begin there, from wherever the flank before ended."""
        if self.hands.sense["z"] > 0 and not self.plunges and self.hands.at["z"] > self.behind:
            self.hands.clear(
                "z",
                self.behind,
                f"Along the bed in front of the face to {self.hands.names['z']} {self.hands.reading('z', self.behind)}.",
            )

    def passes(self, stop: Stop) -> tuple[Fraction, ...]:
        """Return the passes before the last: as deep as was asked, or as the material takes."""
        plan = self.plan
        if plan.details.roughing or plan.details.rough:
            return tuple(plan.second.value(x) for x in details.roughing(plan, stop.n))
        if details.plunged(plan, stop.start):  # straight in like a grooving tool, as deep as it has to
            return ()
        beside = self.hands.beside.get(stop.n)
        if beside is None:
            high, bore = plan.details.cuts[stop.start - 1].flank.radius_high, details.in_bore(plan, stop.start)
            metal = plan.second.down(high) if bore else plan.second.up(high)
        else:
            metal = beside.second
        return tuple(plan.second.value(x) for x in bite.turned(plan, metal, stop))

    def one_pass(self, z: Fraction, x: Fraction) -> None:
        """Make one pass at x up to z and come back."""
        hands = self.hands
        if self.plunges:
            hands.set("z", z)
            hands.feed("x", x, f"Plunge slowly to {hands.feed_text('x', x)}.")
        elif hands.sense["z"] > 0:
            hands.set("x", x)
            hands.feed("z", z, f"Feed toward the headstock up to {hands.feed_text('z', z)}.")
        else:
            hands.set("z", self.behind)
            hands.feed("x", x, f"Plunge in the groove to {hands.feed_text('x', x)}.")
            if z != self.behind:
                hands.feed("z", z, f"Feed toward the face up to {hands.feed_text('z', z)}.")
        self.out()

    def out(self) -> None:
        """Take the tool out of the work and back to where the pass began."""
        hands = self.hands
        hands.clear("x", self.clear_x, f"Tool out clear to {hands.names['x']} {hands.reading('x', self.clear_x)}.")
        if hands.sense["z"] > 0 and not self.plunges:
            text = f"Back in front of the face to {hands.names['z']} {hands.reading('z', self.behind)}."
            hands.clear("z", self.behind, text)

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return what the last step must measure, the tool being clear: its diameter where it stands, and where it ends along z."""
        hands, plan = self.hands, self.plan
        z, stands = self.first(stop), True
        if plan.cutter.kind == "round":
            until = (each for each in reversed(plan.stops) if each.n <= stop.n)
            kept = ((each, left_by(plan, self._cleared, each.n)) for each in until)
            stop, (stands, edge) = next(((each, left) for each, left in kept if left), (stop, (True, float(z))))
            z = plan.first.value(round((Fraction(edge) - plan.first.origin) / plan.first.division))
        step = Reading("step at z", hands.reading("z", z))
        if not stands:
            return (step,)
        size = "diameter" if plan.second.doubled else "radius"
        return (Reading(size, hands.reading("x", self.second(stop))), step)

    @cached_property
    def _cleared(self) -> dict[int, Pass]:
        return passes_of(self.plan)

    def get_clear(self, event: Event) -> None:
        """Get the tool off the work before the other corner comes."""
        hands = self.hands
        text = f"TOOL CLEAR: {hands.names['x']} {hands.reading('x', self.clear_x)}, clear of the work."
        hands.clear("x", self.clear_x, text, confirm=True)

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        ways = set(details.ways(self.plan))
        if ways == {"straight-in"}:
            return ("tool clear", "set z beside the work", "plunge slowly to x", "out, clear")
        if "straight-in" in ways:
            return (
                "tool clear",
                "a plunge: set z, straight in to x, out",
                "a pass: set x, feed up to z, out, back to where it began",
            )
        return ("tool clear", "set x", "feed up to z", "tool out", "back to where the pass began")


class Milled(Turned):
    """A turned flank on the mill: z on the quill, x on the slide, a full turn of the table in the cut."""

    clear_words = "CUTTER CLEAR"

    def set_up(self) -> tuple[Fact, ...]:
        """Return how a cut goes: in beside the work, once round, out; and which way the cutter then cuts.

        The spindle turns clockwise seen from above: outside the work its teeth meet a table that turns clockwise head on.
        """
        hands, plan = self.hands, self.plan
        how = "conventional" if plan.turning == "clockwise" else "CLIMBS: a firm drag on the locks, feed slowly"
        return (
            (
                "Each cut: set z and lock it, feed in to x, table once round, out to clear: x",
                hands.reading("x", self.clear_x),
            ),
            (f"The table's way round, seen from above; {how}", plan.turning.upper()),
        )

    measured = False

    def begin(self) -> None:
        """Cutter outside the work, above the face; table at nought."""
        hands = self.hands
        hands.at = {"z": -hands.clearance("z"), "table": Fraction(0)}
        self.enter(1)

    def enter(self, start: int) -> None:
        """Take up the ways of a flank; z goes down whatever the flank."""
        super().enter(start)
        self.hands.sense["z"] = 1

    def to_face(self) -> None:
        """Nothing: every cut is set beside the work."""

    def way(self, start: int) -> str:
        """Return what is alike on all lines of a flank."""
        return "each line: set z, feed in to x, table once round"

    def one_pass(self, z: Fraction, x: Fraction) -> None:
        """Set z beside the work, feed in, turn the table once round, out."""
        hands = self.hands
        hands.set("z", z)
        hands.lock("Lock z; a light drag on the table locks.")
        hands.feed("x", x, f"Feed in to {hands.feed_text('x', x)}.")
        to = hands.at["table"] + 360
        hands.feed("table", to, f"Feed the table once round, {hands.turns_to(to)}, {hands.plan.turning}.")
        self.out()

    def out(self) -> None:
        """Take the cutter out of the work."""
        hands = self.hands
        hands.clear("x", self.clear_x, f"Cutter out clear to {hands.names['x']} {hands.reading('x', self.clear_x)}.")

    def readings(self, stop: Stop) -> tuple[Reading, ...]:
        """Return where both axes stand, the cutter clear."""
        return Cycle.readings(self, stop)

    def short(self) -> tuple[str, ...]:
        """Return the cycle in a few words for each act."""
        return ("cutter clear", "set z", "feed in to x", f"table once round, {self.plan.turning}", "out, clear")
