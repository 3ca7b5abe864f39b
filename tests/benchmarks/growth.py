"""How the cost of solving grows with the stops: the exponent of the fitted power.

python tests/benchmarks/growth.py [--most 11000] [--old FOLDER]      (10,000 stops if left out, which take some seconds each)

With the folder of an older program, a card of 10,000 cuts is made by both and their CPU times compared.
"""

from __future__ import annotations

import argparse
import math
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

from stepcut.machine import Cutter, Machine, RotaryTable, Scale
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from stepcut.shapes.ramp.wanted import Ramp

HERE = Path(__file__).parents[2]
# Words that every version reads.
JOB = """stepcut = 1
machine = "{machine}"
title = "many cuts"
[ramp]
outside = "60mm"
bore = "48mm"
rise = "3mm"
span = "180deg"
cutter = "8mm"
approach = "{approach}"
step = "0.018deg"
"""


def fine_machine(folder: Path) -> Path:
    """Write the metric machine with a table and a depth that are read very finely."""
    # From the package, wherever it is: the tests also run where only its wheel is.
    text = (files("stepcut") / "data/machines/metric.toml").read_text("utf-8")
    text = text.replace('division = "1\'"', 'division = "0.0001deg"').replace('dial = "minutes"', 'dial = "decimal"')
    path = folder / "fine.toml"
    path.write_text(re.sub(r'division = "0\.\d+mm"', 'division = "0.00001mm"', text), "utf-8")
    return path


def cpu(program: Path, job: Path) -> float:
    """Return the CPU seconds that a program takes to solve, measure and print the card of a job."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "stepcut", "card", str(job)]
    done = subprocess.run(command, cwd=program, env={**os.environ, "PYTHONPATH": str(program)}, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if not done.stdout:
        sys.exit(f"{program}: {done.stderr.decode()}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def against(old: Path) -> None:
    """Print the CPU time of cards of 10,000 cuts by an older program and by this one."""
    with tempfile.TemporaryDirectory() as folder:
        machine = fine_machine(Path(folder))
        for approach in ("across", "side"):
            job = Path(folder) / f"{approach}.toml"
            job.write_text(JOB.format(machine=machine, approach=approach), "utf-8")
            before, now = cpu(old, job), cpu(HERE, job)
            print(
                f"{approach:<7} card of 10,000 cuts: CPU {before:6.1f} s -> {now:6.1f} s   ratio {now / before:.2f}",
                flush=True,
            )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--most", type=int, default=10_000)
    parser.add_argument("--old", type=Path)
    given = parser.parse_args()
    if given.old is not None:
        against(given.old)
    most = given.most
    rim = Scale("rim", Fraction(1, 100_000), Fraction(4), angular=True)
    fine = Scale("depth", Fraction(1, 10**7))
    machine = Machine("fine", "mm", RotaryTable(rim), fine, fine)
    ring = Ramp(Fraction(60), Fraction(48), Fraction(180), Fraction(3))
    for approach, on_line in (("across", "edge"), ("plunge", "centre"), ("side", "centre")):
        cutting = Cutting(approach, on_line, Cutter("flat", Fraction(8)))  # type: ignore[arg-type]
        points = []
        for stops in [*(n for n in (18, 100, 1000, 10_000) if n < most), most]:
            start = time.perf_counter()
            plan = solve(ring, cutting, Stepping(step=Fraction(180, stops)), machine)
            took = time.perf_counter() - start
            points.append((math.log(len(plan.stops)), math.log(took)))
            print(f"{approach:<7} {len(plan.stops):>7} stops  {took:8.3f} s")
        tail = points[1:]
        mean_x, mean_y = (sum(column) / len(tail) for column in zip(*tail, strict=True))
        exponent = sum((x - mean_x) * (y - mean_y) for x, y in tail) / sum((x - mean_x) ** 2 for x, _ in tail)
        print(f"{approach:<7} exponent {exponent:.2f}")


if __name__ == "__main__":
    main()
