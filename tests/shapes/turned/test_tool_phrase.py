"""A lathe tool in one phrase: what it is like and its nose radius."""

from __future__ import annotations

import json

import pytest

from tests.conftest import Run

BALL = ("radius", "--form", "ball", "--radius", "1/2in", "--scallop", "2thou", "--unit", "in", "--json")


@pytest.mark.parametrize("phrase", ["round 1/16in", "1/16in round", "round nose 1/16in", "Round, nosed 0.0625"])
def test_a_tool_in_one_phrase_is_tool_and_nose(run: Run, phrase: str) -> None:
    two = run(*BALL, "--tool", "round", "--nose", "1/16in")
    one = run(*BALL, "--tool", phrase)
    assert two.returncode == one.returncode == 0, one.stderr
    assert json.loads(one.stdout) == json.loads(two.stdout)
    assert json.loads(one.stdout)["cutter"]["diameter"] == pytest.approx(25.4 / 8)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--tool", "round 1/16in", "--nose", "1/8in"), "tool = round 1/16in: is not one of the choices. Use one of square, round."),
        (("--tool", "round"), "nose: is missing for a round tool. Give its nose radius, such as 1/16in."),
        (("--tool", "round banana"), "nose = banana: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
    ],
)  # fmt: skip
def test_a_tool_that_is_none_is_refused(run: Run, words: tuple[str, ...], message: str) -> None:
    done = run(*BALL, *words)
    assert (done.returncode, done.stderr.strip()) == (2, message)
