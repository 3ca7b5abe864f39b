"""Twenty jobs of an invented shop, bicycle to clock tower: recipes, solved, drawn, and seen by models written apart from the program."""

from __future__ import annotations

import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards import drawing
from stepcut.cards.json_card import content
from stepcut.routine import card
from stepcut.voice import voice_of
from tests.outside import whole_part
from tests.outside.compared import disagreements
from tests.shops import thinned

JOBS = {
    "1 chain tension snail": "ferry-chain-snail",
    "2 tube end on a tube": "rail-tube-saddle",
    "3 stepped plug gauge": "stepped-plug-gauge",
    "4 face ratchet": "crank-face-ratchet",
    "5 preload collar": "spring-preload-collar",
    "6 ball lifter": "hoist-lifter-ball-ramps",
    "7 crank handle dog": "pump-crank-dog",
    "8 valve cam": "feed-pump-valve-cam",
    "9 curved slot by chords": "paddle-quadrant-arc-slot",
    "10 domed chimney": "launch-funnel-dome",
    "11 crowned pulley": "belt-crown-profile",
    "12 rack snail": "tower-clock-rack-snail",
    "13 focusing slot": "level-sight-slot",
    "14 peg reamer": "bung-reamer-taper",
    "15 lever cap cam": "moulding-plane-cap-cam",
    "16 stop turret": "depth-stop-turret",
    "17 tension release": "tension-release-cam",
    "18 jaw clutch": "dredge-jaw-clutch",
    "19 filler cap bayonet": "tank-cap-bayonet",
    "20 graduated collar": "handwheel-collar-graduations",
}
SLOW = ("8 valve cam", "13 focusing slot")  # seconds, and two minutes of rays


@pytest.mark.parametrize(
    "name", thinned(pytest.param(name, marks=[pytest.mark.long] if name in SLOW else []) for name in JOBS)
)
def test_a_job_is_solved_drawn_and_true(name: str) -> None:
    plan = recipes.job(recipes.load(JOBS[name])).plan
    assert plan.stops and not plan.spoils
    assert drawing.part(plan) is not None
    assert len(card(plan, Heading(date="2026-01-01")).lines) == len(plan.stops)
    if plan.shape not in whole_part.MODELS:  # seen by a model of its own in the tests of its shape
        assert plan.shape in ("groove", "points", "divide")
        return
    data = content(plan, voice_of(plan.machine))
    assert disagreements(data, whole_part.see(data)) == []
