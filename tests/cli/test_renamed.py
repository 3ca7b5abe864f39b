"""Options that had another name: the old one is read, and the new one said."""

from __future__ import annotations

import pytest

from tests.conftest import Run


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            ["recover", "sluice-clamp-ramp", "--stop", "7", "--found", "0.055in"],
            ["recover", "sluice-clamp-ramp", "--cut", "7", "--found", "0.055in"],
            "--stop is now called --cut; it was read as cut = 7.\n",
        ),
        (
            ["blue", "sluice-clamp-ramp", "--stops", "1,2,5"],
            ["blue", "sluice-clamp-ramp", "--cuts", "1,2,5"],
            "--stops is now called --cuts; it was read as cuts = 1,2,5.\n",
        ),
    ],
)
def test_an_old_option_is_read_and_its_new_name_said(run: Run, old: list[str], new: list[str], said: str) -> None:
    before, after = run(*old), run(*new)
    assert (before.returncode, after.returncode) == (0, 0)
    assert before.stdout.splitlines()[1:3] == after.stdout.splitlines()[1:3]
    assert (before.stderr, after.stderr) == (said, "")
    assert old[-2 if old[0] == "blue" else 2] not in run(old[0], "--help").stdout


def test_an_option_under_both_its_names_is_refused(run: Run) -> None:
    done = run("blue", "sluice-clamp-ramp", "--stops", "1", "--cuts", "2")
    assert done.returncode == 2
    assert done.stderr.strip() == "stops = 1: is the old name of cuts, which is given too. Leave one of them out."
