"""Try mutants of some files and write what came of them.

python -m tests.mutation.run --seed 1 --count 60 [--workers 2] [--limit 60] [--tests tests/shop,stepcut/shop] FILES...

FILES are files or folders of the package.  --tests narrows down which tests are measured and asked (all that are not
marked long, if left out).  --only NAME tries one mutant again by its name.  Survivors are printed with their names: mend a
test, or put the name and the reason into equivalents.toml.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue

from tests.mutation import results
from tests.mutation.mutants import Mutant, changed, mutants
from tests.mutation.reach import Reach, measure

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
EQUIVALENTS = HERE / "equivalents.toml"


def copied(top: Path) -> Path:
    """A checkout of its own: what git knows and what stands beside it."""
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    for name in listed.stdout.splitlines():
        if (ROOT / name).is_file():
            (top / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, top / name)
    return top


def noticed(top: Path, mutant: Mutant, tests: list[str], limit: float) -> str:
    """Put the fault in, ask the tests, take it out again: killed, timeout, survived or not reached."""
    if not tests:
        return "not reached"
    file = top / mutant.module
    source = file.read_text("utf-8")
    asked = top / "asked.txt"
    asked.write_text("\n".join(tests), "utf-8")
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", f"@{asked}"]
    environment = {**os.environ, "PYTHONPATH": str(top), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        file.write_text(changed(mutant, source), "utf-8")
        process = subprocess.Popen(
            command,
            cwd=top,
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        try:
            return "survived" if process.wait(limit) == 0 else "killed"
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)  # its own session: only this run and what it started
            process.wait()
            return "timeout"
    finally:
        file.write_text(source, "utf-8")


def chosen(files: list[str], count: int, seed: int, only: str | None) -> list[Mutant]:
    """The mutants to try: as many as asked for, drawn from all of these files by the seed."""
    paths = sorted(
        path for name in files for path in ([ROOT / name] if name.endswith(".py") else (ROOT / name).rglob("*.py"))
    )
    every = [mutant for path in paths for mutant in mutants(path.relative_to(ROOT).as_posix(), path.read_text("utf-8"))]
    if only:
        return [mutant for mutant in every if mutant.name == only]
    return random.Random(seed).sample(every, min(count, len(every)))  # noqa: S311  # a repeatable draw, no secret


def tried(wanted: list[Mutant], reach: Reach, tops: list[Path], limit: float) -> dict[Mutant, str]:
    """What came of every mutant; one at a time in each checkout."""
    free: Queue[Path] = Queue()
    for top in tops:
        free.put(top)

    def one(mutant: Mutant) -> str:
        top = free.get()
        try:
            tests = reach.tests(mutant.module, mutant.begin, mutant.end)
            begun = time.monotonic()
            outcome = noticed(top, mutant, tests, limit)
            print(f"{outcome:<12} {time.monotonic() - begun:5.1f} s  {len(tests):>4} tests  {mutant.name}", flush=True)
            return outcome
        finally:
            free.put(top)

    with ThreadPoolExecutor(len(tops)) as pool:
        return dict(zip(wanted, pool.map(one, wanted), strict=True))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--limit", type=float, default=60.0)
    parser.add_argument("--tests", default="tests,stepcut")
    parser.add_argument("--only")
    parser.add_argument("files", nargs="+")
    asked = parser.parse_args()
    wanted = chosen(asked.files, asked.count, asked.seed, asked.only)
    equivalent = tomllib.loads(EQUIVALENTS.read_text("utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        tops = [copied(Path(folder) / str(n)) for n in range(asked.workers)]
        begun = time.monotonic()
        reach = measure(tops[0], asked.tests.split(","), asked.workers)
        print(f"{len(reach.seconds)} tests pass and were measured in {time.monotonic() - begun:.0f} s", flush=True)
        found = tried(wanted, reach, tops, asked.limit)
    outcomes = {
        mutant: "equivalent" if outcome == "survived" and mutant.name in equivalent else outcome
        for mutant, outcome in found.items()
    }
    print(results.summary(outcomes))
    if not asked.only:
        results.keep(asked.seed, asked.files, outcomes)


if __name__ == "__main__":
    main()
