"""After every mistake that the program answers, on every example it answers for: the part is cut again as it was really cut.

What `recover` prints is read as a person reads it; the cuts that went wrong, those it keeps and those it asks for are put on the
models of the whole part, which know nothing of it.  What it said was lost must be lost, no more and no less; what it promised of
the rest must hold.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.shop.astray import other_hand
from stepcut.shop.recover import UNSEEN, go_on
from tests.conftest import Run
from tests.shop.mended import Json, moved, stock, told

MODELLED = ("ramp", "cam", "taper", "radius", "profile", "groove")
# Each way of cutting by its quickest example; all the others where long tests run.
QUICK = ("paddle-latch-ramps", "gauge-board-ramp-on-edge", "depth-stop-turret", "ferry-chain-snail", "bung-reamer-taper", "launch-funnel-dome",
    "lock-gate-roller-edge")  # fmt: skip


def plan_of(name: str, **sets: str) -> Plan:
    return recipes.job(recipes.load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


def examples(*shapes: str) -> list[Any]:
    """Each way of cutting once by a few cuts; every example by more of them where long tests run."""
    found = []
    for path in recipes.shipped():
        recipe = recipes.load(path.stem)
        if recipe.shape in (shapes or MODELLED) and recipe.values.get("by", "steps") == "steps":
            found += [pytest.param(path.stem, False)] if path.stem in QUICK else []
            found.append(pytest.param(path.stem, True, marks=pytest.mark.long))
    return found


def said(run: Run, name: str, *words: str) -> str:
    done = run("recover", name, *words)
    assert done.returncode == 0, done.stderr
    return " ".join(done.stdout.split())


def amount(pattern: str, text: str) -> float | None:
    """A length that a sentence says, in mm; None where it says none."""
    found = re.search(pattern.replace("#", r"([\d.]+) (in|mm)"), text)
    return None if found is None else float(found[1]) * (25.4 if found[2] == "in" else 1.0)


def printed(plan: Plan) -> float:
    """How far a printed length may be off by its last place, mm."""
    return 0.00005 * 25.4 + 1e-6 if plan.machine.unit == "in" else 0.0005 + 1e-6


def inward(plan: Plan) -> int:
    """-1 where a deeper cut reads less."""
    return -1 if plan.axes[1] in ("x", "radius") and plan.target.get("side") != "bore" else 1


def dial(plan: Plan, mm: float) -> str:
    return f"{mm * (2 if plan.second.doubled else 1):.7f}mm"


def worst(part: Json, cuts: list[Json]) -> float:
    """How far cuts stand below the wanted surface; less than nothing where none does."""
    return -float(stock(part, (part, cuts)).min())


def agree(plan: Plan, loss: float | None, true: float, case: object) -> None:
    """A loss that is said is the true one; what is not said cannot be measured.  The models look at places 0.01 mm apart."""
    if loss is None:
        assert true <= UNSEEN + 5e-4, case
    else:
        # A plunged circle touches between the radii that are looked at; on an upright end only what stands beside it is seen.
        wide = 1e-2 if steep(plan) else 4e-3 if plan.approach == "plunge" else 2e-3
        assert loss == pytest.approx(true, abs=printed(plan) + wide * max(1.0, true)), case


def some(count: int, thorough: bool) -> list[int]:
    """The last cut and one before; or the first and last ones and some between."""
    asked = (1, 2, count // 3, 2 * count // 3, count - 1, count) if thorough else (count // 3, count)
    return sorted({n for n in asked if 0 < n <= count})


@pytest.mark.parametrize(("name", "thorough"), examples())
def test_a_cut_too_deep_loses_what_was_said(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    part = told(plan)
    for n in some(len(plan.stops), thorough):
        cut = part["stops"][n - 1]
        for deeper in (0.02, 0.3) if thorough else (0.3,):
            text = said(
                run,
                name,
                "--cut",
                str(n),
                "--found",
                dial(plan, float(plan.second.value(plan.stops[n - 1].second)) + inward(plan) * deeper),
            )
            true = worst(part, [moved(cut, deeper=deeper * (-1 if plan.target.get("side") == "bore" else 1))])
            loss = amount("past its place, # below the wanted surface", text)
            agree(plan, loss, true, (n, deeper, text))
            lowers = amount("(?:Lower|Open|Deepen) (?:this part|everything|every groove) by #", text)
            if (
                loss is not None and lowers is not None and not steep(plan)
            ):  # what is lowered by it holds, and no more is lowered than a division
                assert (
                    true - 1e-6
                    <= lowers + printed(plan)
                    <= true + float(plan.second.division) + 2 * printed(plan) + 2e-3
                ), (n, text)


@pytest.mark.parametrize(("name", "thorough"), examples())
def test_a_lowered_part_is_whole(name: str, thorough: bool, run: Run, tmp_path: Path) -> None:
    """A cut too deep, the recipe saved as it was offered, every cut made anew: nothing below, nothing higher than was promised."""
    plan = plan_of(name)
    part, n = told(plan), len(plan.stops) // 4 + 1  # none that stands at the end of a ramp
    if plan.shape not in ("ramp", "groove") or plan.target["targets"] or recipes.load(name).values.get("flats"):
        pytest.skip("its recipe stays as it is, and the readings move")
    found = dial(plan, float(plan.second.value(plan.stops[n - 1].second)) + 0.3)
    text = said(run, name, "--cut", str(n), "--found", found, "--save", str(tmp_path / "lower.toml"))
    lowers = amount("(?:Lower|Deepen) (?:this part|every groove) by #", text)
    assert lowers is not None
    low = recipes.job(recipes.load(str(tmp_path / "lower.toml"))).plan
    new = told(low)
    left = stock(new, (part, [moved(part["stops"][n - 1], deeper=0.3)]), (new, new["stops"]))
    assert left.min() >= -1e-6 - 2e-3
    assert left.max() <= low.result.stock_max + 1e-3
    assert new["target"]["start_depth"] == pytest.approx(part["target"]["start_depth"] + lowers, abs=printed(plan))


@pytest.mark.parametrize(("name", "thorough"), examples())
def test_a_slip_takes_what_was_said_and_the_rest_is_as_promised(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    part, count = told(plan), len(plan.stops)
    table, spoken = plan.machine.table, 1
    if plan.first.angular and table is not None and plan.turning != table.counts_up:
        spoken = -1
    third = max(1, count // 3)
    ranges = {
        (third, min(count, third + 4)),
        *([(1, min(3, count)), (max(1, 2 * count // 3), count)] if thorough else []),
    }
    angles, lengths = ((-25, -3, 2, 9), (-0.5, 0.5)) if thorough else ((-3, 9), (0.5,))
    for n, last in sorted(ranges):
        for by in angles if plan.first.angular else lengths:
            value = float(plan.first.value(plan.stops[n - 1].first)) - by
            reads = f"{spoken * value:.6f}deg" if plan.first.angular else f"{value:.6f}mm"
            text = said(run, name, "--slipped", str(n), "--reads", reads, "--last", str(last))
            stray = [moved(cut, by=by) for cut in part["stops"][n:last]]
            loss = amount("wanted surface(?: there)?, (?:cut [0-9]+ most, )?by #", text)
            if "past the ends of the radius" in text or steep(plan):
                continue  # a shoulder's face is cut from beside: how far in is another measure
            agree(plan, loss, worst(part, stray), (n, last, by, text))
            whole = stock(part, (part, part["stops"]), (part, stray))
            assert (
                faced(plan) or whole.max() <= plan.result.stock_max + 2e-3
            )  # made again at their readings, they leave no more than was promised


def faced(plan: Plan) -> bool:
    """Whether upright faces are finished or seats cut after the cuts, so that what they leave before is not what is promised."""
    return bool(getattr(plan.details, "faces", ()) or getattr(plan.details, "seats", ()))


def steep(plan: Plan) -> bool:
    """Whether a part has an upright face, before which a depth along the radius says little."""
    stepped = any(segment[0] == "step" for segment in plan.target.get("segments", ()))
    return (
        stepped
        or plan.target.get("form") in ("fillet", "neck", "cove", "seat", "corner", "ball")
        or plan.shape == "profile"
    )


@pytest.mark.parametrize(("name", "thorough"), examples("ramp", "cam"))
def test_cuts_made_the_wrong_way_round_lose_what_was_said(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    part, count = told(plan), len(plan.stops)
    for made in sorted({1, min(3, count), max(1, count // 2)}) if thorough else (min(3, count),):
        text = said(run, name, "--wrong-way", str(made))
        stray = [moved(cut, mirror=0.0) for cut in part["stops"][:made]]
        loss = amount("wanted surface(?: there)?, (?:cut [0-9]+ most, )?by #", text)
        agree(plan, loss, worst(part, stray), (made, text))
        if plan.shape == "ramp":  # of the other hand, the cutter on its own side of the line
            other = mirrored(part, part["stops"][:made])
            low = other_hand(plan, range(1, made + 1))
            assert (0.0 if low is None else low) == pytest.approx(max(0.0, other), abs=3e-3) or (
                low is None and other <= plan.leave + 1e-3
            )
            assert ("B. The other hand: not with these cuts" in text) == (other > float(plan.leave) + 1e-6)


def mirrored(part: Json, cuts: list[Json]) -> float:
    """How far cuts made with the table turned the other way stand below the surface of the part of the other hand.

    The part is looked at in a mirror: the cuts stand at their own angles, and the cutter on the other side of the line.
    """
    turned = (
        {**part, "edge_behind": part["cutter"]["diameter"] - part["edge_behind"]}
        if part["edge_behind"] is not None
        else part
    )
    if part["approach"] == "side":
        turned = part
    return -float(stock(part, (turned, cuts)).min())


@pytest.mark.parametrize(("name", "thorough"), examples())
@pytest.mark.parametrize("share", [0.9, 1.04])
def test_another_cutter_leaves_no_more_and_takes_no_more(name: str, thorough: bool, share: float) -> None:
    """The first part with one cutter, the rest with another, of another size: no gap between them, and nothing below."""
    plan = plan_of(name)
    size = float(plan.cutter.diameter) * share
    if plan.cutter.kind == "square":
        pytest.skip("a square tool's corner has no size")
    sets = (
        {"nose": f"{size / 2:.6f}mm"}
        if plan.cutter.kind == "round"
        else {"cutter": f"{size:.6f}mm{' ball' if plan.cutter.kind == 'ball' else ''}"}
    )
    try:
        new = plan_of(name, **sets)
    except StepcutError:
        pytest.skip("such a cutter does not fit it")
    if new.spoils:
        pytest.skip("such a cutter spoils it, and the program says so")
    put_together(plan, new, thorough)


@pytest.mark.parametrize(
    "name",
    [
        "sluice-clamp-ramp",
        *(pytest.param(name, marks=pytest.mark.long) for name in ("hoist-lifter-ball-ramps", "valve-lift-plate")),
    ],
)
def test_a_cutter_of_another_form_goes_on_too(name: str) -> None:
    plan = plan_of(name)
    form = "" if plan.cutter.kind == "ball" else " ball"
    put_together(plan, plan_of(name, cutter=f"{float(plan.cutter.diameter):.6f}mm{form}"))


def put_together(plan: Plan, new: Plan, thorough: bool = False) -> None:
    part, count = told(plan), len(plan.stops)
    for begin in (
        sorted({2, max(2, count // 3), max(2, 2 * count // 3), max(2, count)}) if thorough else (max(2, count // 2),)
    ):
        if begin > count:
            continue
        rest = go_on(plan, new, begin)
        again = {stop.n for stop in rest.stops} | set(rest.deeper)
        later = told(replace(new, stops=tuple(stop for stop in new.stops if stop.n in again)))
        left = stock(part, (part, part["stops"][: begin - 1]), (later, later["stops"]))
        most = max(plan.result.stock_max, new.result.stock_max) + float(plan.second.division)
        assert left.min() >= -2e-3, (begin, float(left.min()))
        assert faced(plan) or left.max() <= most + 2e-3, (begin, float(left.max()), most)


@pytest.mark.parametrize("name", ["paddle-latch-ramps", *(pytest.param(name, marks=pytest.mark.long) for name in ("sluice-clamp-ramp", "winch-dog-plunged", "dredge-jaw-clutch", "hoist-lifter-ball-ramps"))])  # fmt: skip
def test_a_bull_nose_too_deep_or_slipped_loses_what_was_said(name: str, run: Run) -> None:
    size = float(plan_of(name).cutter.diameter)
    cutter = f"{size:.4f}mm bull 1mm"
    plan = plan_of(name, cutter=cutter)
    part, count = told(plan), len(plan.stops)
    n = count // 3
    own = ("--set", f"cutter={cutter}")
    depth = float(plan.second.value(plan.stops[n - 1].second)) + 0.3
    text = said(run, name, "--cut", str(n), "--found", dial(plan, depth), *own)
    loss = amount("past its place, # below the wanted surface", text)
    agree(plan, loss, worst(part, [moved(part["stops"][n - 1], deeper=0.3)]), text)
    for by in (-3, 9):
        value = float(plan.first.value(plan.stops[n - 1].first)) - by
        turned = -value if plan.machine.table is not None and plan.turning != plan.machine.table.counts_up else value
        text = said(run, name, "--slipped", str(n), "--reads", f"{turned:.6f}deg", "--last", str(n + 3), *own)
        stray = [moved(cut, by=by) for cut in part["stops"][n : n + 3]]
        loss = amount("wanted surface(?: there)?, (?:cut [0-9]+ most, )?by #", text)
        agree(plan, loss, worst(part, stray), (by, text))
        assert stock(part, (part, part["stops"]), (part, stray)).max() <= plan.result.stock_max + 2e-3
    put_together(plan, plan_of(name))
    put_together(plan_of(name), plan)


@pytest.mark.parametrize("made", [1, 9])
def test_a_face_groove_of_the_wrong_hand_is_whole_either_way(made: int, run: Run) -> None:
    """Gone on with the other way it is the groove of the other hand; faced off by what was said, nothing of it stands."""
    name = "hoist-lifter-ball-ramps"
    plan = plan_of(name)
    part = told(plan)
    text = said(run, name, "--wrong-way", str(made))
    assert "each rim reading is 360° less the card's, depths stay" in text
    wrong = [moved(cut, mirror=0.0) for cut in part["stops"][:made]]
    rest = [moved(cut, mirror=360.0) for cut in part["stops"][made:]]
    other = stock(part, (part, wrong + rest), flipped=True)
    assert other.min() >= min(0.0, plan.result.stock_min) - 2e-3
    assert other.max() <= plan.result.stock_max + 2e-3
    faced = amount("Face the part off by #", text)
    assert faced is not None
    deepest = max(cut["depth"] for cut in wrong)
    assert deepest <= faced + printed(plan) <= deepest + 2 * printed(plan) + float(plan.second.division)


@pytest.mark.parametrize("name", ["marking-point-cone", "paddle-socket-bore"])
@pytest.mark.parametrize("deeper", [0.02, 0.3])
def test_a_cone_too_deep_loses_what_was_said(name: str, deeper: float, run: Run) -> None:
    plan = plan_of(name)
    part, count = told(plan), len(plan.stops)
    for n in (count - 1, count):
        found = dial(plan, float(plan.second.value(plan.stops[n - 1].second)) + inward(plan) * deeper)
        text = said(run, name, "--cut", str(n), "--found", found)
        true = worst(part, [moved(part["stops"][n - 1], deeper=-inward(plan) * deeper)])
        agree(plan, amount("past its place, # below the wanted surface", text), true, (n, text))
