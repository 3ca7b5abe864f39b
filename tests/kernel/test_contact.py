"""The contact curve against closed forms of the material ratio."""

from __future__ import annotations

import itertools
import math
import random
from fractions import Fraction

import numpy as np
import pytest

from stepcut import recipes
from stepcut.kernel.measure import GAUSS_4, GAUSS_8
from stepcut.machine import Cutter
from stepcut.plan import Contact
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from tests.shops import INCH, example_ring, half_inch, inch_machine, inches


@pytest.mark.parametrize("leave", ["0", "0.002"])
def test_an_even_stair_has_a_straight_contact_curve(leave: str) -> None:
    # Closed form: stair of height h over the leave a, share = 1 - (c - a)/h, between a and a + h.
    ring = example_ring(start_depth=inches(leave))
    plan = solve(ring, half_inch(leave=inches(leave)), Stepping(step=Fraction(10)), inch_machine())
    a, h = float(inches(leave)), float(inches("0.005"))
    assert plan.contact is not None
    for share in (0.1, 0.25, 0.5, 0.6, 0.8, 0.99):
        height = a + h * (1 - share)
        assert plan.contact.share(height) == pytest.approx(share, abs=1e-6)
        assert plan.contact.height(share) == pytest.approx(height, abs=1e-7)
    assert plan.contact.share(a) == pytest.approx(1)
    assert plan.contact.share(a + h * 1.001) == 0
    # Filed down to height c every tooth keeps the volume under c: c - (c - a)^2/(2h) on the mean.
    c = a + 0.4 * h
    area = (0.875**2 - 0.7**2) / 2 * math.pi * 25.4**2
    assert plan.contact.volume_below(c) == pytest.approx(area * (c - (c - a) ** 2 / (2 * h)), rel=1e-6)


def test_a_sine_has_the_material_ratio_of_a_sine() -> None:
    # ISO 21920-2 (material ratio): for y = sin x the share at or above c is 1/2 - asin(c)/pi.
    x = np.linspace(0, 2 * np.pi, 4001)
    y = np.sin(x)
    curve = Contact(tuple((float(a), float(b), 1.0) for a, b in itertools.pairwise(y)))
    for c in (-0.9, -0.3, 0.0, 0.5, 0.95):
        assert curve.share(c) == pytest.approx(0.5 - math.asin(c) / math.pi, abs=1e-4)
        assert curve.height(0.5 - math.asin(c) / math.pi) == pytest.approx(c, abs=1e-3)


def test_cusps_have_the_material_ratio_of_cusps() -> None:
    # Cusps between circles of radius R at pitch p: height h(x) = R - sqrt(R^2 - x^2), |x| <= p/2, so the share at or above c
    # is 1 - 2 sqrt(R^2 - (R - c)^2) / p.  A side cutter on a nearly level ring of a thin wall leaves such cusps.
    ring = example_ring(
        outside_diameter=inches("1.5005"), inside_diameter=inches("1.4995"), rise=Fraction(1, 10**7), start_depth=Fraction(5),
        span=Fraction(120),
    )  # fmt: skip
    machine = inch_machine()
    plan = solve(ring, Cutting("side", "centre", Cutter("flat", INCH / 2)), Stepping(step=Fraction(10)), machine)
    assert plan.contact is not None
    radius, base = 6.35, plan.result.stock_min
    for c in (0.02, 0.05, 0.1, 0.15):
        half = math.degrees(math.asin(math.sqrt(radius**2 - (radius - c) ** 2) / 19.05))
        assert plan.contact.share(base + c) == pytest.approx(1 - 2 * half / 10, abs=0.012)


def test_any_heap_of_strips_is_added_up_as_a_fine_raster_adds_it() -> None:
    chance = random.Random("strips")  # noqa: S311  # repeatable cases, not secrets
    for _ in range(20):
        ends = [
            (chance.choice([0.0, 0.2, 0.5, chance.random()]), chance.choice([0.2, 0.5, chance.random()]))
            for _ in range(6)
        ]
        strips = tuple((a, b, chance.choice([0.5, chance.uniform(0.1, 3)])) for a, b in ends)
        strips = (*strips, (0.3, 0.3, 0.4))  # some of it level
        curve = Contact(strips)
        rows = [(a + (b - a) * (np.arange(20_000) + 0.5) / 20_000, area) for a, b, area in strips]
        total = sum(area for _, area in rows)
        assert curve.area == pytest.approx(total)
        for c in (-0.1, 0.1, 0.33, 0.49999, 0.7, 1.1):
            share = sum(area * float((heights >= c).mean()) for heights, area in rows) / total
            assert curve.share(c) == pytest.approx(share, abs=2e-4)
            above = sum(area * float(np.clip(heights - c, 0, None).mean()) for heights, area in rows)
            assert curve.volume_above(c) == pytest.approx(above, abs=1e-6)
            below = sum(area * float(np.minimum(heights, c).mean()) for heights, area in rows)
            assert curve.volume_below(c) == pytest.approx(max(0.0, below), abs=1e-6)  # below the lowest nothing stands
        top, bottom = max(max(a, b) for a, b, area in strips if area), min(min(a, b) for a, b, area in strips if area)
        assert (curve.height(0.0), curve.height(1.0)) == pytest.approx((top, bottom), abs=1e-9)
        for share in (0.05, 0.3, 0.5, 0.62, 0.95):
            found = curve.height(share)
            assert curve.share(found + 1e-9) <= share + 1e-6
            assert curve.share(found - 1e-9) >= share - 1e-6
    level = Contact(((0.3, 0.3, 2.0), (0.1, 0.1, 1.0)))  # two steps: half blue shows on the upper one
    assert [level.share(c) for c in (0.31, 0.3, 0.2, 0.1, 0.05)] == pytest.approx([0, 2 / 3, 2 / 3, 1, 1])
    assert [level.height(share) for share in (0.1, 0.5, 0.8, 1.0)] == pytest.approx([0.3, 0.3, 0.1, 0.1])


def test_gauss_rules_are_those_of_numpy() -> None:
    for rule, order in ((GAUSS_4, 4), (GAUSS_8, 8)):
        nodes, weights = np.polynomial.legendre.leggauss(order)
        assert [x for x, _ in rule] == pytest.approx(list((nodes + 1) / 2), abs=1e-15)
        assert [w for _, w in rule] == pytest.approx(list(weights / 2), abs=1e-15)


@pytest.mark.parametrize(
    "name",
    [
        "bollard-pin-taper",
        "shaft-shoulder-fillet",
        "lever-ball-knob",
        "belt-crown-profile",
        "sluice-clamp-ramp",
        "tension-release-cam",
    ],
)
def test_the_contact_curve_ends_where_the_most_and_the_least_is_left(name: str) -> None:
    plan = recipes.job(recipes.load(name)).plan
    assert plan.contact is not None
    assert plan.contact.height(0.0) == pytest.approx(plan.result.stock_max, abs=2e-3)
    assert plan.contact.height(1.0) == pytest.approx(plan.result.stock_min, abs=2e-3)
    # Filed down to the wanted surface everything is gone: height times area, added up, is the mean.
    mean = plan.contact.volume_above(0.0) / plan.contact.area
    assert mean == pytest.approx(plan.result.stock_mean, rel=0.015)  # its strips are straight
