"""The plan as JSON, schema 1: numbers in mm, degrees, mm^3; and the acts beside the stops."""

from __future__ import annotations

from typing import Any

from stepcut import gate
from stepcut.cards.wording import remark_text
from stepcut.plan import Plan
from stepcut.routine import acts
from stepcut.voice import Voice


def content(plan: Plan, voice: Voice) -> dict[str, Any]:
    """Return the plan as plain data with the keys of the contract."""
    first, second = plan.axes
    result = plan.result
    cutter: dict[str, Any] = {"kind": plan.cutter.kind, "diameter": float(plan.cutter.diameter)}
    if plan.cutter.kind == "bull":
        cutter["corner"] = float(plan.cutter.corner)
    return {
        "schema": 1,
        "shape": plan.shape,
        "target": dict(plan.target),
        "cutter": cutter,
        "approach": plan.approach,
        "edge_behind": plan.edge_behind,
        "leave": float(plan.leave),
        "stops": [
            {
                "n": stop.n,
                "start": stop.start,
                first: float(plan.first.value(stop.first)),
                second: float(plan.second.value(stop.second)),
            }
            for stop in plan.stops
        ],
        "acts": [act.content() for act in acts(plan, voice.unit)],
        "result": {
            "scallop": result.scallop,
            "stock_min": result.stock_min,
            "stock_mean": result.stock_mean,
            "stock_max": result.stock_max,
            "twist": result.twist,
            "volume": result.volume,
            **result.more,
        },
        "remarks": [
            {"code": remark.code, "spoils": remark.spoils, "text": remark_text(remark, voice)}
            for remark in plan.remarks
        ],
    }


def render(plan: Plan, voice: Voice) -> str:
    """Return the plan as indented JSON text with a final line end."""
    return gate.json_text(content(plan, voice)) + "\n"
