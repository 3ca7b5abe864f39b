"""The plan as JSON: whoever reads it finds the same keys whatever the shape is."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.machine import files as machines
from stepcut.shapes import SHAPES
from tests.outside import front

RECIPES = {
    recipe.shape: path.stem for path in recipes.shipped() for recipe in [recipes.load(path)]
}  # one of each shape


def test_every_shape_has_the_same_keys() -> None:
    assert set(RECIPES) == set(SHAPES)
    data = {shape: front.shipped(name) for shape, name in RECIPES.items()}
    keys = set(data["ramp"])
    assert keys >= {"stops", "acts", "sweeps", "roughing", "flanks", "table", "dials", "blue", "result", "remarks"}
    assert {shape: set(plan) ^ keys for shape, plan in data.items()} == {shape: set() for shape in data}
    base = {"scallop", "stock_min", "stock_mean", "stock_max", "twist", "volume"}
    assert all(set(plan["result"]) >= base for plan in data.values())
    # A turned part has no table, a helix neither sweeps nor passes: the key is there and says so.
    assert data["taper"]["table"] is None and data["ramp"]["table"] is not None
    assert data["helix"]["sweeps"] == [] and data["helix"]["roughing"] == [] and data["ramp"]["flanks"] == []


@pytest.mark.parametrize(("inward", "grows"), [("grows", "grows"), ("falls", "falls")])
def test_the_sense_of_straight_dials_is_told(inward: str, grows: str, tmp_path: Path) -> None:
    # A depth grows into the work, so that a dial that falls inward falls while the position grows.
    text = machines.shipped_path("metric").read_text("utf-8")
    path = tmp_path / "mine.toml"
    path.write_text(text.replace("[depth]", f'[depth]\ninward = "{inward}"'), "utf-8")
    ring = {"outside": "60mm", "bore": "40mm", "rise": "2mm", "cutter": "8mm", "step": "10deg"}
    plan = front.solved("ramp", str(path), **ring)
    (dial,) = plan["dials"]
    assert (dial["axis"], dial["dial"]) == ("depth", grows)
    sets = [act for act in plan["acts"] if act["act"] == "set" and act["axis"] == "depth"][:2]
    moved = (sets[1]["dial"] - sets[0]["dial"]) % dial["per_turn"]
    down = (sets[1]["to"] - sets[0]["to"]) % dial["per_turn"]
    assert moved == pytest.approx(down if grows == "grows" else dial["per_turn"] - down)
