"""The questions of every shape's guide: what says that it may stay empty may."""

from __future__ import annotations

import re
from importlib import import_module
from importlib.resources import files

import pytest

SHAPES = sorted(
    each.name for each in files("stepcut.shapes").iterdir() if each.is_dir() and (each / "guide.py").is_file()
)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_question_that_says_what_empty_means_may_be_left_empty(shape: str) -> None:
    questions = import_module(f"stepcut.shapes.{shape}.guide").QUESTIONS
    assert questions
    for ask in questions:
        assert ask.may_be_empty or not re.search(r"\b[Ee]mpty\b", ask.words), ask.key
