"""No refusal of an answer goes untested: every sentence of these modules stands in some test, word for word."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import stepcut
from tests.conftest import ROOT

PACKAGE = Path(stepcut.__file__).parent
MODULES = sorted(
    str(path.relative_to(PACKAGE))
    for pattern in ("machine/*.py", "machine/asked/*.py", "cli/machine.py", "cli/start.py", "cli/asking.py", "guided.py", "phrases.py",
                    "fields.py", "quantity.py", "cli/completion.py", "shapes/cam/ask.py", "shapes/divide/ask.py", "shapes/groove/ask.py",
                    "shapes/points/ask.py", "shapes/ramp/ask.py", "shapes/turned/ask.py", "shapes/profile/ask.py", "shapes/radius/ask.py",
                    "shapes/taper/ask.py", "shapes/helix/ask.py")
    for path in PACKAGE.glob(pattern)
)  # fmt: skip
CORE = {"machine/model.py"}  # refuses what the files have refused before; tests/test_core_refuses.py
TAKEN = {"BadValue": (2, 4), "FileTrouble": (1, 3)}  # which of their arguments are rule and remedy
EDGE = " ,;:.=("  # of a piece between two numbers
SHORT = 8  # letters; what is shorter, such as " or ", tells nothing


def texts(tree: ast.AST) -> Iterator[str]:
    """The pieces of text of a tree that are written out, those of one f-string each for itself."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@cache
def written() -> str:
    files = [path for path in (ROOT / "tests").rglob("test_*.py") if path.name != Path(__file__).name]
    return "\n".join(text for path in files for text in texts(ast.parse(path.read_text("utf-8"))))


@cache
def literals() -> tuple[str, ...]:
    """Every text of every test, whole; what an f-string puts between its pieces is left open."""
    files = [path for path in (ROOT / "tests").rglob("test_*.py") if path.name != Path(__file__).name]
    found = []
    for node in (node for path in files for node in ast.walk(ast.parse(path.read_text("utf-8")))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.append(node.value)
        elif isinstance(node, ast.JoinedStr):
            found.append("\n".join(part.value for part in node.values if isinstance(part, ast.Constant)))
    return tuple(found)


def refusals(module: str) -> Iterator[tuple[int, list[str]]]:
    """What is always written of each refusal, rule and remedy together and in order, with its line."""
    for node in ast.walk(ast.parse((PACKAGE / module).read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in TAKEN:
            parts = node.args[slice(*TAKEN[node.func.id])]
        elif isinstance(node, ast.Assign) and any(
            isinstance(t, ast.Name) and t.id in ("rule", "way") for t in node.targets
        ):
            parts = [node.value]
        else:
            continue
        written_out = [
            piece for part in parts for piece in (part.values if isinstance(part, ast.JoinedStr) else [part])
        ]
        pieces = [p.value.strip(EDGE) for p in written_out if isinstance(p, ast.Constant) and isinstance(p.value, str)]
        if kept := [piece for piece in pieces if len(piece) >= SHORT]:
            yield node.lineno, kept


def in_order(pieces: list[str], text: str) -> bool:
    """Whether all pieces stand in one text, one behind the other."""
    at = 0
    for piece in pieces:
        at = text.find(piece, at) + len(piece)
        if at < len(piece):
            return False
    return True


def sentences(module: str) -> Iterator[tuple[int, str]]:
    """Every written piece of rule and remedy of what a module refuses, with its line; also of texts named rule or way."""
    tree = ast.parse((PACKAGE / module).read_text("utf-8"))
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in ("BadValue", "FileTrouble")
        ):
            pieces = node.args[2:4] if node.func.id == "BadValue" else node.args[1:3]
        elif isinstance(node, ast.Assign) and any(
            isinstance(t, ast.Name) and t.id in ("rule", "way") for t in node.targets
        ):
            pieces = [node.value]
        else:
            continue
        for piece in pieces:
            yield from ((node.lineno, text) for text in texts(piece))


@pytest.mark.parametrize("module", [module for module in MODULES if module not in CORE])
def test_every_refusal_stands_in_a_test(module: str) -> None:
    missing = [
        (line, text)
        for line, text in sentences(module)
        if len(text.strip()) >= SHORT and text.strip(EDGE) not in written()
    ]
    assert not missing, "\n".join(f"{module}:{line}: {text}" for line, text in missing)


@pytest.mark.parametrize("module", [module for module in MODULES if module not in CORE])
def test_every_refusal_stands_whole_in_one_text_of_a_test(module: str) -> None:
    missing = [
        f"{module}:{line}: {pieces}"
        for line, pieces in refusals(module)
        if not any(in_order(pieces, text) for text in literals())
    ]
    assert not missing, "\n".join(missing)


def test_pieces_are_found_in_one_text_and_in_order() -> None:
    assert in_order(["is missing", "Give span"], "span: is missing. Give span, such as 140deg.")
    assert not in_order(["Give span", "is missing"], "span: is missing. Give span, such as 140deg.")
    assert not in_order(["is missing", "Give rise"], "span: is missing. Give span, such as 140deg.")


def test_the_list_of_refusals_is_not_empty() -> None:
    assert sum(1 for module in MODULES for _ in sentences(module)) > 100
