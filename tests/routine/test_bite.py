"""A cut that is deeper or wider than the cutter takes at once goes down in passes."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stepcut.acts import Card, Heading
from stepcut.recipes import job, load
from stepcut.routine import acts, card
from stepcut.routine.make import trouble
from tests.conftest import Run
from tests.routine.simulated import played


def plan_of(name: str, **sets: str) -> Any:
    return job(load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


def depths(plan: Any, axis: str) -> dict[int, list[Fraction]]:
    """Where the handle stood in each pass of each cut: read out of the acts alone."""
    at: dict[str, Fraction] = {}
    found: dict[int, list[Fraction]] = {}
    for act in acts(plan):
        if act.axis is not None and act.to is not None:
            at[act.axis] = act.to
        if act.kind == "cut" and act.axis in (None, axis) and act.stop is not None:
            found.setdefault(act.stop, []).append(at[axis])
    return found


# Common practice, no source: a slot a quarter of the diameter deep in steel, half in a soft metal; a plunge half of it.
@pytest.mark.parametrize(("material", "share"), [("steel", 0.25), ("brass", 0.5)])
def test_no_pass_of_a_ramp_meets_more_metal_than_a_slot_does(material: str, share: float) -> None:
    plan = plan_of("valve-lift-plate", rise="0.4in", material=material)
    across, outside = float(plan.cutter.diameter), float(plan.details.ramp.outside_diameter) / 2
    rows = depths(plan, "depth")
    before: dict[int, Any] = {}
    for stop in plan.stops:
        beside = before.get(stop.start)
        before[stop.start] = stop
        if beside is None:
            continue
        on = min(across, outside * float(plan.first.value(stop.first - beside.first)) * 3.14159265 / 180)
        left, down = plan.second.value(beside.second), 0.0
        for depth in rows[stop.n]:
            new = float(depth) - down
            lowered = max(0.0, float(depth) - max(down, float(left)))
            assert new * on + lowered * (across - on) <= across * across * share * 1.1 + across * 0.02
            assert new <= across * 1.05
            down = float(depth)
        assert rows[stop.n][-1] == plan.second.value(stop.second)
    assert any(len(row) > 1 for row in rows.values())


@pytest.mark.parametrize(("name", "sets", "axis"), [("oil-groove-helix", {"depth": "4mm"}, "depth"), ("winch-dog-plunged", {"rise": "0.35in"}, "depth")])  # fmt: skip
def test_a_deep_plunge_comes_up_every_half_diameter(name: str, sets: dict[str, str], axis: str) -> None:
    plan = plan_of(name, **sets)
    half = plan.cutter.diameter / 2
    for row in depths(plan, axis).values():
        assert all(b - a <= half * Fraction(11, 10) for a, b in zip([Fraction(0), *row], row, strict=False))


# 0.03 in with high-speed steel, 0.05 with carbide in plain steels, 0.05 in brass: workshop table docslib.org/doc/5103932.
@pytest.mark.parametrize(
    ("sets", "inches"), [({}, "0.03"), ({"cutter_material": "carbide"}, "0.05"), ({"material": "brass"}, "0.05")]
)
def test_no_pass_on_the_lathe_is_deeper_than_the_table_says(sets: dict[str, str], inches: str) -> None:
    plan = plan_of("shaft-shoulder-fillet", **sets)
    at = plan.details.cuts[0].flank.radius_high
    for stop in plan.stops:
        for x in depths(plan, "x").get(stop.n, []) or _set(plan, stop.n):
            assert at - x <= Fraction(inches) * Fraction(254, 10) + plan.second.division
            at = x


def _set(plan: Any, n: int) -> list[Fraction]:
    return [
        act.to for act in acts(plan) if act.kind == "set" and act.axis == "x" and act.stop == n and act.to is not None
    ]


@pytest.mark.parametrize(
    ("name", "sets"),
    [
        ("valve-lift-plate", {"rise": "0.4in"}),
        ("oil-groove-helix", {"depth": "4mm"}),
        ("winch-dog-plunged", {"rise": "0.35in"}),
        ("tension-release-cam", {"base": "10mm"}),
        ("tension-release-cam", {"base": "10mm", "cut_with": "side"}),
        ("gauge-board-ramp-on-edge", {"rise": "8mm", "cutter": "6mm"}),
    ],
)
def test_passes_play_on_a_machine_with_slack_and_are_said_on_the_line(name: str, sets: dict[str, str]) -> None:
    plan = plan_of(name, **sets)
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])
    said = card(plan, Heading())
    cuts = [sum(act.kind == "cut" and act.axis != "table" for act in line.acts) for line in said.lines]
    assert max(cuts) > 1
    assert name == "oil-groove-helix" or all(
        ("in passes" in line.note) == (n > 1) for line, n in zip(said.lines, cuts, strict=True)
    )


# --- another cutter ------------------------------------------------------------------------------------------


def going_on(name: str, n: int) -> Card:
    from msgspec.structs import replace

    plan = job(load(name)).plan
    return card(replace(plan, stops=plan.stops[n - 1 :]), Heading())


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", "oil-groove-helix", "tension-release-cam", "belt-crown-profile"])
def test_another_cutter_is_a_change_that_begins_clear_and_touches_off(name: str) -> None:
    made = going_on(name, 9)
    first = made.groups[0].change
    assert first is not None
    assert [act.kind for act in first.acts] == ["clear", "change"]
    assert first.acts[1].text.startswith("NEW ")
    assert "Touch off" in first.acts[1].text
    assert "cut 9" in first.acts[1].text
    turn = next((act for act in made.lines[0].acts if act.kind == "turn"), None)
    assert turn is None or turn.turns is None  # where the table stands nobody knows: the rim tells
    assert not any("rim and crank dial" in item.what for item in made.set_up)  # zeros stay
    played(made.plan, [{**act.content(), "to": act.to} for act in made.acts])


def test_a_sweep_through_more_than_a_pass_is_swept_in_passes_and_one_through_less_is_not() -> None:
    # A slot in steel as deep as a quarter of its width is one pass; common practice, no source.
    made = card(job(load("spring-preload-collar")).plan, Heading())
    sweeps, limit = dict(made.plan.details.sweeps), made.plan.cutter.diameter / 4
    for line in made.lines:
        if line.n not in sweeps:
            continue
        deep = Fraction(line.second.reads.text)
        passes = [act for act in line.acts if act.text.startswith("SWEEP")]
        assert len(passes) == max(0, -(-deep // limit) - 1), line
        assert ("each swept to rim" in line.note) == bool(passes)
        # The table goes back, or round, with the cutter out: fed back in the cut it would climb.
        backs = [act for act in line.acts if act.way == "back" and act.axis == "table"]
        assert len(backs) == len(passes)
        for act in backs:
            assert act.turns is not None
            assert (
                f"cutter OUT, only then back {int(act.turns)} turn{'' if act.turns == 1 else 's'} and up to this rim again"
                in line.note
            )
        turn = made.plan.machine.table.degrees_per_turn
        # The crank stops where it stood at the end of the sweep, a quarter turn or more before the beginning of it.
        assert all(act.turns is not None and act.turns.denominator == 1 for act in backs)
        stands = made.plan.first.value(made.plan.stops[line.n - 1].first)
        assert all(act.to is not None and stands - act.to >= turn / 4 for act in backs)
    assert {bool(line.note and "each swept" in line.note) for line in made.lines if line.n in sweeps} == {True, False}


@pytest.mark.parametrize(
    ("name", "more", "says"),
    [
        ("lever-ball-knob", [], "Put it in at centre height. 2. Touch off on the face"),
        ("belt-crown-profile", ["--cutter", "1.1mm"], "Put it in at centre height. 2. Touch off on the face"),
        ("oil-groove-helix", ["--cutter", "5mm"], "zeros as they are. 2. Touch off on the cylinder"),
    ],
)
def test_recover_goes_on_with_a_change_of_cutter_on_every_kind_of_machine(
    run: Run, name: str, more: list[str], says: str
) -> None:
    done = run("recover", name, "--from", "9", *more, "--width", "150")
    assert done.returncode == 0, done.stderr
    assert says in " ".join(done.stdout.split())
    whole = run("recover", name, "--from", "9", *more, "--width", "150", "--all")
    assert "CLEAR, THEN NEW" in whole.stdout


def test_recover_asks_for_the_nose_of_a_round_tool(run: Run) -> None:
    done = run("recover", "belt-crown-profile", "--from", "9")
    assert (done.returncode, done.stderr.strip()) == (
        2,
        "cutter: is missing. Give the measured nose radius of the new tool.",
    )


def test_the_head_says_what_the_cuts_of_the_table_leave_standing() -> None:
    assert (
        "the last 60° of the turn: the blank stands there"
        in dict(card(job(load("ferry-chain-snail")).plan, Heading()).words.head)["Not cut"]
    )
    assert "Not cut" not in dict(card(job(load("feed-pump-valve-cam")).plan, Heading()).words.head)
    desk = dict(card(job(load("crank-face-ratchet")).plan, Heading()).words.desk)
    assert desk["To file"].endswith("; upright faces finished with the single-angle cutter")


def test_where_a_rim_reading_comes_twice_the_slide_tells_which_cut_it_is() -> None:
    twice, once = (job(load(name)).plan for name in ("bellows-chuck-face-scroll", "capstan-sleeve-detent-groove"))
    # The scroll turns the table through 450 degrees.
    assert "the rim and x readings together name the cut" in trouble(twice, card(twice, Heading()).words)["lost"]
    assert "the rim reading names the cut" in trouble(once, card(once, Heading()).words)["lost"]
