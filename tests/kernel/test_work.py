"""How much work a solve takes, counted and not timed."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from stepcut.errors import StepcutError
from stepcut.kernel import measure
from stepcut.kernel.footprints import Lateral
from stepcut.kernel.line import Line, straight
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.space import by_count
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale
from tests.benchmarks.growth import fine_machine
from tests.outside import front

pytestmark = pytest.mark.usefixtures("afresh")
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


WALKED = [
    # 6600 cuts were walked and measured forty times over, 38 s of CPU, before the refusal
    ("cam", {"base": "200mm", "segments": ["eccentric 9.9mm in 360deg"], "cutter": "20mm", "scallop": "0.0009mm"}, "cannot"),
    ("cam", {"base": "200mm", "segments": ["eccentric 15mm in 360deg"], "cutter": "20mm", "scallop": "0.0009mm"}, "narrow"),
    # 12,000 cuts were walked before the count was said
    ("radius", {"form": "ball", "radius": "100mm", "tool": "round 1mm", "scallop": "0.000005mm"}, "needs about"),
    ("profile", {"targets": [[f"{3 * k}mm", f"{20 + 2 * k}mm"] for k in range(31)], "tool": "round 1mm",
                 "scallop": "0.00001mm"}, "needs about"),
    ("ramp", {"outside": "60mm", "bore": "48mm", "rise": "3mm", "span": "300deg", "cutter": "8mm", "scallop": "0.0003mm"},
     "needs about"),
]  # fmt: skip


@pytest.mark.parametrize(("shape", "values", "says"), WALKED)
def test_a_ridge_far_too_fine_is_refused_before_it_is_walked(
    shape: str, values: dict[str, Any], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counted in ridges looked at: a walk of 6000 cuts takes some 100,000."""
    looks = 0
    real = Task.depth

    def counted(task: Task, mark: int) -> int:
        nonlocal looks
        looks += 1
        return real(task, mark)

    monkeypatch.setattr(Task, "depth", counted)
    machine = "metric" if shape == "cam" else str(fine_machine(tmp_path))
    with pytest.raises(StepcutError, match=says):
        front.solved(shape, machine, **values)
    assert looks < 60_000


def test_what_is_estimated_is_what_is_walked(tmp_path: Path) -> None:
    """A limit that needs a twelfth of the most is walked: the estimate that refuses is of the same kind as the count."""
    job = {"outside": "60mm", "bore": "48mm", "rise": "3mm", "span": "300deg", "cutter": "8mm"}
    machine = str(fine_machine(tmp_path))
    made = len(front.solved("ramp", machine, **job, scallop="0.006mm")["stops"])
    with pytest.raises(StepcutError, match="needs about") as refused:
        front.solved("ramp", machine, **job, scallop="0.0003mm")
    needs = int(str(refused.value).partition("needs about ")[2].split()[0])
    assert needs == pytest.approx(20 * made, rel=0.1)  # of a flat end's stair the height is slope times step


def test_ridges_are_mended_together_where_the_cuts_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each round of mending measures every cut: what forty rounds did one by one takes a few."""
    rounds = Counter[int]()
    real = measure._measured

    def counted(task: Any, places: Any) -> measure.Left:
        rounds[0] += len(places)
        return real(task, places)

    monkeypatch.setattr(measure, "_measured", counted)
    segments = ["rise 2mm in 60deg cycloidal", "fall 2mm in 60deg cycloidal"] * 3
    with pytest.raises(StepcutError, match="cannot be kept on these scales"):
        front.solved("cam", base="200mm", segments=segments, cutter="20mm", scallop="0.004mm")
    assert 0 < rounds[0] < 12_000


def test_a_round_nose_beside_a_wall_is_not_refused_by_the_estimate() -> None:
    """The cove ends as steep as a wall, where the walk looks on past grazing cuts; it was refused for 3.3 mm there."""
    cove = {"form": "cove", "radius": "17.6513mm", "diameter": "66.8695mm", "to-angle": "90deg", "leave": "0.2mm"}
    plan = front.solved("radius", **cove, tool="round 7.7175mm", scallop="0.0648mm")
    assert 0.063 < plan["result"]["scallop"] <= 0.0648
