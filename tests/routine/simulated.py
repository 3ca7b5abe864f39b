"""A machine with slack in every screw, that plays acts and complains of what would spoil a part.

It shares nothing with the program: it reads acts as JSON has them and knows only how a nut follows its screw.  A handle that
turns one way pushes its slide at once; turned the other way it first crosses the slack.  Dials are set to nought while the
slack is taken up the working way, so only a slide pushed that way stands where its dial says.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

Act = dict[str, Any]
ADVANCES = {"table": 1, "depth": 1, "x": 1, "radius": -1}  # the way into the metal, or on round the table


class Spoiled(AssertionError):
    """What went wrong, and at which act."""


@dataclass
class Screw:
    """A slide on a screw with slack; ``sense`` is the direction in which its dial was set to nought."""

    handle: Fraction
    slack: Fraction
    sense: int = 1
    slide: Fraction = field(init=False)

    def __post_init__(self) -> None:
        self.slide = self.handle - self.sense * self.slack  # how it stands at first is the worst that it can

    def to(self, place: Fraction) -> None:
        """Turn the handle until its dial reads a place."""
        self.handle = place
        # The nut has `slack` of room: pushed the working way the slide stands at the dial, pulled back it lags behind.
        near, far = (place, place + self.slack) if self.sense > 0 else (place - self.slack, place)
        self.slide = min(max(self.slide, near), far)


@dataclass
class Mill:
    """The bench: its screws, whether the cutter is in the work, what is locked, and where each cut ended."""

    screws: dict[str, Screw]
    axes: tuple[str, str]
    senses: dict[int, dict[str, int]]  # by ramp or corner: working ways that differ from ADVANCES
    metal: dict[str, tuple[Fraction, int]] = field(default_factory=dict)  # where it begins, and which way it lies
    groove: Fraction = Fraction(0)  # its depth, and the division of the scale that it is cut on
    grain: Fraction = Fraction(0)
    bite: Fraction | None = None  # most that a lathe tool takes on the radius, mm
    skin: dict[int, Fraction] = field(default_factory=dict)  # how far the metal reaches, by flank
    slot: Fraction | None = None  # most that a sweep takes, mm
    begins: dict[int, int] = field(default_factory=dict)  # where a sweep begins, by the cut where it ends
    swept: dict[int, Fraction] = field(default_factory=dict)  # how deep a stretch was swept, by the cut where it begins
    in_work: bool = False
    locked: bool = False
    cleared: bool = True  # since the last cut
    cuts: dict[int, tuple[Fraction, ...]] = field(default_factory=dict)
    tries: dict[int, list[tuple[Fraction, ...]]] = field(default_factory=dict)  # every pass of each cut
    deep: dict[int, Fraction] = field(default_factory=dict)  # how deep each cut of a groove or at a point ended
    guides: frozenset[str] = frozenset()  # slides that must be locked in the cut, as the table must
    seen: list[str] = field(default_factory=list)
    changed: bool = False

    def play(self, acts: list[Act]) -> None:
        """Do every act in order."""
        for act in acts:
            if act["stop"] is not None and act["start"] in self.senses:
                for name, sense in self.senses[act["start"]].items():
                    if self.screws[name].sense != sense:  # the other corner is touched off anew
                        self._need(self.changed, act, "the other way without a change")
                        self.screws[name] = Screw(self.screws[name].handle, self.screws[name].slack, sense)
            getattr(self, f"do_{act['act']}")(act)
            self.seen.append(act["act"])
        self._need(not self.in_work, acts[-1], "the cutter is left in the work")

    def _need(self, good: bool, act: Act, words: str) -> None:
        if not good:
            raise Spoiled(f"act {act['n']} ({act['act']}, cut {act['stop']}): {words}")

    def _move(self, act: Act) -> None:
        place = Fraction(act["to"]).limit_denominator(10**9)
        screw = self.screws[act["axis"]]
        forward = (place - screw.handle) * screw.sense
        self._need(forward >= 0 or act["way"] == "back", act, "goes back but says working")
        self._need(forward <= 0 or act["way"] == "working" or act["act"] == "clear", act, "goes on but says back")
        screw.to(place)

    def do_prepare(self, act: Act) -> None:
        """Set-up is done by hand before."""
        self._need(not self.cuts, act, "set-up after cutting")

    def do_measure(self, act: Act) -> None:
        """Measuring needs the cutter out."""
        self._need(not self.in_work, act, "measured with the cutter in")

    def do_clear(self, act: Act) -> None:
        """The cutter leaves the work; along a screw it must leave by more than the slack."""
        if act["axis"] is not None:
            self._need(not self.in_work or act["axis"] != "z", act, "drawn back along the work with the tool in it")
            before = self.screws[act["axis"]].slide
            self._move(act)
            if self.in_work:
                self._need(self.screws[act["axis"]].slide != before, act, "the slack ate the way out")
            if act["axis"] in self.metal:
                begins, way = self.metal[act["axis"]]
                self._need((self.screws[act["axis"]].slide - begins) * way <= 0, act, "not clear of the metal")
        self.in_work, self.cleared = False, True

    def do_turn(self, act: Act) -> None:
        """The table turns with the cutter out: forward, or back where that is said."""
        self._need(not self.in_work, act, "the table turns with the cutter in the work")
        back = act["to"] < float(self.screws["table"].handle) - 1e-9
        self._need(not back or act["way"] == "back", act, "the table turns back")
        self._move(act)
        self.locked = False

    def do_lock(self, act: Act) -> None:
        """What must not move is locked."""
        self.locked = True

    def do_set(self, act: Act) -> None:
        """A slide is set with the cutter out."""
        self._need(not self.in_work, act, "a slide is set with the cutter in the work")
        self._move(act)
        if act["axis"] in self.guides:
            self.locked = False

    def do_cut(self, act: Act) -> None:
        """Metal is cut: by feeding across, or by feeding an axis."""
        if act["axis"] == "table":
            self._need(self.in_work, act, "a sweep that is not in the work")
        if "table" in self.screws or self.guides:
            self._need(self.locked, act, "what must not move is not locked")
        if act["axis"] is not None:
            self._move(act)
        if self.bite is not None and act["axis"] in ("x", "z"):
            x = self.screws["x"].slide
            self._need(abs(x - self.skin[act["start"]]) <= self.bite, act, "takes more metal than a tool can")
            self.skin[act["start"]] = x
        self.locked = self.locked and act["axis"] != "table"  # a sweep needs the lock eased
        if self.slot is not None and act["axis"] == "table":
            n, deep = self.begins.get(act["stop"], act["stop"]), self.screws[self.axes[1]].slide
            self._need(
                abs(deep - self.swept.get(n, self.swept[0])) <= self.slot, act, "sweeps more metal than a cutter can"
            )
            self.swept[n] = deep
        self.in_work, self.cleared = act["ends"] == "in", act["ends"] == "clear"
        if act["axis"] == "depth" and self.guides:  # as deep at every cut
            self.deep[act["stop"]] = self.screws["depth"].slide
        self.cuts[act["stop"]] = tuple(self.screws[name].slide for name in self.axes)
        self.tries.setdefault(act["stop"], []).append(self.cuts[act["stop"]])

    def do_check(self, act: Act) -> None:
        """A pause: the cutter is out."""
        self._need(not self.in_work, act, "a check with the cutter in the work")

    def do_change(self, act: Act) -> None:
        """Another ramp, groove, round or corner: the act before it took the cutter clear."""
        self._need(self.seen[-1] == "clear" and not self.in_work, act, "a change without getting clear")
        self.changed = True


def bench(plan: Any, acts: list[Act], slack: Fraction) -> Mill:
    """Return a bench for a plan, every screw as slack as told, each on the working side of where its work begins."""
    senses: dict[int, dict[str, int]] = {}
    screws = {}
    names = {act["axis"] for act in acts if act["axis"]} | set(plan.axes)
    for name in names:
        sense = ADVANCES.get(name, 1)
        if plan.axes in (("z", "x"), ("compound", "x")) and name == "x":
            sense = 1 if plan.target.get("side") == "bore" else -1
        screws[name] = Screw(Fraction(0), slack if name != "table" else slack / 2, sense)
    if plan.axes == ("z", "x") and plan.approach == "lathe":
        for start in {stop.start for stop in plan.stops}:
            back = plan.details.flanks[start - 1] == "to-face"  # as the back of a ball is
            senses[start] = {"z": -1 if back else 1}
    for name, screw in screws.items():
        first = next((act for act in acts if act["axis"] == name), None)
        if name == "table" or first is None:
            screw.slide = screw.handle  # rim 0 was come up to the working way
        else:
            screw.handle = Fraction(first["to"]).limit_denominator(10**9) - screw.sense * 10
            screw.slide = screw.handle
    metal = {"depth": (Fraction(0), 1)}
    if (plan.axes[1] in ("x", "radius") and plan.axes[0] != "table") or plan.axes[1] == "radius":
        cuts = [plan.second.value(stop.second) for stop in plan.stops]
        way = screws[plan.axes[1]].sense
        metal[plan.axes[1]] = (min(cuts) if way > 0 else max(cuts), way)
    mill = Mill(screws, plan.axes, senses, metal)
    if (
        plan.axes == ("z", "x")
        and plan.approach == "lathe"
        and not plan.details.roughing
        and not plan.details.rough
        and not plan.details.cuts[0].flank.plunged
    ):
        mill.bite = (
            Fraction(762, 1000) + plan.second.division
        )  # 0.03 in in steel, workshop table docslib.org/doc/5103932
        mill.skin = {n: each.flank.radius_high for n, each in enumerate(plan.details.cuts, 1)}
    sweeps = dict(getattr(plan.details, "sweeps", ()))
    if sweeps and plan.axes[1] in ("depth", "radius"):
        # A slot as deep as a quarter of its width in steel, a half in soft metal: common practice, no source.
        soft = plan.material in ("aluminium", "brass", "plastic")
        mill.slot = plan.cutter.diameter / (2 if soft else 4) + plan.second.division
        mill.begins = {end: begin for begin, end in sweeps.items()}
        mill.swept = {0: plan.details.bench.clear if plan.axes[1] == "radius" else Fraction(0)}
    if plan.axes == ("x", "y") and "depth" not in plan.target:  # lines: one slide stands still while the other draws
        mill.guides = frozenset({"x"})
    elif plan.axes in (("table", "x"), ("x", "y")):
        wanted = Fraction(plan.target["depth"]).limit_denominator(10**9)
        on_floor = plan.leave if plan.axes == ("table", "x") else Fraction(0)  # of points it is left on the walls
        mill.groove, mill.grain = wanted - on_floor, plan.machine.depth.division
        mill.guides = frozenset(plan.axes) - {"table"}
    return mill


def _no_pass_beyond(mill: Mill, stop: Any, wanted: tuple[Fraction, ...]) -> None:
    """Complain of a pass before the last that went past where its cut ends."""
    for name, k in ((name, k) for k, name in enumerate(mill.axes) if name != "table" and not mill.guides):
        screw = mill.screws[name]
        if any((place[k] - wanted[k]) * screw.sense > 0 for place in mill.tries[stop.n]):
            raise Spoiled(f"cut {stop.n}: a pass went past {name} {float(wanted[k]):g}")


def _every_sweep_from_end_to_end(plan: Any, mill: Mill, stop: Any) -> None:
    """Complain of a pass, swept or not, that stood elsewhere on the table than where its cut, or the sweep from it, ends."""
    if "table" not in mill.axes or mill.guides:
        return
    end = dict(getattr(plan.details, "sweeps", ())).get(stop.n)
    places = [plan.first.value(each.first) for each in plan.stops if each.n in (stop.n, end)]
    stood = [at for at, *_ in mill.tries[stop.n]]
    for n, at in enumerate(at for k, at in enumerate(stood) if k == 0 or at != stood[k - 1]):
        here = places[n % len(places)]  # in at its beginning, on to its end, in again at its beginning
        if (at - here) % 360:
            raise Spoiled(f"cut {stop.n}: a pass stood at {float(at):g}, not at {float(here):g}")


def played(plan: Any, acts: list[Act], slack: Fraction = Fraction(1, 5)) -> Mill:
    """Play acts and compare where every cut ended with the plan's whole divisions."""
    mill = bench(plan, acts, slack)
    mill.play(acts)
    for stop in plan.stops:
        if stop.n not in mill.cuts:
            raise Spoiled(f"cut {stop.n} was not made")
        pits = {at.n: pit.depth for pit in getattr(plan.details, "pits", ()) if pit.cutter is None for at in pit.places}
        if mill.grain and not 0 <= pits.get(stop.n, mill.groove) - mill.deep.get(stop.n, Fraction(0)) < mill.grain:
            raise Spoiled(f"cut {stop.n} is not as deep as the groove")
        wanted = (plan.first.value(stop.first), plan.second.value(stop.second))
        _no_pass_beyond(mill, stop, wanted)
        _every_sweep_from_end_to_end(plan, mill, stop)
        for name, place, want in zip(plan.axes, mill.cuts[stop.n], wanted, strict=True):
            off = (place - want) % 360 if name == "table" else place - want
            if off:
                raise Spoiled(f"cut {stop.n}: {name} ended at {float(place):g}, the plan says {float(want):g}")
    return mill
