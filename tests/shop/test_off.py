"""Faults at the machine, played with errors of reading: what they look like in the readings."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from stepcut.cards.off_text import off_lines
from stepcut.shop.off import fault
from stepcut.voice import Voice

ALLOWED, SLACK = 0.025, 0.10  # mm: a readout of 0.0005 in, and 0.004 in of slack


def played(kind: str, random: np.random.Generator) -> list[tuple[int, float, float]]:
    """Twelve cuts of 0.15 mm, every second one measured, read to 0.005 mm (one standard deviation)."""
    cuts = np.arange(2, 26, 2)
    wanted = 0.15 * cuts
    by = random.uniform(0.05, 0.2)
    off = {
        "within": np.zeros(12),
        "zero": np.full(12, by),
        "zero-or-deflection": np.full(12, -by),
        "slip": np.where(np.arange(12) >= random.integers(3, 9), by * random.choice([-1, 1]), 0.0),
        "grows": -by * wanted / wanted[-1],
        "slack": -SLACK * random.uniform(0, 1, 12),
    }[kind]
    found = wanted + off + random.normal(0, 0.005, 12)
    return [(int(n), float(w), float(f)) for n, w, f in zip(cuts, wanted, found, strict=True)]


@pytest.mark.parametrize("kind", ["within", "zero", "zero-or-deflection", "slip", "grows", "slack"])
def test_a_fault_is_known_by_its_readings(kind: str) -> None:
    random = np.random.default_rng(6)
    told = Counter(fault(played(kind, random), ALLOWED, SLACK).code for _ in range(300))
    assert told[kind] + told["unclear"] * (kind == "slack") >= 285, told


def test_a_slip_is_placed_and_measured() -> None:
    readings = [(n, 0.1 * n, 0.1 * n + (0.08 if n >= 7 else 0.0)) for n in range(1, 13)]
    found = fault(readings, ALLOWED, SLACK)
    assert (found.code, found.since) == ("slip", 7)
    assert found.by == pytest.approx(0.08)


def test_on_each_side_of_what_a_reading_may_be_off() -> None:
    assert fault([(n, 1.0, 1.0 + 0.024) for n in (1, 2, 3)], ALLOWED, SLACK).code == "within"
    assert fault([(n, 1.0, 1.0 + 0.026) for n in (1, 2, 3)], ALLOWED, SLACK).code == "zero"


def test_what_is_said() -> None:
    def text(*offs: float) -> str:
        readings = [(n, 0.5 * n, 0.5 * n + off) for n, off in enumerate(offs, 1)]
        return " ".join(off_lines(fault(readings, ALLOWED, SLACK), Voice("mm"), 1000))

    assert text(0.0, 0.01, 0.0) == ""
    assert text(0.1) == (
        "Off by 0.100 mm, too deep. One or two readings do not tell why: clean, measure again, then a cut before it. Go over the last cut "
        "once more at the same reading. If it takes metal off, the cutter gave way: take lighter cuts, or go over each twice; the zero is "
        "right. Bring the handle up again from the working side: if the readout then differs, it is slack. A cut too deep: see stepcut "
        "recover --cut N --found DEPTH before the next one."
    )
    assert text(-0.08, -0.08, -0.08) == (
        "All are 0.080 mm too shallow: the zero is off, or the cutter gives way. Go over the last cut once more at the same reading. If it "
        "takes metal off, the cutter gave way: take lighter cuts, or go over each twice; the zero is right. If it only rubs, set the zero "
        "0.080 mm deeper for the rest."
    )
    assert text(0.0, 0.0, 0.1, 0.1).startswith("Right before cut 3, 0.100 mm too deep from it on: something slipped")
    assert text(-0.03, -0.06, -0.09).startswith("Off by a share of the depth, 0.090 mm too shallow at the deepest")
    assert text(0.0, -0.09, -0.01, -0.06, 0.0).startswith(
        "Right at times, up to 0.090 mm too shallow at others: slack."
    )
    assert text(0.3, -0.2, 0.25, -0.3).startswith("Off by up to 0.300 mm, in no pattern")
