"""Whatever is asked without --machine: a machine that the user did not choose is said to be an EXAMPLE MACHINE."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import chdir
from pathlib import Path
from random import Random

import pytest

from stepcut.machine import chosen, files
from tests import pages
from tests.cli.test_machine import INCH, METRIC, QUILL, answered
from tests.machine.test_chosen import make
from tests.program import run_here

SAYS = "EXAMPLE MACHINE"
QUICK = 1  # seeds in every run; more with -m long


def machine(draw: Random) -> tuple[str, str]:
    """Make no machine, one by answers or one by a file, and choose something; return whose cards are then made, and how."""
    kind = draw.choice(["none", "example", "answers", "file", "file", "file and example", "two"])
    if kind == "example":
        chosen.use(draw.choice(files.SHIPPED))
        return "", kind
    if kind == "none":
        return "", kind
    name = draw.choice(["bench", "teilkopf", "drehbank-2"])
    if kind == "answers":
        answers = draw.choice([INCH, METRIC, QUILL])
        assert run("machine", "new", name, typed=answered(*answers)).returncode == 0
        return name, kind
    figures = {
        "unit": draw.choice(["in", "mm"]), "ratio": draw.choice([40, 60, 72, 90, 120]), "division": draw.choice(["1'", "0.1deg", "10'"]),
        "grows": draw.choice(["clockwise", "anticlockwise"]), "depth": draw.choice(["0.001in", "0.0005in", "0.005mm", "0.02mm"]),
        "reads": draw.choice(["diameter", "radius"]),
    }  # fmt: skip
    make(name, **figures)
    assert chosen.made(name)
    if kind == "file and example":  # said in so many words, so that its cards must still say what it is
        chosen.use("metric")
        return "", kind
    if kind == "two":
        make("second", ratio=50)
        chosen.use("second")
        return "second", kind
    return name, kind


def shape(draw: Random) -> list[str]:
    """The command of a random part."""
    mm = draw.uniform
    outside = mm(30, 60)
    ramp = ["ramp", f"--outside={outside:.1f}mm", f"--bore={outside * mm(0.72, 0.82):.1f}mm", f"--rise={mm(0.5, 2.5):.2f}mm", "--span=100deg",
            f"--cutter={draw.choice([7, 8])}mm", f"--ramps={draw.choice([1, 2])}", f"--tightens={draw.choice(['clockwise', 'anticlockwise'])}"]  # fmt: skip
    spaced = [f"--scallop={mm(0.1, 0.3):.2f}mm"]
    return draw.choice([
        [*ramp, draw.choice(["--step=10deg", "--step=7deg", "--cuts=11"])],
        [*ramp, draw.choice(["--step=10deg", "--cuts=12"]), "--leave=auto"],
        ["helix", f"--diameter={mm(20, 40):.1f}mm", f"--lead={mm(60, 120):.0f}mm", "--length=30mm", "--depth=1.5mm", "--cutter=5mm", "--step=10deg"],
        ["taper", f"--large={mm(20, 40):.1f}mm", f"--taper={draw.choice(['1:10', '1:20', '8deg included'])}", f"--length={mm(20, 50):.0f}mm", *spaced],
        ["radius", "--form=ball", f"--radius={mm(8, 15):.1f}mm", *spaced],
        ["profile", "--targets=0mm 20mm, 10mm 24mm, 18mm 25mm", *spaced],
        ["cam", f"--base={mm(12, 20):.1f}mm", "--segments=rise 3mm in 120deg; dwell 60deg; fall 3mm in 120deg; dwell 60deg", "--cutter=12mm", "--step=10deg"],
    ])  # fmt: skip


def run(*args: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    return run_here(args, input=typed)


def printed(part: list[str], folder: Path) -> Iterator[tuple[str, str]]:
    """Everything that is printed of a part, by what was asked; commands that do not go with it are left out."""
    shown = run(*part)
    yield "shape", shown.stdout
    if part[0] == "ramp":
        yield "choices", run(*part[:-1] if part[-1].startswith(("--step", "--cuts")) else [*part[:-2], part[-1]]).stdout
    yield "shape --json", run(*part, "--json").stdout
    saved = run(*part, "--save=job", "--title=job")
    if "has no" in saved.stderr:  # a mill without a lathe is not made to turn
        assert (saved.returncode, saved.stdout, part[0] in ("taper", "radius", "profile")) == (2, "", True)
        return
    assert saved.returncode in (0, 1), saved.stderr
    # SVG and PNG are the pages of the PDF, their letters drawn as curves.
    for kind in ("txt", "csv", "json", "html", "pdf"):
        out = folder / f"card.{kind}"
        done = run("card", "job", "--out", str(out))
        assert done.returncode == saved.returncode, done.stderr  # 1 where the verdict is DO NOT CUT
        found = [out] if out.exists() else sorted(folder.glob(f"card-*.{kind}"))
        yield (
            f"card {kind}",
            pages.text(out.read_bytes()) if kind == "pdf" else "".join(each.read_text("utf-8") for each in found),
        )
    size, other = {"ramp": ("cutter", "5mm"), "helix": ("cutter", "4mm"), "cam": ("cutter", "10mm"), "taper": ("length", "18mm"),
                   "radius": ("radius", "7mm"), "profile": ("leave", "0.1mm")}[part[0]]  # fmt: skip
    yield "card", run("card", "job").stdout
    yield "check", run("check", "job").stdout
    yield "compare", run("compare", "job", "--set", f"{size}={other}").stdout
    assert run("tick", "job", "--lines", typed="s\n\n\n\nq\n").returncode == 0
    yield "tick", run("tick", "job", "--lines", typed="q\n").stdout
    yield "log show", run("log", "show", "1").stdout
    if part[0] == "ramp":
        yield "lock", run("lock", "job", "--clamp=2kN").stdout
        yield "blue", run("blue", "job").stdout
    if part[0] in ("ramp", "cam", "helix"):
        yield "where", run("where", "job", "--table=0deg").stdout
    if part[0] in ("ramp", "cam"):
        yield "recover", run("recover", "job", "--cut=2", "--found=9mm").stdout
    yield "again", run("again", "1", "--set", f"{size}={other}").stdout
    yield "again --all", run("again", "1", "--all").stdout


def looked_at(seed: int, folder: Path) -> None:
    draw = Random(seed)  # noqa: S311  # cases, no secrets
    with chdir(folder):
        his, kind = machine(draw)
        part = shape(draw)
        for what, text in printed(part, folder):
            told = " ".join(text.split())
            if not told:  # refused: nothing was printed that could be cut by
                continue
            example = '"example": true' in told or SAYS in told
            where = f"seed {seed}, {kind}, {' '.join(part)}: {what}"
            assert example == (not his), where
            if his and what not in ("choices", "blue", "where", "recover", "lock", "again", "compare"):
                assert his in told, where


@pytest.mark.parametrize("seed", range(QUICK))
def test_no_command_uses_a_machine_that_was_not_chosen_unless_it_says_example(seed: int, tmp_path: Path) -> None:
    looked_at(seed, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(QUICK, 40 if os.environ.get("STEPCUT_HYPOTHESIS") != "long" else 600))
def test_nor_does_any_of_many_more(seed: int, tmp_path: Path) -> None:
    looked_at(seed, tmp_path)
