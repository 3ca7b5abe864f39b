"""The plan as JSON, schema 1: numbers in mm, degrees, mm^3; and the acts beside the stops."""

from __future__ import annotations

from typing import Any

from stepcut import gate
from stepcut.cards import verdict_text
from stepcut.cards.wording import remark_text
from stepcut.machine import Scale
from stepcut.plan import Plan
from stepcut.routine import acts, details
from stepcut.routine.hands import INWARD
from stepcut.routine.make import SHARES, trouble, words_of
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.voice import Dials, Voice


def content(plan: Plan, voice: Voice, use: Use | None = None, errors: Errors | None = None) -> dict[str, Any]:
    """Return the plan as plain data with the keys of the contract, the same for every shape; judged by its use and by errors, where these are given."""
    first, second = plan.axes
    result, done = plan.result, acts(plan, voice.unit)
    cutter: dict[str, Any] = {"kind": plan.cutter.kind, "diameter": float(plan.cutter.diameter)}
    if plan.cutter.kind == "vee":
        cutter["angle"] = float(plan.cutter.angle)
    if plan.cutter.kind == "bull":
        cutter["corner"] = float(plan.cutter.corner)
    width = (
        getattr(plan.details, "width", None) if plan.cutter.kind == "square" else None
    )  # of a groove it is the groove's own
    if width is not None:
        cutter["width"] = float(width)
    return {
        "schema": 1,
        "machine": {"name": plan.machine.name, "example": plan.machine.example},
        "shape": plan.shape,
        "target": dict(plan.target),
        "cutter": cutter,
        "approach": plan.approach,
        "edge_behind": plan.edge_behind,
        "leave": float(plan.leave),
        "material": plan.material or None,
        "cutter_material": "carbide" if plan.carbide else "hss",
        "stops": [
            {
                "n": stop.n,
                "start": stop.start,
                first: float(plan.first.value(stop.first)),
                second: float(plan.second.value(stop.second)),
            }
            for stop in plan.stops
        ],
        "sweeps": [{"from": begin, "to": end} for begin, end in details.sweeps(plan).items()],
        "roughing": _roughing(plan),
        "flanks": _flanks(plan),
        "table": _table(plan, voice),
        "dials": [
            _dial(axis, scale)
            for axis, scale in zip(plan.axes, (plan.first, plan.second), strict=True)
            if not scale.angular
        ],
        "acts": [act.content() for act in done],
        "result": {
            "scallop": result.scallop,
            "stock_min": result.stock_min,
            "stock_mean": result.stock_mean,
            "stock_max": result.stock_max,
            "twist": result.twist,
            "volume": result.volume,
            **result.more,
        },
        "blue": _blue(plan),
        "says": _says(plan, voice),
        "verdict": verdict_text.content(plan, voice, use, errors, done),
        "remarks": [
            {"code": remark.code, "spoils": remark.spoils, "text": remark_text(remark, voice)}
            for remark in plan.remarks
        ],
    }


def _blue(plan: Plan) -> list[dict[str, Any]]:
    """Return what still stands and what is left to file, mm and mm^3, where blue shows on a share of the surface."""
    if plan.contact is None:
        return []
    rows = ((share, *plan.at_blue(share)) for share in SHARES)
    return [{"share": share, "stands": height, "left": volume} for share, height, volume in rows]


def _says(plan: Plan, voice: Voice) -> dict[str, Any]:
    """Return what every other card says besides the acts, in its words and unit."""
    words = words_of(plan, voice, Dials(plan, voice.unit))
    return {
        "size": words.size,
        "head": dict(words.head),
        "desk": dict(words.desk),
        "cautions": list(words.cautions),
        "mate": words.mate,
        "trouble": trouble(plan, words),
    }


def _roughing(plan: Plan) -> list[dict[str, Any]]:
    """Return where a turned shape is passed before each stop, by the stop's number; nothing where no depth of a pass is asked."""
    _, second = plan.axes
    passes = {stop.n: details.roughing(plan, stop.n) for stop in plan.stops}
    return [{"before": n, second: [float(plan.second.value(x)) for x in row]} for n, row in passes.items() if row]


def _flanks(plan: Plan) -> list[dict[str, Any]]:
    """Return how the cuts of each flank of a turned shape go, by its start; nothing of any other shape."""
    ways = getattr(plan.details, "flanks", ())
    rough = getattr(plan.details, "rough", 0)
    return [{"start": n, "cuts": way, **({"rough": True} if n <= rough else {})} for n, way in enumerate(ways, 1)]


def _table(plan: Plan, voice: Voice) -> dict[str, Any] | None:
    """Return which way the table turns, and what its rim reading does meanwhile; None where no table turns."""
    if not plan.first.angular or plan.machine.table is None:
        return None
    reading = "falls" if Dials(plan, voice.unit).counts_down else "grows"
    return {"turns": plan.turning, "reading": reading}


def _dial(axis: str, scale: Scale) -> dict[str, Any]:
    """Return what a straight scale is called, its smallest mark in mm, and what its handle's dial does while the position grows.

    The dial is None where the scale has none.
    """
    goes = "falls" if scale.backward(axis in INWARD) else "grows"
    return {
        "axis": axis,
        "scale": scale.name,
        "division": float(scale.division),
        "per_turn": None if scale.per_turn is None else float(scale.per_turn),
        "dial": None if scale.per_turn is None else goes,
    }


def render(plan: Plan, voice: Voice, use: Use | None = None, errors: Errors | None = None) -> str:
    """Return the plan as indented JSON text with a final line end."""
    return gate.json_text(content(plan, voice, use, errors)) + "\n"
