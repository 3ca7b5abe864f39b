"""Plans through the front: values as a user writes them in, the JSON of the contract out."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.machine import files as machines
from stepcut.voice import voice_of


def solved(shape: str, machine: str = "metric", **values: Any) -> dict[str, Any]:
    """The plan of a shape as plain data; refusals are raised as the command line would print them."""
    job = recipes.job(recipes.from_content({"stepcut": 1, "machine": machine, "title": "case", shape: values}))
    plan = show.solved(job)
    data: dict[str, Any] = content(plan, voice_of(plan.machine))
    return data


def shipped(name: str, **sets: str) -> dict[str, Any]:
    """The plan of an example recipe, in other sizes where some are given."""
    recipe = recipes.load(name)
    return solved(recipe.shape, recipe.machine, **{**recipe.values, **sets})


def coarse_machine(folder: Path, table: str = "1deg", slide: str = "0.02mm") -> str:
    """A machine like the metric one whose table is read to whole degrees and whose scales are coarse."""
    text = machines.shipped_path("metric").read_text("utf-8")
    text = text.replace('division = "1\'"', f'division = "{table}"').replace('dial = "minutes"', 'dial = "decimal"')
    text = text.replace('division = "0.005mm"', f'division = "{slide}"')
    path = folder / "coarse.toml"
    path.write_text(text, "utf-8")
    return str(path)


def mm(number: float | Fraction) -> str:
    """A length as a user writes it."""
    return f"{round(float(number), 4):g}mm"


def deg(number: float | Fraction) -> str:
    """An angle as a user writes it."""
    return f"{round(float(number), 4):g}deg"
