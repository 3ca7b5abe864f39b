"""What is seldom asked for: inputs that do not go together, and ways that only a few parts take."""

from __future__ import annotations

import json
import math
import shlex
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from stepcut.errors import Refused, StepcutError
from stepcut.kernel.measure import measure
from stepcut.kernel.space import near_ridge
from stepcut.machine import Cutter, Outline, Scale
from stepcut.routine import bite
from stepcut.shapes import renamed
from stepcut.shapes.cam.follower import Follower
from stepcut.shapes.cam.section import Blade
from stepcut.shapes.helix import choices as of_helix
from stepcut.shapes.helix.bench import Groove
from stepcut.shapes.helix.vee import Vee
from stepcut.shapes.points import left as points
from stepcut.shapes.ramp import choices as of_ramp
from stepcut.shapes.ramp import free as of_ramp_free
from stepcut.shapes.ramp import mishap as of_ramp_mishap
from stepcut.shapes.ramp import task as of_ramp_task
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve as solve_ramp
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.shapes.scroll import choices as of_scroll
from stepcut.shapes.scroll import task as scrolls
from stepcut.shapes.scroll.wanted import Scroll
from stepcut.shapes.taper import mishap as of_taper
from stepcut.shapes.taper.settings import rows_of
from stepcut.shapes.taper.words import words as words_of_taper
from stepcut.shop import gears
from stepcut.shop.found_shape import Figure
from stepcut.shop.round_sizes import spanning
from stepcut.voice import Dials, voice_of
from stepcut.written import fixed
from tests.conftest import Run
from tests.shops import example_ring, half_inch, one_degree_machine, plan_of, thinned

SCROLL = "scroll --begin 15mm --end 25mm --pitch 8mm --depth 2mm --cutter 4mm"
GROOVE = "groove --circle 35mm --cutter 4mm"
HELIX = "helix --diameter 37mm --lead 120mm --length 30mm --depth 1.5mm --cutter 5mm"
RAMP = "ramp --outside 50mm --bore 40mm --rise 2mm --span 100deg --cutter 8mm --step 2deg"
LINES = "divide --divisions 12 --make lines --line 3mm"

REFUSED = [
    (f"{LINES} --over 2", "over = 2: goes with vernier. Leave it out."),
    ("divide --angles '0deg; 30deg' --span 40deg", "span = 40deg: does not go with angles. Leave it out."),
    (f"{GROOVE} --targets '0deg 0.4mm; 60deg 2mm' --span 60deg", "span = 60deg: does not go with targets. Leave one of them out."),
    (f"{GROOVE} --targets '0deg -0.4mm; 60deg 2mm'", "targets = -0.4 mm: must not be negative. Depths count down from the face."),
    (f"{GROOVE} --targets '0deg 0mm; 60deg 0.001mm'",
     "leave = 0.015 mm: leaves nothing to cut: the low end is 0.001 mm deep. Leave less, or make it deeper."),
    ("radius --form ball --radius 15mm --small 8mm --to-angle 90deg", "to-angle = 90deg: does not go with small. Leave one of them out."),
    # By hand: a bow of 25 mm on a radius of 15 mm is 15 - sqrt(15^2 - 12.5^2) = 6.7 mm high, more than the 6 mm of the bar.
    ("radius --form crown --radius 15mm --length 25mm --diameter 12mm",
     "radius = 15mm: cuts through to the axis over this length. Take a larger radius, or give small."),
    ("taper --large 20mm --small 14mm --length 20mm --cuts 3 --leave 9mm",  # was: nearest is 0, give 0
     "leave = 9.000 mm: leaves nothing to cut: the shape is only 3.000 mm high on the radius. Leave less."),
    # By hand: tan 20 degrees is 37 pi / lead, so that the lead is 319.36 mm.
    (f"{HELIX} --angle 20deg --step 4deg", "angle = 20 deg: does not agree with lead = 120mm, it makes 319.3638 mm. Leave one of them out."),
    ("cam --base 20mm --table '0deg 0mm; 90deg -21mm' --cutter 10mm", "table = -21 mm: falls below the axis. Check base and lifts."),
    # By hand: 2 mm in 100 degrees is 0.04 mm in a step of 2.
    (f"{RAMP} --drop 0.5mm", "drop = 0.500 mm: does not agree with step = 2°, which makes 0.040 mm. Leave one of them out."),
    (f"{RAMP} --scallop 0.001mm", "scallop = 0.001 mm: does not agree with step = 2°, which leaves 0.040 mm. Leave one of them out."),
]  # fmt: skip


@pytest.mark.parametrize(("line", "said"), REFUSED)
def test_what_does_not_go_together_is_refused(run: Run, line: str, said: str) -> None:
    done = run(*shlex.split(line), "--machine", "metric")
    assert (done.returncode, done.stdout, " ".join(done.stderr.split())) == (2, "", said)


def solved(run: Run, line: str) -> dict[str, object]:
    done = run(*shlex.split(line), "--machine", "metric", "--json")
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


def test_a_rule_by_its_length_has_its_lines_a_share_of_it_apart(run: Run) -> None:
    plan = solved(run, "rule --length 40mm --divisions 20 --line 3mm")
    assert [stop["x"] for stop in plan["stops"]] == [2.0 * k for k in range(21)]  # type: ignore[attr-defined]


def test_a_cutter_of_lines_is_measured(run: Run) -> None:
    for line in ("rule --divisions 20 --pitch 1.5mm --line 3mm", LINES):
        done = run(*shlex.split(line), "--cutter", "6mm vee 60deg", "--machine", "metric")
        assert done.returncode == 0, done.stderr
        assert "Cutter, vee, measured ________" in " ".join(done.stdout.split())


def test_seven_grooves_stand_next_to_marks_and_the_card_says_how_far(run: Run) -> None:
    """A seventh of a turn, 51 3/7 degrees, is no whole number of minutes."""
    plan = solved(run, f"{HELIX} --starts 7 --step 4deg")
    assert "sector-rounded" in [remark["code"] for remark in plan["remarks"]]  # type: ignore[attr-defined]


def test_a_groove_as_wide_as_its_cutter_is_cut_once(run: Run) -> None:
    wide, plain = (solved(run, f"{HELIX} --step 4deg{more}") for more in (" --groove-width 5mm", ""))
    assert wide["stops"] == plain["stops"]


def test_a_standard_taper_brings_its_large_end(run: Run) -> None:
    """Morse taper No. 3: 23.825 mm at the gauge plane (ISO 296, from memory), 1 in 19.922: 1.506 mm in 30."""
    done = run(*shlex.split("taper --taper 'Morse 3' --length 30mm --machine metric"))
    assert "23.825 mm to 22.319 mm in 30.000 mm" in done.stdout


def test_a_taper_said_twice_alike_is_taken(run: Run) -> None:
    twice, once = (solved(run, f"taper --large 30mm --small 25mm --length 40mm{more}") for more in (" --taper 1:8", ""))
    assert twice["stops"] == once["stops"]


ACCEPTED = [
    ("taper --large 10mm --small 9.6mm --length 4mm --side bore", "the bore is too short or too narrow for two balls of a whole size"),
    ("divide --divisions 8 --make slots --cutter 5mm --depth 3mm", "8 slots, 3 mm deep"),
    ("points --radius 60mm --side inside --depth 3mm --cutter 8mm", "circle, radius 60 mm"),
    ("profile --targets '0mm 30mm; 10mm 20mm; 20mm 14mm'", "to 14 mm DIAMETER at 20 mm from"),
    ("profile --targets '0mm 30mm; 10mm 20mm; 14mm 20mm; 24mm 30mm' --tool square --tool-width 3mm --step 1mm", "30 mm DIAMETER"),
    ("cam --base 20mm --table '0deg 0mm; 90deg 3mm' --cutter 10mm", "lift table of 2 rows"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "said"), thinned(ACCEPTED, 3))
def test_it_is_solved_drawn_and_said(run: Run, line: str, said: str, tmp_path: Path) -> None:
    words = [*shlex.split(line), "--machine", "metric"]
    done = run(*words, "--save", str(tmp_path / "job.toml"))
    assert done.returncode in (0, 1), done.stderr
    drawn = run("card", str(tmp_path / "job.toml"), "--out", str(tmp_path / "card.svg"))
    assert drawn.returncode in (0, 1), drawn.stderr
    assert list(tmp_path.glob("card*.svg"))
    assert said in " ".join((done.stdout + run("card", str(tmp_path / "job.toml"), "--all").stdout).split())


BALLS = "hoist-lifter-ball-ramps"  # three grooves of 0.4 to 2.2 mm in 60 degrees, a cut in every four, 0.015 mm left
RISING = [
    (["--cut", "5", "--found", "2mm"], "Deepen every groove by 1.135 mm, every cut from 1 on again: begin-depth and end-depth both so much deeper."),
    (["--slipped", "4", "--reads", "30deg", "--last", "6"], "Deepen every groove by 0.525 mm"),
    (["--wrong-way", "1"], "Cut 1 was made with the table turned the wrong way: the groove is of the other hand so far"),
    (["--wrong-way", "4"], "Face the part off by 0.730 mm, when it may be so much thinner"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), RISING)
def test_the_ways_on_from_a_mishap_in_a_groove_are_told(run: Run, words: list[str], said: str) -> None:
    """By hand: cut 5 stands 16 degrees on, 0.4 + 1.8 * 16 / 60 = 0.88 mm deep, so that 2 mm is some 1.12 too deep.

    The ball reaches ahead on the slope, where less is wanted.  Cut 4 leaves its 12 degrees at 0.76 less what is left and rounded.
    """
    done = run("recover", BALLS, *words)
    assert done.returncode == 0, done.stderr
    assert said in " ".join(done.stdout.split())


def test_a_groove_by_its_own_depths_is_deepened_by_them(run: Run, tmp_path: Path) -> None:
    recipe = tmp_path / "groove.toml"
    recipe.write_text(
        'stepcut = 1\nshape = "groove"\nmachine = "metric"\n[groove]\ncircle = "35mm"\ncutter = "6mm ball"\nstep = "4deg"\n'
        'targets = [["0deg", "1mm"], ["8deg", "1.4mm"], ["16deg", "1mm"]]\n', "utf-8"
    )  # fmt: skip
    done = run("recover", str(recipe), "--cut", "2", "--found", "2.5mm")
    assert "every cut from 1 on again: add it to every depth of the targets" in " ".join(done.stdout.split())


def test_a_step_of_points_that_divides_the_way_of_x_ends_at_its_end() -> None:
    """Sixty millimetres in steps of six: eleven points."""
    plan = plan_of(
        "points", radius="60mm", side="on", cutter="8mm", depth="3mm", begin="0deg", span="90deg", **{"x-step": "6mm"}
    )
    assert [float(plan.first.value(stop.first)) for stop in plan.stops] == [6.0 * k for k in range(11)]


def test_points_in_a_hole_of_twice_the_cutter_meet_in_its_middle() -> None:
    """Cuts that stand opposite each other touch in one point; three, 120 degrees apart, leave their radius between at the wall."""
    plan = plan_of("points", radius="8mm", side="inside", cutter="8mm", depth="3mm", leave="0mm", scallop="9mm")
    assert len(plan.stops) == 3
    assert plan.result.scallop == pytest.approx(4.0, abs=0.011)


def ring(*targets: tuple[int, int]) -> Ramp:
    """The example ring by angle and depth, degrees and mm."""
    rows = tuple((Fraction(at), Fraction(depth)) for at, depth in targets)
    return example_ring(span=rows[-1][0], rise=Fraction(1), law="targets", targets=rows)


@pytest.mark.parametrize(
    "limit", ["0.1", "0.02"]
)  # a degree of the table is 0.033 mm: the finer one is kept nowhere on the slopes
def test_a_valley_by_its_ridge_keeps_to_it_on_both_slopes(limit: str) -> None:
    """Where the line rises again no cut goes below it, and what stands in the feet is said."""
    row = ring((0, 0), (30, 1), (60, 1), (90, 0))
    plan = solve_ramp(row, half_inch(), Stepping(scallop=Fraction(limit)), one_degree_machine())
    depths = [float(plan.second.value(stop.second)) for stop in plan.stops]
    assert 0.5 < max(depths) <= 1.0  # the cutter is wider than the valley's floor
    assert depths.index(max(depths)) not in (0, len(depths) - 1)
    assert plan.remarks[0].code == "scallop-exceeded"  # the feet, which this cutter does not reach


def test_a_ramp_too_short_for_a_half_turn_has_no_easy_step() -> None:
    short = {"outside": "50mm", "bore": "40mm", "rise": "0.5mm", "span": "3deg", "cutter": "8mm", "step": "0.5deg"}
    assert [choice.step for choice in of_ramp.rows(plan_of("ramp", **short))] == [None]


def test_a_ramp_too_steep_for_its_scales_has_no_row_by_the_ridge() -> None:
    """A degree of the table is half a millimetre of the rise."""
    plan = solve_ramp(example_ring(rise=Fraction(90)), half_inch(), Stepping(step=Fraction(2)), one_degree_machine())
    assert all(choice.step is not None for choice in of_ramp.rows(plan))


def test_an_old_word_beside_its_new_one_is_left_to_be_refused() -> None:
    values = {"starts": "2", "ramps": "3", "corner": "1mm"}
    assert renamed.modern("ramp", values) == (values, ())


def test_a_dial_coarser_than_a_pass_has_no_place_to_pass_at() -> None:
    plan = plan_of("taper", large="20mm", small="16mm", length="20mm", step="2mm")
    coarse = replace(plan, second=replace(plan.second, division=Fraction(5)))
    assert bite.turned(coarse, 0, plan.stops[0]) == ()


def test_what_has_no_end_is_written_in_letters() -> None:
    assert (fixed(math.inf, 3), fixed(math.inf, 3, sign=True), fixed(-math.inf, 3)) == ("inf", "+inf", "-inf")


@pytest.mark.parametrize(("rise", "regrouped"), [("0.2", True), ("0.013", False)])
def test_cuts_too_thin_to_cut_are_put_together_where_the_ramp_is_deep_enough(rise: str, regrouped: bool) -> None:
    """A division of this scale, half a thousandth of an inch, rubs; a ramp that is no deeper than one has nothing to put together."""
    narrow = Cutting("across", "edge", Cutter("flat", Fraction(3)), Fraction(0))
    flat = example_ring(rise=Fraction(rise))
    plan = solve_ramp(flat, narrow, Stepping(step=Fraction(1)), one_degree_machine(), regroup=True)
    assert any(remark.code == "regrouped" for remark in plan.remarks) is regrouped


def test_thin_cuts_become_even_drops_where_a_longer_step_would_leave_metal_between_them() -> None:
    """By hand: the ramp falls two thousandths of an inch in 76 degrees, and the cutter covers 6 at the outside."""
    ring = {"outside": "60mm", "bore": "50mm", "rise": "0.2mm", "span": "300deg", "cutter": "3mm", "leave": "0mm"}
    asked, regrouped = plan_of("ramp", **ring, step="5deg"), plan_of("ramp", **ring, step="5deg", regroup="true")
    assert "regrouped" in {remark.code for remark in regrouped.remarks}
    assert len(regrouped.stops) < len(asked.stops)
    depths = [0.0, *(float(regrouped.second.value(stop.second)) for stop in regrouped.stops)]
    assert max(b - a for a, b in pairwise(depths)) >= 2 * 0.0254


def test_no_radius_of_a_wall_has_a_higher_ridge_than_is_said() -> None:
    """Under a ball the highest ridge may stand inside the wall, where the next ramp's cut does not take its top away."""
    plan = plan_of(
        "ramp", outside="70mm", bore="60mm", ramps="2", rise="0.5mm", span="162deg", leave="0.1mm", cutter="19mm ball", drop="0.1mm",
        **{"start-depth": "1mm"},
    )  # fmt: skip
    task, places = plan.details.bench.task, plan.details.places

    def ridge(radius: float) -> float:
        return measure(replace(task, sections=(replace(task.sections[0], radius=radius, width=0.0),)), places).scallop

    best = max((30 + k / 2 for k in range(11)), key=ridge)
    highest = max(ridge(best + k / 50) for k in range(-20, 21))
    assert max(ridge(30.0), ridge(35.0)) < highest - 0.0005
    assert highest <= plan.result.scallop + 1e-9 <= highest + 0.0001


def test_a_cutter_that_runs_into_the_next_ramp_serves_neither_as_asked_nor_with_cuts_closer_together() -> None:
    ring = {
        "outside": "50mm",
        "bore": "40mm",
        "ramps": "3",
        "rise": "2mm",
        "span": "100deg",
        "step": "5deg",
        "leave": "0mm",
    }
    for cutter, how in (("14mm", ""), ("6mm", "as asked")):
        plan = plan_of("ramp", **ring, cutter=cutter)
        assert plan.spoils == (not how)
        assert of_ramp_task.serves(plan.details.bench, Stepping(step=Fraction(5))) == how


def test_a_dwell_at_the_high_end_is_part_of_the_longest_span_that_fits() -> None:
    plan = plan_of(
        "ramp", outside="50mm", bore="40mm", rise="2mm", cutter="8mm", step="2deg", **{"dwell-high": "200deg"}
    )
    assert plan.target["lead_in"] == 200.0
    assert 200 < plan.target["span"] < 360


def test_rules_of_a_ramp_that_agree_are_taken_together() -> None:
    """By hand: 2 mm in 100 degrees is 0.04 mm in a step of 2, and a flat end leaves no more than that."""
    ring = {"outside": "50mm", "bore": "40mm", "rise": "2mm", "span": "100deg", "cutter": "8mm", "step": "2deg"}
    all_three, one = plan_of("ramp", **ring, drop="0.04mm", scallop="0.1mm"), plan_of("ramp", **ring)
    assert all_three.stops == one.stops


def test_a_table_of_whole_degrees_has_no_easy_step_as_fine_as_a_narrow_scroll_needs() -> None:
    scroll = Scroll(Fraction(20), Fraction(30), Fraction(8), Fraction(1))
    plan = scrolls.solve(
        scroll, Cutter("flat", Fraction("0.55")), Fraction(0), scrolls.Spacing(cuts=451), one_degree_machine()
    )
    assert all(choice.limit is not None for choice in of_scroll.rows(plan))


def test_gears_too_small_to_clear_a_shaft_make_no_train_of_four() -> None:
    """Twelve and thirteen teeth are fewer than a shaft needs beside them: 12 + 13 is less than 12 + 15."""
    found = gears.trains(Fraction(40), Fraction(40), (12, 12, 13, 13))
    assert found
    assert all(len(train.drivers) == 1 for train in found)


PLAIN_TURNED = [
    {"large": "20mm", "small": "18mm", "length": "10mm", "finish": "2mm"},
    {"large": "20mm", "small": "18mm", "length": "10mm", "finish": "0.2mm", "blank": "20mm"},
    {"large": "20mm", "small": "18mm", "length": "10mm", "finish": "0.2mm", "blank": "20.4mm"},
    {"large": "20mm", "small": "18mm", "length": "10mm", "finish": "0.2mm", "blank": "18mm", "side": "bore"},
]


@pytest.mark.parametrize("values", PLAIN_TURNED)
def test_a_taper_is_roughed_only_where_there_is_metal_over_its_finish(values: dict[str, str]) -> None:
    """A blank as large as the shape, or a hole as small, is not turned down first; a finish as deep as the shape is all of it."""
    plan = plan_of("taper", **values)
    radii = [float(plan.second.value(stop.second)) for stop in plan.stops]
    assert all(9.0 - 0.005 <= radius <= 10.2 for radius in radii)
    assert plan.result.stock_min >= -1e-9


def test_a_crown_by_its_radius_and_a_cone_that_falls_are_turned() -> None:
    """By hand: a bow of 20 mm on a radius of 35 is 35 - sqrt(35^2 - 10^2) = 1.459 mm high."""
    crown = plan_of("radius", form="crown", radius="35mm", length="20mm", diameter="30mm")
    assert crown.target["small_diameter" if "small_diameter" in crown.target else "small"] == pytest.approx(
        27.082, abs=0.001
    )
    cone = plan_of("profile", targets="0mm 30mm; 10mm 20mm", step="1mm")
    assert len({stop.second for stop in cone.stops}) == len(cone.stops)


def test_a_ramp_with_a_crest_has_an_easy_step_and_stays_off_its_line() -> None:
    plan = plan_of(
        "ramp", outside="50mm", bore="40mm", cutter="8mm", targets="0deg 1mm; 30deg 2mm; 60deg 1mm", ramps="5"
    )
    assert plan.remarks[0].code == "chosen-step"
    assert all(plan.second.value(stop.second) <= 2 for stop in plan.stops)


def test_a_drop_on_a_slope_steeper_than_the_table_can_show_is_one_cut_a_mark() -> None:
    """A degree of the table is a third of a millimetre of the rise, more than the drop."""
    plan = solve_ramp(
        example_ring(rise=Fraction(60)), half_inch(), Stepping(drop=Fraction("0.254")), one_degree_machine()
    )
    marks = [stop.first for stop in plan.stops]
    assert len(set(marks)) == len(marks)
    assert len(marks) == pytest.approx(180, abs=2)


def test_a_line_is_followed_as_widely_as_its_cutter_lets_it() -> None:
    """Circles of 8 mm that only just meet leave their radius standing, less what rounding of the last step brings closer."""
    plan = plan_of(
        "points", radius="60mm", side="on", cutter="8mm", depth="3mm", begin="0deg", span="90deg", scallop="9mm"
    )
    assert len(plan.stops) == math.ceil(math.pi / 2 / (2 * math.asin(4 / 60))) + 1


def test_scales_that_keep_no_ridge_near_a_limit_are_refused() -> None:
    """A millionth of a millimetre, and ten of them, are far less than a division leaves."""
    plan = plan_of("taper", large="20mm", small="18mm", length="10mm", step="1mm")
    with pytest.raises(Refused) as refused:
        near_ridge(plan.details.cuts[0].task, 1e-6)
    assert refused.value.code == "out-of-reach"
    assert refused.value.facts["best"] > 1e-4


def test_a_pass_of_the_compound_past_the_ends_of_its_taper_takes_nothing_of_it() -> None:
    plan = plan_of("taper", large="20mm", small="18mm", length="10mm", by="compound")
    for where in (-1.0, 50.0):
        assert of_taper.below(plan, plan.stops[0], where) == -math.inf


def test_a_lathe_without_a_compound_is_told_nothing_of_one() -> None:
    plan = plan_of("taper", large="20mm", small="18mm", length="10mm", step="1mm")
    without = replace(plan, machine=replace(plan.machine, compound=None))
    told, less = ([row[0] for row in rows_of(each, voice_of(each.machine))] for each in (plan, without))
    assert set(told) - set(less) >= {"Compound", "Check", "Feed"}


def test_nothing_of_a_cutter_or_a_follower_reaches_behind_the_axis() -> None:
    """Two radians round from where it stands, a straight edge and a round nose are past a quarter turn."""
    for side in (True, False):
        blade = Blade(5.0, side)
        assert blade.leaves(20.0, 2.0) == math.inf
        assert blade.held(20.0, 2.0) == -math.inf
    assert Follower("flat").leaves(20.0, 2.0) == math.inf


def test_a_helix_by_lead_and_angle_that_agree_is_cut_as_by_the_lead() -> None:
    """By hand: tan 20 degrees is 37 pi / lead, so that the lead is 319.36 mm."""
    values = {
        "diameter": "37mm",
        "lead": "319.3638mm",
        "length": "10mm",
        "depth": "1.5mm",
        "cutter": "5mm",
        "step": "4deg",
    }
    plan = plan_of("helix", **values, angle="20deg")
    assert plan.target["lead"] == pytest.approx(319.3638)
    assert len(plan.stops) == 4


def test_an_angle_cutter_finishes_the_face_below_a_slope_and_not_the_one_beside_a_flat() -> None:
    """Faces at 40 degrees, where the floor falls to its foot, and at 80, where it is level."""
    targets = "0deg 0mm; 40deg 2mm; 40deg 1mm; 80deg 1mm; 80deg 0mm; 120deg 0mm"
    plan = plan_of(
        "ramp", outside="50mm", bore="40mm", cutter="8mm", targets=targets, step="2deg", **{"angle-cutter": "60deg"}
    )
    assert [marks for marks, _ in plan.target["upright_faces"]] == [[40.0]]


def test_a_dial_that_falls_as_x_grows_is_set_by_what_is_left_of_its_turn() -> None:
    """By hand: a blank of 21.2 mm is four turns of 5 mm on the diameter and 1.2 over; counted backward, 3.8."""
    plan = plan_of("taper", large="20mm", small="18mm", length="10mm", blank="21.2mm", by="compound")
    falling = replace(plan, second=replace(plan.second, inward="grows"))
    told = repr(words_of_taper(falling, voice_of(falling.machine), Dials(falling, "mm")))
    assert "The cross-slide dial FALLS as x grows: at 21.2 mm set it to', '3.80'" in told


def test_a_finish_of_one_division_is_not_halved() -> None:
    plan = plan_of("taper", large="20mm", small="18mm", length="10mm", by="compound", finish="0.01mm")
    assert [float(plan.second.value(stop.second)) for stop in plan.stops if stop.start == 2] == [9.0]


def test_a_cam_by_a_step_that_keeps_its_scallop_is_cut_by_the_step() -> None:
    cam = {
        "base": "15mm", "segments": ["rise 2mm in 60deg", "dwell 30deg", "fall 2mm in 60deg"], "cutter": "14mm", "step": "5deg"
    }  # fmt: skip
    assert plan_of("cam", **cam, scallop="0.5mm").stops == plan_of("cam", **cam).stops


def test_a_groove_shorter_than_half_a_turn_of_the_crank_is_offered_the_ridge_alone() -> None:
    """By hand: 0.2 mm of a lead of 120 mm are 0.6 degrees; half a turn of the crank is 2."""
    plan = plan_of("helix", diameter="37mm", lead="120mm", length="0.2mm", depth="1.5mm", cutter="5mm", step="0.3deg")
    (only,) = of_helix.rows(plan)
    assert only.step <= Fraction(3, 5)


def test_a_rim_of_whole_degrees_is_offered_whole_degrees() -> None:
    """A fifth of a turn of 4 degrees is 48 minutes."""
    plan = plan_of("helix", diameter="37mm", lead="120mm", length="30mm", depth="1.5mm", cutter="5mm", step="4deg")
    whole = Scale("rim", Fraction(1), Fraction(4), angular=True)
    minutes, degrees = (
        {
            step
            for _, step in of_helix._candidates(Groove(plan.details.helix, plan.cutter, rim, plan.second), Fraction(4))
        }
        for rim in (plan.first, whole)
    )
    assert Fraction(4, 5) in minutes
    assert {Fraction(1), Fraction(2), Fraction(4)} < degrees == {step for step in minutes if step.denominator == 1}


def test_a_long_groove_of_a_short_lead_by_a_fine_ridge_has_too_many_cuts() -> None:
    """By hand: 4 mm of a lead of 2 mm are two turns, 43 200 minutes of the rim, and one cut more."""
    with pytest.raises(StepcutError, match="cuts = 43201: is more than a plan may have"):
        plan_of("helix", diameter="37mm", lead="2mm", length="4mm", depth="0.3mm", cutter="0.8mm", scallop="0.0005mm")


@pytest.mark.parametrize(("step", "meet"), [(14, False), (12, True)])
def test_sweeps_side_by_side_meet_where_the_facets_between_them_are_reached(step: int, meet: bool) -> None:
    """By hand: two sweeps of a 5 mm cutter 3 mm apart square to a groove at 19 degrees, 3.17 mm along the axis, 17 mm over it.

    Half a step h aside a facet lies 17 tan h off its middle, where the cutter reaches sqrt(2.5^2 - (17 tan h)^2) to each side:
    together 2.75 mm at a step of 14 degrees, 3.50 at 12.
    """
    wide = 2 * math.sqrt(2.5**2 - (17 * math.tan(math.radians(step / 2))) ** 2)
    assert (wide > 3 / math.cos(math.atan(40 / (37 * math.pi)))) == meet
    values = {"diameter": "37mm", "lead": "40mm", "length": "8mm", "depth": "1.5mm", "cutter": "5mm", "leave": "0mm"}
    if meet:
        assert plan_of("helix", **values, **{"groove-width": "8mm"}, step=f"{step}deg").stops
    else:
        with pytest.raises(StepcutError, match="step = 14°: leaves uncut metal between neighbours"):
            plan_of("helix", **values, **{"groove-width": "8mm"}, step=f"{step}deg")


def test_a_cone_leaning_on_a_ray_steeper_than_its_wall_takes_nothing_of_it() -> None:
    """A cutter of 60 degrees, its wall at 30 to its axis: a ray at 25 degrees runs into it, one at 35 never does."""
    point = Vee(outside=18.0, bottom=16.0, pitch=5.0, outline=Outline(5.0, 0.0, math.tan(math.radians(30))))
    assert point.over_floor(0.0, 0.0) == pytest.approx(16.0)
    assert math.isfinite(point.over_floor(math.radians(25), 0.0))
    assert point.over_floor(math.radians(35), 0.0) == math.inf


def test_a_cut_made_twice_is_one_piece_of_the_wall() -> None:
    """Two cuts of 5 mm inside a circle of 30 mm, alike in their distance: they meet half-way between."""
    cuts = [points.Cut(at, 25 * math.cos(at), 25 * math.sin(at)) for at in (0.0, 0.0, 0.1)]
    pieces = list(points.Wall(30.0, 5.0, 1).pieces(cuts, 0.0, 0.1))
    assert [cut.at for cut, _, _ in pieces] == [0.0, 0.1]
    assert [pytest.approx(end) for _, _, end in pieces] == [0.05, 0.1]


def test_a_square_tool_takes_a_profile_without_a_waist_with_its_width_or_without() -> None:
    cone = {"targets": "0mm 30mm; 10mm 20mm", "tool": "square", "step": "1mm"}
    assert plan_of("profile", **cone, **{"tool-width": "3mm"}).stops == plan_of("profile", **cone).stops


def test_seats_and_finished_faces_both_count_in_what_is_left() -> None:
    values = {
        "outside": "60mm",
        "bore": "40mm",
        "cutter": "10mm",
        "targets": "0deg 0mm; 80deg 2mm; 80deg 0mm; 120deg 0mm",
        "step": "4deg",
    }
    seat = {"seat-low": "1mm", "seat-depth": "0.2mm"}
    face = {"angle-cutter": "70deg"}
    least = {name: plan_of("ramp", **values, **more).result.stock_max for name, more in
             (("neither", {}), ("seat", seat), ("face", face), ("both", {**seat, **face}))}  # fmt: skip
    assert least["both"] <= min(least.values()) + 1e-9
    assert least["face"] < least["neither"]


def test_a_cut_found_no_deeper_than_the_surface_takes_nothing_of_it() -> None:
    plan = plan_of("ramp", outside="60mm", bore="40mm", rise="2mm", span="100deg", cutter="10mm", step="10deg")
    stop = plan.stops[4]
    at = float(plan.first.value(stop.first))
    assert of_ramp_mishap._stands_low(plan, stop, 0.0) == ((at, at), 0.0)
    (low, high), lost = of_ramp_mishap._stands_low(plan, stop, 2.0)
    assert low < at + 20
    assert high > low
    assert 0 < lost < 1


def test_the_degrees_of_a_rise_that_may_be_level_are_those_that_were_read() -> None:
    read = {"span": Figure(140.9, 139.7, 150.2), "slope": Figure(0.0001, -0.0002, 0.0004)}
    assert spanning(Fraction("1.778"), read) == read["span"]


@pytest.mark.usefixtures("afresh")
def test_more_marks_of_a_scroll_than_a_plan_may_have_are_refused_as_they_are_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As where the estimate said fewer: twelve cuts and more, and ten allowed."""
    scroll = {"begin": "15mm", "end": "25mm", "pitch": "8mm", "depth": "2mm", "cutter": "4mm", "scallop": "0.1mm"}
    assert len(plan_of("scroll", **scroll).stops) > 12
    monkeypatch.setattr(scrolls, "MOST_CUTS", 10)
    monkeypatch.setattr(scrolls.Bench, "_needs", lambda self, limit: 0)
    with pytest.raises(StepcutError, match=r"cuts = 1\d: is more than a plan may have \(12000\)"):
        plan_of("scroll", **scroll)


@pytest.mark.parametrize(("ramps", "room"), [("3", True), ("6", False)])
def test_where_no_span_leaves_room_for_the_cutter_none_is_advised(ramps: str, room: bool) -> None:
    """By hand: 18 mm at the bore of 40 are 2 asin(9 / 20), 53.5 degrees, of a sixth of the turn; and the edge is on the line."""
    sector = 360 / int(ramps)
    plan = plan_of(
        "ramp",
        outside="60mm",
        bore="40mm",
        rise="2mm",
        ramps=ramps,
        span=f"{sector - 2:g}deg",
        cutter="18mm",
        scallop="0.1mm",
    )
    (facts,) = [remark.facts for remark in plan.remarks if remark.code == "runs-into-next"]
    assert (facts["span"] is not None) == room == (sector > 2 * math.degrees(math.asin(9 / 20)) + 20)


@pytest.mark.parametrize("more", [{"step": "1mm", "finish": "0.2mm"}, {"cuts": "3"}])
def test_a_taper_finer_than_a_division_is_refused_by_its_cuts_and_where_it_is_roughed(more: dict[str, str]) -> None:
    """By hand: 20 mm to 19.999 mm are 0.0005 mm on the radius."""
    with pytest.raises(
        StepcutError, match=r"can cut nothing: the shape is 0\.00050 mm high on the radius, and one division"
    ):
        plan_of("taper", large="20mm", small="19.999mm", length="10mm", leave="0mm", **more)


def test_a_foot_that_is_cut_as_deep_as_is_left_has_no_width() -> None:
    """A flat of 2 mm beside an upright face of an across-fed cutter: all is cut there."""
    plan = plan_of(
        "ramp",
        outside="60mm",
        bore="40mm",
        cutter="10mm",
        targets="0deg 0mm; 80deg 2mm; 80deg 0mm; 120deg 0mm",
        step="8deg",
        leave="0mm",
    )
    bench = plan.details.bench
    traced = bench.left([(stop.first, stop.second) for stop in plan.stops if stop.start == 1]).traced[0]
    assert of_ramp_free._width(traced, 79.9, 10.0) == 0.0
