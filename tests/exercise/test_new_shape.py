"""How much a new shape touches: the folder of the face scroll, put elsewhere under another name, is a shape by one line.

A copy of the folder stands outside the package, with every word of the old name changed; only its line in the list of shapes is
added, and it is solved, measured, printed as card, choices and JSON, and refused as any other.
"""

from __future__ import annotations

import ast
import json
import re
import sys
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

import stepcut.shapes
from stepcut import recipes
from stepcut.cards import drawing, json_card, terminal
from stepcut.cli import choosing, show
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.routine import card
from stepcut.shapes import brings
from stepcut.voice import voice_of

VALUES = {"begin": "15mm", "end": "27mm", "pitch": "8mm", "depth": "2.5mm", "cutter": "5mm", "step": "6deg"}
PARTS = [
    "__init__.py",
    "ask.py",
    "choices.py",
    "drawing.py",
    "guide.py",
    "left.py",
    "mishap.py",
    "mishap_words.py",
    "task.py",
    "wanted.py",
    "words.py",
]


@pytest.fixture(autouse=True)
def registered(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    folder = tmp_path / "whirl"
    folder.mkdir()
    for name in PARTS:
        text = (files("stepcut") / "shapes" / "scroll" / name).read_text("utf-8")
        (folder / name).write_text(text.replace("scroll", "whirl").replace("Scroll", "Whirl"), "utf-8")
    monkeypatch.setattr(stepcut.shapes, "__path__", [*stepcut.shapes.__path__, str(tmp_path)])
    monkeypatch.setitem(stepcut.shapes.SHAPES, "whirl", "a flat spiral groove in the face of a disc")
    yield
    for name in [name for name in sys.modules if name.startswith("stepcut.shapes.whirl")]:
        del sys.modules[name]


def solved(shape: str = "whirl", **values: str) -> Plan:
    recipe = recipes.from_content({"stepcut": 1, "machine": "metric", "title": "new", shape: VALUES | values})
    return show.solved(recipes.job(recipe))


def test_it_is_solved_and_measured_as_where_it_came_from() -> None:
    new, old = solved(), solved("scroll")
    assert new.shape == "whirl"
    assert new.stops == old.stops
    assert new.result.volume == old.result.volume


def test_it_is_printed_as_a_card_drawn_offered_and_as_json() -> None:
    plan = solved()
    recipe = recipes.from_content({"stepcut": 1, "machine": "metric", "title": "new", "whirl": VALUES})
    text = terminal.render(card(plan, show.heading(recipes.job(recipe))))
    assert "face whirl, radius 15 mm to 27 mm, 8 mm a turn" in text
    assert f"{len(plan.stops)} cuts" in text
    data = json.loads(json_card.render(plan, voice_of(plan.machine)))
    assert len(data["stops"]) == len(plan.stops) == 91
    assert data["stops"][-1] == {"n": 91, "start": 1, "table": 540.0, "x": 27.0}
    assert [act["act"] for act in data["acts"]].count("cut") >= 91
    assert "<circle" in drawing.part(plan).svg  # type: ignore[union-attr]  # it has one
    assert brings("whirl", "choices")
    free = recipes.from_content(
        {"stepcut": 1, "machine": "metric", "whirl": {k: v for k, v in VALUES.items() if k != "step"}}
    )
    chosen = choosing.choose(recipes.job(free), 1, 80)
    assert chosen is not None and chosen.values["step"] is not None


def test_its_inputs_are_refused_like_any_other() -> None:
    with pytest.raises(StepcutError, match="pitch = 4mm: leaves no land between the turns"):
        solved(pitch="4mm")
    with pytest.raises(StepcutError, match="more than a plan may have"):
        solved(step="0.01deg")
    with pytest.raises(StepcutError, match="step = "):  # 11 degrees at 27 mm are 5.2 mm, and the cutter is 5 mm
        solved(step="11deg")


def test_the_files_that_a_scroll_touches() -> None:
    """Its own folder, and one line in the list of shapes; nothing else in the package knows it."""
    package = Path(stepcut.shapes.__file__).parents[1]
    own = package / "shapes" / "scroll"
    assert sorted(path.name for path in own.glob("*.py")) == PARTS
    named = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if own not in path.parents and re.search(r"shapes\.scroll|\"scroll\"", path.read_text("utf-8"))
    }
    assert named == {"shapes/__init__.py"}


# Where a shape is asked for by its name, and why.
KNOWN: dict[str, str] = {
    "__init__.py": "functions written out for editors and type checkers; any other shape is solved by its name",
    "cards/off_text.py": "kinds of scale that a reading is of, which are no shapes",
    "cards/reading_text.py": "a reading finds one of these forms, which are no list of shapes",
    "part_recipe.py": "a reading finds one of these forms, which are no list of shapes",
    "shop/doubts.py": "a reading finds one of these forms, which are no list of shapes",
    "shop/off.py": "kinds of scale that a reading is of, which are no shapes",
    "shop/reading.py": "a reading finds one of these forms, which are no list of shapes",
    "shop/read_cam.py": "a reading finds one of these forms, which are no list of shapes",
}
SHAPE_NAMES = {*stepcut.shapes.SHAPES}
NAMED = [[name] for name in SHAPE_NAMES]
AMBIGUOUS = {
    "radius",
    "taper",
    "profile",
    "points",
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
