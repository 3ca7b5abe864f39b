"""A spiral that falls, said from one radius to another."""

from __future__ import annotations

import json

import numpy as np

from tests.conftest import Run

SAID = (
    "cam",
    "--base",
    "19mm",
    "--cutter",
    "10mm",
    "--step",
    "10deg",
    "--unit",
    "mm",
    "--machine",
    "metric",
    "--leave",
    "0mm",
)


def test_a_spiral_from_more_to_less_falls_along_the_equal_angle_curve(run: Run) -> None:
    done = run(*SAID, "--segments", "spiral from 19mm to 11mm in 300deg", "--json")
    assert done.returncode == 0, done.stderr
    stops = [each for each in json.loads(done.stdout)["stops"] if 40 <= each["table"] % 360 <= 260]
    assert len(stops) > 15
    for stop in stops:
        # A flat at height p touches where r(phi) cos(phi - t) is largest; the curve of one pressure angle, sampled.
        beside = np.radians(np.linspace(-30, 30, 60001))
        rim = 19 * (11 / 19) ** ((stop["table"] % 360 + np.degrees(beside)) / 300)
        wanted = (rim * np.cos(beside)).max()
        assert (
            -1e-6 <= stop["radius"] - wanted <= 0.005 + 1e-6
        )  # never below, and at most one mark of the readout above


def test_it_is_said_as_falling_and_a_bare_negative_lift_is_not_taken(run: Run) -> None:
    card = run(*SAID, "--segments", "spiral from 19mm to 11mm in 300deg").stdout
    assert "spiral down 8 mm over 300°" in card
    done = run(*SAID, "--segments", "spiral -8mm in 300deg")
    assert done.returncode == 2
    assert "Use fall to go down, rise or spiral to go up; a spiral that falls is said from 19mm to 11mm." in done.stderr
