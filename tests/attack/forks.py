"""Hostile cases played in forks of one warm process: everything is imported once, and each fork has limits of its own.

A fork plays a batch of cases one after another with its standard streams in files.  One that dies in the middle of a batch, by a
signal or a limit, is a failure of the case it was at, and the rest of the batch is played in a new one.
"""

from __future__ import annotations

import json
import os
import resource
import select
import shutil
import signal
import sys
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from stepcut import cli
from stepcut.cli import ending

PATIENCE = 20.0  # seconds of the processor for one command; what takes longer hangs
MEMORY = 3_000_000_000  # bytes of address space of a fork
OUTPUT = 60_000_000  # bytes of one file that a fork may write
BATCH = 40
# What status 1 says, and no other status means it.
REASONS = ("DO NOT CUT",)
# What a command prints that was asked and answers no.
ANSWERS = (
    "fit no cut",
    "not proved",
    "out of its scatter",
    "NO TRAIN",
    "NO MATCH",
    "Mend ",
    "answers are kept",
    "answer is kept",
)
Play = Callable[
    [int], tuple[object, list[str]]
]  # makes what a seed stands for; what to say of it, and its command line


class Hangs(BaseException):
    """Raised into a command that takes too long; nothing of the program catches it."""


@dataclass(frozen=True)
class Ended:
    """How one case ended: its exit status, and what is wrong with that; empty when nothing is."""

    seed: int
    what: str
    status: int
    wrong: str


def wrong_with(status: int, out: str, err: str) -> str:
    """Return what is wrong with how a command ended."""
    both = out + err
    if status not in (0, 1, 2, 3):
        return f"status {status}"
    if status == 1 and not any(mark in both for mark in REASONS):
        return "status 1 without a reason"
    if status in (2, 3) and not err.strip() and not any(mark in out for mark in ANSWERS):
        return "refused without a word"
    if "Traceback" in both:
        return "traceback"
    if any(c not in "\n\t" and unicodedata.category(c) in ("Cc", "Cf", "Cs") for c in both):
        return "a character that acts"
    return ""


def played(seeds: Sequence[int], play: Play, folder: Path, log: Path, workers: int = 2) -> list[Ended]:
    """Return how every case ended; each begins with a fresh copy of a log."""
    batches = [list(seeds[k : k + BATCH]) for k in range(0, len(seeds), BATCH)]
    found: list[Ended] = []
    running: dict[int, tuple[int, list[int], bytearray]] = {}
    while batches or running:
        while batches and len(running) < workers:
            batch = batches.pop(0)
            reader, pid = _forked(batch, play, folder, log)
            running[reader] = pid, batch, bytearray()
        ready, _, _ = select.select(list(running), [], [])
        for reader in ready:
            pid, batch, told = running[reader]
            data = os.read(reader, 65536)
            told += data
            if data:
                continue
            os.close(reader)
            del running[reader]
            _, status = os.waitpid(pid, 0)
            ended = [Ended(*json.loads(line)) for line in told.decode().splitlines() if line.startswith("[")]
            found += ended
            rest = batch[len(ended) :]
            if rest:
                found.append(Ended(rest[0], str(play(rest[0])[0]), 4, f"its process ended with {status}"))
                batches.append(rest[1:])
    return sorted(found, key=lambda each: each.seed)


def _forked(batch: Sequence[int], play: Play, folder: Path, log: Path) -> tuple[int, int]:
    """Begin a fork that plays a batch; return where it tells how each case ended, and its number."""
    reader, writer = os.pipe()
    sys.stdout.flush()
    sys.stderr.flush()
    pid = os.fork()
    if not pid:
        os.close(reader)
        _batch(batch, play, folder / f"fork-{os.getpid()}", log, writer)
    os.close(writer)
    return reader, pid


def _batch(batch: Sequence[int], play: Play, home: Path, log: Path, writer: int) -> NoReturn:
    try:
        data = home / "data"
        data.mkdir(parents=True)
        os.environ.update({name: str(data) for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME")})
        os.chdir(home)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_FSIZE, (OUTPUT, OUTPUT))
        signal.signal(signal.SIGPROF, _stop)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115  # stays open
        for seed in batch:
            told = _one(seed, play, data / "stepcut" / "log.sqlite3", log)
            os.write(writer, (json.dumps(told) + "\n").encode())
        shutil.rmtree(home, ignore_errors=True)
    finally:
        os._exit(0)


def _stop(*_: object) -> None:
    raise Hangs


def _one(seed: int, play: Play, path: Path, log: Path) -> tuple[int, str, int, str]:
    for tail in ("-wal", "-shm"):
        path.with_name(path.name + tail).unlink(missing_ok=True)
    path.parent.mkdir(exist_ok=True)
    shutil.copyfile(log, path)
    what, arguments = play(seed)
    faults: list[str] = []

    def kept(fault: Exception, _: object) -> str:
        faults.append(repr(fault))
        return "fault"

    ending._reported = kept  # this fork's own
    for number, name in ((1, "stdout"), (2, "stderr")):
        handle = os.open(name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(handle, number)
        os.close(handle)
        setattr(sys, name, open(number, "w", encoding="utf-8", closefd=False))  # noqa: SIM115
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    try:
        status = cli.run(arguments)
    except Hangs:
        return seed, repr(what), 4, f"hangs for {PATIENCE} s"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        sys.stdout.flush()
        sys.stderr.flush()
    out, err = (Path(name).read_text("utf-8", "surrogateescape") for name in ("stdout", "stderr"))
    wrong = wrong_with(status, out, err)
    return seed, repr(what), status, f"{wrong} {faults[-1:]}" if wrong else ""
