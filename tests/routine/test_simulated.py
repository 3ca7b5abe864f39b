"""Playing the acts on a machine with slack makes every cut where the plan says, and a spoilt routine is caught."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.plan import Refused
from stepcut.recipes import job, load, shipped
from stepcut.routine import acts, cycles, face_cycles
from stepcut.routine.hands import Hands
from stepcut.routine.passes import Turned
from tests.outside import cases
from tests.routine.simulated import Spoiled, played
from tests.shops import each_kind, thinned

EXAMPLES = [path.stem for path in shipped()]


def listed(plan: Any) -> list[dict[str, Any]]:
    """The acts as a reader of JSON gets them."""
    return [json.loads(json.dumps(act.content())) for act in acts(plan)]


def exact(plan: Any) -> list[dict[str, Any]]:
    """The acts with exact positions, so that a cut is at a division or is not."""
    return [{**act.content(), "to": act.to} for act in acts(plan)]


@pytest.mark.parametrize("name", each_kind())
def test_every_cut_of_an_example_ends_at_its_division(name: str) -> None:
    plan = job(load(name)).plan
    if plan.stops:
        played(plan, exact(plan))


def helix(draw: Random) -> dict[str, Any]:
    diameter = draw.uniform(15, 60)
    return {
        "diameter": f"{diameter:.2f}mm", "lead": f"{draw.uniform(20, 300):.2f}mm", "length": f"{draw.uniform(10, 80):.1f}mm",
        "depth": f"{draw.uniform(0.3, 2):.2f}mm", "cutter": f"{draw.choice([3, 4, 5, 6])}mm", "kind": draw.choice(["ball", "flat"]),
        "starts": str(draw.choice([1, 2, 3])), "hand": draw.choice(["left", "right"]), "step": f"{draw.choice([2, 4, 5, 7.5])}deg",
    }  # fmt: skip


def cam(draw: Random) -> dict[str, Any]:
    rise, up, down = draw.uniform(0.5, 4), draw.randint(60, 150), draw.randint(60, 120)
    dwell = draw.randint(10, 60)
    return {
        "base": f"{draw.uniform(10, 30):.1f}mm", "approach": draw.choice(["end", "side"]), "cutter": "16mm",
        "segments": [f"rise {rise:.2f}mm in {up}deg", f"dwell {dwell}deg", f"fall {rise:.2f}mm in {down}deg", f"dwell {360 - up - down - dwell}deg"],
        "step": f"{draw.choice([2, 3, 4, 5])}deg",
    }  # fmt: skip


def groove(draw: Random) -> dict[str, Any]:
    grooves, ball = draw.choice([1, 2, 3, 4]), draw.choice([3, 4, 6, 8])
    begin, deep = draw.choice([0, 0.3, 1]), draw.uniform(0.3, ball / 2)
    values = {"circle": f"{draw.uniform(20, 80):.2f}mm", "grooves": str(grooves), "cutter": f"{ball}mm ball", "rises": draw.choice(["clockwise", "anticlockwise"]),
              "step": f"{draw.choice([2, 4, 5, 7.5])}deg"}  # fmt: skip
    span = draw.uniform(0.2, 0.7) * 360 / grooves
    if draw.random() < 0.3:  # down and up again
        return values | {"targets": f"0deg {begin}mm, {span / 2:.2f}deg {begin + deep:.3f}mm, {span:.2f}deg {begin}mm"}
    return values | {"span": f"{span:.2f}deg", "begin-depth": f"{begin}mm", "end-depth": f"{begin + deep:.3f}mm"}


def points(draw: Random) -> dict[str, Any]:
    values = {"depth": f"{draw.uniform(0.5, 12):.2f}mm", "cutter": f"{draw.choice([4, 6, 8, 10])}mm"}
    if draw.random() < 0.2:
        onto = draw.uniform(25, 60)
        return values | {"tube": f"{onto * draw.uniform(0.4, 0.9):.2f}mm", "onto": f"{onto:.2f}mm", "points": "24"}
    values |= {"radius": f"{draw.uniform(15, 90):.2f}mm", "side": draw.choice(["inside", "outside", "on"]), "begin": f"{draw.randint(0, 359)}deg",
               "centre-x": f"{draw.uniform(-50, 50):.2f}mm", "points": str(draw.randint(2, 60))}  # fmt: skip
    return values | ({"span": f"{draw.randint(10, 350)}deg"} if draw.random() < 0.7 else {})


def divide(draw: Random) -> dict[str, Any]:
    make = draw.choice(["holes", "slots", "lines"])
    size = {"line": "3mm", "fifth": "4.5mm"} if make == "lines" else {"depth": f"{draw.uniform(0.2, 9):.2f}mm"}
    places = (
        {"divisions": str(draw.randint(2, 130))} if draw.random() < 0.7 else {"angles": "0deg, 17.5deg, 90deg, 211deg"}
    )
    return {"make": make, "start": f"{draw.choice([0, 7.5, 200])}deg", **size, **places}


MAKERS: dict[str, Any] = {
    "ramp": cases.ramp, "taper": cases.taper, "radius": cases.radius, "profile": cases.profile, "helix": helix, "cam": cam,
    "groove": groove, "points": points, "divide": divide,
}  # fmt: skip


def plan_of(shape: str, seed: int, **more: Any) -> Any:
    """A random plan of a shape; refused ones are not asked for."""
    values = {**MAKERS[shape](Random(seed)), **more}  # noqa: S311  # cases, no secrets
    try:
        plan = recipes.job(
            recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", shape: values})
        ).plan
    except (StepcutError, Refused):
        plan = None
    assume(plan is not None and 0 < len(plan.stops) <= 400)
    return plan


# A helix or a groove of random sizes takes a quarter of a second or more to solve.
@pytest.mark.parametrize(
    ("shape", "examples"),
    [
        *((shape, {"helix": 1, "groove": 1}.get(shape, 3)) for shape in MAKERS),
        *(pytest.param(shape, 30, marks=pytest.mark.long) for shape in MAKERS),
    ],
)
def test_every_cut_of_any_plan_ends_at_its_division(shape: str, examples: int) -> None:
    @settings(max_examples=examples)
    @given(seed=st.integers(0, 10**6))
    def check(seed: int) -> None:
        plan = plan_of(shape, seed)
        played(plan, exact(plan))

    check()


@settings(max_examples=10)
@given(seed=st.integers(0, 10**6), order=st.sampled_from(["by-ramp", "by-depth"]))
def test_ramps_are_cut_in_either_order(seed: int, order: str) -> None:
    plan = plan_of("ramp", seed, order=order, starts="3", span="60deg")
    played(plan, exact(plan))


@settings(max_examples=10)
@given(seed=st.integers(0, 10**6))
def test_a_turned_flank_is_cut_on_the_mill_too(seed: int) -> None:
    plan = plan_of("taper", seed, on="mill", side="outside")
    played(plan, exact(plan))


# --- a spoilt routine is caught ------------------------------------------------------------------------------

Acts = list[dict[str, Any]]
Spoil = Callable[[Acts, int, Fraction], Acts | None]
PLAN_AXES = ("depth", "x", "z", "radius")
SPOILT = ["sluice-clamp-ramp", "paddle-latch-ramps", "winch-dog-plunged", "gauge-board-ramp-on-edge", "oil-groove-helix",
          "tension-release-cam", "shaft-shoulder-fillet", "hoist-lifter-ball-ramps", "paddle-quadrant-arc-slot",
          "handwheel-collar-graduations", "spring-preload-collar", "feed-pump-valve-cam"]  # fmt: skip


def moves(found: list[dict[str, Any]], k: int) -> bool:
    """Whether an act changes anything that can be seen: a handle that turns, a lock, a cut, a way out that is needed."""
    act = found[k]
    if act["act"] in ("turn", "set"):
        return bool(act["turns"])
    if act["act"] == "lock":  # a lock that is eased for a sweep was locked before
        return found[k + 1]["axis"] != "table"
    if act["act"] == "cut":
        return True
    if act["act"] == "clear":
        return found[k - 1]["ends"] == "in" or found[k + 1]["act"] == "change"
    return False


def forgotten(found: list[dict[str, Any]], k: int, division: Fraction) -> Acts | None:
    """One act is left out."""
    return found[:k] + found[k + 1 :]


def missed(found: list[dict[str, Any]], k: int, division: Fraction) -> Acts | None:
    """One move ends a division from where it should."""
    act = found[k]
    if act["axis"] not in ("table", *PLAN_AXES) or act["way"] != "working":
        return None
    later = [each for each in found[k + 1 :] if each["stop"] == act["stop"] and each["act"] == "cut"]
    if act["axis"] not in ("table", "z") and len(later) > 1:  # a pass before the last may be a little shallower
        return None
    return [*found[:k], {**act, "to": act["to"] + division}, *found[k + 1 :]]


def reversed_pair(found: list[dict[str, Any]], k: int, division: Fraction) -> Acts | None:
    """An act is done after the next one: turned after cutting, cut before setting."""
    if found[k + 1]["act"] != "cut" or found[k]["act"] not in ("turn", "set", "lock"):
        return None
    return [*found[:k], found[k + 1], found[k], *found[k + 2 :]]


def turned_back(found: list[dict[str, Any]], k: int, division: Fraction) -> Acts | None:
    """The table is turned the wrong way: a whole turn less."""
    if found[k]["axis"] != "table" or found[k]["way"] == "back":  # what goes back comes up again
        return None
    return [*found[:k], {**found[k], "to": found[k]["to"] - 360}, *found[k + 1 :]]


@pytest.mark.parametrize(
    ("spoil", "name"),
    thinned(
        [
            (spoil, name)
            for name in SPOILT
            for spoil in (forgotten, missed, reversed_pair, turned_back)
            if spoil is not turned_back
            or name not in ("shaft-shoulder-fillet", "paddle-quadrant-arc-slot")  # which have no table
        ],
        3,
    ),
)
def test_a_spoilt_routine_is_caught(spoil: Spoil, name: str) -> None:
    plan = job(load(name)).plan
    found = exact(plan)
    places = [k for k in range(len(found)) if moves(found, k)]
    tried = 0
    for k in Random(name).sample(places, min(40, len(places))):  # noqa: S311  # cases, no secrets
        axis = found[k]["axis"]
        division = plan.first.division if axis == plan.axes[0] else plan.second.division
        broken = spoil(found, k, division)
        if broken is None:
            continue
        tried += 1
        with pytest.raises(Spoiled):
            played(plan, broken)
            pytest.fail(f"{spoil.__name__} at {found[k]}")
    assert tried > 3


# --- a routine that is written wrongly is caught too ---------------------------------------------------------


def _never_clear(patch: pytest.MonkeyPatch) -> None:
    """The cutter is never taken out along its axis."""
    patch.setattr(Hands, "clear", lambda self, axis, to, text, confirm=False: None)


def _no_clear_at_a_change(patch: pytest.MonkeyPatch) -> None:
    """The next ramp comes with the cutter where it was."""
    for cycle in (face_cycles.Across, cycles.Plunging, Turned):
        patch.setattr(cycle, "get_clear", lambda self, event: None)


def _set_before_turn(patch: pytest.MonkeyPatch) -> None:
    """The feed comes first, then the table is turned to where it should have been cut."""
    written = Hands.write

    def swapped(self: Hands, kind: Any, text: str, **more: object) -> Any:
        act = written(self, kind, text, **more)
        if kind == "cut" and len(self.acts) > 3:
            turn = next((k for k in range(len(self.acts) - 2, -1, -1) if self.acts[k].kind in ("turn", "set")), None)
            if turn is not None and self.acts[turn].stop == act.stop:
                self.acts.insert(turn, self.acts.pop())
        return act

    patch.setattr(Hands, "write", swapped)


def _from_the_slack_side(patch: pytest.MonkeyPatch) -> None:
    """A move against the working way goes straight to its mark, and says that it came the working way."""

    def straight(self: Hands, axis: Any, to: Fraction) -> None:
        self._move("set", axis, to, "back" if (to - self.at[axis]) * self.working(axis) < 0 else "working", "Set.")

    patch.setattr(Hands, "set", straight)


def _unlocked(patch: pytest.MonkeyPatch) -> None:
    """Nothing is locked."""
    patch.setattr(Hands, "lock", lambda self, what="": None)


def _table_back(patch: pytest.MonkeyPatch) -> None:
    """The table is turned back to nought for the second ramp instead of on."""
    turned = Hands.turn

    def back(self: Hands, to: Fraction) -> None:
        if self.stop is not None and self.stop.start == 2 and self.at["table"] > to - 400:
            self.write("turn", "back", axis="table", to=to - 360, way="working", turns=Fraction(1), dial=Fraction(0))
        else:
            turned(self, to)

    patch.setattr(Hands, "turn", back)


def _a_division_deep(patch: pytest.MonkeyPatch) -> None:
    """Every depth is a division too deep."""
    second = cycles.Cycle.second
    patch.setattr(cycles.Cycle, "second", lambda self, stop: second(self, stop) + self.plan.second.division)


NEWER = ["hoist-lifter-ball-ramps", "paddle-quadrant-arc-slot", "handwheel-collar-graduations"]


@pytest.mark.parametrize(
    ("wrong", "names"),
    [
        (_never_clear, ["winch-dog-plunged", "oil-groove-helix", "lever-ball-knob", "sluice-clamp-ramp", *NEWER]),
        (
            _no_clear_at_a_change,
            ["sluice-clamp-ramp", "winch-dog-plunged", "lever-ball-knob", "hoist-lifter-ball-ramps"],
        ),
        (
            _set_before_turn,
            ["sluice-clamp-ramp", "winch-dog-plunged", "tension-release-cam", "oil-groove-helix", *NEWER],
        ),
        (
            _from_the_slack_side,
            ["oil-groove-helix", "tension-release-cam", "lever-ball-knob", "paddle-quadrant-arc-slot"],
        ),
        (_unlocked, ["sluice-clamp-ramp", "oil-groove-helix", "tension-release-cam", *NEWER]),
        (_table_back, ["sluice-clamp-ramp", "winch-dog-plunged", "hoist-lifter-ball-ramps"]),
        (
            _a_division_deep,
            ["sluice-clamp-ramp", "winch-dog-plunged", "tension-release-cam", "shaft-shoulder-fillet", *NEWER],
        ),
    ],
)
def test_a_routine_that_is_written_wrongly_is_caught(
    wrong: Callable[[pytest.MonkeyPatch], None], names: list[str]
) -> None:
    for name in names:
        plan = job(load(name)).plan
        played(plan, exact(plan))
        with pytest.MonkeyPatch.context() as patch:
            wrong(patch)
            found = exact(plan)
        with pytest.raises(Spoiled):
            played(plan, found)
            pytest.fail(f"{wrong.__name__} of {name}")
