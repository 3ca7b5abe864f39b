"""No refusal of an answer goes untested: every sentence of these modules stands in some test, word for word."""

from __future__ import annotations

import ast
import bisect
import itertools
from collections.abc import Iterator
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import pytest

import stepcut
from tests.conftest import ROOT

PACKAGE = Path(stepcut.__file__).parent
MODULES = sorted(str(path.relative_to(PACKAGE)) for path in PACKAGE.rglob("*.py"))
WORDING = "cards/wording.py"  # the sentences of what the core refuses and remarks
# Which of their arguments are rule and remedy.
TAKEN = {"BadValue": (2, 4), "WouldSpoil": (2, 4), "__init__": (2, 4), "FileTrouble": (1, 3)}
EDGE = " ,;:.=("  # of a piece between two numbers
SHORT = 8  # letters; what is shorter, such as " or ", tells nothing


def texts(tree: ast.AST) -> Iterator[str]:
    """The pieces of text of a tree that are written out, those of one f-string each for itself."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@cache
def asserted() -> tuple[str, tuple[str, ...]]:
    """Every piece of text of every test in one, and every text whole; what an f-string puts between its pieces is left open."""
    pieces, whole = [], []
    for path in (ROOT / "tests").rglob("test_*.py"):
        if path.name == Path(__file__).name:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                pieces.append(node.value)
                whole.append(node.value)
            elif isinstance(node, ast.JoinedStr):
                whole.append("\n".join(part.value for part in node.values if isinstance(part, ast.Constant)))
    return "\n".join(pieces), tuple(sorted(set(whole)))


def written() -> str:
    return asserted()[0]


@cache
def joined() -> tuple[str, list[int]]:
    """All the whole texts in one, and where each of them begins."""
    texts = asserted()[1]
    return "\0".join(texts), [0, *itertools.accumulate(len(text) + 1 for text in texts)]


def stands_whole(pieces: list[str]) -> bool:
    """Whether one text of a test has all pieces, one behind the other."""
    text, begins = joined()
    rarest, at = max(pieces, key=len), -1
    while (at := text.find(rarest, at + 1)) >= 0:
        if in_order(pieces, asserted()[1][bisect.bisect(begins, at) - 1]):
            return True
    return False


def called(node: ast.Call) -> str:
    """Return the bare name of what is called; that of a kind of trouble with words of its own is ``__init__``."""
    return (
        node.func.id
        if isinstance(node.func, ast.Name)
        else node.func.attr
        if isinstance(node.func, ast.Attribute)
        else ""
    )


@cache
def troubles(module: str) -> list[tuple[int, list[ast.expr]]]:
    """Rule and remedy of each trouble that a module makes, with its line; where they are named before, what they are named to."""
    tree = ast.parse((PACKAGE / module).read_text("utf-8"))
    named = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        and any(isinstance(node, ast.Call) and called(node) in TAKEN for node in ast.walk(function))
        for node in ast.walk(function)
        if isinstance(node, ast.Assign)
        and any(isinstance(t, ast.Name) and t.id in ("rule", "way") for t in node.targets)
    }
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and (kind := called(node)) in TAKEN:
            found.append((node.lineno, node.args[slice(*TAKEN[kind])]))
        elif isinstance(node, ast.Assign) and id(node) in named:
            found.append((node.lineno, [node.value]))
    return found


def refusals(module: str) -> Iterator[tuple[int, list[str]]]:
    """What is always written of each refusal, rule and remedy together and in order, with its line."""
    for line, parts in troubles(module):
        whole = [piece for part in parts for piece in (part.values if isinstance(part, ast.JoinedStr) else [part])]
        pieces = [p.value.strip(EDGE) for p in whole if isinstance(p, ast.Constant) and isinstance(p.value, str)]
        if kept := [piece for piece in pieces if len(piece) >= SHORT]:
            yield line, kept


def in_order(pieces: list[str], text: str) -> bool:
    """Whether all pieces stand in one text, one behind the other."""
    at = 0
    for piece in pieces:
        at = text.find(piece, at) + len(piece)
        if at < len(piece):
            return False
    return True


def sentences(module: str) -> Iterator[tuple[int, str]]:
    """Every written piece of rule and remedy of what a module refuses, with its line."""
    for line, parts in troubles(module):
        yield from ((line, text) for part in parts for text in texts(part))


@pytest.mark.parametrize("module", MODULES)
def test_every_refusal_stands_in_a_test(module: str) -> None:
    missing = [
        (line, text)
        for line, text in sentences(module)
        if len(text.strip()) >= SHORT and text.strip(EDGE) not in written()
    ]
    assert not missing, "\n".join(f"{module}:{line}: {text}" for line, text in missing)


@pytest.mark.parametrize("module", MODULES)
def test_every_refusal_stands_whole_in_one_text_of_a_test(module: str) -> None:
    missing = [f"{module}:{line}: {pieces}" for line, pieces in refusals(module) if not stands_whole(pieces)]
    assert not missing, "\n".join(missing)


SAID = [module for module in MODULES if module == WORDING or fnmatch(module, "shapes/*/said.py")]


@pytest.mark.parametrize("module", SAID)
def test_every_sentence_about_a_plan_stands_in_a_test(module: str) -> None:
    """What the core refuses or remarks is worded in one place, or in a shape's own: each piece of it, and each refusal whole."""
    tree = ast.parse((PACKAGE / module).read_text("utf-8"))
    told = {
        ast.get_docstring(node, clean=False)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef)
    }
    keys = {id(key) for node in ast.walk(tree) if isinstance(node, ast.Dict) for key in node.keys}
    pieces = [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in keys
        and node.value not in {*told, "REMARKS", "REFUSALS"}
    ]
    missing = [
        f"{line}: {text}" for line, text in pieces if len(text.strip()) >= SHORT and text.strip(EDGE) not in written()
    ]
    for code, parts in sentences_of(tree, "REFUSALS"):
        if parts and not stands_whole(parts):
            missing.append(f"{code} is not whole in one text: {parts}")
    assert not missing, "\n".join(missing)
    assert len(SAID) > 5 and (module != WORDING or len(pieces) > 150)


def sentences_of(tree: ast.AST, table: str) -> Iterator[tuple[str, list[str]]]:
    """What is always written of each sentence of a table of lambdas, rule and remedy in order."""
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.target.id == table:
            assert isinstance(node.value, ast.Dict)
            for key, value in zip(node.value.keys, node.value.values, strict=True):
                if key is None:  # another shape's, which stand in its own module
                    continue
                assert isinstance(key, ast.Constant)
                assert isinstance(value, ast.Lambda)
                parts = value.body.elts[1:] if isinstance(value.body, ast.Tuple) else []
                whole = [
                    piece for part in parts for piece in (part.values if isinstance(part, ast.JoinedStr) else [part])
                ]
                texts_of = [
                    p.value.strip(EDGE) for p in whole if isinstance(p, ast.Constant) and isinstance(p.value, str)
                ]
                yield str(key.value), [text for text in texts_of if len(text) >= SHORT]


def test_pieces_are_found_in_one_text_and_in_order() -> None:
    assert in_order(["is missing", "Give span"], "span: is missing. Give span, such as 140deg.")
    assert not in_order(["Give span", "is missing"], "span: is missing. Give span, such as 140deg.")
    assert not in_order(["is missing", "Give rise"], "span: is missing. Give span, such as 140deg.")
    assert stands_whole(["is past the last row", ", 6."])
    assert not stands_whole([", 6.", "is past the last row"])


def test_the_list_of_refusals_is_not_empty() -> None:
    assert sum(1 for module in MODULES for _ in sentences(module)) > 400
