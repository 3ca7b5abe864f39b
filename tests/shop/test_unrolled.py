"""Helices after mistakes, on a raster of the unrolled cylinder at half the depth of the groove: every cut paints what it takes there.

What `recover` says of cuts that slipped, of another cutter and of the other hand is looked for in the picture.  A scroll's is of the disc.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from stepcut import recipes
from stepcut.plan import Plan
from stepcut.shop.recover import go_on
from tests import shops
from tests.conftest import Run
from tests.outside.helix_sections import Model
from tests.shop.mended import Json, told
from tests.shop.test_mended import amount, plan_of, said

Picture = NDArray[np.bool_]
DEGREE, CELL = 0.5, 0.05  # a turn and mm along the axis of one cell
BESIDE = 20.0  # mm of the axis before and behind the groove


def picture(part: Json, cuts: list[Json], share: float = 0.5) -> Picture:
    """What cuts take of the cylinder at a share of their depth: rows are angles, columns the axis."""
    model = Model(part)
    rho = model.outside - share * model.deep
    angles = np.arange(0.0, 360.0, DEGREE)
    count = int((part["target"]["length"] + 2 * BESIDE) / CELL)
    marks = np.zeros((len(angles), count + 1), np.int32)
    for cut in cuts:
        turned = (np.radians(angles - cut["table"]) + np.pi) % (2 * np.pi) - np.pi
        half = np.where(np.abs(turned) < 1.5, model.stretch(rho, turned, model.deep), -1.0)
        (rows,) = np.nonzero(half >= 0)
        begin, end = (
            np.clip(np.rint((cut["x"] + way * half[rows] + BESIDE) / CELL).astype(int), 0, count) for way in (-1, 1)
        )
        np.add.at(marks, (rows, begin), 1)
        np.add.at(marks, (rows, end), -1)
    return np.asarray(np.cumsum(marks, axis=1)[:, :count] > 0)


def disc(part: Json, cuts: list[Json], cell: float = 0.1) -> Picture:
    """What cuts take of a disc's face."""
    size = part["cutter"]["diameter"] / 2
    out = part["target"]["end"] + 3
    across = np.arange(-out, out + cell / 2, cell)
    x, y = np.meshgrid(across, across)
    found = np.zeros(x.shape, bool)
    for cut in cuts:
        turn = np.radians(cut["table"])
        found |= (x - cut["x"] * np.cos(turn)) ** 2 + (y - cut["x"] * np.sin(turn)) ** 2 <= size**2
    return found


PAIRS = [  # the cutter of the recipe or another, and what it goes on with: as wide grooves in as many sweeps, in fewer, in more
    ("oil-groove-helix", "", "4.6mm ball"),
    ("winder-sleeve-wide-groove", "4mm", "6mm"),
    *(
        pytest.param(*each, marks=pytest.mark.long)
        for each in (
            ("winder-sleeve-wide-groove", "6mm", "5.4mm"),
            ("winder-sleeve-wide-groove", "6mm", "4mm"),
            ("winder-sleeve-wide-groove cross", "4mm", "6mm"),
            ("oil-groove-helix", "", "5.2mm ball"),
            ("level-sight-slot", "", "3.1mm"),
            ("sluice-spindle-vee-groove", "", "8mm vee 60deg"),
            ("dredger-roller-cross-grooves", "", "4.2mm ball"),
            ("bellows-chuck-face-scroll", "", "3.6mm"),
            ("bellows-chuck-face-scroll", "", "4.2mm"),
        )
    ),
]


@pytest.mark.parametrize(("name", "first", "then"), PAIRS)
def test_another_cutter_leaves_nothing_of_a_groove_and_takes_no_more(name: str, first: str, then: str) -> None:
    name, *crossed = name.split(" ")
    sets = dict.fromkeys(crossed, "yes")
    old = plan_of(name, **sets, **({"cutter": first} if first else {}))
    new = plan_of(name, **sets, cutter=then)
    one, other = told(old), told(new)
    draw = disc if old.shape == "scroll" else picture
    before, after = draw(one, one["stops"]), draw(other, other["stops"])
    count = len(old.stops)
    for begin in sorted({2, count // 2 + 1, 2 * count // 3, count - 3}):
        rest = go_on(old, new, begin)
        numbers = {stop.n for stop in rest.stops} | set(rest.deeper)
        mixed = draw(one, one["stops"][: begin - 1]) | draw(other, [s for s in other["stops"] if s["n"] in numbers])
        assert not (mixed & ~(before | after)).any(), begin
        # Between two patterns of cuts a ridge stands a little otherwise: a cell here and there.
        assert (before & after & ~mixed).sum() <= 0.0005 * before.sum(), begin


WIDTH = [("oil-groove-helix", "4.6mm ball"), *(pytest.param(*each, marks=pytest.mark.long) for each in (("level-sight-slot", "3.1mm"), ("sluice-spindle-vee-groove", "8mm vee 60deg"), ("sluice-spindle-vee-groove", "7mm vee 90deg"), ("oil-groove-helix", "5mm flat")))]  # fmt: skip


@pytest.mark.parametrize(("name", "then"), WIDTH)
def test_a_groove_is_said_to_change_its_width_where_it_does(name: str, then: str, run: Run) -> None:
    plan, new = plan_of(name), plan_of(name, cutter=then)
    n = len([stop for stop in plan.stops if stop.start == 1]) // 2
    text = said(run, name, "--from", str(n), "--cutter", then)
    widths = []
    for each, cuts in ((plan, slice(0, n)), (new, slice(n - 1, None))):
        part = told(each)
        model = Model(part)
        widths.append(model.caliper(model.half(model.outside, model.deep)))
        assert part["stops"][cuts]
    changes = abs(widths[0] - widths[1]) > 0.002
    assert ("CHANGES ITS WIDTH" in text) == changes, (widths, text)
    if changes:
        found = re.search(r"([\d.]+) mm before and ([\d.]+) mm after", text)
        assert found is not None
        assert [float(found[1]), float(found[2])] == pytest.approx(widths, abs=1e-3)
    assert ("FLOOR CHANGES" in text) == (plan.cutter.kind != new.cutter.kind)


@pytest.mark.parametrize("row", [1, 2])
@pytest.mark.parametrize("by", [2.0, -3.0, *(pytest.param(by, marks=pytest.mark.long) for by in (-8.0, 9.0, 60.0))])
def test_sweeps_that_slipped_widen_a_groove_as_was_said(row: int, by: float, run: Run) -> None:
    """The second sweep of a wide groove has room on the side of the first: what lies there is nothing lost."""
    name = "winder-sleeve-wide-groove"
    plan = plan_of(name)
    part = told(plan)
    own = [stop for stop in part["stops"] if stop["start"] == row]
    n, last = own[0]["n"] + 8, own[0]["n"] + 20
    table = plan.machine.table
    value = float(plan.first.value(plan.stops[n - 1].first)) - by
    reads = -value if table is not None and plan.turning != table.counts_up else value
    text = said(run, name, "--slipped", str(n), "--reads", f"{reads:.6f}deg", "--last", str(last))
    stray = [{**cut, "table": cut["table"] + by} for cut in part["stops"][n:last]]
    whole, moved = picture(part, part["stops"], 0.0), picture(part, stray, 0.0)
    at = round(stray[len(stray) // 2]["table"] % 360 / DEGREE)
    groove, both = np.nonzero(whole[at])[0], np.nonzero(whole[at] | moved[at])[0]
    more, land = (len(both) - len(groove)) * CELL, (both[-1] - both[0] + 1 - len(both)) * CELL
    rough = 0.1 + 2 * plan.result.scallop
    if "a second groove" in text:
        said_land = amount("land of about # between", text)
        assert said_land == pytest.approx(land, abs=rough), text
    elif "nothing outside the groove" in text:
        assert more <= rough, (more, text)
    else:
        assert land <= rough
        assert amount("the groove # wider", text) == pytest.approx(more, abs=rough), text
    assert "Leave them" not in text


OTHER_HAND = ["oil-groove-helix", *(pytest.param(name, marks=pytest.mark.long) for name in ("sluice-spindle-vee-groove", "level-sight-slot", "winder-sleeve-wide-groove", "capstan-sleeve-detent-groove"))]  # fmt: skip


@pytest.mark.parametrize("name", OTHER_HAND)
def test_a_groove_gone_on_with_the_wrong_way_is_one_of_the_other_hand(name: str, run: Run) -> None:
    plan = plan_of(name)
    part = told(plan)
    made = len(part["stops"]) // 3
    text = said(run, name, "--wrong-way", str(made))
    assert "each rim reading is 360° less the card's: a whole groove of the other hand" in text
    wrong = [{**cut, "table": -cut["table"]} for cut in part["stops"][:made]]
    rest = [{**cut, "table": (360 - cut["table"]) % 360} for cut in part["stops"][made:]]  # as the text has them read
    found = picture(part, wrong + rest)
    wanted = groove(part, plan, -1)
    inner, outer = (groove(part, plan, -1, by) for by in (-2 * plan.result.scallop - 0.1, 0.1))
    assert wanted.any()
    assert not (inner & ~found).any()
    assert not (found & ~outer).any()
    # B. The right one, begun anew, crosses it: both are whole, and share their beginning.
    right = picture(part, part["stops"])
    assert "Begin a groove of the right hand at" in text and "the two cross" in text
    assert (right & picture(part, wrong)).any()
    assert not (groove(part, plan, 1, -2 * plan.result.scallop - 0.1) & ~right).any()


def groove(part: Json, plan: Plan, hand: int, more: float = 0.0) -> Picture:
    """The wanted groove on the same raster: a strip about its path, so much wider, its ends round and not looked at."""
    model, target = Model(part), part["target"]
    rho = model.outside - 0.5 * model.deep
    cutter = float(model.half(rho, model.deep))
    rows = [stop for stop in part["stops"] if stop["start"] == 1]
    offsets = [part["stops"][0]["x"]]
    if "side_by_side" in target:
        offsets = [next(stop["x"] for stop in part["stops"] if stop["start"] == k + 1) for k in range(target["side_by_side"])]  # fmt: skip
    angles = np.arange(0.0, 360.0, DEGREE)[:, None]
    x = (np.arange(int((target["length"] + 2 * BESIDE) / CELL)) + 0.5) * CELL - BESIDE
    found = np.zeros((len(angles), len(x)), bool)
    slope = target["lead"] / 360.0
    # Near the ends a groove is as round as its cutter, on whichever side the raster looks.
    ends = (-1.0, 1.0) if more > 0 else (1.0, -1.0)
    low, high = (end * (cutter * 1.3 + 1) + far for end, far in zip(ends, (rows[0]["x"], rows[-1]["x"] + max(offsets)), strict=True))  # fmt: skip
    for start in range(target["starts"]):
        for turn in (-2, -1, 0, 1, 2):
            path = hand * slope * (angles - hand * 360.0 * start / target["starts"] + 360.0 * turn)
            found |= (x > path + min(offsets) - cutter - more) & (x < path + max(offsets) + cutter + more) & (x > low) & (x < high)  # fmt: skip
    return found


def test_cuts_of_a_scroll_of_the_other_hand_are_its_mirror_image(run: Run) -> None:
    name = "bellows-chuck-face-scroll"
    part = told(plan_of(name))
    text = said(run, name, "--wrong-way", "40")
    assert re.search("each rim reading is 360° less the card's: a whole groove of the other hand", text)
    made = [{**cut, "table": -cut["table"]} for cut in part["stops"][:40]]
    rest = [{**cut, "table": (360 - cut["table"]) % 360} for cut in part["stops"][40:]]
    mirrored = disc(part, made + rest, 0.2)
    assert (mirrored != disc(part, part["stops"], 0.2)[::-1]).sum() <= 0.001 * mirrored.sum()


DEEPENED = ["oil-groove-helix", *(pytest.param(name, marks=pytest.mark.long) for name in ("sluice-spindle-vee-groove", "level-sight-slot", "winder-sleeve-wide-groove", "capstan-sleeve-detent-groove", "dredger-roller-cross-grooves"))]  # fmt: skip


@pytest.mark.parametrize("name", DEEPENED)
def test_a_deepened_groove_takes_in_the_cut_that_was_too_deep(name: str, run: Run, tmp_path: Path) -> None:
    """The recipe saved as it was offered, every cut made anew: nothing stands deeper than it, and it is as wide as was said."""
    plan = plan_of(name)
    part, n = told(plan), 9
    depth = part["target"]["depth"]
    text = said(run, name, "--cut", str(n), "--found", f"{depth + 0.3:.4f}mm", "--save", str(tmp_path / "deeper.toml"))
    lowers = amount("Deepen the whole groove by #", text)
    assert lowers is not None
    deeper = told(recipes.job(recipes.load(str(tmp_path / "deeper.toml"))).plan)
    assert deeper["target"]["depth"] == pytest.approx(depth + lowers, abs=1e-3)
    was, now = Model(part), Model(deeper)
    assert now.deep >= depth + 0.3 - float(plan.leave) - 1e-6
    # Just above the bottom of the cut that went too deep its whole hollow lies in the deepened groove.
    alone = Model({**part, "acts": [{"act": "cut", "axis": "depth", "to": depth + 0.3}]})
    for share in (0.02, 0.3, 0.8):
        rho = was.outside - share * alone.deep
        middle = np.zeros(1)
        assert alone.stretch(rho, middle, alone.deep)[0] <= now.stretch(rho, middle, now.deep)[0] + 1e-6
    before, after = (model.caliper(model.half(model.outside, model.wanted)) for model in (was, now))
    wider = after - before
    assert (amount("gets about # wider all along", text) or 0.0) == pytest.approx(wider, abs=1e-3)
    assert ("its width stays, and the wall" in text) == (wider < 5e-4)


@pytest.mark.parametrize("then", ["5mm", "9mm", "8mm"])
def test_a_slot_of_points_changes_its_width_as_was_said(then: str, run: Run) -> None:
    """Circles in shapely, and how much of them lies on a line square to the arc, through the cut before the change and the one after."""
    name, begin = "paddle-quadrant-arc-slot", 9
    plan, new = plan_of(name), plan_of(name, cutter=then)
    text = said(run, name, "--from", str(begin), "--cutter", then)
    union = shapely.union_all(
        [
            shapely.Point(float(each.first.value(stop.first)), float(each.second.value(stop.second))).buffer(
                float(each.cutter.radius), 128
            )
            for each, stops in ((plan, plan.stops[: begin - 1]), (new, new.stops[begin - 1 :]))
            for stop in stops
        ]
    )
    widths = []
    for n in (begin - 5, begin + 5):  # well before and after the change
        x, y = float(plan.first.value(plan.stops[n - 1].first)), float(plan.second.value(plan.stops[n - 1].second))
        out = np.array([x, y]) / np.hypot(x, y)
        line = shapely.LineString([np.array([x, y]) - 20 * out, np.array([x, y]) + 20 * out])
        widths.append(union.intersection(line).length)
    found = re.search(r"SLOT IS AS WIDE AS ITS CUTTER: ([\d.]+) mm up to cut 8, ([\d.]+) mm from cut 9 on", text)
    assert (found is not None) == (abs(widths[0] - widths[1]) > 0.02), (widths, text)
    if found is not None:
        assert [float(found[1]), float(found[2])] == pytest.approx(widths, abs=0.01)


@pytest.mark.parametrize("begin", [15, 30])
def test_an_arc_of_fewer_points_with_a_larger_cutter_is_cut_all_along(begin: int, run: Run, tmp_path: Path) -> None:
    """What was cut with the small cutter and what is asked for of the large one leave no metal over the arc, circle by circle."""
    arc = {"radius": "87mm", "side": "outside", "begin": "77deg", "span": "26deg", "scallop": "0.05mm", "depth": "4mm"}
    old, new = (shops.plan_of("points", **arc, cutter=size) for size in ("8mm", "20mm"))
    assert len(new.stops) < 30 < len(old.stops)
    rest = go_on(old, new, begin)
    cuts = [(old, stop) for stop in old.stops[: begin - 1]] + [(new, stop) for stop in rest.stops]
    middles = np.array([(float(p.first.value(stop.first)), float(p.second.value(stop.second))) for p, stop in cuts])
    sizes = np.array([float(p.cutter.radius) for p, _ in cuts])
    angles = np.radians(np.linspace(77.01, 102.99, 400))
    high = (87 + float(new.leave) + 0.06) * np.column_stack([np.cos(angles), np.sin(angles)])
    assert (np.hypot(*(high[:, None] - middles).transpose(2, 0, 1)) <= sizes).any(axis=1).all()
    path = tmp_path / "arc.toml"
    rows = "".join(f'{key} = "{value}"\n' for key, value in arc.items())
    path.write_text(f'stepcut = 1\nshape = "points"\nmachine = "metric"\n[points]\ncutter = "8mm"\n{rows}', "utf-8")
    text = said(run, str(path), "--from", str(begin), "--cutter", "20mm")
    assert (
        f"Cuts 1 to {begin - 1} stay as they are. With this cutter the cuts stand elsewhere and are numbered anew"
        in text
    )
    assert "Next: cut 1 of the new card" in text and f" {len(new.stops)} cuts left" in text
