"""Hostile input: every command line, recipe and machine ends in a card or in a sentence, in bounded time, with the right status."""

from __future__ import annotations

import random
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from stepcut import recipes
from tests.attack import LONG, hostile, seeds
from tests.attack.forks import Ended, Play, played, wrong_with
from tests.shops import used_log

pytestmark = [pytest.mark.attack, pytest.mark.long]
NAMES = {0: "done", 1: "DO NOT CUT", 2: "refused well", 3: "file refused well"}


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return used_log(tmp_path_factory.mktemp("log") / "log.sqlite3")


def command_line(seed: int) -> tuple[object, list[str]]:
    arguments = hostile.command_line(random.Random(seed))  # noqa: S311  # repeatable attacks, not secrets
    return arguments, arguments


def recipe_file(seed: int) -> tuple[object, list[str]]:
    chance = random.Random(seed)  # noqa: S311
    data = hostile.recipe_text(chance)
    Path("recipe.toml").write_bytes(data)
    return data, [chance.choice(["card", "check", "lock"]), "recipe.toml"]


def machine_file(seed: int) -> tuple[object, list[str]]:
    chance = random.Random(seed)  # noqa: S311
    data = hostile.machine_text(chance)
    Path("mill.toml").write_bytes(data)
    shipped = [path.stem for path in recipes.shipped()]
    card = ["card", chance.choice(shipped), "--machine", "mill.toml"]
    return data, chance.choice([card, card, card, ["machine", "check", "mill.toml"], ["machine", "show", "mill.toml"]])


def judged(ended: list[Ended]) -> None:
    found = Counter(NAMES.get(each.status, "fault") for each in ended)
    failed = [each for each in ended if each.wrong]
    counts = ", ".join(f"{name} {count}" for name, count in sorted(found.items()))
    print(f"tried {len(ended)}, {counts}, failed {len(failed)}")
    assert not failed, "\n".join(f"seed {each.seed}: {each.what[:2000]}: {each.wrong}" for each in failed[:20])


@pytest.mark.parametrize(
    ("play", "few", "many"),
    [(command_line, 800, 40_000), (recipe_file, 200, 20_000), (machine_file, 200, 20_000)],
    ids=["command lines", "recipe files", "machine files"],
)
def test_hostile(play: Play, few: int, many: int, tmp_path: Path, log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    judged(played([seed for seed, _ in seeds(few, many)], play, tmp_path, log))


def test_a_sample_by_real_starts_of_the_program(tmp_path: Path) -> None:
    """A fork might hide what only a start of its own shows."""
    ended = []
    for seed in range(0, 4000 if LONG else 400, 40):
        what, arguments = command_line(seed)
        with subprocess.Popen(
            [sys.executable, "-m", "stepcut", *arguments], stdin=subprocess.DEVNULL, cwd=tmp_path,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8", errors="surrogateescape",
        ) as process:  # fmt: skip
            out, err = process.communicate(timeout=300)
        ended.append(Ended(seed, repr(what), process.returncode, wrong_with(process.returncode, out, err)))
    judged(ended)
