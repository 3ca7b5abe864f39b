"""How long a cold card takes against a bare interpreter with the same libraries: medians of paired runs.

python tests/benchmarks/startup.py [--pairs 21]
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RECIPE = str(Path(__file__).parents[2] / "recipes" / "sluice-clamp-ramp.toml")
RING = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in"]
BARE = [sys.executable, "-c", "import typer, rich.table"]


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def ratio(name: str, command: list[str], against: list[str], pairs: int) -> None:
    times = [(seconds(against), seconds(command)) for _ in range(pairs + 1)][1:]
    base, cost = (statistics.median(column) for column in zip(*times, strict=True))
    middle = statistics.median(b / a for a, b in times)
    print(f"{name:<42} {base * 1000:6.0f} ms -> {cost * 1000:6.0f} ms   ratio {middle:.2f}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=21)
    pairs = parser.parse_args().pairs
    installed = Path(sys.executable).parent / "stepcut"
    stepcut = [str(installed)] if installed.exists() else [sys.executable, "-m", "stepcut"]
    card = [*stepcut, "card", RECIPE]
    ratio("stepcut card / import typer, rich.table", card, BARE, pairs)
    ratio("stepcut --version / the same", [*stepcut, "--version"], BARE, pairs)
    ratio(
        "choices / stepcut ramp --step", [*stepcut, "ramp", *RING], [*stepcut, "ramp", *RING, "--step", "10deg"], pairs
    )
    with tempfile.TemporaryDirectory() as folder:
        pdf = [*card, "--out", f"{folder}/card.pdf", "--force"]
        ratio("PDF of a card / terminal card", pdf, card, pairs)


if __name__ == "__main__":
    main()
