"""A part cut with a fault, read, and gone on with as ``recover --off`` prints it: what it is in the end, on models of the whole part.

The fault acts on every reading that is set, the printed ones too; the models know nothing of what is said.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from stepcut.plan import Plan
from tests.conftest import Run
from tests.shop.mended import Json, stock, told
from tests.shop.test_mended import inward, plan_of

NAMES = (
    "paddle-latch-ramps",
    "bung-reamer-taper",
    "launch-funnel-dome",
    "ferry-chain-snail",
    "hoist-lifter-ball-ramps",
)
QUICK = {
    ("bung-reamer-taper", "scale", -0.15), ("hoist-lifter-ball-ramps", "slip", -0.15),
}  # fmt: skip


def faulty(plan: Plan, cause: str, by: float, since: int, n: int, reads: float) -> float:
    """What is cut where the scale reads so much: ``by`` above 0 takes more metal."""
    if cause == "scale":  # from where the tool first meets metal
        start = 0.0 if plan.axes[1] == "depth" else max(float(plan.second.value(stop.second)) for stop in plan.stops)
        return start + (reads - start) * (1 + by)
    return reads + inward(plan) * by * (cause != "slip" or n >= since)


def rows(text: str, plan: Plan) -> dict[int, float]:
    """Cuts and what is to be set, mm, from the printed table."""
    one = (25.4 if plan.machine.unit == "in" else 1.0) / (2 if plan.second.doubled else 1)
    found = re.findall(r"^ *(\d+) .* (-?[\d.]+)$", text, re.MULTILINE)
    return {int(n): float(value) * one for n, value in found}


@pytest.mark.parametrize(("name", "cause", "by"), [
    (name, cause, by) if (name, cause, by) in QUICK else pytest.param(name, cause, by, marks=pytest.mark.long)
    for name in NAMES for cause in ("zero", "slip", "scale") for by in (0.15, -0.15)
])  # fmt: skip
def test_the_part_is_in_the_end_what_was_promised(name: str, cause: str, by: float, run: Run) -> None:
    plan, random = plan_of(name), np.random.default_rng(5)
    part = told(plan)
    by = 0.06 * np.sign(by) if cause == "scale" else by
    reads = {stop.n: float(plan.second.value(stop.second)) for stop in plan.stops}
    count = len(reads)
    half, since = count // 2, count // 4
    made = {n: faulty(plan, cause, by, since, n, reads[n]) for n in range(1, half + 1)}
    run("tick", name, "--lines", input="s\n\n\nq\n")
    times = 2 if plan.second.doubled else 1
    for n in sorted({*range(1, half + 1, max(1, half // 8)), half}):
        found = made[n] + float(random.normal(0, 0.002))
        run("log", "reading", "1", str(n), f"{times * found:.4f}mm")
    done = run("recover", "--job", "1", "--off", cause)
    assert done.returncode == 0, done.stderr
    anew = rows(done.stdout, plan)
    assert set(range(half + 1, count + 1)) <= set(anew)
    after = {n: faulty(plan, cause, by, 0, n, value) for n, value in anew.items()}  # what slipped stays so

    def cuts(depths: dict[int, float]) -> list[Json]:
        key = next(key for key in ("depth", "radius", "x") if key in part["stops"][0])
        clear = 0.0 if key == "depth" else max(reads.values()) + 5.0  # a cut that is not made stands clear of the work
        return [{**stop, key: depths.get(stop["n"], clear)} for stop in part["stops"]]

    error = 0.004 if cause != "scale" else 0.02
    right = stock(part, (part, part["stops"]), (part, cuts({})))
    early, whole = (
        stock(part, (part, cuts(made)), (part, cuts({}))),
        stock(part, (part, cuts(made)), (part, cuts(after))),
    )
    lost = np.minimum(early, right)  # what was taken before it was read is gone
    assert (whole >= lost - error).all(), float((whole - lost).min())
    assert whole.max() <= right.max() + float(plan.second.division) * 1.5 + error, (whole.max(), right.max())
    if by < 0:
        assert whole.min() >= right.min() - error
        assert "once more" in " ".join(done.stdout.split())
