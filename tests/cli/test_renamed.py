"""Options that had another name: the old one is read, and the new one said."""

from __future__ import annotations

import pytest

from stepcut import cli, recipes
from stepcut.shapes import renamed
from tests.conftest import Run
from tests.shapes.test_refusals import SOUND


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


# Every old input with a value of its day, what it was read as, and what of a sound job goes without it.
OLD_INPUTS: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "starts": ("2", "ramps = 2", ()),
    "law": ("harmonic", "motion = harmonic", ()),
    "lead-in": ("5deg", "dwell-high = 5deg", ()),
    "lead-out": ("5deg", "dwell-low = 5deg", ()),
    "approach": ("across", "cut-with = end", ()),
    "on-line": ("centre", "on-centre = axis", ()),
    "stops": ("12", "cuts = 12", ("step",)),
    "kind": ("flat", "cutter = {cutter} flat", ()),
    "corner": ("1mm", "cutter = {cutter} 1mm", ()),
    "ratio": ("1:20", "taper = 1:20", ("small",)),
    "per-foot": ("0.600in", "taper = 0.600in/ft", ("small",)),
    "standard": ("MT2", "taper = MT2", ("small",)),
}
EVERY_OLD = [(shape, each.old) for shape in SOUND for each in renamed.of_shape(shape)]


@pytest.mark.parametrize(("shape", "old"), EVERY_OLD, ids=[f"{shape} {old}" for shape, old in EVERY_OLD])
def test_every_old_input_is_read_in_a_recipe_and_typed_and_is_said_to_be_renamed(
    shape: str, old: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text, read_as, without = OLD_INPUTS[old]
    sound = {key: value for key, value in SOUND[shape].items() if key not in without}
    said = f"{old} is now called {read_as.split()[0]}; it was read as {read_as.format(**sound)}."
    made = recipes.from_content({"stepcut": 1, shape: {**sound, old: text}})
    assert made.notes() == [said]
    assert old not in made.values
    typed = [part for key, value in sound.items() for part in (f"--{key}", _as_typed(value))]
    cli.run([shape, *typed, f"--{old}", text, "--machine", "metric", "--json"])
    assert f"--{said}" in capsys.readouterr().err


def _as_typed(value: object) -> str:
    """A recipe's list as it is typed: pairs with commas between, or texts with semicolons."""
    if not isinstance(value, list):
        return str(value)
    return ", ".join(" ".join(row) for row in value) if isinstance(value[0], list) else "; ".join(value)


def test_every_old_input_has_been_tried() -> None:
    assert {old for _, old in EVERY_OLD} == set(OLD_INPUTS) == {each.old for each in renamed.RENAMED}
    assert set(SOUND) >= {shape for each in renamed.RENAMED for shape in each.shapes}


def test_the_note_lets_no_character_act(run: Run) -> None:
    for line in (["profile", "--stops", "\ufeff5mm"], ["blue", "sluice-clamp-ramp", "--stops", "\u202e5"]):
        done = run(*line)
        assert done.returncode == 2
        assert "it was read as cuts = [U+" in done.stderr
        assert not {"\ufeff", "\u202e"} & set(done.stderr)
