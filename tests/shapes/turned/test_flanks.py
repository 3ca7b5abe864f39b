"""What a tool may reach beside a flank, what it leaves there, and what is refused: geometry by hand and by brute force."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from stepcut import recipes
from stepcut.cards.wording import remark_text
from stepcut.cli import show
from stepcut.errors import BadValue
from stepcut.kernel.measure import measure
from stepcut.machine import Cutter
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.shapes.turned.bench import Turning, task_of
from stepcut.shapes.turned.edges import ArcEdge, StraightEdge, arc, nearest
from stepcut.shapes.turned.wanted import Flank, profile
from stepcut.voice import voice_of
from tests.conftest import Run


def plan_of(shape: str, **values: Any) -> Plan:
    values.setdefault("leave", "0mm")
    return show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", shape: values})))


def places_of(plan: Plan) -> list[tuple[float, float]]:
    return [(float(plan.first.value(s.first)), float(plan.second.value(s.second))) for s in plan.stops]


def refused(shape: str, **values: Any) -> str:
    with pytest.raises(BadValue) as told:
        plan_of(shape, **values)
    return str(told.value)


def codes(plan: Plan) -> list[str]:
    return [remark.code for remark in plan.remarks if remark.code != "leave-small"]


FILLET = {"form": "fillet", "radius": "6mm", "diameter": "25mm", "at": "40mm"}


# --- what stands beside a flank ------------------------------------------------------------------------------------


@pytest.mark.parametrize("nose", [0.4, 2.0, 5.9])
def test_a_round_nose_never_passes_the_face_of_the_shoulder(nose: float) -> None:
    plan = plan_of("radius", **FILLET, tool="round", nose=f"{nose}mm", scallop="0.05mm")
    assert max(z for z, _ in places_of(plan)) <= 46 + 1e-9  # its leading point is Z
    # Nor the fillet: a nose in it keeps its middle within 6 - p of the fillet's middle, or on the flat side of it.
    for z, x in places_of(plan):
        along, out = z - nose - 40, 18.5 - (x + nose)
        if along > 0 and out > 0:
            assert math.hypot(along, out) <= 6 - nose + 1e-6


def test_a_nose_as_round_as_the_fillet_just_fits_into_it() -> None:
    plan = plan_of("radius", **FILLET, tool="round", nose="6mm", scallop="0.05mm")
    assert places_of(plan) == [(46.0, 12.5)]  # its one cut fills the corner
    assert "nose" in refused("radius", **FILLET, tool="round", nose="6.01mm", scallop="0.05mm")


def test_behind_a_fillet_that_ends_early_its_slope_goes_on() -> None:
    plan = plan_of("radius", **FILLET, tool="round", nose="3mm", scallop="0.05mm", **{"to-angle": "45deg"})
    z0, r0 = 40 + 6 * math.sin(math.pi / 4), 12.5 + 6 * (1 - math.cos(math.pi / 4))
    cut = plan.details.cuts[0]
    assert [(cut.flank.z_high - at, cut.flank.radius_high - depth) for at, depth, _ in cut.places] == [
        pytest.approx(place) for place in places_of(plan)
    ]
    for behind in (1.0, 2.0, 3.0):  # no cut of the plan stands there: how deep one might go, asked of its task
        centre_z, centre_r = z0 + behind - 3, r0 - cut.task.deepest(-behind) + 3
        assert (
            centre_z + 3 / math.sqrt(2) > z0
        )  # it touches behind the end: its middle is 3 from the line of 45 degrees
        assert (centre_r - r0 - (centre_z - z0)) / math.sqrt(2) == pytest.approx(3)


def test_in_front_of_a_fillet_that_begins_late_its_arc_stays() -> None:
    plan = plan_of("radius", **FILLET, tool="round", nose="2mm", scallop="0.05mm", **{"from-angle": "30deg"})
    for z, x in places_of(plan):
        along, out = z - 2 - 40, 18.5 - (x + 2)
        if along > 0:
            assert math.hypot(along, out) <= 4 + 1e-6  # the whole arc down to the shaft
        assert x >= 12.5 - 1e-9


def test_a_tool_runs_out_into_the_air_before_the_face() -> None:
    plan = plan_of("taper", large="30mm", small="20mm", length="20mm", tool="round", nose="2mm", scallop="0.05mm")
    slope = math.atan(5 / 20)
    z, x = min(places_of(plan))
    # The last cut touches the cone at the face, or past it by no more than a division.
    touch = z - 2 + 2 * math.sin(slope)
    assert -0.021 <= touch <= 1e-6
    assert x <= 10
    assert plan.result.scallop <= 0.05 + 1e-9


# --- ridges, square to a surface as steep as a wall ----------------------------------------------------------------


def test_distance_from_edges_is_that_of_a_fine_comb() -> None:
    edges = (StraightEdge(0, 0, 2, 1), StraightEdge(2, 1, 2, 3), arc(4.0, 0.0, 80.0, 2.0, 3.0))
    assert isinstance(edges[2], ArcEdge)
    begins = [edge.x0 for edge in edges]
    along = np.linspace(0, 1, 100_001)
    x = np.concatenate([2 * along, np.full_like(along, 2.0), 2 + 4 * np.sin(np.radians(80 * along))])
    y = np.concatenate([along, 1 + 2 * along, 3 + 4 - 4 * np.cos(np.radians(80 * along))])
    for at, depth in [(0.5, -1.0), (1.9, 0.2), (2.1, 0.5), (3.0, 1.0), (5.9, 2.0), (5.5, 6.0), (2.5, 2.9)]:
        assert nearest(edges, begins, at, depth, 50.0) == pytest.approx(np.hypot(x - at, y - depth).min(), abs=1e-4)


def test_what_a_round_nose_leaves_in_a_corner_is_measured_and_said() -> None:
    # A nose in a corner of level and 45 degrees leaves p (1 - sin(half the corner)) in its middle.
    targets = [["0mm", "20mm"], ["10mm", "20mm"], ["20mm", "40mm"]]
    corner = 2 * (1 - math.sin(math.radians(135 / 2)))
    plan = plan_of("profile", targets=targets, tool="round", nose="2mm", scallop="0.1mm")
    assert plan.result.scallop == pytest.approx(corner, abs=0.02)
    assert codes(plan) == ["scallop-exceeded"]
    remark = plan.remarks[-1]
    said = remark_text(remark, voice_of(plan.machine))
    assert "0.100 mm is not kept" in said
    assert remark.facts["where"] == pytest.approx(10, abs=1.0)
    wide = plan_of("profile", targets=targets, tool="round", nose="2mm", scallop="0.2mm")
    assert codes(wide) == []
    assert wide.result.scallop <= 0.2


@pytest.mark.parametrize(
    ("values", "limit"),
    [
        ({"form": "cove", "radius": "10mm", "diameter": "30mm", "nose": "2.4mm"}, 0.1),
        ({**FILLET, "to-angle": "45deg", "nose": "4mm"}, 0.05),
        ({"form": "cove", "radius": "15mm", "diameter": "52mm", "nose": "8mm", "leave": "0.2mm"}, 0.065),
        ({**FILLET, "to-angle": "30deg", "nose": "3mm"}, 0.05),
    ],
)
def test_a_round_nose_that_can_keep_a_ridge_is_not_refused(values: dict[str, str], limit: float) -> None:
    plan = plan_of("radius", **values, tool="round", scallop=f"{limit}mm")
    assert plan.result.scallop <= limit * (1 + 1e-6)


def test_a_nose_rounder_than_the_form_is_refused_by_its_size() -> None:
    told = refused("radius", **FILLET, tool="round", nose="6.1mm", **{"to-angle": "30deg"})
    assert told == "nose = 6.1 mm: is rounder than the fillet, whose radius is 6.000 mm. Take a sharper tool."


@pytest.mark.parametrize("tool", ["square", "round"])
@pytest.mark.parametrize("form", ["ball", "cove", "fillet"])
def test_what_is_refused_cannot_be_kept_by_a_cut_at_every_mark(form: str, tool: str) -> None:
    from stepcut.shapes.turned import wanted

    size = Fraction(8)
    shape = {
        "ball": lambda: wanted.ball(2 * size, Fraction(90)),
        "cove": lambda: wanted.cove(Fraction(30), size, Fraction(0), Fraction(90)),
        "fillet": lambda: wanted.fillet(Fraction(20), size, Fraction(5), Fraction(0), Fraction(90)),
    }[form]()
    cutter = Cutter("round", Fraction(2), Fraction(1)) if tool == "round" else Cutter("square", Fraction(0))
    task = task_of(shape.flanks[0], Turning(cutter), machines.find("metric"))
    marks = range(task.first.up(task.first_at), task.first.up(task.last_at) + 1)
    every = [(mark, task.depth(mark)) for mark in marks]
    best = measure(task, task.places([each for each in every if task.cuts(each)])).scallop
    values = {"form": form, "radius": "8mm", "tool": tool}
    values |= {} if form == "ball" else {"diameter": "30mm" if form == "cove" else "20mm"}
    values |= {"at": "5mm"} if form == "fillet" else {}
    values |= {"nose": "1mm"} if tool == "round" else {}
    assert plan_of("radius", **values, scallop=f"{best * 1.15:.5f}mm").result.scallop <= best * 1.15 + 1e-5
    if form == "ball" and tool == "round":  # a nib at the pole, where the nose ends at the axis, is left and said
        assert codes(plan_of("radius", **values, scallop=f"{best * 0.7:.5f}mm")) == ["scallop-exceeded"]
    else:
        assert "cannot be kept on these scales" in refused("radius", **values, scallop=f"{best * 0.7:.5f}mm")


# --- shapes at the edge of what there is to cut --------------------------------------------------------------------


@pytest.mark.parametrize("spacing", [{"stops": "16"}, {"scallop": "0.05mm"}, {"step": "0.5mm"}])
@pytest.mark.parametrize("angle", ["90.01deg", "91deg", "94deg"])
def test_a_ball_just_past_its_equator_is_cut(angle: str, spacing: dict[str, str]) -> None:
    plan = plan_of("radius", form="ball", radius="10mm", **{"to-angle": angle}, **spacing)
    assert len(plan.stops) >= 16
    if len({stop.start for stop in plan.stops}) == 1:
        assert "two-corners" not in codes(plan)


def test_as_many_cuts_are_made_as_are_asked_for() -> None:
    for cuts in (1, 2, 9):
        plan = plan_of("taper", large="30mm", small="24mm", length="40mm", stops=str(cuts))
        assert len(plan.stops) == cuts
    assert places_of(plan)[0] == (36.0, 14.7)  # ten even spaces; the tenth would cut air at the face


def test_a_taper_in_one_cut_is_made_and_one_that_needs_none_is_told_so() -> None:
    one = plan_of("taper", large="30mm", small="29.9mm", length="10mm", stops="1")
    assert len(one.stops) == 1
    told = refused("taper", large="30mm", small="29.9mm", length="10mm", scallop="0.1mm")
    assert "needs no cut" in told
    told = refused("taper", large="30mm", small="29.9mm", length="10mm", leave="0.1mm")
    assert told == "leave = 0.100 mm: leaves nothing to cut: the shape is only 0.050 mm high on the radius. Leave less."
    assert "ramp" not in told


def test_a_line_that_falls_hardly_a_division_is_told_so_whatever_spaces_its_cuts() -> None:
    """2.5 thousandths on a cross-slide that moves the tool 0.01 mm at a time; of 0.012 mm one and two cuts can be made, not three."""
    low = {"large": "20mm", "small": "19.995mm", "length": "20mm"}
    told = (
        "can cut nothing: the shape is 0.00250 mm high on the radius, and one division of the cross-slide 0.01000 mm. "
    )
    mend = "Turn it to one diameter and file it from there."
    assert refused("taper", **low, leave="0mm", stops="1") == f"cuts = 1: {told}{mend}"
    assert refused("taper", **low, leave="0mm", scallop="0.5um") == f"scallop = 0.00050 mm: {told}{mend}"
    assert refused("taper", **low, leave="0mm", step="1mm") == f"step = 1.00000 mm: {told}{mend}"
    assert "less 0.020 mm to leave" in refused("taper", **low, leave="auto") and mend in refused(
        "taper", **low, leave="auto"
    )
    assert refused("taper", large="20mm", small="19.96mm", length="20mm", leave="0.015mm", step="1mm").endswith(
        f"Leave less, or t{mend[1:]}"
    )
    for cuts in (1, 2):
        assert (
            len(plan_of("taper", large="20mm", small="19.976mm", length="20mm", leave="0mm", stops=str(cuts)).stops)
            == cuts
        )
    assert "the nearest is 2" in refused("taper", large="20mm", small="19.976mm", length="20mm", leave="0mm", stops="3")


def test_a_blank_must_hold_the_part() -> None:
    size = {"large": "30mm", "small": "24mm", "length": "40mm"}
    assert refused("taper", **size, blank="29mm").startswith("blank = 29.000 mm: is smaller than the taper")
    assert refused("taper", **size, blank="25mm", side="bore").startswith("blank = 25.000 mm: is wider than the narrow")
    assert plan_of("taper", **size, blank="30mm").stops
    assert plan_of("taper", **size, blank="24mm", side="bore").stops


def test_a_taper_without_stairs_expects_no_ridge_and_nothing_to_file(run: Run) -> None:
    for by in ("compound", "set-over", "sine-bar"):
        card = run(
            "taper", "--large", "1in", "--small", "0.8in", "--length", "2in", "--by", by, "--work-length", "6in"
        ).stdout
        assert "0 cuts" not in card
        assert "Ridge" not in card
        assert "blue shows" not in card
        assert "Large end DIAMETER" in card


def test_a_step_below_a_division_is_refused_by_the_scale_it_is_on() -> None:
    told = refused("taper", large="30mm", small="24mm", length="40mm", step="0.001mm")
    assert "one division of the carriage" in told


# --- profiles ------------------------------------------------------------------------------------------------------


def test_two_diameters_at_one_place_are_the_face_of_a_step() -> None:
    mm = [(0, 20), (10, 20), (10, 30), (20, 32)]
    shape = profile(tuple((Fraction(z), Fraction(d)) for z, d in mm))
    flank: Flank = shape.flanks[0]
    machine = machines.find("metric")
    task = task_of(flank, Turning(Cutter("round", Fraction(2), Fraction(1))), machine)
    # z 10 is coordinate 10: a nose whose leading point is past the face at 9.98 stands on the wider part.
    assert task.deepest(10.0) == pytest.approx(6.0, abs=1e-6)
    assert task.deepest(9.98) < 2.0
    assert flank.wanted.corners == (10.0,)


def test_volume_and_mean_are_those_of_the_solids_of_revolution() -> None:
    # One square cut up to z 20 leaves two cylinders over a cone: volumes by hand.
    plan = plan_of("taper", large="30mm", small="24mm", length="40mm", stops="1")
    (z, x), cone = places_of(plan)[0], math.pi * 40 / 3 * (12**2 + 12 * 15 + 15**2)
    assert plan.result.volume == pytest.approx(math.pi * (x**2 * z + 15**2 * (40 - z)) - cone, rel=1e-9)
    # A hemisphere from two cylinders.
    ball = plan_of("radius", form="ball", radius="10mm", stops="1")
    (z, x) = places_of(ball)[0]
    cylinder = math.pi * (100 * (10 - z) + x**2 * z)
    assert len(ball.stops) == 1
    assert ball.result.volume == pytest.approx(cylinder - 2 / 3 * math.pi * 1000, rel=1e-5)


# --- on the mill ---------------------------------------------------------------------------------------------------

UNDERCUT: dict[str, tuple[str, dict[str, str]]] = {
    "neck": ("radius", {"form": "neck", "radius": "2mm", "diameter": "24mm", "small": "18mm", "length": "10mm", "at": "5mm"}),
    "waist": ("radius", {"form": "waist", "diameter": "24mm", "small": "18mm", "length": "40mm"}),
    "crown": ("radius", {"form": "crown", "diameter": "24mm", "small": "23mm", "length": "40mm"}),
    "ball": ("radius", {"form": "ball", "radius": "10mm", "to-angle": "140deg"}),
    "profile": ("profile", {"targets": "0mm 24mm, 10mm 20mm, 20mm 24mm"}),
}  # fmt: skip


@pytest.mark.parametrize("name", UNDERCUT)
def test_the_mill_refuses_what_the_side_of_the_cutter_would_cut_away(name: str) -> None:
    """Common practice, no source: an end mill over a part on the table cuts with its side all the way up to the face."""
    shape, values = UNDERCUT[name]
    assert refused(shape, **values, on="mill", tool="round", nose="2mm") == (
        f"on = mill: does not go with this {name}: the side of the cutter clears all from the face down to its end, also what must "
        "stay there. Cut it on the lathe, or only as far as the diameter grows from the face."
    )


@pytest.mark.parametrize("tool", [{"tool": "round", "nose": "1mm"}, {}])
@pytest.mark.parametrize(
    ("shape", "values", "grows"),
    [
        ("radius", {"form": "ball", "radius": "10mm", "to-angle": "90deg"}, lambda z: np.sqrt(100 - (10 - z) ** 2)),
        ("profile", {"targets": "0mm 20mm, 10mm 24mm, 18mm 25mm"}, lambda z: np.interp(z, [0, 10, 18], [10, 12, 12.5])),
        ("taper", {"large": "30mm", "small": "24mm", "length": "18mm"}, lambda z: 12 + z / 6),
    ],
)
def test_what_the_mill_cuts_is_nowhere_below_with_the_whole_side_of_the_cutter(
    shape: str, values: dict[str, str], grows: Callable[[Any], Any], tool: dict[str, str]
) -> None:
    """Every place from the face down to the cutter's end, at the radius of its side; nothing is known of the program's outline."""
    plan = plan_of(shape, **values, **tool, on="mill", step="1mm")
    wide = 1.0 if tool else 0.0
    places = [(z, x) for z, x in places_of(plan) if z >= wide]
    assert len(places) > 5
    for z, x in places:
        above = np.linspace(0.0, min(z - wide, 10.0 if shape == "radius" else 18.0), 300)
        assert (grows(above) <= x + 1e-9).all()
