"""Copies of the program in which a line is changed: one that was updated in mid-job, one under another clock."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import stepcut
from tests.conftest import ROOT

Patch = tuple[str, str, str]  # file, the text in it, and what stands in its place

# Every position one division shallower: a program that solves otherwise.
SOLVES_OTHERWISE: Patch = (
    "job.py",
    "        found = self.kind.build(self.values, self.machine)\n",
    "        from msgspec.structs import replace as anew\n        found = self.kind.build(self.values, self.machine)\n"
    "        found = anew(found, stops=tuple(anew(s, second=s.second - 1) for s in found.stops))\n",
)
CLOCK_BACK: Patch = (
    "log/file.py",
    "dt.datetime.now().astimezone()",
    "(dt.datetime.now() - dt.timedelta(days=4000)).astimezone()",
)
NOT_ASLEEP: Patch = ("cli/tick_screen.py", "ASLEEP = 0.6", "ASLEEP = 0.0")  # no waiting between two presses


def copy_of(folder: Path, *patches: Patch) -> Path:
    """Put a patched copy of the program into a folder and return it."""
    shutil.copytree(Path(stepcut.__file__).parent, folder / "stepcut", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "recipes", folder / "recipes")
    for name, old, new in patches:
        file = folder / "stepcut" / name
        text = file.read_text("utf-8")
        assert text.count(old) == 1, f"{name} has changed: {old!r}"
        file.write_text(text.replace(old, new), "utf-8")
    return folder


def environment(program: Path, home: Path | None = None) -> dict[str, str]:
    """Environment in which a copy runs, with a home of its own."""
    homes = {} if home is None else {"XDG_DATA_HOME": str(home), "XDG_CONFIG_HOME": str(home)}
    return {**os.environ, **homes, "PYTHONPATH": str(program), "PYTHONIOENCODING": "utf-8"}
