"""Faults at the machine, played with errors of reading: what they look like in the readings."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from stepcut.cards.off_text import off_lines
from stepcut.plan import Plan
from stepcut.shop.off import Cause, Fault, anew, fault, latest
from stepcut.voice import Voice
from tests.conftest import Run
from tests.shop.test_recover import RING, cut, plan_of, wanted

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
        "right. Bring the handle up again from the working side: if its reading then differs, it is slack. A cut too deep: see stepcut "
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


def really(plan: Plan, cause: Cause, by: float, since: int, n: int, reads: float) -> float:
    """The depth that is really cut where the scale reads so much, by the fault that is played."""
    if cause == "scale":
        return reads * (1 + by)
    return reads + (by if cause == "zero" or n >= since else 0.0)


@pytest.mark.parametrize("by", [-0.12, 0.08])
@pytest.mark.parametrize("cause", ["zero", "slip", "scale"])
def test_the_rest_planned_anew_comes_out_as_it_was_promised(cause: Cause, by: float) -> None:
    """The ring is cut with a fault to cut 9, three and more of them read to 0.005 mm; the rest goes by what is said then."""
    plan, random = plan_of(RING), np.random.default_rng(7)
    reads = {stop.n: float(plan.second.value(stop.second)) for stop in plan.stops}
    readings = [
        (n, reads[n], really(plan, cause, by, 5, n, reads[n]) + float(random.normal(0, 0.005)))
        for n in (2, 3, 4, 5, 6, 7, 8, 9)
    ]
    rest = anew(plan, readings, cause, 9)
    assert [n for n, _ in rest] == list(range(10, 29))
    division = float(plan.second.division)
    made = {n: really(plan, cause, by, 5, n, float(value)) for n, value in rest}
    error = 0.01 if cause != "scale" else 0.01 * max(reads.values()) / reads[9]
    assert all(-division - error <= made[n] - reads[n] <= error for n in made)
    # The second ramp, all of it cut anew: as the plan promises, but for the reading errors and a division.
    angles = np.arange(180, 360, 0.05) + 0.025
    places = [(float(plan.first.value(stop.first)), made[stop.n]) for stop in plan.stops if stop.start == 2]
    stock = wanted(angles) - cut(places, 9.525, angles, 1.40 * 25.4 / 2)
    assert np.nanmin(stock) >= float(plan.leave) - error - 1e-9
    assert np.nanmax(stock) <= plan.result.stock_max + division + error


def test_at_the_machine_the_readings_so_far_are_told_and_the_rest_is_planned_when_asked(run: Run) -> None:
    typed = "s\n" + "\n\n" * 2 + "m 0.0100in\n" + "\n\nm 0.0165in\n" + "\n\nm 0.0230in\no\nq\n"
    said = run("tick", RING, "--lines", input=typed).stdout
    assert "measured cut 2: -0.0025 in off. Do not cut on; o says what it looks like" in said
    assert said.count("One or two readings do not tell why") == 2
    looks = "All are 0.0025 in too shallow: the zero is off, or the cutter gives way. Go over the last cut once more at the same reading."
    assert f"\n{looks}" in said
    assert f"IT LOOKS LIKE: {looks}" in said
    rest = run("recover", "--job", "1", "--off", "zero").stdout
    assert "Set the zero of depth 0.0025 in deeper: the card's readings then hold" in " ".join(rest.split())
    assert "  5   50°  0.0320  0.0345" in rest
    assert "Go over each cut twice" in run("recover", "--job", "1", "--off", "deflection").stdout
    assert "do not look like a scale that is off" in " ".join(
        run("recover", "--job", "1", "--off", "scale").stdout.split()
    )


def test_no_cause_is_told_of_a_scale_on_which_nothing_is_cut_deeper(run: Run) -> None:
    refused = run("recover", "sluice-travel-rule", "--off", "zero")
    assert refused.returncode == 2
    assert (
        refused.stderr
        == "off = zero: is not told of line. Measure a place, set it by what you measured, and prove it at another.\n"
    )
    refused = run("recover", "bollard-pin-taper", "--off", "angle")
    assert refused.stderr == (
        "off = angle: is not one of the choices. Use zero, slip, scale, deflection, slack or askew.\n"
    )


def test_a_diameter_that_was_measured_is_told_on_radius_and_diameter(run: Run) -> None:
    run("tick", "bollard-pin-taper", "--lines", input="s\n\n\nq\n")
    # The card's first x is 30.10 on a dial of diameters.
    said = run("log", "reading", "1", "1", "30.18mm").stdout
    assert said.startswith("Cut 1: +0.040 mm on the radius, +0.080 mm on the diameter, against the plan.\n")
    assert "Off by 0.080 mm on the diameter, too shallow, the part too large." in " ".join(said.split())


def test_what_is_within_is_off_by_nothing() -> None:
    assert fault([(n, 1.0, 1.0 + 0.01) for n in (1, 2, 3)], ALLOWED, SLACK) == Fault("within", 0.0, None)


def test_a_reading_taken_again_at_a_cut_replaces_the_one_before() -> None:
    # 0.40 mistyped for 0.95 at cut 10, and written anew: nothing is off.
    assert latest([(10, 0.95, 0.40), (10, 0.95, 0.95)]) == [(10, 0.95, 0.95)]
    readings = [(8, 0.75, 0.75), (10, 0.95, 0.40), (9, 0.85, 0.85), (10, 0.95, 0.95)]
    assert fault(latest(readings), 0.02, 0.0).code == "within"
    assert fault(readings, 0.02, 0.0).code == "unclear"
