"""Twenty jobs of an invented shop, bicycle to clock tower: solved, drawn, and seen by models written apart from the program."""

from __future__ import annotations

from typing import Any

import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards import drawing
from stepcut.cards.json_card import content
from stepcut.plan import Plan
from stepcut.routine import card
from stepcut.voice import voice_of
from tests.outside import whole_part
from tests.outside.compared import disagreements

JOBS: dict[str, str | tuple[str, dict[str, Any]]] = {
    "1 chain tension snail": ("cam", {"segments": "spiral from 20mm to 12mm in 300deg", "cutter": "6mm", "cut-with": "side", "step": "10deg"}),
    "2 tube end on a tube": "rail-tube-saddle",
    "3 stepped plug gauge": "stepped-plug-gauge",
    "4 face ratchet": "crank-face-ratchet",
    "5 preload collar": "spring-preload-collar",
    "6 ball lifter": "hoist-lifter-ball-ramps",
    "7 crank handle dog": ("ramp", {"outside": "27mm", "bore": "15mm", "rise": "5.5mm", "span": "140deg", "ramps": "2", "cutter": "4mm",
                                    "step": "10deg", "for": "dog"}),
    "8 valve cam": "feed-pump-valve-cam",
    "9 curved slot by chords": "paddle-quadrant-arc-slot",
    "10 domed chimney": ("radius", {"form": "ball", "radius": "9mm", "tool": "round", "nose": "1.5mm", "scallop": "0.1mm"}),
    "11 crowned pulley": "belt-crown-profile",
    "12 rack snail": "tower-clock-rack-snail",
    "13 focusing slot": ("helix", {"diameter": "39mm", "lead": "24mm", "length": "8mm", "depth": "1.5mm", "cutter": "3mm", "step": "2deg"}),
    "14 peg reamer": ("taper", {"large": "9.2mm", "small": "5.2mm", "length": "120mm", "step": "3mm"}),
    "15 lever cap cam": "moulding-plane-cap-cam",
    "16 stop turret": "depth-stop-turret",
    "17 tension release": "tension-release-cam",
    "18 jaw clutch": ("ramp", {"outside": "82mm", "bore": "52mm", "rise": "4.5mm", "span": "70deg", "ramps": "4", "cutter": "6mm", "step": "5deg",
                               "for": "dog"}),
    "19 filler cap bayonet": ("ramp", {"outside": "63mm", "bore": "57mm", "rise": "0.8mm", "span": "20deg", "ramps": "3", "cutter": "6mm", "step": "2deg",
                                       "for": "clamp"}),
    "20 graduated collar": "handwheel-collar-graduations",
}  # fmt: skip


def plan_of(job: str | tuple[str, dict[str, Any]]) -> Plan:
    if isinstance(job, str):
        return recipes.job(recipes.load(job)).plan
    shape, values = job
    return recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "job", shape: values})).plan


SLOW = ("8 valve cam", "13 focusing slot")  # seconds, and two minutes of rays


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.long) if name in SLOW else name for name in JOBS]
)
def test_a_job_is_solved_drawn_and_true(name: str) -> None:
    plan = plan_of(JOBS[name])
    assert plan.stops and not plan.spoils
    assert drawing.part(plan) is not None
    assert len(card(plan, Heading(date="2026-01-01")).lines) == len(plan.stops)
    if plan.shape not in whole_part.MODELS:  # seen by a model of its own in the tests of its shape
        assert plan.shape in ("groove", "points", "divide")
        return
    data = content(plan, voice_of(plan.machine))
    assert disagreements(data, whole_part.see(data)) == []
