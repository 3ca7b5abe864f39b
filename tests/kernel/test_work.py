"""How much work a solve takes, counted and not timed."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

import pytest

from stepcut.kernel import measure
from stepcut.kernel.footprints import Lateral
from stepcut.kernel.line import Line, straight
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.space import by_count
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale
from tests.outside import front

RING = {"outside": "60mm", "bore": "40mm", "rise": "2mm", "span": "200deg", "leave": "0mm"}


@pytest.mark.parametrize(
    ("shape", "values"),
    [
        ("ramp", {**RING, "cutter": "10mm", "scallop": "0.1mm"}),
        ("ramp", {**RING, "cutter": "10mm ball", "step": "5deg"}),
        ("radius", {"form": "ball", "radius": "10mm", "tool": "round", "nose": "1mm", "scallop": "0.05mm"}),
        ("cam", {"base": "20mm", "segments": ["rise 2mm in 200deg"], "cutter": "10mm", "scallop": "0.05mm"}),
    ],
)
def test_the_same_cuts_are_measured_once(shape: str, values: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    rows: Counter[tuple[object, ...]] = Counter()
    real = measure._measured

    def counted(task: Any, places: Any) -> measure.Left:
        rows[(task.line, len(task.sections), *places)] += 1
        return real(task, places)

    monkeypatch.setattr(measure, "_measured", counted)
    front.solved(shape, **values)
    assert rows
    assert max(rows.values()) == 1


def test_a_count_near_the_limit_is_not_refused_for_a_count_that_was_only_tried() -> None:
    """6500 cuts were refused as "13003 is more than a plan may have", which nobody had asked for."""
    line = Line((straight(0.0, 300.0, 0.0, 60.0),))
    foot = Lateral(Outline(4.0, 0.0), 0.0, 150.0, 200.0)
    task = Task(
        (Section(line, foot, 0.0, 150.0),),
        (Guard(line, foot),),
        Scale("rim", Fraction(1, 60)),
        Scale("depth", Fraction(1, 1000)),
    )
    assert len(by_count(task, 6500)) == 6500
