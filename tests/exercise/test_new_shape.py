"""How much a new shape touches: a face scroll, which lives in a folder here, is registered by one line and printed as any other.

Its ridges are compared with shapely: the groove as the union of the cutter's circles, against the spiral strip.
"""

from __future__ import annotations

import ast
import json
import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from shapely import LineString, Point, union_all

import stepcut.shapes
from stepcut import recipes
from stepcut.cards import json_card, terminal
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.routine import card
from stepcut.voice import voice_of

HERE = Path(__file__).parent
VALUES = {"begin": "15mm", "end": "27mm", "pitch": "8mm", "depth": "2.5mm", "cutter": "5mm", "step": "6deg"}


@pytest.fixture(autouse=True)
def registered(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(stepcut.shapes, "__path__", [*stepcut.shapes.__path__, str(HERE)])
    monkeypatch.setitem(stepcut.shapes.SHAPES, "scroll", "a flat spiral groove in the face of a disc")
    yield


def job(**values: str) -> recipes.Recipe:
    return recipes.from_content({"stepcut": 1, "machine": "metric", "title": "scroll", "scroll": VALUES | values})


def solved(**values: str) -> Plan:
    return show.solved(recipes.job(job(**values)))


@pytest.mark.parametrize("step", ["6deg", "9deg", "3.5deg"])
def test_a_scroll_leaves_the_ridges_that_shapely_finds(step: str) -> None:
    plan = solved(step=step)
    centres = [(float(plan.second.value(s.second)), math.radians(plan.first.value(s.first))) for s in plan.stops]
    cut = union_all([Point(r * math.cos(a), r * math.sin(a)).buffer(2.5, 256) for r, a in centres])
    last = math.degrees(centres[-1][1])
    spiral = [(15 + 8 * k / 3600, math.radians(k / 10)) for k in range(int(last * 10) + 1)]
    groove = LineString([(r * math.cos(a), r * math.sin(a)) for r, a in spiral]).buffer(2.5, 64, cap_style="flat")
    stands = groove.difference(cut)
    middle = LineString([(r * math.cos(a), r * math.sin(a)) for r, a in spiral])
    corners = [Point(p) for part in stands.geoms for p in part.exterior.coords]
    ridge = max(2.5 - middle.distance(p) for p in corners)
    assert plan.result.scallop == pytest.approx(ridge, abs=0.004)  # a division of the slide, to which x is rounded
    assert plan.result.volume == pytest.approx(stands.area * 2.5, rel=0.06)


def test_it_is_printed_as_a_card_and_as_json() -> None:
    plan = solved()
    text = terminal.render(card(plan, show.heading(recipes.job(job()))))
    assert "face scroll, radius 15 mm to 27 mm, 8 mm a turn" in text
    assert f"{len(plan.stops)} cuts" in text
    data = json.loads(json_card.render(plan, voice_of(plan.machine)))
    assert len(data["stops"]) == len(plan.stops) == 91
    assert data["stops"][-1] == {"n": 91, "start": 1, "table": 540.0, "x": 27.0}
    assert [act["act"] for act in data["acts"]].count("cut") >= 91


def test_its_inputs_are_refused_like_any_other() -> None:
    with pytest.raises(StepcutError, match="pitch = 4mm: leaves no land between the turns"):
        solved(pitch="4mm")
    with pytest.raises(StepcutError, match="more than a plan may have"):
        solved(step="0.01deg")
    with pytest.raises(StepcutError, match="step = "):  # 11 degrees at 27 mm are 5.2 mm, and the cutter is 5 mm
        solved(step="11deg")


def test_the_files_that_it_touches() -> None:
    """Its own folder, and one line in the list of shapes, which is here; the package itself does not know it."""
    assert sorted(path.name for path in (HERE / "scroll").glob("*.py")) == [
        "__init__.py", "ask.py", "task.py", "wanted.py", "words.py",
    ]  # fmt: skip
    package = Path(stepcut.shapes.__file__).parents[1]
    assert not [path for path in package.rglob("*.py") if "face scroll" in path.read_text("utf-8").lower()]


# Where a shape is still asked for by its name, and why: each of these is to become something that its folder names.
KNOWN: dict[str, str] = {
    "__init__.py": "functions written out for editors and type checkers; any other shape is solved by its name",
    "cards/reading_text.py": "a reading finds one of three forms, which are no list of shapes",
    "cli/read.py": "a reading finds one of three forms, which are no list of shapes",
    "shop/reading.py": "a reading finds one of three forms, which are no list of shapes",
    "cards/astray_text.py": "",
    "cards/recover_text.py": "",
    "cards/place_text.py": "",
    "cards/blue_text.py": "",
    "cli/blue.py": "",
    "cli/begun.py": "",
    "cli/recover.py": "",
    "shop/astray.py": "",
    "shop/blueing.py": "",
    "shop/recover.py": "",
    "shop/verdict.py": "",
}
SHAPE_NAMES = {*stepcut.shapes.SHAPES}
NAMED = [[name] for name in SHAPE_NAMES]
AMBIGUOUS = {
    "radius",
    "taper",
    "profile",
}  # words of sizes and inputs too: these count where a shape is compared with them


def _asks_by_name(tree: ast.Module) -> Iterator[str]:
    """Yield every place that asks for a shape by its name: a comparison, a table of shapes, an import from a shape's folder."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            about = any("shape" in ast.unparse(side) for side in sides)
            words = {c.value for side in sides for c in ast.walk(side) if isinstance(c, ast.Constant)}
            if about and words & SHAPE_NAMES:
                yield f"line {node.lineno}: {ast.unparse(node)}"
        elif isinstance(node, ast.Constant) and node.value in SHAPE_NAMES - AMBIGUOUS:
            yield f"line {node.lineno}: {node.value!r}"
        elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[2:3] in NAMED and node.level == 0:
            yield f"line {node.lineno}: from {node.module}"


def test_nothing_outside_the_folders_asks_for_a_shape_by_its_name() -> None:
    """A shape's folder names its cycle, drawing, questions, sizes and words, or brings them."""
    package = Path(stepcut.shapes.__file__).parents[1]
    found = {}
    for path in sorted(package.rglob("*.py")):
        name = path.relative_to(package).as_posix()
        asks = [] if name.startswith("shapes/") else list(_asks_by_name(ast.parse(path.read_text("utf-8"))))
        if asks:
            found[name] = asks
    assert {name: asks for name, asks in found.items() if name not in KNOWN} == {}
    assert sorted(KNOWN) == sorted(found)  # a file that needs no exception any more has none
