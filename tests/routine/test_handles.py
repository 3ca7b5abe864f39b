"""What the machine's file says of a straight scale reaches the hands: handle, its way, how its dial counts, slack, travel."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut.acts import Act, Card, Heading
from stepcut.cards import first_screen
from stepcut.cards.terminal import render
from stepcut.cards.verdict_text import judge, verdict_lines
from stepcut.job import job_on
from stepcut.machine import Machine, Scale
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.recipes import Recipe, from_content, job, load
from stepcut.routine import acts, card
from stepcut.voice import voice_of

INCH = Fraction(254, 10)


def plan_on(name: str, scale: str, machine: str = "inch", /, **figures: Any) -> Plan:
    base: Machine = machines.find(machine)
    changed = replace(base, **{scale: replace(getattr(base, scale), **figures)})
    return job_on(load(name), changed).plan


def prepared(plan: Plan) -> list[str]:
    return [act.text for act in acts(plan) if act.kind == "prepare"]


def dials(plan: Plan, axis: str) -> list[tuple[Fraction, Fraction]]:
    return [(act.to, act.dial) for act in acts(plan) if act.axis == axis and act.to is not None and act.dial is not None]  # fmt: skip


def test_the_handle_is_called_by_its_name_and_turned_the_way_that_was_said() -> None:
    plan = plan_on("sluice-clamp-ramp", "depth", handle="knee crank", handle_turns="clockwise", inward="grows")
    assert "Depth is moved by the knee crank: CLOCKWISE as depth grows ... TRIED" in prepared(plan)
    assert "Set depth 0.0060, knee crank dial 0.0060." in [act.text for act in acts(plan)]


def test_a_dial_that_counts_backward_is_printed_as_it_reads() -> None:
    # A quill's dial of 0.100 in a turn that falls while the cutter goes deeper: at 0.006 in it reads 0.094.
    plan = plan_on("sluice-clamp-ramp", "depth", handle="quill wheel", handle_turns="clockwise", inward="falls")
    assert "Depth is moved by the quill wheel: ANTICLOCKWISE as depth grows, its dial FALLS as depth grows ... TRIED" in prepared(plan)  # fmt: skip
    assert "Set depth 0.0060, quill wheel dial 0.0940." in [act.text for act in acts(plan)]
    for to, dial in dials(plan, "depth"):
        assert 0 <= dial < INCH / 10
        assert (to + dial) % (INCH / 10) == 0  # what the depth has gained, the dial has lost


def test_nothing_is_said_of_a_handle_that_nobody_described() -> None:
    plan = plan_on("sluice-clamp-ramp", "depth")
    assert not [text for text in prepared(plan) if "is moved by" in text]
    assert all(to % (INCH / 10) == dial for to, dial in dials(plan, "depth"))


def test_the_dial_of_a_cross_slide_that_grows_inward_falls_as_the_diameter_grows() -> None:
    plan = plan_on("lever-ball-knob", "cross", "inch", inward="grows")
    assert "X is moved by the cross-slide: its dial FALLS as x grows ... TRIED" in prepared(plan)
    pairs = dials(plan, "x")
    assert pairs
    for radius, dial in pairs:
        assert (2 * radius + dial) % (INCH / 5) == 0  # it shows the diameter, 0.200 in a turn


@pytest.mark.parametrize("comes_up", [None, "grows", "falls"])
def test_a_slide_is_come_up_to_the_way_that_takes_its_slack_up(comes_up: str | None) -> None:
    plan = plan_on("oil-groove-helix", "slide", comes_up=comes_up)
    at, forward = Fraction(0), []
    found: tuple[Act, ...] = acts(plan)
    for n, act in enumerate(found):
        if act.axis == "x" and act.to is not None:
            last = not any(later.axis == "x" for later in found[n + 1 : n + 2])  # the move that the cut is made at
            if last and act.to != at:
                forward.append(act.to > at)
            at = act.to
    assert forward and set(forward) == {comes_up != "falls"}
    words = "up to every x the OTHER way, x falling" if comes_up == "falls" else "up to every x that way"
    assert any(words in text for text in prepared(plan))


def test_a_job_that_a_scale_cannot_reach_is_looked_at_again() -> None:
    deepest = max(plan_on("sluice-clamp-ramp", "depth").stops, key=lambda stop: stop.second)
    # Whole divisions of the inch machine's 0.0005 in; between cuts the cutter stands 0.050 in above the part.
    enough = (deepest.second + 100) * INCH / 2000
    assert "travel-short" not in [r.code for r in judge(plan_on("sluice-clamp-ramp", "depth", travel=enough)).reasons]
    plan = plan_on("sluice-clamp-ramp", "depth", travel=enough - INCH / 2000)
    found = judge(plan)
    assert found.word == "LOOK AGAIN"
    assert " ".join(verdict_lines(found, voice_of(plan.machine), 400)) == (
        "LOOK AGAIN. The knee readout cannot go so far: this job needs 0.1400 in from end to end, and it moves 0.1395 in from "
        "stop to stop. Set the work or the knee readout anew, or use another scale."
    )


@pytest.mark.parametrize(
    ("name", "machine", "scale", "short"),
    [
        ("oil-groove-helix", "inch", "slide", True), ("bollard-pin-taper", "metric", "carriage", True),
        ("lever-ball-knob", "metric", "cross", True), ("sluice-clamp-ramp", "inch", "slide", False),  # on no scale of the plan
    ],
)  # fmt: skip
def test_travel_is_looked_at_on_the_scales_of_the_plan(name: str, machine: str, scale: str, short: bool) -> None:
    plan = plan_on(name, scale, machine, travel=Fraction(1, 2))
    assert ("travel-short" in [reason.code for reason in judge(plan).reasons]) == short
    wide = plan_on(name, scale, machine, travel=Fraction(2000))
    assert "travel-short" not in [reason.code for reason in judge(wide).reasons]


@pytest.mark.parametrize("name", ["depth", "rim", "dial", "turns", "its dial", "cut", "no.", "turned"])
def test_a_handle_may_be_called_as_a_column_is(name: str) -> None:
    # A scale without a name of its own is called depth, as its readings are: its turns never stand where these belong.
    for figures in ({"name": name}, {"handle": name}):
        plan = plan_on("sluice-clamp-ramp", "depth", **figures)
        shown = card(plan, Heading("ring"))
        for width in (60, 80, 120):
            text = render(shown, width)
            for stop in plan.stops:
                depth = f"{float(plan.second.value(stop.second) / INCH):.4f}"
                row = next(line for line in text.splitlines() if re.match(rf" *{stop.n} ", line) and "[  ]" in line)
                assert depth in row.split(), (name, width)


def test_a_scale_without_a_name_of_its_own_is_called_a_scale() -> None:
    plan = plan_on("sluice-clamp-ramp", "depth", name="depth", travel=Fraction(1))
    told = " ".join(verdict_lines(judge(plan), voice_of(plan.machine), 400))
    assert told.startswith(
        "LOOK AGAIN. The depth scale cannot go so far: this job needs 0.1400 in from end to end, and it moves 0.0394 in"
    )


def test_a_cross_slide_that_counts_backward_is_set_by_what_is_still_to_come_off() -> None:
    # An outside job: its dial grows as the diameter shrinks, so before the last 0.010 in it reads 0.010 less.
    plan = plan_on("lever-ball-knob", "cross", "inch", inward="grows")
    told = next(text for text in prepared(plan) if "dial, which FALLS as x grows, to" in text)
    found = re.search(
        r"which FALLS as x grows, to (\S+) less what is still to come off to x (\S+) \((\S+) to come off: dial (\S+)\)",
        told,
    )
    assert found, told
    dial, x, off, before = (Fraction(text) for text in found.groups())
    turn = Fraction(2, 10)
    assert (dial + x) % turn == 0  # nought where x is nought, and falling as x grows
    assert (dial - off - before) % turn == 0
    first = card(plan, Heading()).lines[0]
    assert (Fraction(first.second.reads.text), Fraction(first.second.dial)) == (x, dial)
    assert told.endswith("x is the ... DIAMETER")


def test_a_terminal_of_80_columns_shows_a_dial_that_nobody_can_read_off_the_position() -> None:
    backward = card(plan_on("sluice-clamp-ramp", "depth", inward="falls"), Heading())
    forward = card(plan_on("sluice-clamp-ramp", "depth", inward="grows"), Heading())
    line = backward.lines[0]

    def heads(made: Card) -> str:
        return next(row for row in render(made, 80).splitlines() if row.startswith("no."))

    rows = [
        row for row in render(backward, 80).splitlines() if line.second.reads.text in row and line.second.dial in row
    ]
    assert rows
    assert "its dial" in heads(backward)
    assert "its dial" not in heads(forward)


@pytest.mark.parametrize("width", [40, 60, 76, 80, 100])
def test_no_number_is_cut_off_on_the_first_screen(width: int) -> None:
    plated = replace(machines.find("inch").table, hole_circles=(15,))
    depth = replace(machines.find("inch").depth, inward="falls")
    for machine in (
        replace(machines.find("inch"), depth=depth),
        replace(machines.find("inch"), table=plated, depth=depth),
        replace(machines.find("inch"), table=plated),
    ):
        made = card(job_on(load("sluice-clamp-ramp"), machine).plan, Heading())
        shown = first_screen.render(made, width)
        for line in made.lines[:3]:
            row = next(
                row for row in shown.splitlines() if re.match(rf" *{line.n} ", row) and line.second.reads.text in row
            )
            if width >= 60:
                assert f"{line.second.reads.text} " in row
                assert row.count("[ ]") in (2, 4)
                assert not re.search(r"\[ ?$", row)


def test_a_plate_that_cannot_follow_the_rim_stays_off() -> None:
    # 4 degrees a turn and 15 holes: a space is 16', so 7 degrees stand 4' from a hole, and a rim of 1' would disagree.
    plated = replace(machines.find("inch").table, hole_circles=(15,))
    the_job = job_on(load("sluice-clamp-ramp"), replace(machines.find("inch"), table=plated))
    plan = the_job.resized({"step": "7deg"}).plan
    made = card(plan, Heading())
    assert made.lines[0].first.reads.text.startswith("7°")
    assert not any("hole" in line.first.dial for line in made.lines)
    assert any(text.startswith("No plate: no hole circle keeps every place") for text in prepared(plan))


def test_a_divided_circle_that_no_plate_has_says_how_far_its_worst_place_is_off() -> None:
    # 7 places, 4 degrees a turn, 20 holes: the nearest hole is a whole number of 1/5 degrees.
    table = replace(machines.find("inch").table, hole_circles=(20,))
    values = {"divisions": "7", "make": "holes", "depth": "6mm"}
    plan = job_on(Recipe("divide", values), replace(machines.find("metric"), table=table)).plan
    worst = max(abs(Fraction(round(Fraction(360 * k, 7) * 5), 5) - Fraction(360 * k, 7)) for k in range(7))
    told = next(text for text in prepared(plan) if text.startswith("Plate on the crank"))
    assert f"the worst place is {float(worst):.4f}° off" in told


def test_a_quill_beside_the_knee_is_locked_and_a_readout_beside_it_set_to_nought_too() -> None:
    machine = machines.find("inch")
    knee = replace(machine.depth, name="knee", handle="knee crank", error=INCH / 1000)
    quill = replace(machine.depth, name="quill", handle="")
    readout = replace(machine.depth, name="readout", handle="", error=INCH / 2000)

    def told(trusted: Scale, *more: Scale) -> list[str]:
        plan = job_on(load("sluice-clamp-ramp"), replace(machine, depth=trusted, more_depths=more)).plan
        return [text for text in prepared(plan) if "locked: the depth" in text or "set to 0 with it" in text]

    locked = "Quill locked: the depth is moved by the knee crank alone ... LOCKED"
    assert told(knee, quill) == [locked]
    assert told(knee, quill, readout) == [
        locked, "Readout, where it shows the same depth: set to 0 with it; the two agree within ... 0.0015 in",
    ]  # fmt: skip
    assert told(quill, replace(knee, handle="")) == ["Knee locked: the depth is moved by the quill alone ... LOCKED"]
    assert told(replace(readout, handle="knee crank"), knee) == [
        "Knee, where it shows the same depth: set to 0 with it; the two agree within ... 0.0015 in"
    ]
    assert told(knee) == []


def test_the_slack_of_the_compound_is_taken_up_before_its_angle_is_proved_and_before_every_pass() -> None:
    machine = machines.find("inch")
    slack = replace(
        machine.compound, scale=replace(machine.compound.scale, backlash=INCH / 80, handle="top slide handle")
    )
    the_job = job_on(load("bollard-pin-taper"), replace(machine, compound=slack)).resized({"by": "compound"})
    told = " ".join(prepared(the_job.plan))
    assert (
        "wind the top slide handle back 1.0000 in and more than its slack of 0.0125 in past that, come up to it again, touch again"
        in told
    )
    assert "passes begin more than its slack of 0.0125 in in front" in told
    plain = " ".join(prepared(job_on(load("bollard-pin-taper"), machine).resized({"by": "compound"}).plan))
    assert "slack" not in plain


def test_whole_turns_of_a_dial_are_said_from_the_first_on() -> None:
    ring = {"outside": "60mm", "bore": "46mm", "rise": "6mm", "span": "120deg", "cutter": "6mm", "step": "10deg", "leave": "0mm"}  # fmt: skip
    plan = job(from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": ring})).plan
    said = [act.text for act in acts(plan) if act.axis == "depth" and act.text.startswith("Set depth")]
    # By hand, a dial of 2.5 mm a turn: 2.5 is one turn and 0, 3.0 one turn and 0.5, 1.5 none, 5.5 two turns and 0.5.
    assert {"Set depth 1.500, knee dial 1.500.", "Set depth 2.500, knee dial 0.000 (1 turn from 0).",
            "Set depth 3.000, knee dial 0.500 (1 turn from 0).", "Set depth 5.500, knee dial 0.500 (2 turns from 0)."} <= set(said)  # fmt: skip
