"""Every example in a command's help is a real one: it runs in a shop that has what it names."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest

from stepcut import cli
from stepcut.cli import COMMANDS
from stepcut.cli.examples import EXAMPLES as COMMANDS_OWN
from stepcut.cli.examples import examples_of
from stepcut.shapes import SHAPES
from tests.cli.test_machine import INCH, answered
from tests.cli.test_read import ring
from tests.cli.test_start import RAMP
from tests.shops import thinned

EXAMPLES = {**{shape: examples_of(shape) for shape in SHAPES}, **COMMANDS_OWN}
BEFORE = {  # what a person has done before, where an example goes on from it
    "log keep": ("log delete 1", "log delete 2"),
    "log empty": ("log delete 3",),
    "log restore": ("log backup copy.db", "log backup spare.db"),
    "log errors": ("log reading 1 2 0.0100in", "log reading 1 3 0.0150in", "log reading 1 4 0.0250in"),
}
ANSWERS = {
    "machine new": answered(*INCH),
    "machine check": "yes\n" * 40,
    "start": answered(*RAMP["in"]),
    "read": "",
    "tick": "q\n",
}


def called(line: str, answers: str = "") -> tuple[int, str, str]:
    """Return status and both outputs of a line, up to what is the shell's."""
    words = shlex.split(re.split(r"\s(?:\||<|>>)\s", line)[0])
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.TextIOWrapper(io.BytesIO(), "utf-8")
    stdin, sys.stdin = sys.stdin, io.StringIO(answers)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = cli.run(words)
        out.flush(), err.flush()
    finally:
        sys.stdin = stdin
    printed, said = (stream.buffer.getvalue().decode() for stream in (out, err))  # type: ignore[attr-defined]  # both are bytes
    return status, printed, said


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the home of a shop with a machine and four jobs."""
    home = tmp_path_factory.mktemp("shop")
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME"):
            patch.setenv(name, str(home))
        lines = ["machine new bench --like inch --unasked", "tick sluice-clamp-ramp", "tick oil-groove-helix"]
        # One part begun three times, as jobs that are merged are; the first goes on.
        lines += ["tick sluice-clamp-ramp --again", "tick sluice-clamp-ramp --again", "tick --job 1"]
        for line in lines:
            status, _, said = called(line, "s\nt\nc\nq\n")
            assert status == 0, f"{line}: {said}"
    return home


@pytest.mark.parametrize("name", thinned(EXAMPLES))
def test_the_examples_of_a_command_run(
    name: str, shop: Path, own_home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if name not in ("machine new", "start"):
        shutil.copytree(shop, own_home, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "crown.csv").write_text("0, 0.9\n0.5, 1\n", "utf-8")
    ring(tmp_path / "measured.csv", 0.004)
    (tmp_path / "old-pin.csv").write_text(
        "z in, diameter in\n" + "".join(f"{z / 8}, {1 + z / 160:.4f}\n" for z in range(17)), "utf-8"
    )
    for line in BEFORE.get(name, ()):
        assert called(line)[0] == 0, line
    for example in EXAMPLES[name]:
        assert name in example
        for line in example.split(" && stepcut "):
            status, _, said = called(line, ANSWERS.get(name, ""))
            assert status == 0, f"{line}: {said}"
        if name in ("machine new", "start"):  # the second one is another person's
            shutil.rmtree(own_home)
            own_home.mkdir()


def test_every_command_has_two_examples_and_its_help_shows_them_whole() -> None:
    groups = {name.split()[0] for name in EXAMPLES if " " in name}
    assert {name for name in COMMANDS if name not in groups} <= set(EXAMPLES)
    for name, lines in EXAMPLES.items():
        status, shown, _ = called(f"{name} --help")
        assert status == 0
        assert len(set(lines)) == 2
        assert all(f"\n  stepcut {line}\n" in shown for line in lines), name
    for group in groups:
        _, shown, _ = called(f"{group} --help")
        commands = re.findall(r"^  ([a-z]+)\s{2,}", shown.split("Commands:")[1], re.M)
        assert {f"{group} {command}" for command in commands} == {n for n in EXAMPLES if n.startswith(f"{group} ")}
