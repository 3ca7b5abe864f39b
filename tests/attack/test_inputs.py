"""Hostile input: every command line and recipe ends in a card or in a sentence, in bounded time, with the right status."""

from __future__ import annotations

import signal
import unicodedata
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcut import cli
from stepcut.cli import ending
from tests.attack import hostile, seeds

pytestmark = [pytest.mark.attack, pytest.mark.long]
PATIENCE = 20.0  # seconds of the processor for one command; what takes longer hangs


class Hangs(BaseException):
    """Raised into a command that takes too long; nothing of the program catches it."""


@pytest.fixture(autouse=True)
def watched(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[list[BaseException]]:
    """Keep each fault of the program for the test, work in an empty folder, and stop what hangs."""
    faults: list[BaseException] = []

    def kept(fault: Exception, arguments: object) -> str:
        faults.append(fault)
        return "fault"

    def stop(*_: object) -> None:
        raise Hangs

    monkeypatch.setattr(ending, "_reported", kept)
    monkeypatch.chdir(tmp_path)
    before = signal.signal(signal.SIGPROF, stop)
    yield faults
    signal.setitimer(signal.ITIMER_PROF, 0)
    signal.signal(signal.SIGPROF, before)


def attack(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Run one command line; return its status, and what is wrong with how it ended."""
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    try:
        status = cli.run(arguments)
    except Hangs:
        capsys.readouterr()
        return 4, f"hangs for {PATIENCE} s"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    said = capsys.readouterr()
    both = said.out + said.err
    wrong = ""
    if status not in (0, 1, 2, 3):
        wrong = f"status {status}"
    elif status == 1 and "DO NOT CUT" not in both:
        wrong = "status 1 without DO NOT CUT"
    elif status in (2, 3) and not said.err.strip():
        wrong = "refused without a word"
    elif "Traceback" in both:
        wrong = "traceback"
    elif any(c not in "\n\t" and unicodedata.category(c) in ("Cc", "Cf", "Cs") for c in both):
        wrong = "a character that acts"
    return status, wrong


def judged(found: Counter[str], failed: list[tuple[int, object, str]]) -> None:
    tried = sum(found.values())
    print(
        f"tried {tried}, "
        + ", ".join(f"{name} {count}" for name, count in sorted(found.items()))
        + f", failed {len(failed)}"
    )
    assert not failed, "\n".join(f"seed {seed}: {what!r}: {wrong}" for seed, what, wrong in failed[:20])


NAMES = {0: "done", 1: "DO NOT CUT", 2: "refused well", 3: "file refused well"}


def test_hostile_command_lines(capsys: pytest.CaptureFixture[str], watched: list[BaseException]) -> None:
    found: Counter[str] = Counter()
    failed: list[tuple[int, object, str]] = []
    for seed, chance in seeds(800, 40_000):
        arguments = hostile.command_line(chance)
        status, wrong = attack(arguments, capsys)
        found[NAMES.get(status, "fault")] += 1
        if wrong:
            failed.append((seed, arguments, f"{wrong} {watched[-1:]}"))
    judged(found, failed)


def test_hostile_recipe_files(capsys: pytest.CaptureFixture[str], watched: list[BaseException], tmp_path: Path) -> None:
    found: Counter[str] = Counter()
    failed: list[tuple[int, object, str]] = []
    path = tmp_path / "recipe.toml"
    for seed, chance in seeds(200, 20_000):
        path.write_bytes(hostile.recipe_text(chance))
        status, wrong = attack([chance.choice(["card", "check", "lock"]), str(path)], capsys)
        found[NAMES.get(status, "fault")] += 1
        if wrong:
            failed.append((seed, path.read_bytes(), f"{wrong} {watched[-1:]}"))
    judged(found, failed)
