"""Names: what a bare command says, how commands and options are grouped, own recipes from any folder, and completion."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from stepcut.cli import COMMANDS, GROUPS
from stepcut.cli.examples import EXAMPLES as OWN
from stepcut.cli.examples import examples_of
from stepcut.cli.group import GROUPS as OPTION_GROUPS
from stepcut.shapes import SHAPES, kind, renamed
from tests.conftest import ROOT, Run

RING = ["--outside", "1-3/4in", "--bore", "1.40in", "--per", "5thou/10deg", "--span", "140deg", "--cutter", "3/8in"]

EXAMPLES = {**{shape: examples_of(shape) for shape in SHAPES}, **OWN}


def test_a_bare_command_says_what_to_do_first(run: Run) -> None:
    done = run()
    assert (done.returncode, done.stderr) == (0, "")
    assert len(done.stdout.splitlines()) == 10
    assert "stepcut machine new" in done.stdout and "stepcut start" in done.stdout


def test_every_command_stands_in_one_group_of_the_help(run: Run) -> None:
    assert sorted(name for names in GROUPS.values() for name in names) == sorted(COMMANDS)
    shown = run("--help").stdout
    for title in GROUPS:
        assert f"{title}:" in shown


@pytest.mark.parametrize("shape", SHAPES)
def test_the_help_of_a_shape_has_its_options_in_groups_and_two_examples(run: Run, shape: str) -> None:
    shown = run(shape, "--help").stdout
    titles = [line[:-1].lower() for line in shown.splitlines() if line.endswith(":") and not line.startswith(" ")]
    without = ["steps"] if shape == "rule" else []  # every line of a scale is a step: there is none to choose
    assert titles == [*(group for group in OPTION_GROUPS if group not in without), "examples"]
    assert len(EXAMPLES[shape]) == 2
    assert all(f"stepcut {example}" in shown for example in EXAMPLES[shape])


@pytest.mark.long
@pytest.mark.parametrize("shape", SHAPES)
def test_the_examples_run_for_one_who_has_no_machine_yet(run: Run, shape: str, tmp_path: Path) -> None:
    """In a shop that has one tests/cli/test_examples.py runs them."""
    (tmp_path / "crown.csv").write_text("0, 0.9\n0.5, 1\n", "utf-8")
    for example in EXAMPLES[shape]:
        done = run(*shlex.split(example), cwd=tmp_path, env={"PYTHONPATH": str(ROOT)})
        assert done.returncode == 0, done.stderr


def test_no_input_is_called_by_an_old_word() -> None:
    for shape in SHAPES:
        keys = {field.key for field in kind(shape).fields}
        assert not keys & {each.old for each in renamed.of_shape(shape)}


def test_an_old_option_is_taken_and_its_new_name_said(run: Run) -> None:
    done = run("ramp", *RING, "--starts", "2", "--json")
    assert done.returncode == 0
    assert done.stderr == "--starts is now called ramps; it was read as ramps = 2.\n"
    known = "option = --od: is not known here. Here it is called --outside. See stepcut ramp --help.\n"
    assert run("ramp", "--od", "2in").stderr == known


def test_a_job_that_is_kept_under_a_name_is_called_so(run: Run, tmp_path: Path) -> None:
    done = run("ramp", *RING, "--choice", "2", "--save", "gate clamp")
    assert done.returncode == 0
    assert done.stdout.startswith(" gate clamp ")
    assert run("card", "gate clamp").stdout.startswith(" gate clamp ")
    titled = run("ramp", *RING, "--choice", "2", "--save", str(tmp_path / "other.toml"), "--title", "Gate clamp")
    assert titled.stdout.startswith(" Gate clamp ")
    assert run("ramp", *RING, "--choice", "2").stdout.startswith(" Untitled ramp ")


def test_a_recipe_is_kept_by_name_and_listed_before_the_examples(run: Run, tmp_path: Path) -> None:
    assert run("ramp", *RING, "--title", "Clamp", "--save", "clamp").returncode == 0
    assert run("card", "clamp", cwd=tmp_path, env={"PYTHONPATH": str(ROOT)}).returncode == 0
    listed = run("recipe", "list").stdout.splitlines()
    assert listed[0].startswith("Yours, in ")
    assert listed[1].split(maxsplit=1)[1].strip() == "ramp, outside 1-3/4in, bore 1.40in, on inch, never cut"
    assert run("tick", "clamp", "--lines", input="q\n").returncode == 0
    assert "never cut" in run("recipe", "list").stdout  # begun, but not a cut of it is ticked
    assert run("tick", "clamp", "--lines", input="s\nt\nc\nq\n").returncode == 0
    assert "last cut 20" in run("recipe", "list").stdout
    assert "stands already" in run("ramp", *RING, "--save", "clamp").stderr
    assert run("ramp", *RING, "--save", "..\\x y").returncode == 2


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_each_shell_has_its_script(run: Run, shell: str) -> None:
    done = run("completion", shell)
    assert done.returncode == 0
    assert "_STEPCUT_COMPLETE" in done.stdout and "stepcut" in done.stdout
    assert done.stderr.startswith("Put it on with: stepcut completion ")


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("stepcut ca", "card"),
        ("stepcut ramp --out", "--outside"),
        ("stepcut card slu", "sluice-clamp-ramp"),
        ("stepcut card x --machine me", "metric"),
    ],
)
def test_bash_completes_commands_options_recipes_and_machines(run: Run, typed: str, offered: str) -> None:
    env = {"_STEPCUT_COMPLETE": "complete_bash", "COMP_WORDS": typed, "COMP_CWORD": str(len(typed.split()) - 1)}
    assert offered in run(env=env).stdout.split()


@pytest.mark.parametrize("group", ["machine", "recipe", "log"])
def test_the_help_of_a_group_ends_with_two_examples_of_its_commands(run: Run, group: str) -> None:
    told = run(group, "--help").stdout.split("Examples:\n")[1].splitlines()
    assert len(told) == 2 and all(line.startswith(f"  stepcut {group} ") for line in told)
    assert {line.removeprefix("  stepcut ") for line in told} <= {line for lines in EXAMPLES.values() for line in lines}


def test_a_recipe_whose_name_is_nearly_right_is_proposed(run: Run) -> None:
    assert run("ramp", *RING, "--save", "my-clamp").returncode == 0
    for typed, meant in (("my-clmap", "my-clamp"), ("sluice-clamp-rmap", "sluice-clamp-ramp")):
        done = run("card", typed)
        assert done.returncode == 3
        assert (
            done.stderr.strip()
            == f"{typed}: there is no recipe of that name. See stepcut recipe list. Did you mean {meant}?"
        )
    assert run("card", "qqqq").stderr.strip() == "qqqq: there is no recipe of that name. See stepcut recipe list."


def test_a_recipe_that_is_a_file_here_or_ones_own_is_named_so(run: Run, tmp_path: Path) -> None:
    assert run("ramp", *RING, "--save", "my-clamp").returncode == 0
    (tmp_path / "near.toml").write_text("", "utf-8")
    for typed, way_out in (
        ("near", "near: there is no recipe of that name. A file here is called near.toml: name it so."),
        ("my-clamp.toml", "my-clamp.toml: there is no such file here. A recipe of yours is called my-clamp: leave .toml out."),
    ):  # fmt: skip
        done = run("card", typed, cwd=tmp_path)
        assert (done.returncode, done.stderr.strip()) == (3, way_out)
