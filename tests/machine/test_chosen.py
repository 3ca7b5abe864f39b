"""Whose machine a card is for: never an example's unawares, never another one than was chosen."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepcut import cli, recipes
from stepcut import job as jobs
from stepcut.errors import BadValue, FileTrouble
from stepcut.machine import chosen, files
from tests.conftest import Run

TABLE = """\
stepcut-machine = 1
unit = "{unit}"

[table]
ratio = {ratio}
division = "{division}"
counts-up = "{grows}"

[depth]
division = "{depth}"
error = "{depth}"

[slide]
division = "{depth}"

[carriage]
division = "{depth}"

[cross-slide]
reads = "{reads}"
division = "{depth}"
"""


def make(name: str, **figures: object) -> Path:
    every = {
        "unit": "in",
        "ratio": 72,
        "division": "0.1deg",
        "grows": "clockwise",
        "depth": "0.001in",
        "reads": "diameter",
    }
    return files.write_new(name, TABLE.format(**{**every, **figures}))


EXAMPLES = [path.stem for path in recipes.shipped()]
FIGURES = st.fixed_dictionaries(
    {
        "unit": st.sampled_from(["in", "mm"]), "ratio": st.sampled_from([40, 60, 72, 90, 120]), "division": st.sampled_from(["1'", "0.1deg", "10'"]),
        "grows": st.sampled_from(["clockwise", "anticlockwise"]), "depth": st.sampled_from(["0.001in", "0.0005in", "0.005mm", "0.02mm"]),
        "reads": st.sampled_from(["diameter", "radius"]),
    }
)  # fmt: skip


JOBS = st.tuples(
    st.dictionaries(st.sampled_from(["bench", "old-mill", "dreh"]), FIGURES, max_size=2),
    st.sampled_from([None, "bench", "old-mill", "metric", "inch"]),
    st.sampled_from(["", "inch", "metric", "bench"]),
    st.sampled_from(EXAMPLES),
    st.sampled_from([["card"], ["check"], ["card", "--json"], ["where", "--table", "0deg"], ["recover", "--cut", "2", "--found", "9mm"], ["blue"], ["card", "--as", "csv", "--out", "-"], ["card", "--as", "html", "--out", "-"]]),
)  # fmt: skip


@pytest.mark.parametrize("examples", [4, pytest.param(25, marks=pytest.mark.long)])
def test_no_card_uses_a_machine_that_was_not_chosen_unless_it_says_example(
    tmp_path_factory: pytest.TempPathFactory, examples: int
) -> None:
    @settings(max_examples=examples)
    @given(JOBS)
    def check(job) -> None:  # type: ignore[no-untyped-def]
        _says_example(tmp_path_factory, *job)

    check()


def _says_example(tmp_path_factory: pytest.TempPathFactory, shops, use, named, example, command) -> None:  # type: ignore[no-untyped-def]
    import contextlib
    import io
    import os

    home = tmp_path_factory.mktemp("shop")
    for variable in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME"):
        os.environ[variable] = str(home)  # the fixture of every test puts its own back
    for name, figures in shops.items():
        make(name, **figures)
        chosen.made(name)
    with contextlib.suppress(BadValue):
        if use is not None:
            chosen.use(use)
    recipe = home / "job.toml"
    lines = [line for line in recipes.source_text(example).splitlines() if not line.startswith("machine =")]
    at = lines.index("stepcut = 1") + 1
    recipe.write_text("\n".join([*lines[:at], *([f'machine = "{named}"'] if named else []), *lines[at:]]), "utf-8")
    out = io.TextIOWrapper(io.BytesIO(), "utf-8")
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
        status = cli.run([command[0], str(recipe), *command[1:]])
    out.flush()
    printed = " ".join(out.buffer.getvalue().decode().split())
    if status not in (0, 1):
        return
    # What the user chose: the recipe's own machine if it is his, else the one he last said to use, else the first he made.
    his = named if named in shops else use if use in shops else next(iter(shops), None) if use not in ("inch", "metric") else None  # fmt: skip
    said = '"example": true' if "--json" in command else "EXAMPLE MACHINE"
    assert (said in printed) == (his is None)
    if his is not None and command[0] in ("card", "check"):
        assert his in printed


def test_the_first_machine_becomes_the_one_that_is_meant(run: Run) -> None:
    assert "EXAMPLE MACHINE inch" in run("card", "sluice-clamp-ramp").stdout
    make("bench")
    assert chosen.made("bench")
    make("second", ratio=40)
    assert not chosen.made("second")
    card = run("card", "sluice-clamp-ramp")
    assert "bench · INCH" in card.stdout
    assert card.stderr.strip() == (
        "Made for machine inch, solved for bench: crank was 4deg a turn, is 5deg a turn; rim was 1', is 6'; "
        "depth was 0.0005in, 0.1in a turn, is 0.001in."  # a ramp moves neither slide nor compound, which differ too
    )
    assert "crank was 4deg a turn, is 5deg a turn" in " ".join(card.stdout.split())
    used = run("machine", "use", "second")
    assert (used.returncode, used.stdout.strip()) == (0, "Cards are made for second from now on.")
    assert "Machine second: crank 9deg a turn" in run("index", "7", "--circles", "21").stdout
    named = run("card", "sluice-clamp-ramp", "--machine", "bench")
    assert "bench · INCH" in named.stdout
    assert run("machine", "use", "thrid").stderr.startswith("machine = thrid: there is no machine of that name.")


def test_a_saved_recipe_keeps_its_machine_and_says_what_has_changed(run: Run, tmp_path: Path) -> None:
    made = make("bench")
    chosen.use("bench")
    ring = ["--outside", "1-3/4in", "--bore", "1.40in", "--per", "5thou/10deg", "--span", "140deg", "--cutter", "3/8in"]
    saved = run("ramp", *ring, "--save", str(tmp_path / "clamp.toml"))
    assert saved.returncode == 0, saved.stderr
    kept = recipes.load(tmp_path / "clamp.toml")
    assert (kept.machine, kept.solved_on["crank"]) == ("bench", "5deg a turn")
    assert run("card", str(tmp_path / "clamp.toml")).stderr == ""
    make("second", ratio=40)
    chosen.use("second")
    assert jobs.job(kept).machine.name == "bench"  # its own machine, whatever is chosen since
    made.write_text(made.read_text("utf-8").replace("72", "60"), "utf-8")
    said = run("card", str(tmp_path / "clamp.toml")).stderr
    assert said == "Machine bench has changed since this was saved: crank was 5deg a turn, is 6deg a turn.\n"
    other = run("card", str(tmp_path / "clamp.toml"), "--machine", "second").stderr
    assert other == "Made for machine bench, solved for second: crank was 5deg a turn, is 9deg a turn.\n"


def test_a_choice_that_cannot_be_read_is_said(run: Run, own_home: Path) -> None:
    path = chosen.settings_path()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("machine = 3\n")
    done = run("card", "sluice-clamp-ramp")
    assert done.returncode == 2
    assert (
        done.stderr.strip() == f"{path}: machine = 3: must be a text in quotes. Say it anew: stepcut machine use NAME."
    )
    path.write_text('machine = "gone"\n')
    assert "there is no machine of that name" in run("card", "sluice-clamp-ramp").stderr
    assert run("card", "sluice-clamp-ramp", "--machine", "inch").returncode == 0


def test_writing_a_machine_over_another_is_refused() -> None:
    make("bench")
    with pytest.raises(FileTrouble):
        make("bench")
