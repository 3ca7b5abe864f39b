"""Random turned forms, tools, leaves and finishes: what is printed is what the model sees, and the acts play on the slack machine."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.routine import acts
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.outside.front import mm
from tests.routine.simulated import played


def _form(draw: Random) -> dict[str, Any]:
    """A form with sizes that belong to it."""
    form, large, at = (
        draw.choice(("corner", "neck", "waist", "crown", "seat", "ball")),
        draw.uniform(15, 50),
        mm(draw.choice((0.0, draw.uniform(1, 20)))),
    )
    if form == "corner":
        return {"form": form, "diameter": mm(large), "radius": mm(draw.uniform(1, large / 2)), "at": at}
    if form == "neck":
        radius = draw.uniform(0.5, 3)
        return {"form": form, "diameter": mm(large), "small": mm(large * draw.uniform(0.6, 0.95)), "radius": mm(radius), "at": mm(draw.uniform(3, 30)),
                "length": mm(2 * radius + draw.uniform(0.5, 10))}  # fmt: skip
    if form in ("waist", "crown"):
        length = draw.uniform(10, 60)
        small = max(large - 0.9 * length, large * draw.uniform(0.5, 0.98))
        return {"form": form, "diameter": mm(large), "small": mm(small), "length": mm(length), "at": at}
    size = draw.uniform(5, 20)
    if form == "seat":
        mouth = 2 * size * draw.uniform(0.5, 1)
        return {"form": form, "radius": mm(size), "diameter": mm(mouth), "blank": mm(mouth * draw.uniform(0.2, 0.7))}
    return {
        "form": form,
        "radius": mm(size),
        "small": mm(2 * size * draw.uniform(0.2, 0.8)),
        "length": mm(draw.uniform(3, 12)),
    }


def _job(seed: int) -> dict[str, Any]:
    """A form with a tool, a spacing, and now and then a leave or a finish."""
    draw = Random(f"turned form {seed}")  # noqa: S311  # repeatable cases, not secrets
    values = _form(draw)
    values |= (
        {"tool": "round", "nose": mm(draw.uniform(0.4, 2.5))}
        if draw.random() < 0.5
        else {"tool-width": mm(draw.uniform(1.5, 4))}
    )
    values |= {"scallop": mm(draw.uniform(0.05, 0.3))} if draw.random() < 0.6 else {"step": mm(draw.uniform(0.3, 2))}
    values |= {"leave": mm(draw.choice((0.0, 0.1)))} if draw.random() < 0.3 else {}
    return values | ({"finish": mm(draw.uniform(0.1, 0.5))} if draw.random() < 0.3 else {})


def told_wrong(seed: int) -> list[str]:
    """What a random job says wrong; one that is refused says nothing."""
    values = _job(seed)
    try:
        plan = front.solved("radius", **values)
    except StepcutError:
        return ["refused"]
    content = {"stepcut": 1, "machine": "metric", "title": "case", "radius": values}
    played_plan = recipes.job(recipes.from_content(content)).plan
    played(played_plan, [{**act.content(), "to": act.to} for act in acts(played_plan)])
    return [f"{values}: {line}" for line in disagreements(plan, whole_part.see(plan, fast=True), fast=True)]


@pytest.mark.parametrize(
    "first", [0, pytest.param(3, marks=pytest.mark.long), pytest.param(40, marks=pytest.mark.long)]
)
def test_random_forms_tell_the_truth(first: int) -> None:
    count = 3 if first == 0 else 37
    found = [line for seed in range(first, first + count) for line in told_wrong(seed)]
    assert found.count("refused") <= count / 3
    assert [line for line in found if line != "refused"] == []
