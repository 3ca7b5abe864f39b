"""The table of choices advises: one row is marked, one sentence says why, times only from this shop's own log."""

from __future__ import annotations

import datetime as dt
import itertools
import re
from fractions import Fraction

import pytest

from stepcut.cli.choosing import Pace, _advised
from stepcut.log import file, jobs, records, ticks
from stepcut.log.history import cutting_pace
from stepcut.shapes.ramp.choices import Choice
from stepcut.voice import Voice
from tests.conftest import Run

RING = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in"]


def row(stops: int, scallop: float, volume: float, step: int | None = 10) -> Choice:
    return Choice(
        None if step is None else Fraction(step), None, stops, scallop, scallop, volume, Fraction(0), "across"
    )


ROWS = [row(6, 0.38, 53.0), row(15, 0.15, 21.0), row(30, 0.076, 10.0), row(45, 0.05, 7.0)]


def test_without_a_log_the_fewest_even_cuts_with_a_ridge_for_a_few_strokes_are_advised() -> None:
    # Common practice, no source: 5 thou, here 0.12 mm, comes off in a few strokes; 0.076 mm is the first row below it.
    assert _advised(ROWS, None, Voice("mm"))[0] == 2
    assert _advised(ROWS[:2], None, Voice("mm")) == (1, "Row 2 leaves the least that these steps can.")


def test_with_a_log_the_least_time_in_all_is_advised() -> None:
    # 2 minutes a cut, 1 minute a mm^3: 12 + 53 = 65, 30 + 21 = 51, 60 + 10 = 70, 90 + 7 = 97
    best, why = _advised(ROWS, Pace(2.0, 1.0), Voice("mm"))
    assert (best, why) == (1, "Row 2 takes least in all, about 51 minutes by your own log.")
    # filing ten times as slow: 12 + 530, 30 + 210, 60 + 100, 90 + 70: the last two are alike, the coarser is taken
    assert _advised(ROWS, Pace(2.0, 10.0), Voice("mm"))[0] == 2


def test_nothing_is_said_of_time_with_too_few_jobs() -> None:
    job = [(f"2026-05-01T10:{2 * n:02d}:00+00:00", "cut") for n in range(6)]
    assert cutting_pace([job, job]) is None
    assert cutting_pace([job, job, job[:3]]) is None
    night = [*job[:5], ("2026-05-02T08:00:00+00:00", "cut")]
    assert cutting_pace([job, job, night]) == 2.0


def test_the_table_frightens_nobody_and_marks_one_row(run: Run) -> None:
    shown = run("ramp", *RING, "--leave", "0in").stdout
    assert "creep" not in shown.lower()  # every drop of these steps is whole divisions
    assert " min" not in shown
    assert len(re.findall(r"^ *\*\d", shown, re.M)) == 1
    assert len([line for line in shown.splitlines() if line.startswith("Row ")]) == 1
    assert max(map(len, shown.splitlines())) <= 80


def test_a_shop_whose_log_has_three_jobs_is_told_how_long_each_row_takes(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    minute = itertools.count()

    def clock() -> str:  # a minute for everything that is written down
        return (dt.datetime(2026, 5, 4, 8, tzinfo=dt.UTC) + dt.timedelta(minutes=next(minute))).isoformat()

    for module in (file, jobs, ticks, records):
        monkeypatch.setattr(module, "now", clock)
    for number in range(3):
        title = f"ring {number}"
        assert run("ramp", *RING, "--step", "12deg", "--title", title, "--save", f"ring-{number}").returncode == 0
        assert " min" not in run("ramp", *RING).stdout  # nothing invented before
        done = run("tick", f"ring-{number}", "--lines", input="s\n" + "\n" * 18 + "q\n")
        assert done.returncode == 0
        assert run("blue", "--job", str(number + 1), "20%").returncode == 0
        assert run("blue", "--job", str(number + 1), "60%", "--minutes", "10").returncode == 0
    shown = run("ramp", *RING).stdout
    head = next(line for line in shown.splitlines() if line.startswith("no."))
    assert "cutting" in head and "filing" in head
    rows = [line for line in shown.splitlines() if re.match(r"^ *\*?\d+ .* min", line)]
    spent = [sum(float(n) for n in re.findall(r"(\d+) min", line)) for line in rows]
    advised = next(k for k, line in enumerate(rows) if line.lstrip().startswith("*"))
    assert spent[advised] == min(spent)
    assert f"Row {advised + 1} takes least in all, about {spent[advised]:.0f} minutes by your own log." in " ".join(
        shown.split()
    )
