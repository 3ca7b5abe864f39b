"""A job of the log as it was begun, where this program is not the one that began it: its wanted surface told again, or all of its card.

Where the cuts stand is always what the log has.  What a part is wanted to be follows from its recipe and not from the program that
solves it, so that today's program may tell it again, as long as it reads the same part there.
"""

from __future__ import annotations

import json
import math
from typing import Any

from msgspec.structs import replace

from stepcut.acts import Card
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.job import Job
from stepcut.log.store import WholeJob
from stepcut.plan import Plan, Stop
from stepcut.routine import card as card_of
from stepcut.voice import Voice

ALIKE = 1e-9  # of two numbers of one part, relative; mm or degrees below 1
ACT = ("act", "stop", "start", "axis", "to", "way", "turns", "dial", "ends")  # of an act in the log, all but its words


def other_part(row: WholeJob, today: Plan) -> str:
    """Return the first thing that today's program reads otherwise in the recipe of a job; empty when it reads the same part."""
    then = json.loads(row.plan)["target"]
    for key, value in today.target.items():
        now = json.loads(json.dumps(value))
        if key in then and not _alike(then[key], now):
            return f"{key.replace('_', ' ')} was {_said(then[key])}, is {_said(now)}"
    return ""


def lined(row: WholeJob, then: Plan, today: Plan) -> Plan:
    """Return a plan as it was begun with its wanted surface, which today's program tells: the functions of a line are not kept.

    Raises
    ------
    ValueError
        With the reason, when today's program sees another part in its recipe.
    """
    reason = other_part(row, today)
    if not reason and (then.axes, then.copies) != (today.axes, today.copies):
        reason = "its scales are others"
    if not reason and {stop.start for stop in then.stops} != {stop.start for stop in today.stops}:
        reason = f"it was cut in {len({s.start for s in then.stops})} parts or stages, now in {len({s.start for s in today.stops})}"
    if reason:
        raise ValueError(reason)
    return replace(then, details=today.details)


def made_again(row: WholeJob, the_job: Job) -> tuple[Card | None, str]:
    """Return a card with the cuts that the log has, made by today's program; or None and what hinders it.

    Every act must be the one that the log has, all but its words: then nothing at the machine is another.  What was expected of the
    part is taken from the log; its contact curve is not there, and is left out.
    """
    try:
        today = show.solved(the_job)
        then = json.loads(row.plan)
        if reason := other_part(row, today):
            return None, reason
        plan = _with_cuts(today, then)
        if plan is None:
            return None, "a cut stands between two divisions of its scales"
        voice = show.voice(the_job)
        if reason := _other_act(then, plan, voice):
            return None, reason
        return card_of(plan, show.heading(the_job, date=row.begun[:10])), ""
    except StepcutError as refused:
        return None, f"today it is refused: {str(refused).rstrip('.')}"
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        return None, "its plan cannot be read"


def _with_cuts(today: Plan, then: dict[str, Any]) -> Plan | None:
    """Return today's plan with the cuts and the figures that the log has; None when one is on no division."""
    first, second = today.axes
    stops = []
    for each in then["stops"]:
        marks = [
            round(each[axis] / float(scale.division)) for axis, scale in ((first, today.first), (second, today.second))
        ]
        stop = Stop(each["n"], each["start"], *marks)
        if not _alike(each[first], float(today.first.value(stop.first))) or not _alike(each[second], float(today.second.value(stop.second))):  # fmt: skip
            return None
        stops.append(stop)
    figures = {
        key: then["result"][key] for key in ("scallop", "stock_min", "stock_mean", "stock_max", "twist", "volume")
    }
    return replace(today, stops=tuple(stops), result=replace(today.result, **figures), contact=None)


def _other_act(then: dict[str, Any], plan: Plan, voice: Voice) -> str:
    """Return the first act of the log that today's program would make otherwise; empty when all are alike."""
    old, new = then.get("acts"), content(plan, voice)["acts"]
    if old is None:
        return "the log has its cuts, but not its acts"
    if len(old) != len(new):
        return f"{len(old)} acts then, {len(new)} now"
    for before, now in zip(old, new, strict=True):
        for key in ACT:
            if not _alike(before.get(key), now.get(key)):
                return f"act {now['n']}: {key} was {_said(before.get(key))}, is {_said(now.get(key))}"
    return ""


def _alike(old: Any, new: Any) -> bool:
    """Whether two plain values say the same."""
    if isinstance(old, int | float) and isinstance(new, int | float):
        return math.isclose(old, new, rel_tol=ALIKE, abs_tol=ALIKE)
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(map(_alike, old, new))
    if isinstance(old, dict) and isinstance(new, dict):
        return all(_alike(old[key], new[key]) for key in old.keys() & new.keys())
    return bool(old == new)


def _said(value: Any) -> str:
    return f"{value:.6g}" if isinstance(value, float) else "none" if value is None else str(value)[:60]
