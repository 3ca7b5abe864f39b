"""A shop under attack: its log, the windows that tick in it, and what they said was done."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path

from stepcut.cli.begun import as_begun
from stepcut.cli.ticking import words_of
from stepcut.log.rows import WholeJob
from stepcut.log.steps import steps
from stepcut.log.store import Store
from tests.log.programs import environment
from tests.shops import gate_ring

Tick = tuple[int, str]
SAID = re.compile(r"(ticked|took back) ([a-z]+(?:-\d+)?) (\d+)")


def replayed(ticks: Iterable[Tick], acts: Iterable[tuple[str, Tick]]) -> set[Tick]:
    """The ticks that stand after acts that were acknowledged."""
    found = set(ticks)
    for act, tick in acts:
        found = found | {tick} if act == "ticked" else found - {tick}
    return found


class Shop:
    """One data folder with a recipe on a machine of the shop's own."""

    def __init__(self, folder: Path, machine: str, program: Path) -> None:
        self.home, self.program = folder, program
        self.log = folder / "stepcut" / "log.sqlite3"
        self.machine, self.recipe = folder / "mill.toml", folder / "ring.toml"
        self.machine_text = machine
        self.machine.write_text(machine, "utf-8")
        gate_ring(self.recipe, machine=str(self.machine), span="140deg", ramps="2", cutter="3/8in", step="5deg")
        self.known: dict[int, tuple[WholeJob, set[tuple[str, str]]]] = {}
        self.counts: Counter[str] = Counter()

    # --- windows ------------------------------------------------------------------------------------------------------

    def command(self, *words: str) -> list[str]:
        """Command line of a window."""
        return [sys.executable, "-m", "stepcut", "tick", *words]

    def window(self, *words: str, program: Path | None = None) -> subprocess.Popen[str]:
        """Begin to tick line by line."""
        return subprocess.Popen(
            self.command(*words, "--lines"), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            encoding="utf-8", env=environment(program or self.program, self.home), cwd=self.home,
        )  # fmt: skip

    def told(self, *words: str, program: Path | None = None) -> subprocess.CompletedProcess[str]:
        """Run a command to its end."""
        return subprocess.run(
            [sys.executable, "-m", "stepcut", *words], input="q\n", capture_output=True, encoding="utf-8",
            env=environment(program or self.program, self.home), cwd=self.home,
        )  # fmt: skip

    def kill(self, process: subprocess.Popen[str], heard: list[str]) -> list[str]:
        """Kill a window; return all lines that it said."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(process.pid, signal.SIGKILL)
        lines, errors = self.ended(process, heard)
        assert "Traceback" not in errors
        assert "fault of stepcut" not in errors, errors
        if process.returncode == -signal.SIGKILL:
            self.counts["kills"] += 1
        else:
            assert process.returncode in (0, 2, 3), (process.returncode, errors)
            self.counts["refused well" if process.returncode else "ended"] += 1
        return lines

    def ended(self, process: subprocess.Popen[str], heard: list[str]) -> tuple[list[str], str]:
        """Wait for the end of a window that gets no more keys; return its lines and its errors."""
        assert process.stdout is not None and process.stderr is not None and process.stdin is not None
        with contextlib.suppress(OSError):
            process.stdin.close()
        lines, errors = [*heard, *process.stdout], process.stderr.read()
        process.wait()
        process.stdout.close()
        process.stderr.close()
        return lines, errors

    # --- what must hold -----------------------------------------------------------------------------------------------

    def store(self) -> Store:
        """The log as it stands."""
        return Store(self.log)

    def ticks(self, job: int) -> set[Tick]:
        """What is ticked of a job."""
        if not self.log.exists():
            return set()
        with self.store() as store:
            return store.ticks(job)

    def acts(self, lines: Iterable[str]) -> list[tuple[str, Tick]]:
        """Acts that lines acknowledged."""
        found = [SAID.match(line) for line in lines]
        acts = [(match[1], (int(match[3]), match[2])) for match in found if match]
        self.counts["acknowledged"] += len(acts)
        return acts

    def unchanged(self, lines: Iterable[str]) -> None:
        """Every line that shows a step shows one of the job's as it was begun, and what the log keeps of the job is the same."""
        lines = list(lines)
        number = next((int(line.split()[1].rstrip(":")) for line in lines if line.startswith("job ")), None)
        if number is None:
            return
        with self.store() as store:
            row = store.job(number)
            if number not in self.known:
                shown = {(step.screen.place, words_of(step.screen)) for step in steps(as_begun(row).card)}
                self.known[number] = row, shown
        first, shown = self.known[number]
        kept = ("recipe", "plan", "machine_file", "as_begun", "stops", "revision", "named")
        assert [getattr(row, name) for name in kept] == [getattr(first, name) for name in kept]
        for line in lines:
            place, bar, rest = line.partition(" | ")
            if not bar:
                continue
            words = rest.rpartition(" | ")[0].removeprefix("STOP. ")
            assert (place.removesuffix(" (ticked before)"), words) in shown, line
            self.counts["lines with numbers"] += 1

    def kept(self, job: int, before: set[Tick], acts: list[tuple[str, Tick]]) -> None:
        """What one window said was done stands in the log; one act more, under way when it was killed, may."""
        now = self.ticks(job)
        wanted = replayed(before, acts)
        assert len(now ^ wanted) <= 1, f"lost {wanted - now}, not said {now - wanted}, said {acts}"

    def whole(self) -> None:
        """The file is sound."""
        with contextlib.closing(sqlite3.connect(self.log)) as db:
            assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert db.execute("PRAGMA foreign_key_check").fetchall() == []


class Screen:
    """The real screen in a terminal of tmux."""

    def __init__(self, tmux: str, shop: Shop, words: list[str], wrap: Callable[[str], str] = str) -> None:
        self.tmux = [tmux, "-L", f"kills-{os.getpid()}", "-f", "/dev/null"]
        command = " ".join(f"'{word}'" for word in shop.command(*words))
        subprocess.run(
            [*self.tmux, "-u", "new-session", "-d", "-s", "s", "-x", "80", "-y", "24", wrap(f"exec {command}")],
            env=environment(shop.program, shop.home), cwd=shop.home, check=True,
        )  # fmt: skip
        self.pid = int(self._ask("display-message", "-p", "-t", "s", "#{pane_pid}"))
        self.until(lambda text: " of " in text, 30)

    def _ask(self, *words: str) -> str:
        return subprocess.run([*self.tmux, *words], capture_output=True, text=True, check=False).stdout

    def shown(self) -> str:
        """What stands on the screen, in one line; empty when it is gone."""
        return " ".join(self._ask("capture-pane", "-p", "-t", "s").split())

    def until(self, done: Callable[[str], bool], seconds: float = 5.0) -> str:
        """Wait for what the screen shows; return it, whatever it is, after so many seconds."""
        end = time.monotonic() + seconds
        text = self.shown()
        while not done(text) and time.monotonic() < end:
            time.sleep(0.02)
            text = self.shown()
        return text

    def press(self, *keys: str) -> None:
        """Send keys."""
        subprocess.run([*self.tmux, "send-keys", "-t", "s", *keys], check=False)

    def kill(self) -> None:
        """Kill the program, and end the terminal."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        subprocess.run([*self.tmux, "kill-server"], check=False, capture_output=True)
