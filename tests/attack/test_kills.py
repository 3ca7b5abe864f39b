"""Kills at random acts, over lines and screen, while everything about the job changes: nothing acknowledged is lost, no number changes unsaid.

Its figures are printed behind each test: kills, acknowledged acts, lines with numbers, refused well.
"""

from __future__ import annotations

import contextlib
import random
import re
import resource
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import needs
from tests.attack import seeds
from tests.attack.shop import SAID, Screen, Shop
from tests.conftest import Run
from tests.log.programs import CLOCK_BACK, NOT_ASLEEP, SOLVES_OTHERWISE, copy_of

pytestmark = [pytest.mark.attack, pytest.mark.long]
ANSWER = re.compile(r"ticked|took back|First:|No check waits|Look first|nothing to take back|disk is full")
KEYS = "t\nc\nk\n\n\n\nu\n"


@pytest.fixture
def shop(tmp_path: Path, run: Run) -> Iterator[Shop]:
    made = Shop(tmp_path, run("machine", "show", "inch").stdout, copy_of(tmp_path / "program", NOT_ASLEEP))
    yield made
    made.whole()
    print("  ".join(f"{name} {count}" for name, count in sorted(made.counts.items())))


def keys(chance: random.Random, count: int) -> str:
    return "".join(chance.choice(KEYS.splitlines(keepends=True)) for _ in range(count))


def begun(window: subprocess.Popen[str], heard: list[str]) -> int:
    """Read the line that names the job."""
    assert window.stdout is not None
    heard.append(window.stdout.readline())
    assert heard[0].startswith("job "), (heard, window.communicate())
    return int(heard[0].split()[1].rstrip(":"))


def send(window: subprocess.Popen[str], words: str) -> None:
    assert window.stdin is not None
    with contextlib.suppress(BrokenPipeError, OSError):
        window.stdin.write(words)
        window.stdin.flush()


def heard_on(window: subprocess.Popen[str], heard: list[str], lines: int) -> None:
    assert window.stdout is not None
    for _ in range(lines):
        line = window.stdout.readline()
        if not line:
            break
        heard.append(line)


def one_killed(shop: Shop, chance: random.Random, *words: str, program: Path | None = None) -> None:
    """One window line by line, killed at a random act."""
    window, heard = shop.window(*words, program=program), []
    job = begun(window, heard)
    before = shop.ticks(job)
    send(window, keys(chance, 60))
    heard_on(window, heard, chance.randrange(1, 60))
    time.sleep(chance.uniform(0.0, 0.003))
    lines = shop.kill(window, heard)
    shop.kept(job, before, shop.acts(lines))
    shop.unchanged(lines)


def test_one_window_killed_at_random_acts(shop: Shop) -> None:
    for _, chance in seeds(5, 90):
        one_killed(shop, chance, str(shop.recipe))


def test_six_windows_killed_at_once(shop: Shop) -> None:
    for _, chance in seeds(1, 10):
        windows = [shop.window(str(shop.recipe)) for _ in range(6)]
        heard: list[list[str]] = [[] for _ in windows]
        (job,) = {begun(window, lines) for window, lines in zip(windows, heard, strict=True)}
        for window in windows:
            send(window, "t\nc\nk\n\n" * 20)
        heard_on(windows[0], heard[0], chance.randrange(1, 40))
        before, acknowledged = set(), set()
        for window, lines in zip(windows, heard, strict=True):
            all_lines = shop.kill(window, lines)
            acts = shop.acts(all_lines)
            shop.unchanged(all_lines)
            assert len(acts) == len(set(acts))
            assert not acknowledged & set(acts)  # no act is acknowledged to two windows
            acknowledged |= set(acts)
        now = shop.ticks(job)
        assert {tick for _, tick in acknowledged} <= now | before


def test_a_clock_set_back(shop: Shop, tmp_path: Path) -> None:
    back = copy_of(tmp_path / "back", NOT_ASLEEP, CLOCK_BACK)
    for n, chance in seeds(2, 40):
        one_killed(shop, chance, str(shop.recipe), program=back if n % 2 else None)


def test_a_program_updated_in_mid_job(shop: Shop, tmp_path: Path) -> None:
    updated = copy_of(tmp_path / "updated", SOLVES_OTHERWISE)
    for n, chance in seeds(2, 40):
        if n == 0:
            one_killed(shop, chance, str(shop.recipe))
            cut = shop.told("tick", "--job", "1", "--lines")
            assert cut.returncode == 0
        with shop.store() as store:
            has_cut = any(what == "cut" for _, what in store.ticks(1))
        refused = shop.told("tick", str(shop.recipe), "--lines", program=updated)
        if has_cut:
            assert refused.returncode == 2
            assert "is not as job 1 was begun (cut 1: depth was " in refused.stderr
            shop.counts["refused well"] += 1
        with shop.store() as store:
            if store.job(1).ended:
                break
        one_killed(shop, chance, "--job", "1", program=updated)


def test_a_machine_edited_in_mid_job(shop: Shop) -> None:
    for n, chance in seeds(2, 40):
        shop.machine.write_text(shop.machine_text, "utf-8")
        if n == 0:
            window, heard = shop.window(str(shop.recipe)), []
            begun(window, heard)
            send(window, "s\nt\nc\nt\n")
            heard_on(window, heard, 6)
            shop.kill(window, heard)
        shop.machine.write_text(shop.machine_text.replace('"0.0005in"', '"0.001in"'), "utf-8")
        refused = shop.told("tick", str(shop.recipe), "--lines")
        assert refused.returncode == 2
        assert "is not as job 1 was begun (machine " in refused.stderr
        shop.counts["refused well"] += 1
        one_killed(shop, chance, "--job", "1")


def test_a_log_moved_under_the_window(shop: Shop) -> None:
    elsewhere = shop.home / "elsewhere"
    elsewhere.mkdir()
    files = ("log.sqlite3", "log.sqlite3-wal", "log.sqlite3-shm")
    for n, chance in seeds(2, 30):
        window, heard = shop.window(str(shop.recipe)), []
        job = begun(window, heard)
        before = shop.ticks(job)
        send(window, keys(chance, 8))
        heard_on(window, heard, chance.randrange(1, 12))
        for name in files:
            with contextlib.suppress(FileNotFoundError):
                (shop.log.parent / name).rename(elsewhere / name)
        send(window, keys(chance, 30))
        if n % 2:
            heard_on(window, heard, chance.randrange(1, 30))
            lines = shop.kill(window, heard)
        else:
            lines, errors = shop.ended(window, heard)
            assert "was moved, replaced or deleted while it was in use" in errors
            assert window.returncode == 3
            shop.counts["refused well"] += 1
        assert not shop.log.exists()
        for name in files:
            with contextlib.suppress(FileNotFoundError):
                (elsewhere / name).rename(shop.log.parent / name)
        shop.kept(job, before, shop.acts(lines))
        shop.unchanged(lines)


def test_a_full_disk_under_lines(shop: Shop) -> None:
    """A limit on the size of files stands for a disk that is full: what the window writes past it fails."""
    for n, chance in seeds(2, 30):
        window, heard = shop.window(str(shop.recipe)), []
        job = begun(window, heard)
        before = shop.ticks(job)
        send(window, keys(chance, 6))
        heard_on(window, heard, chance.randrange(1, 10))
        wal = shop.log.with_name("log.sqlite3-wal")
        room = (wal.stat().st_size if wal.exists() else 0) + chance.randrange(0, 20_000)
        resource.prlimit(window.pid, resource.RLIMIT_FSIZE, (room, room))
        send(window, keys(chance, 60))
        heard_on(window, heard, chance.randrange(1, 60) if n % 2 else 200)
        lines = shop.kill(window, heard)
        shop.kept(job, before, shop.acts(lines))
        shop.unchanged(lines)
        shop.whole()


@pytest.mark.parametrize("disk", ["with room", "full"])
def test_the_screen_killed_at_random_acts(shop: Shop, disk: str) -> None:
    tmux = needs.found("tmux")
    for _, chance in seeds(1, 15):
        first = shop.told("tick", str(shop.recipe), "--lines")
        job = int(first.stdout.split()[1].rstrip(":"))
        before = shop.ticks(job)
        screen = Screen(tmux, shop, ["--job", str(job)])
        try:
            acts, full_said, pressed = [], False, 0
            if (1, "turned") not in before:
                screen.press("s")
                screen.until(lambda text: "past the set-up" in text)
            for n in range(chance.randrange(2, 9)):
                if disk == "full" and n == 2:
                    wal = shop.log.with_name("log.sqlite3-wal")
                    room = (wal.stat().st_size if wal.exists() else 0) + chance.randrange(0, 6_000)
                    resource.prlimit(screen.pid, resource.RLIMIT_FSIZE, (room, room))
                then = screen.shown()
                pressed += 1
                screen.press(chance.choice([*["Enter"] * 8, "t", "c", "k"]))
                now = screen.until(lambda text, then=then: text != then and bool(ANSWER.search(text)), 2.0)
                match = SAID.search(now)
                if match and now != then:
                    acts.append((match[1], (int(match[3]), match[2])))
                full_said = full_said or "disk is full or failing" in now
            screen.press("Enter")  # under way when it is killed
            time.sleep(chance.uniform(0.0, 0.02))
        finally:
            screen.kill()
        shop.counts["kills"] += 1
        shop.counts["acknowledged"] += len(acts)
        shop.counts["refused well"] += full_said
        now = shop.ticks(job)
        assert before | {tick for _, tick in acts} <= now
        assert len(now - before) <= pressed + 1  # and no press did two acts
        shop.whole()
        shop.unchanged(shop.told("tick", "--job", str(job), "--lines").stdout.splitlines())
