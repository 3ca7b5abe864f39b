"""The map for contributors names files that are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import stepcut
from tests.conftest import ROOT

TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
PACKAGE = Path(stepcut.__file__).parent  # the installed one, where there is no checkout
MADE = {"tests/gallery/pictures"}  # written when asked for, not kept
NAMED = sorted(set(re.findall(r"`((?:stepcut|tests|recipes)/[\w./-]*)`", TEXT)) - MADE)


def test_the_map_names_many_files() -> None:
    assert len(NAMED) > 40


@pytest.mark.parametrize("name", NAMED)
def test_every_file_named_in_the_map_is_there(name: str) -> None:
    inside = name.removeprefix("stepcut/")
    assert (ROOT / name if inside == name else PACKAGE / inside).exists()


def test_every_folder_and_every_file_of_the_kernel_has_its_line() -> None:
    folders = {path.parent for path in PACKAGE.glob("*/__init__.py")}
    assert not [folder.name for folder in folders if f"stepcut/{folder.name}/" not in TEXT]
    kernel = (PACKAGE / "kernel").glob("*.py")
    assert not [path.name for path in kernel if path.stem != "__init__" and f"stepcut/kernel/{path.name}" not in TEXT]
