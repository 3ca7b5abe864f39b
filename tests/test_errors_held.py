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
                    "fields.py", "quantity.py", "cli/completion.py")
    for path in PACKAGE.glob(pattern)
)  # fmt: skip
CORE = {"machine/model.py"}  # refuses what the files have refused before; tests/test_core_refuses.py
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


def test_the_list_of_refusals_is_not_empty() -> None:
    assert sum(1 for module in MODULES for _ in sentences(module)) > 100
