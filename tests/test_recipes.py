"""Recipes: every fault at once with its place, resizing, saving whole or not at all, and a fuzz."""

from __future__ import annotations

import contextlib
import json
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.errors import BadValue, FileTrouble, Problems, StepcutError
from stepcut.files import write_whole
from stepcut.routine import card
from stepcut.voice import voice_of
from tests.shops import thinned

GOOD = """\
stepcut = 1
shape = "ramp"
title = "Trial"

[ramp]
outside = "1.75in"
bore = "1.40in"
rise = "0.090in"   # a remark
span = "180deg"
cutter = "1/2in"
step = "10deg"
"""


def load(tmp_path: Path, text: str) -> recipes.Recipe:
    path = tmp_path / "trial.toml"
    path.write_text(text, "utf-8")
    return recipes.load(path)


def test_every_problem_is_reported_at_once_with_file_key_and_line(tmp_path: Path) -> None:
    text = (
        GOOD.replace('"Trial"', "3")
        .replace("outside", "otside")
        .replace('"180deg"', '"180mm"')
        .replace('"1.40in"', "1.40")
    )
    with pytest.raises(Problems) as refused:
        load(tmp_path, text)
    file = tmp_path / "trial.toml"
    assert str(refused.value).splitlines() == [
        f"{file}, line 3, title: title = 3: must be a text in quotes. Mend it.",
        f"{file}, line 6, ramp.otside: otside: is not known here. Leave it out. Did you mean outside?",
        f"{file}, line 5, ramp.outside: outside: is missing. Give outside, such as 1-3/8in.",
        f"{file}, line 7, ramp.bore: bore = 1.4: needs a unit. Write 1.4in or 1.4mm.",
        f"{file}, line 9, ramp.span: span = 180mm: mm is a unit of length, and an angle is wanted. "
        "Give an angle such as 10deg or 12°30'.",
    ]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("stepcut = 1", "", "stepcut: is missing. Begin the recipe with stepcut = 1."),
        ("stepcut = 1", "stepcut = 9", "stepcut = 9: is a version that this program does not know (it knows 1). Use a newer stepcut."),
        ("[ramp]", "[rmp]", "rmp: is not known here. Leave it out. Did you mean ramp?"),
        ('"10deg"', '"-10deg"', "step = -10deg: must be greater than 0. Give a size above nought."),
        ('rise = "0.090in"', 'rise = "-1mm"', "rise = -1mm: must be greater than 0. Give the hand with rises."),
        ('step = "10deg"', 'step = "10deg"\nleave = "-1mm"',
         "leave = -1mm: must not be negative. Give what is to stay for the file, such as 2thou or 0.05mm, or auto."),
        ('step = "10deg"', "cuts = 2.5", "cuts = 2.5: is not a whole number. Write it like 3."),
        ('step = "10deg"', "cuts = 200000", "cuts = 200000: must be from 1 to 12000. Choose a number in that range; larger steps make fewer cuts."),
        ('step = "10deg"', 'motion = "harmonc"',
         "motion = harmonc: is not one of the choices. Use one of uniform, parabolic, harmonic, cycloidal, 3-4-5, 4-5-6-7, "
         "modified-sine, modified-trapezoid. Did you mean harmonic?"),
        ('step = "10deg"', 'targets = [["0deg"]]',
         """targets = ['0deg']: is not a pair of place and depth. Write row 1 as two texts, like ["90deg", "0.045in"]."""),
    ],
)  # fmt: skip
def test_one_problem_is_worded_whole(tmp_path: Path, old: str, new: str, message: str) -> None:
    with pytest.raises((BadValue, Problems)) as refused:
        load(tmp_path, GOOD.replace(old, new))
    lines = [line.split(": ", 1)[1] for line in str(refused.value).splitlines()]
    assert message in lines


def test_a_contradiction_is_named_with_both_numbers(tmp_path: Path) -> None:
    recipe = load(tmp_path, GOOD.replace('step = "10deg"', 'step = "10deg"\ncuts = 20'))
    with pytest.raises(
        BadValue, match=r"line 12, ramp.cuts: cuts = 20: does not agree with step = 10°, which makes 18 cuts"
    ):
        show.solved(recipes.job(recipe))


@pytest.mark.parametrize(
    ("text", "rule"),
    [("[ramp", "is not TOML"), ("a = " + "[" * 3000, "is nested deeper than 32 keys"), ("x = 1e", "is not TOML")],
)
def test_what_is_not_toml_is_said_with_the_file(tmp_path: Path, text: str, rule: str) -> None:
    with pytest.raises(BadValue, match=rule):
        load(tmp_path, text)


def test_a_mark_of_notepad_is_read_over_and_other_encodings_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "notepad.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert recipes.load(path).title == "Trial"
    path.write_bytes(GOOD.encode("utf-16"))
    with pytest.raises(BadValue, match="is not UTF-8 text"):
        recipes.load(path)
    with pytest.raises(FileTrouble, match="there is no such file"):
        recipes.load(tmp_path / "none.toml")
    with pytest.raises(FileTrouble, match="is a folder"):
        recipes.load(tmp_path)


def test_resizing_changes_the_plan_and_the_revision_but_writing_style_does_not(tmp_path: Path) -> None:
    recipe = load(tmp_path, GOOD)
    job = recipes.job(recipe)
    same = recipes.job(recipe.resized({"outside": "1-3/4in", "rise": "90thou"}))
    other = recipes.job(recipe.resized({"outside": "2.25in"}))
    assert same.revision == job.revision
    assert other.revision != job.revision
    assert other.plan.target["outside_diameter"] == pytest.approx(57.15)
    with pytest.raises(BadValue, match="Did you mean outside"):
        recipe.resized({"outsid": "2in"})


def test_inch_and_metric_text_of_one_ring_want_the_same_surface(tmp_path: Path) -> None:
    inch = recipes.job(load(tmp_path, GOOD)).plan
    metric = (
        GOOD.replace("1.75in", "44.45mm")
        .replace("1.40in", "35.56mm")
        .replace("0.090in", "2.286mm")
        .replace("1/2in", "12.7mm")
    )
    mm = recipes.job(load(tmp_path, metric)).plan
    assert inch.target == mm.target
    assert inch.stops == mm.stops


def test_a_dumped_recipe_reads_back_the_same(tmp_path: Path) -> None:
    for path in recipes.shipped():
        recipe = recipes.load(path)
        again = recipes.from_content(tomllib.loads(recipes.dump(recipe)))
        assert (again.shape, dict(again.values), again.title) == (recipe.shape, dict(recipe.values), recipe.title)
        assert recipes.job(again).revision == recipes.job(recipe).revision


@pytest.mark.parametrize("path", thinned(recipes.shipped(), 3), ids=lambda path: path.stem)
def test_every_example_is_solved_whole_and_says_that_it_is_invented(path: Path) -> None:
    assert "invented" in path.read_text("utf-8")
    job = recipes.job(recipes.load(path))
    plan = show.solved(job)
    assert not plan.spoils
    made = card(plan, show.heading(job, "2026-01-01"))
    assert [line.n for line in made.lines] == list(range(1, len(plan.stops) + 1))
    assert json.loads(json.dumps(content(plan, voice_of(job.machine)))) == content(plan, voice_of(job.machine))


def test_there_are_at_least_six_examples() -> None:
    assert len(recipes.shipped()) >= 6


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "card.toml"
    write_whole(path, "first")
    with pytest.raises(FileTrouble, match="stands already"):
        write_whole(path, "second")
    write_whole(path, "third", force=True)
    assert path.read_text() == "third"

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(FileTrouble, match="no space left"):
        write_whole(path, "fourth", force=True)
    assert path.read_text() == "third"
    assert [p.name for p in tmp_path.iterdir()] == ["card.toml"]


def _solved_or_refused(text: str, folder: Path) -> None:
    path = folder / "fuzz.toml"
    path.write_text(text, "utf-8", errors="ignore")
    before = sorted(folder.iterdir())
    with contextlib.suppress(StepcutError):
        job = recipes.job(recipes.load(path))
        show.whole(job, "2026-01-01")
    assert sorted(folder.iterdir()) == before


@given(st.text(max_size=300))
def test_any_text_as_a_recipe_is_refused_without_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    _solved_or_refused(text, tmp_path_factory.mktemp("fuzz"))


PIECES = st.sampled_from(
    ['"', "[", "]", "=", "ramp", "1/0in", "9**9**9 mm", "-", "5,2 mm", "nan", "inf", "0mm", '"1e99mm"', "\\", "\n", "'", "{}", "true",
     "1979-05-27", "[[ramp]]", "ramp = 3", "\u202e", "💥", "3.5e400", '"plunge"', '"side"', '"ball"', "ramps = 60", '"359deg"', '"0.001deg"']
)  # fmt: skip


@given(
    st.integers(0, len(GOOD)),
    st.integers(0, 25),
    PIECES,
    st.sampled_from([path.read_text("utf-8") for path in recipes.shipped()] + [GOOD]),
)
def test_a_damaged_recipe_is_solved_or_refused_without_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, at: int, gone: int, piece: str, text: str
) -> None:
    _solved_or_refused(text[:at] + piece + text[at + gone :], tmp_path_factory.mktemp("fuzz"))


@given(st.dictionaries(st.sampled_from(["outside", "bore", "rise", "span", "ramps", "cutter", "step", "drop", "leave", "kind", "cut-with", "motion", "corner", "targets", "dwell-high", "per"]), st.one_of(st.text(max_size=12), st.integers(), st.floats(), st.booleans(), st.sampled_from(["1in", "10deg", "3", "auto", "ball", "plunge", "side", "cycloidal", "0.1mm", "5thou/10deg", "0deg 0, 90deg 1mm"])), max_size=8))  # fmt: skip
def test_any_values_are_solved_or_refused_without_a_traceback(changes: dict[str, object]) -> None:
    values = {"outside": "1.75in", "bore": "1.40in", "rise": "0.090in", "span": "180deg", "cutter": "1/2in", **changes}
    with contextlib.suppress(StepcutError):
        show.whole(recipes.job(recipes.from_content({"stepcut": 1, "ramp": values})), "2026-01-01")
