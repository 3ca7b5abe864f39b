"""Pits at the ends of a groove: real feeds in the acts of the cut they lie in, or made last with another cutter."""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import Any

import pytest

from stepcut.acts import Heading
from stepcut.plan import Plan
from stepcut.recipes import from_content, job
from stepcut.routine import acts, card
from tests.conftest import Run
from tests.routine.simulated import Spoiled, played

SHAFT = {
    "diameter": "37mm",
    "lead": "120mm",
    "length": "32mm",
    "depth": "1.5mm",
    "cutter": "5mm ball",
    "step": "6deg",
    "starts": "2",
}


def plan_of(machine: str = "metric", **values: str) -> Plan:
    more = {key.replace("_", "-"): value for key, value in values.items()}
    return job(from_content({"stepcut": 1, "machine": machine, "title": "shaft", "helix": SHAFT | more})).plan


def feeds(plan: Plan, n: int) -> list[Fraction]:
    """How deep cut n goes, feed by feed."""
    return [act.to for act in acts(plan) if act.kind == "cut" and act.stop == n and act.to is not None]


@pytest.mark.parametrize("machine", ["metric", "inch"])
def test_the_first_and_the_last_cut_of_each_groove_go_on_down_to_the_pit(machine: str) -> None:
    plan = plan_of(machine, pit_begin="2.5mm", pit_end="6mm")
    assert [stop.n for stop in plan.stops if len(feeds(plan, stop.n)) > 1] == [1, 17, 18, 34]
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])
    division = plan.machine.depth.division  # type: ignore[union-attr]  # both have one
    for n, pit in ((1, Fraction(5, 2)), (17, Fraction(6)), (18, Fraction(5, 2)), (34, Fraction(6))):
        went = feeds(plan, n)
        assert 0 <= pit - went[-1] < division  # never deeper than asked
        # Half a diameter of 5 mm at a time, then up to let the chips out: common practice, no source.
        assert all(b - a <= Fraction(5, 2) for a, b in itertools.pairwise(went))


def test_a_pit_that_is_left_out_of_the_acts_is_caught() -> None:
    plan = plan_of(pit_end="6mm")
    without: list[dict[str, Any]] = [
        {**act.content(), "to": act.to} for act in acts(plan) if not act.text.startswith("PIT")
    ]
    with pytest.raises(Spoiled, match="cut 17 is not as deep"):
        played(plan, without)


def test_with_another_cutter_pits_are_made_last_in_the_middle_of_the_groove() -> None:
    plan = plan_of(
        cutter="5mm", groove_width="8mm", lead="240mm", length="48mm", pit_end="6mm", pit_cutter="6mm ball", starts="1"
    )
    assert not [act for act in acts(plan) if act.text.startswith("PIT: feed") and act.stop is not None]
    assert plan.target["pits"] == [["end", 6.0, 6.0]]
    after = card(plan, Heading(date="2026-01-01")).after[0]
    assert (after.what, after.expect) == ("Depth of the pit at the end", "6 mm")
    assert after.change is not None and after.change.title == "PIT, end"
    assert [place.first.reads.text for place in after.places] == ["72°"]
    assert [[depth.text for depth in place.depths] for place in after.places] == [["3.000", "6.000"]]
    # The middle of the groove lies half-way between its outermost sweeps.
    ends = [float(plan.second.value(stop.second)) for stop in plan.stops if plan.first.value(stop.first) == 72]
    x = float(after.change.text.partition("Every place at x ")[2].removesuffix("."))
    assert x == pytest.approx((min(ends) + max(ends)) / 2, abs=0.005)


def test_the_card_says_where_they_are(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in SHAFT.items()]
    shown = " ".join(run("helix", *words, "--pit-begin=2.5mm", "--machine=metric").stdout.split())
    assert "Pit, beginning 2.5 mm deep, in cut 1, 18" in shown
    assert shown.count("PIT: after the cut on down to depth 2.500, up clear after each") == 2


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"pit-begin": "1.5mm"}, "pit-begin = 1.5mm: is not deeper than the groove, 1.5mm. Count it from the cylinder, as the groove's depth."),
        ({"pit-end": "19mm"}, "pit-end = 19mm: reaches the axis of the cylinder. Make it shallower."),
        ({"pit-cutter": "6mm"}, "pit-cutter = 6mm: goes with pit-begin or pit-end. Give the depth of a pit."),
        # Turns lie 30 * 37 pi / hypot(37 pi, 30) = 29.048 mm apart, the groove is 4.575 mm wide: a pit's edge
        # comes to 27 - (29.048 - 4.575 / 2) past its edge.
        ({"pit-end": "3mm", "pit-cutter": "54mm", "starts": "1", "lead": "30mm"},
         "pit-cutter = 54mm: is so wide that a pit breaks 0.2395 mm into the next groove. Take a narrower one."),
        ({"pit-end": "3mm", "cutter": "5mm", "groove-width": "8mm"},
         "pit-end = 3mm: with the groove's own cutter would lie in one of its sweeps, not in its middle. Give pit-cutter: it is then made last, in "
         "the middle."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_full(run: Run, more: dict[str, str], said: str) -> None:
    words = [f"--{key}={value}" for key, value in (SHAFT | more).items()]
    refused = run("helix", *words, "--machine", "metric")
    assert " ".join(refused.stderr.split()) == said
    assert refused.returncode == 2


def test_a_pit_that_was_made_as_deep_as_asked_is_not_too_deep(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in SHAFT.items()]
    assert run("helix", *words, "--pit-begin=2.5mm", "--machine=metric", "--save", "pitted").returncode == 0
    right = run("recover", "pitted", "--cut", "1", "--found", "2.5mm").stdout
    assert right.startswith("Cut 1 is 0.000 mm short of its place, not too deep: nothing is lost.")
    over = " ".join(run("recover", "pitted", "--cut", "1", "--found", "2.7mm").stdout.split())
    assert "Cut 1 is 0.200 mm past its place" in over
    assert "Cut 2 is 1.000 mm past its place" in " ".join(
        run("recover", "pitted", "--cut", "2", "--found", "2.5mm").stdout.split()
    )


def test_pits_with_another_cutter_are_plunged_as_acts_with_a_speed_of_their_own() -> None:
    plan = plan_of(
        cutter="5mm",
        groove_width="8mm",
        lead="240mm",
        length="48mm",
        pit_begin="2mm",
        pit_end="6.5mm",
        pit_cutter="6mm ball",
    )
    did = [{**act.content(), "to": act.to} for act in acts(plan)]
    played(plan, did)
    changes = [k for k, act in enumerate(did) if act["act"] == "change" and act["text"].startswith("PIT")]
    # 70 and 120 ft/min at 6 mm, to two figures: 70 * 304.8 / (6 pi) = 1132, 120 * 304.8 / (6 pi) = 1940.
    assert all(
        "1100 to 1900 rpm" in did[k]["text"] and did[k]["confirm"] and did[k - 1]["act"] == "clear" for k in changes
    )
    for begin, end, bottom, pecks in ((changes[0], changes[1], 2.0, 1), (changes[1], len(did), 6.5, 3)):
        own = did[begin:end]
        assert [float(act["to"]) % 360 for act in own if act["act"] == "turn"] == (
            [0.0, 180.0] if bottom < 3 else [72.0, 252.0]
        )
        down = [float(act["to"]) for act in own if act["act"] == "cut"]
        assert len(down) == 2 * pecks and down[pecks - 1] == down[-1] == bottom
        assert all(b - a <= 3.005 for a, b in itertools.pairwise([0.0, *down[:pecks]]))  # half of 6 mm
