"""How long a cold card takes against a bare interpreter with the same libraries: medians of paired runs.

python tests/benchmarks/startup.py [--pairs 21] [--old FOLDER]

With the folder of an older program, its card is made in turn with this one's.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parents[2]
RECIPE = str(HERE / "recipes" / "sluice-clamp-ramp.toml")
RING = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in"]
BARE = [sys.executable, "-c", "import typer, rich.table"]


def seconds(command: list[str], program: Path = HERE) -> float:
    start = time.perf_counter()
    env = {**os.environ, "PYTHONPATH": str(program)}
    subprocess.run(command, cwd=program, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def ratio(name: str, command: list[str], against: list[str], pairs: int) -> None:
    times = [(seconds(against), seconds(command)) for _ in range(pairs + 1)][1:]
    base, cost = (statistics.median(column) for column in zip(*times, strict=True))
    middle = statistics.median(b / a for a, b in times)
    print(f"{name:<42} {base * 1000:6.0f} ms -> {cost * 1000:6.0f} ms   ratio {middle:.2f}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=21)
    parser.add_argument("--old", type=Path)
    given = parser.parse_args()
    pairs = given.pairs
    installed = Path(sys.executable).parent / "stepcut"
    stepcut = [str(installed)] if installed.exists() else [sys.executable, "-m", "stepcut"]
    card = [*stepcut, "card", RECIPE]
    ratio("stepcut card / import typer, rich.table", card, BARE, pairs)
    ratio("stepcut --version / the same", [*stepcut, "--version"], BARE, pairs)
    ratio(
        "choices / stepcut ramp --step", [*stepcut, "ramp", *RING], [*stepcut, "ramp", *RING, "--step", "10deg"], pairs
    )
    if given.old is not None:
        own = [sys.executable, "-m", "stepcut", "card", "sluice-clamp-ramp"]
        times = [(seconds(own, given.old), seconds(own)) for _ in range(pairs + 1)][1:]
        middle = statistics.median(now / before for before, now in times)
        print(f"{'stepcut card now / before':<42} ratio {middle:.2f}")
    with tempfile.TemporaryDirectory() as folder:
        pdf = [*card, "--out", f"{folder}/card.pdf", "--force"]
        ratio("PDF of a card / terminal card", pdf, card, pairs)


if __name__ == "__main__":
    main()
