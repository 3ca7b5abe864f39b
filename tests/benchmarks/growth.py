"""How the cost of solving grows with the stops: the exponent of the fitted power.

python tests/benchmarks/growth.py [--most 99000]      (10,000 stops if left out, which take some seconds each)
"""

from __future__ import annotations

import argparse
import math
import time
from fractions import Fraction

from stepcut.machine import Cutter, Machine, RotaryTable, Scale
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from stepcut.shapes.ramp.wanted import Ramp


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--most", type=int, default=10_000)
    most = parser.parse_args().most
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
