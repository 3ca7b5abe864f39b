"""A check that is off: which fault the readings of a job so far look like, and the test that tells it from the others.

Readings are (number of the cut, wanted, found) in mm, in the order of cutting; off is found less wanted, above 0 too deep.
"""

from __future__ import annotations

import math
from bisect import bisect
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from stepcut.plan import Plan
from stepcut.shop.fitting import straight

Reading = tuple[int, float, float]
Code = Literal[
    "within",
    "one",
    "zero",
    "zero-or-deflection",
    "slip",
    "grows",
    "slack",
    "back",
    "along",
    "turn",
    "turn-since",
    "unclear",
]
Kind = Literal["depth", "outside", "bore", "cam", "groove"]
FEW = 3  # readings; of fewer none tells a cause
TURNS = 0.1  # degrees: steps in which an angle is looked for, MOST_TURNED of them each way
MOST_TURNED = 150
FEW_ALONG = 4  # a straight line along z has two figures


class At(Struct, frozen=True):
    """What a cause acts by at one cut.

    Parameters
    ----------
    infeed : float
        How far the tool stands in the metal there, mm.
    along : float
        Place along the first scale, mm or degrees.
    way : int
        +1 where the second scale came to this cut from below, -1 from above, 0 where it stayed.
    """

    infeed: float
    along: float = 0.0
    way: int = 0


class Causes(Struct, frozen=True):
    """How causes act in one plan: the kind of its second scale, which sign of an off is too deep, every cut, and a rim all round."""

    kind: Kind
    inward: int
    cuts: dict[int, At]
    rim: tuple[tuple[float, float], ...] = ()  # degrees and mm, in the order of degrees, a turn and more


class Fault(Struct, frozen=True):
    """What the readings look like.

    Parameters
    ----------
    code : str
        within: nothing is off.  one: too few readings to tell.  zero: all too deep by the same.  zero-or-deflection: all too
        shallow by the same.  slip: right before cut ``since``, off by the same from it on.  grows: off by a share of the
        depth.  slack: right at times, too shallow by up to the slack at others.  back: off by the same wherever the scale came from
        one side.  along: off in a straight line along z.  turn, turn-since: off as the slope of a rim is, ``by`` in degrees,
        at all cuts or from ``since`` on.  unclear: none of these.
    by : float
        How much, mm (degrees of turn); of ``grows`` for the deepest reading, of ``along`` from the first place to the last.
        Above 0 is found more than wanted.
    since : int or None
        The first cut that is off.
    also : tuple of Fault
        What fits as well.
    deep : bool
        Whether that is too deep (in a groove: too far on; of a turn: whether the table has to go further on).
    """

    code: Code
    by: float = 0.0
    since: int | None = None
    also: tuple[Fault, ...] = ()
    deep: bool = False


def causes(plan: Plan) -> Causes | None:
    """Return how causes act in a plan; None where its second scale is neither a depth, a radius nor a place along a groove."""
    if plan.axes[1] == "depth":
        return Causes("depth", 1, {stop.n: At(float(plan.second.value(stop.second))) for stop in plan.stops})
    if plan.axes[1] not in ("x", "radius"):
        return None
    bore = plan.target.get("side") == "bore"
    kind: Kind = "cam" if plan.axes[1] == "radius" else "groove" if plan.grooved else "bore" if bore else "outside"
    rows = [(stop.n, float(plan.first.value(stop.first)), float(plan.second.value(stop.second))) for stop in plan.stops]
    metal = _metal(plan, [second for *_, second in rows], kind)
    cuts = {}
    for k, (n, first, second) in enumerate(rows):
        way = 0 if k == 0 or second == rows[k - 1][2] else 1 if second > rows[k - 1][2] else -1
        cuts[n] = At(second if kind == "groove" else abs(second - metal), first, way)
    rim = (
        [(first + turn, second) for turn in (-360.0, 0.0, 360.0) for _, first, second in rows] if kind == "cam" else []
    )
    return Causes(kind, 1 if kind in ("bore", "groove") else -1, cuts, tuple(sorted(rim)))


def _metal(plan: Plan, seconds: Sequence[float], kind: Kind) -> float:
    """Return where the tool first meets metal, mm: what the cuts go in from."""
    if kind == "groove":
        return 0.0
    return min(seconds) if kind == "bore" else max(seconds)


def _turned(about: Causes, ordered: Sequence[Reading]) -> dict[int, list[float]]:
    """Return by how much each reading is off where the part stands round by so many of ``TURNS``: what the rim is there instead."""
    at = [place for place, _ in about.rim]
    found = {}
    for step in range(-MOST_TURNED, MOST_TURNED + 1):
        row = []
        for n, wanted, _ in ordered:
            place = about.cuts[n].along + step * TURNS
            k = min(max(bisect(at, place), 1), len(about.rim) - 1)
            (a, low), (b, high) = about.rim[k - 1], about.rim[k]
            row.append(low + (high - low) * (place - a) / ((b - a) or 1.0) - wanted)
        found[step] = row
    return found


def _least(offs: Sequence[float], turned: dict[int, list[float]], k: int) -> tuple[float, list[float]]:
    """Return the angle that leaves least of the readings from the one with index ``k`` on, and what it makes of all of them."""
    step = min(turned, key=lambda step: sum((a - b) ** 2 for a, b in zip(offs[k:], turned[step][k:], strict=True)))
    return step * TURNS, [0.0] * k + turned[step][k:]


def fault(readings: Sequence[Reading], allowed: float, slack: float, plain: Causes | None = None) -> Fault:
    """Return what the readings look like.

    Parameters
    ----------
    readings : sequence of (int, float, float)
        Cut, wanted and found.
    allowed : float
        What a good reading may be off, mm: the scale's error and a division for reading it.
    slack : float
        Backlash of the scale, mm.
    plain : Causes or None
        How causes act; None for a depth, where they act by the depth alone.
    """
    ordered = sorted(readings)
    about = plain or Causes("depth", 1, {n: At(wanted) for n, wanted, _ in ordered})
    offs = [found - wanted for _, wanted, found in ordered]
    if all(abs(off) <= allowed + 1e-9 for off in offs):
        return Fault("within")
    if len(offs) < FEW:
        return Fault("one", offs[-1], ordered[-1][0], deep=about.inward * offs[-1] > 0)
    fits = fitting(ordered, allowed, slack, about)
    if fits:
        best = fits[0]
        return best if about.kind == "depth" else replace(best, also=tuple(fits[1:]))
    far = [about.inward * off for off in offs]
    if min(far) >= -(slack + allowed) and max(far) <= allowed and slack > allowed and about.kind != "groove":
        return Fault("slack", about.inward * min(far))
    worst = max(offs, key=abs)
    return Fault("unclear", worst, deep=about.inward * worst > 0)


def fitting(ordered: Sequence[Reading], allowed: float, slack: float, about: Causes) -> list[Fault]:
    """Return every cause that leaves no more over than readings may be off, the best first; of each the best since which cut."""
    offs = [found - wanted for _, wanted, found in ordered]
    n, at = len(offs), [about.cuts[cut] for cut, *_ in ordered]
    found: list[tuple[float, Fault]] = []

    def tried(code: Code, by: float, told: Sequence[float], since: int | None = None, figures: int = 1) -> None:
        rest = _rest(offs, told)
        if rest <= allowed / 2 and max(map(abs, told)) > allowed:
            far = max(told, key=abs)
            deep = by > 0 if code in ("turn", "turn-since") else about.inward * far > 0
            found.append((rest * math.sqrt((n - 1) / (n - figures)), Fault(code, by, since, deep=deep)))

    mean = sum(offs) / n
    shallow = about.inward * mean < 0 and about.kind != "groove"
    if _rest(offs, [mean] * n) <= allowed / 2:
        found.append((-1.0, Fault("zero-or-deflection" if shallow else "zero", mean, deep=about.inward * mean > 0)))
    for k in range(1, n):
        after = sum(offs[k:]) / (n - k)
        tried("slip", after, [0.0] * k + [after] * (n - k), ordered[k][0])
    part = _part([each.infeed for each in at], offs)
    tried("grows", part * max((each.infeed for each in at), key=abs), [part * each.infeed for each in at])
    if about.kind == "cam":
        turned = _turned(about, ordered)
        for k in range(n - 1):
            by, told = _least(offs, turned, k)
            tried("turn-since" if k else "turn", by, told, ordered[k][0] if k else None)
    if about.kind != "depth":
        for way in (1, -1):
            came = [float(each.way == way) for each in at]
            by = _part(came, offs)
            if 0 < sum(came) < n and any(each.way == -way for each in at) and abs(by) <= slack + allowed:
                tried("back", by, [by * each for each in came])
    line = straight([each.along for each in at], offs) if about.kind in ("outside", "bore") and n >= FEW_ALONG else None
    if line is not None:
        told = [line.at(each.along) for each in at]
        reach = max(each.along for each in at) - min(each.along for each in at)
        if abs(line.slope) * reach > allowed:
            tried("along", line.slope * reach, told, figures=2)
    best: dict[str, Fault] = {}
    for _, each in sorted(found, key=lambda pair: pair[0]):
        best.setdefault(each.code.split("-since")[0], each)
    return list(best.values())


Cause = Literal["zero", "slip", "scale", "deflection", "slack", "askew", "angle"]
CAUSES: tuple[Cause, ...] = ("zero", "slip", "scale", "deflection", "slack", "askew", "angle")
HELD: tuple[Cause, ...] = ("deflection", "slack", "askew")  # the card's readings hold: something else is to be done


def in_plan(plan: Plan, readings: Sequence[Reading]) -> Fault | None:
    """Return what the readings of a job look like on its own scale; None where the second scale tells none, or there are none.

    Readings come in the order in which they were written down; of several at one cut the last counts.
    """
    about, readings = causes(plan), latest(readings)
    if about is None or not readings:
        return None
    return fault(readings, *limits(plan), about)


def limits(plan: Plan) -> tuple[float, float]:
    """Return what a good reading of the second scale may be off, and its slack, mm."""
    return float(plan.second.error + plan.second.division), float(plan.second.backlash)


def amount(plan: Plan, readings: Sequence[Reading], cause: Cause) -> float:
    """Return by how much a cause makes readings off: mm, a share of the infeed for a scale, degrees for an angle."""
    about = causes(plan)
    assert about is not None  # noqa: S101  # in_plan said what it looks like
    ordered = sorted(latest(readings))
    offs, at = [found - wanted for _, wanted, found in ordered], [about.cuts[n] for n, *_ in ordered]
    if cause == "scale":
        return _part([each.infeed for each in at], offs)
    seen = fault(ordered, *limits(plan), about)
    if cause == "angle":
        told = next((each for each in (seen, *seen.also) if each.code in ("turn", "turn-since")), None)
        return told.by if told is not None else _least(offs, _turned(about, ordered), 0)[0]
    wanted = ("slip",) if cause == "slip" else ("zero", "zero-or-deflection")
    one = next((each for each in (seen, *seen.also) if each.code in wanted), None)
    return one.by if one is not None else seen.by if seen.code in ("one", "unclear") else offs[-1]


def latest(readings: Sequence[Reading]) -> list[Reading]:
    """Return the last reading of each cut: one that was taken again, or mistyped and written anew, replaces the one before.

    Examples
    --------
    >>> latest([(10, 0.95, 0.40), (9, 0.85, 0.86), (10, 0.95, 0.96)])
    [(10, 0.95, 0.96), (9, 0.85, 0.86)]
    """
    return list({reading[0]: reading for reading in readings}.values())


def again_from(plan: Plan, readings: Sequence[Reading], cause: Cause) -> int | None:
    """Return the first cut that a cause left too shallow, to be made once more; None where it took too much, or nothing is deeper.

    A zero or a scale that is off is taken to have been so from the first cut on.
    """
    about = causes(plan)
    if about is None or about.kind == "groove" or cause not in ("zero", "slip", "scale"):
        return None
    if about.inward * amount(plan, readings, cause) >= 0:
        return None
    seen = in_plan(plan, readings)
    slip = next((each for each in (seen, *seen.also) if each.code == "slip"), None) if seen is not None else None
    if cause != "slip" or slip is None or slip.since is None:
        return 1
    return 1 + max(
        n for n, *_ in readings if n < slip.since
    )  # it slipped somewhere after the last cut that was found right


def anew(plan: Plan, readings: Sequence[Reading], cause: Cause, after: int) -> list[tuple[int, Fraction]]:
    """Return what the second scale (the table, for an angle) must read for the cuts after one, to come out as the plan wants them.

    A zero that is off, or a slip, moves all alike; a scale that is off, by its share of the infeed; work that slipped round, by an
    angle.  Each is rounded to the scale's division that is the shallower one.  Where the card's readings hold, none is returned.
    """
    about = causes(plan)
    if cause in HELD or about is None:
        return []
    by, rows = amount(plan, readings, cause), []
    for stop in plan.stops:
        if stop.n <= after:
            continue
        if cause == "angle":
            rows.append((stop.n, plan.first.value(plan.first.nearest(float(plan.first.value(stop.first)) + by))))
            continue
        wanted = float(plan.second.value(stop.second))
        deep = about.inward * about.cuts[stop.n].infeed
        meant = wanted - deep + deep / (1 + about.inward * by) if cause == "scale" else wanted - by
        rows.append((stop.n, plan.second.value(_shallower(plan, about, meant))))
    return rows


def _shallower(plan: Plan, about: Causes, value: float) -> int:
    """Return the division that takes less metal; along a groove the nearest one."""
    if about.kind == "groove":
        return plan.second.nearest(value)
    return plan.second.down(value) if about.inward > 0 else plan.second.up(value)


def _part(weights: Sequence[float], offs: Sequence[float]) -> float:
    """Return how many times the weights the offs are, by least squares."""
    return sum(w * off for w, off in zip(weights, offs, strict=True)) / (sum(w * w for w in weights) or 1.0)


def _rest(offs: Sequence[float], told: Sequence[float]) -> float:
    """Return the root mean square of what is left over."""
    return math.sqrt(sum((a - b) ** 2 for a, b in zip(offs, told, strict=True)) / len(offs))
