"""A blue check is of the job just cut: as it was cut, whatever its recipe says since and whatever the time."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.conftest import Run
from tests.log.test_care import log_file

ENTERS = "\n" * 400


def cut(run: Run, *words: str) -> None:
    """Cut a job to its end, as a hand does that presses Enter at each act."""
    done = run("tick", *words, "--lines", input=ENTERS)
    assert "is done: file and blue" in done.stderr


def first_line(run: Run, *words: str) -> str:
    return run("blue", *words).stdout.splitlines()[0]


@pytest.fixture
def three(run: Run, own_home: Path) -> Run:
    """Three jobs of two materials, inch and metric, the middle one cut with another cutter than its recipe has."""
    cut(run, "sluice-clamp-ramp")
    cut(run, "paddle-latch-ramps", "--set", "cutter=8mm", "--set", "material=brass")
    cut(run, "tank-cap-bayonet", "--set", "material=brass")
    return run


def test_blue_is_of_the_job_just_cut_and_opens_no_empty_one(three: Run, own_home: Path) -> None:
    assert first_line(three, "20%") == "Job 3, Pump house tank, filler cap bayonet, part A."
    assert first_line(three, "sluice-clamp-ramp", "20%") == "Job 1, Sluice clamp ring, part A."
    other = three("blue", "paddle-latch-ramps", "20%")
    assert other.stdout.startswith("Job 2, Paddle latch, three ramps, part A.")
    assert other.stderr == (
        "Job 2 was cut otherwise than paddle-latch-ramps is now (cutter was 8mm, is 10mm; material was brass, is not given); this is of the "
        "job.\n"
    )
    assert first_line(three, "--job", "2", "20%") == "Job 2, Paddle latch, three ramps, part A."
    assert len(three("log", "list").stdout.splitlines()) == 3


def test_blue_is_of_the_job_just_cut_whatever_the_time_since(three: Run, own_home: Path) -> None:
    with closing(sqlite3.connect(log_file(own_home))) as db, db:
        db.execute("UPDATE jobs SET begun = '2019-03-01T07:00:00Z', ended = '2019-03-01T09:00:00Z'")
        db.execute("UPDATE ticks SET at = '2019-03-01T08:00:00Z'")
    assert first_line(three, "20%").startswith("Job 3, ")
    assert first_line(three, "paddle-latch-ramps", "20%").startswith("Job 2, ")
    assert len(three("log", "list").stdout.splitlines()) == 3


def test_blue_learns_from_jobs_of_this_material(three: Run) -> None:
    """The bayonet is of brass, as the latch is, and the clamp ring of steel: its file says nothing of brass."""
    for job, strokes in (("1", "40"), ("2", "8")):
        three("blue", "--job", job, "20%")
        three("blue", "--job", job, "35%", "--strokes", strokes, "--with", "smooth")
    text = " ".join(three("blue", "10%").stdout.split())
    assert text.startswith("Job 3, ")
    assert "(smooth file by your own 1 check of ramps of brass; the others: mild steel," in text


def test_blue_of_a_recipe_in_another_size_is_of_the_job_of_that_size(run: Run, own_home: Path) -> None:
    cut(run, "sluice-clamp-ramp", "--set", "rise=0.08in")
    cut(run, "sluice-clamp-ramp")
    assert first_line(run, "sluice-clamp-ramp", "20%").startswith("Job 2, ")
    assert first_line(run, "sluice-clamp-ramp", "20%", "--set", "rise=0.08in").startswith("Job 1, ")


def test_a_job_that_is_taken_back_or_binned_is_not_the_one_just_cut(three: Run) -> None:
    assert three("log", "delete", "3").returncode == 0
    assert first_line(three, "20%").startswith("Job 2, ")


def test_blue_says_when_nothing_was_cut(run: Run, own_home: Path) -> None:
    done = run("blue", "20%")
    assert (done.returncode, done.stderr) == (
        2,
        "recipe: or a job is wanted, as the log knows of nothing cut. Name a recipe, or give --job with its number.\n",
    )
