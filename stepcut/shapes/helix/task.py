"""Solving a helix: the largest step that serves, its plan, and what is said of it."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS, too_many
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.helix.bench import Groove
from stepcut.shapes.helix.crossing import Diamonds, diamonds, rows
from stepcut.shapes.helix.left import Ridges
from stepcut.shapes.helix.pits import Pit
from stepcut.shapes.helix.sweeps import Sweeps
from stepcut.shapes.helix.wanted import Helix
from stepcut.shapes.leaving import before_mark
from stepcut.shop.chances import Clear

SECTIONS = {"flat": "rectangular", "ball": "round", "vee": "vee"}  # of a groove, by the end of its cutter
LEANS = 0.05  # mm; walls of sweeps that stand so much nearer toward the floor are said; less a file takes, common practice, no source
DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(3, 100)}


class HelixDetails(Struct, frozen=True):
    """What a card of a helix prints besides.

    Parameters
    ----------
    helix : Helix
        What is wanted.
    ridges : Ridges
        On walls and floor.
    step : Fraction
        Degrees from cut to cut that were asked for or chosen.
    path_error : float
        How far a cut stands off the true helix along the slide, at most; mm.
    width : float
        Of the groove as it is cut, at the surface, square to its way, as a caliper measures it; mm.
    beside : int
        How many sweeps side by side make it.
    begins : float
        How far along the axis the middle of the groove begins from where the first sweep does, mm.
    land : float
        Metal between neighbouring grooves at the surface, mm; infinite for a single one.
    pits : tuple of Pit
        Deeper places at the ends of the grooves.
    diamonds : Diamonds or None
        What is left between grooves of both hands; None with one hand.
    apart : float
        How far apart along the axis the outermost sweeps would lie with nothing left for the file, mm.
    low : float
        Width toward the floor, measured as the width is; mm.
    """

    helix: Helix
    ridges: Ridges
    step: Fraction
    path_error: float
    width: float = 0.0
    beside: int = 1
    begins: float = 0.0
    land: float = math.inf
    pits: tuple[Pit, ...] = ()
    diamonds: Diamonds | None = None
    apart: float = 0.0
    low: float = 0.0

    @property
    def deeper(self) -> dict[int, Fraction]:
        """How deep the cuts go on that make a pit with the groove's own cutter, mm, by their number."""
        own = [pit for pit in self.pits if pit.cutter is None]
        return {stop.n: pit.depth for pit in own for stop in pit.places}

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each cut stays above the wanted floor, and those of the outermost sweeps from the wanted walls.

        None where nothing is left for the file: a groove is then as the cutter leaves it.  The depth is set anew for each cut, and its
        errors are told as a share of the slide's, which is the plan's second scale.
        """
        depth = plan.machine.depth
        if not plan.leave or depth is None or not plan.second.error:
            return None
        starts = self.helix.starts
        stops = [stop for stop in plan.stops if (stop.start - 1) // self.beside % starts == 0]  # of one copy
        over = self.helix.depth - depth.value(depth.down(self.helix.depth - plan.leave))  # as the hands set it
        found = [Clear(float(over), 0.0, share=float(depth.error / plan.second.error))] * len(stops)
        if self.helix.width is None or self.helix.cross:
            return found
        lead = float(self.helix.lead)
        square = 1 / math.hypot(
            1.0, lead / (math.pi * float(self.helix.diameter))
        )  # to the way, of a length along the axis
        room = self.apart / 2 * square
        for stop in stops:
            along = float(plan.second.value(stop.second)) - lead * float(plan.first.value(stop.first)) / 360.0
            beside = (along - self.begins) * square
            for side, row in ((-1, 1), (1, self.beside)):
                if stop.start == row:
                    found.append(Clear(room - side * beside, side * lead / 360.0 * square, share=square))
        return found


class Spacing(Struct, frozen=True):
    """How the cuts are spaced: at most one of step and cuts, and a ridge to keep to; degrees, a number, mm."""

    step: Fraction | None = None
    cuts: int | None = None
    scallop: Fraction | None = None


def solve(helix: Helix, cutter: Cutter, spacing: Spacing, machine: Machine) -> Plan:
    """Return the plan of a helix.

    Raises
    ------
    Refused
        When a scale is missing, the cutter does not reach, neighbouring cuts do not meet, neighbouring grooves do, or there
        are too many cuts.
    """
    groove = _groove(helix, cutter, machine)
    assert machine.table is not None  # noqa: S101  # checked by _groove
    step, scallop, cuts = spacing.step, spacing.scallop, spacing.cuts
    chosen = step is None and scallop is None and cuts is None
    limit = scallop if scallop is not None else DEFAULT_RIDGE[machine.unit]
    if cuts is not None:
        turn = _step_of(groove, cuts)
    else:
        turn = step if step is not None else largest_step(groove, machine.table.degrees_per_turn, limit, chosen)
    row = _checked(groove, turn)
    if cuts is not None and len(row.marks) != cuts:
        raise Refused("stops", "not-so-many", stops=cuts, makes=len(row.marks))
    found = row.ridges()
    beside = float(groove.spread) / groove.slant
    if groove.passes > 1 and beside < found.most:
        raise Refused(
            "groove-width", "width-close", width=helix.width, leave=helix.leave, beside=beside, ridge=found.most
        )
    if scallop is not None and found.most > float(scallop) * (1 + 1e-6):
        leader, value = ("stops", cuts) if cuts is not None else ("step", turn)
        raise Refused("scallop", "disagree-scallop", scallop=scallop, leader=leader, value=value, makes=found.most)
    return Plan(
        shape="helix",
        target=_target(helix, cutter.kind, groove.passes),
        machine=machine,
        cutter=cutter,
        approach="over the top",
        edge_behind=None,
        leave=helix.leave,
        first=groove.rim,
        second=groove.slide,
        axes=("table", "x"),
        stops=tuple(_stops(groove, row)),
        result=_result(groove, row, found),
        remarks=tuple(_remarks(groove, turn, limit, chosen, machine)),
        contact=None,
        picture=None,
        details=_details(groove, row, found, turn),
        turning=helix.turning,
        copies=helix.starts,
    )


def _groove(helix: Helix, cutter: Cutter, machine: Machine) -> Groove:
    """Return the groove on this machine, if it can be cut at all."""
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    if machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    if machine.depth is None:
        raise Refused("machine", "no-depth", machine=machine.name)
    if helix.depth >= helix.diameter / 2:
        raise Refused("depth", "too-deep", depth=helix.depth, radius=helix.diameter / 2)
    groove = Groove(helix, cutter, machine.table.rim, machine.slide)
    land = groove.land()
    if land <= 0.0:
        key, wide = ("cutter", cutter.diameter) if helix.width is None else ("groove-width", helix.width)
        code = "no-diamond" if helix.cross else "no-land"
        raise Refused(key, code, cutter=wide, land=-land, lead=helix.lead, starts=helix.starts)
    return groove


def _checked(groove: Groove, turn: Fraction) -> Sweeps:
    """Return the cuts of a step, if neighbouring cuts meet and there are not too many."""
    if groove.count(turn) > MOST_CUTS:
        raise too_many(groove.count(turn))
    row = groove.row(turn)
    apart = groove.apart(row)
    if apart is not None:
        raise Refused("step", "apart", step=apart, widest=groove.widest, cutter=groove.cutter.diameter)
    return row


def _step_of(groove: Groove, cuts: int) -> Fraction:
    """Return the step of so many cuts from end to end of one groove."""
    if cuts < 2:
        raise Refused("stops", "cuts-of-helix", cuts=cuts)
    return groove.helix.sweep / (cuts - 1)


def largest_step(groove: Groove, crank: Fraction, limit: Fraction, whole_turns: bool) -> Fraction:
    """Return the largest step within a ridge: in half turns of the crank when free, else in divisions of the table.

    Cuts as nobody rounds them say nearly which; what rounding adds costs a few divisions more.
    """
    unit = crank / 2 if whole_turns else groove.rim.division
    most = float(limit) * (1 + 1e-9)
    counts = range(1, max(2, math.ceil(min(groove.helix.sweep, Fraction(90)) / unit)))
    largest = bisect_left(counts, True, key=lambda count: groove.even(count * unit) > most)  # ridges grow with the step
    best = groove.even(unit)
    if largest and groove.count(largest * unit) > MOST_CUTS:
        raise too_many(groove.count(largest * unit))

    def fits(count: int) -> bool:
        if groove.count(count * unit) > MOST_CUTS:
            return False
        row = groove.row(count * unit)
        return groove.apart(row) is None and row.ridges(most).most <= most

    found = _last(fits, largest)
    if found:
        return found * unit
    if whole_turns:
        return largest_step(groove, crank, limit, whole_turns=False)
    if largest and groove.count(unit) > MOST_CUTS:
        raise too_many(groove.count(unit))
    best = groove.row(unit).ridges().most if largest else best
    raise Refused("scallop", "out-of-reach", best=best, limit=limit)


def _last(fits: Callable[[int], bool], largest: int) -> int:
    """Return the largest count up to a first guess that fits, 0 when none does: first near the guess, then ever farther."""
    high, step = largest + 1, 1
    low = largest
    while low > 0 and not fits(low):
        high, low, step = low, low - step, 2 * step
        if low <= 0 < high - 1:
            low = 1
    if low <= 0:
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _target(helix: Helix, kind: str, passes: int) -> dict[str, object]:
    wide: dict[str, object] = {} if helix.width is None else {"width": float(helix.width), "side_by_side": passes}
    if helix.cross:
        wide |= {"cross": True, "crossings": [[float(x), float(at)] for x, at in rows(helix)]}
    return {
        "diameter": float(helix.diameter),
        "lead": float(helix.lead),
        "length": float(helix.length),
        "depth": float(helix.depth),
        "starts": helix.starts,
        "hand": helix.hand,
        "helix_angle": helix.angle,
        "sweep": float(helix.sweep),
        "section": SECTIONS[kind],
        **wide,
    }


def _stops(groove: Groove, sweeps: Sweeps) -> Iterator[Stop]:
    """Yield the cuts in order: groove by groove, and sweep by sweep of each, numbered on as if each were a groove."""
    n, starts = 0, groove.helix.starts
    for number in range(groove.grooves):
        begin, other = groove.rim.nearest(Fraction(360 * (number % starts), starts)), number >= starts
        for k, row in enumerate(sweeps.rows):
            cuts = list(zip(row.marks, row.slides, strict=True))
            for mark, slide in reversed(cuts) if other else cuts:
                n += 1
                at = groove.turned_back(begin, mark) if other else begin + mark
                yield Stop(n, number * groove.passes + k + 1, at, slide)


def _details(groove: Groove, sweeps: Sweeps, found: Ridges, turn: Fraction) -> HelixDetails:
    error, begins = _path_error(groove, sweeps), float(groove.spread) / 2
    between = diamonds(groove.helix, max(groove.unrolled, groove.whole), groove.slant) if groove.helix.cross else None
    return HelixDetails(
        groove.helix,
        found,
        turn,
        error,
        groove.width,
        groove.passes,
        begins,
        groove.land(),
        diamonds=between,
        apart=groove.wanted._apart,
        low=groove.low,
    )


def _path_error(groove: Groove, sweeps: Sweeps) -> float:
    """Return how far a cut stands off the true helix along the slide, at most; mm."""
    return max(
        abs(float(groove.slide.value(slide) - groove.slide_of(mark)) - row.shift)
        for row in sweeps.rows
        for mark, slide in zip(row.marks, row.slides, strict=True)
    )


def _result(groove: Groove, sweeps: Sweeps, found: Ridges) -> Result:
    """Return what stands in the groove: heights on its floor, the volume of floor and walls."""
    left, leave = sweeps.left(), float(groove.helix.leave)
    more = {
        "wall_ridge": found.wall,
        "floor_ridge": found.floor,
        "corner_ridge": found.corner,
        "helix_angle": groove.helix.angle,
    }
    volume = left.volume + groove.kept
    if groove.helix.cross:
        volume = groove.both_hands(volume, sweeps)
    volume *= groove.helix.starts
    return Result(found.most, leave, leave + left.mean, leave + left.most, 0.0, volume, more)


def _remarks(groove: Groove, turn: Fraction, limit: Fraction, chosen: bool, machine: Machine) -> Iterator[Remark]:
    assert machine.table is not None and machine.depth is not None  # noqa: S101  # checked before
    if chosen:
        cranks = turn / machine.table.degrees_per_turn
        yield Remark("chosen-step", {"step": turn, "cranks": cranks, "limit": limit})
    sector = Fraction(360, groove.helix.starts)
    if (sector / groove.rim.division).denominator != 1:
        yield Remark("sector-rounded", {"sector": sector, "division": groove.rim.division})
    if groove.passes > 1:
        (low, free), width = groove.free(), float(groove.helix.width or 0)
        if width - low > LEANS:
            yield Remark("walls-lean", {"width": width, "low": low, "free": free})
    yield from before_mark(groove.helix.depth - groove.helix.leave, machine.depth)
