"""The face ramp: the worked example, spacing, run-out and refusals."""

from __future__ import annotations

import itertools
import math
import re
from fractions import Fraction

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards.wording import refusal
from stepcut.errors import BadValue
from stepcut.machine import STANDARD_CUTTERS, Cutter
from stepcut.machine import files as machines
from stepcut.plan import Plan, Refused
from stepcut.routine import card
from stepcut.shapes.ramp import ask
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.shapes.renamed import new_name
from stepcut.voice import Voice
from tests.shops import INCH, every, example_ring, half_inch, inch_machine, inches, one_degree_machine


def inch(mm: float) -> float:
    return mm / 25.4


def test_edge_on_the_line_leaves_the_drop_and_no_twist() -> None:
    # Hand arithmetic: 10 of 180 degrees of 0.090 in is 0.005 in, at every radius, since the risers are radial.
    plan = solve(example_ring(), half_inch(), every(10), inch_machine())
    assert len(plan.stops) == 18
    assert inch(plan.result.stock_max) == pytest.approx(0.005, abs=1e-9)
    assert plan.result.stock_min == 0
    assert inch(plan.result.stock_mean) == pytest.approx(0.0025, abs=1e-9)
    assert plan.result.twist == pytest.approx(0, abs=1e-12)
    # (0.875^2 - 0.7^2)/2 x pi x 0.0025 in^3
    assert plan.result.volume / 25.4**3 == pytest.approx((0.875**2 - 0.7**2) / 2 * math.pi * 0.0025, rel=1e-9)


def test_centre_on_the_line_is_led_and_leaves_the_outside_higher() -> None:
    plan = solve(example_ring(), half_inch(on_line="centre"), every(10), inch_machine())
    lead = math.degrees(math.asin(0.25 / 0.70))  # 20.92 degrees: half the cutter seen from the table centre at the bore
    first = float(plan.first.value(plan.stops[0].first))
    assert 0 <= first - 10 - lead < 1 / 60  # to the division of the table, rounded up
    assert plan.result.stock_min == 0
    assert inch(plan.result.stock_max) == pytest.approx(0.0072, abs=5e-5)
    # slope x (u at the bore - u at the outside)
    assert inch(plan.result.twist) == pytest.approx(0.0005 * (lead - math.degrees(math.asin(0.25 / 0.875))), abs=1e-5)


def test_centre_not_led_would_gouge_by_what_the_lead_is_for() -> None:
    # 20.92 degrees x 0.0005 in per degree: what a stop cut without the lead would go below the wanted surface.
    plan = solve(example_ring(), half_inch(on_line="centre"), every(10), inch_machine())
    task = plan.details.bench.task
    assert inch(task.line.depth(100) - task.deepest(100.0)) == pytest.approx(0.01046, abs=5e-6)


def test_two_ramps_with_a_half_inch_cutter_spoil_each_other() -> None:
    plan = solve(example_ring(starts=2), half_inch(), every(10), inch_machine())
    spoiling = [remark for remark in plan.remarks if remark.spoils]
    reach = math.degrees(math.asin(0.5 / 0.7))
    assert plan.spoils
    assert [remark.code for remark in spoiling] == ["runs-into-next"]
    assert spoiling[0].facts["overlap"] == pytest.approx(reach)
    assert spoiling[0].facts["fitting"] == 13  # at most 134.4 degrees of the 180 can carry stops
    assert float(spoiling[0].facts["span"]) == pytest.approx(180 - reach, abs=1 / 60)


@pytest.mark.parametrize(("diameter", "degrees"), [("3/16", 17.5), ("1/4", 23.6), ("3/8", 36.9), ("1/2", 53.1)])
def test_run_out_is_the_diameter_seen_from_the_centre_at_the_bore(diameter: str, degrees: float) -> None:
    # Common practice, no source: run-out at bore radius 0.625 in with the edge on the line.
    ring = example_ring(inside_diameter=inches("1.25"), span=Fraction(90))
    plan = solve(ring, Cutting("across", "edge", Cutter("flat", inches(diameter))), every(10), inch_machine())
    assert plan.result.more["run_out"]["needed"] == pytest.approx(degrees, abs=0.06)


def test_the_largest_standard_cutter_that_clears_really_clears() -> None:
    ring = example_ring(starts=2, span=Fraction(150))
    plan = solve(ring, half_inch(), every(10), inch_machine())
    fits = next(r for r in plan.remarks if r.spoils).facts["fits"]
    again = solve(ring, Cutting("across", "edge", Cutter("flat", fits)), every(10), inch_machine())
    assert not again.spoils
    next_size = min(size for size in STANDARD_CUTTERS["in"] if size > fits)
    larger = solve(ring, Cutting("across", "edge", Cutter("flat", next_size)), every(10), inch_machine())
    assert larger.spoils


def test_ramp_angles_at_bore_middle_and_outside() -> None:
    angles = solve(example_ring(), half_inch(), every(10), inch_machine()).result.more["ramp_angle"]
    for name, radius in (("bore", 0.7), ("middle", 0.7875), ("outside", 0.875)):
        assert angles[name] == pytest.approx(math.degrees(math.atan(0.09 / (math.pi * radius))))


@pytest.mark.parametrize(
    ("law", "stops", "even_step", "even_stops"),
    [("uniform", 18, 10, 18), ("harmonic", 20, 6, 29), ("cycloidal", 21, 4, 38), ("parabolic", 20, 5, 35)],
)
def test_uneven_steps_need_fewer_stops_on_a_curved_law(law: str, stops: int, even_step: int, even_stops: int) -> None:
    # The coarsest even whole-degree step within 0.0050 in, less the spaces at its ends that cut nothing, against the fewest stops.
    machine, limit = one_degree_machine(), inches("0.005")
    ring = example_ring(law=law)
    assert len(solve(ring, half_inch(), Stepping(scallop=limit), machine).stops) == stops
    within = [
        step
        for step in range(1, 31)
        if 180 % step == 0 and solve(ring, half_inch(), every(step), machine).result.scallop <= float(limit) + 1e-9
    ]
    assert max(within) == even_step
    assert len(solve(ring, half_inch(), every(even_step), machine).stops) == even_stops


def test_without_a_span_the_largest_that_fits_is_taken_and_named() -> None:
    plan = solve(example_ring(starts=2, span=Fraction(0)), half_inch(), Stepping(), inch_machine())
    assert float(plan.target["span"]) == pytest.approx(180 - math.degrees(math.asin(0.5 / 0.7)), abs=1 / 60)
    assert "chosen-span" in [remark.code for remark in plan.remarks]
    assert not plan.spoils


def test_without_a_step_the_largest_easy_one_is_taken_and_named() -> None:
    plan = solve(example_ring(), half_inch(), Stepping(), inch_machine())
    chosen = next(remark for remark in plan.remarks if remark.code == "chosen-step")
    assert chosen.facts["step"] == 10  # 12 degrees would leave 0.006 in; 10 degrees is 2 1/2 turns of the crank


@pytest.mark.parametrize("stops", [6, 7, 18, 19, 90, 180])
def test_the_last_position_does_not_depend_on_the_number_of_stops(stops: int) -> None:
    plan = solve(example_ring(), half_inch(), Stepping(stops=stops), inch_machine())
    last = plan.stops[-1]
    assert plan.first.value(last.first) == 180
    assert plan.second.value(last.second) == inches("0.090")


def test_a_drop_steps_the_depth_by_whole_drops() -> None:
    plan = solve(example_ring(), half_inch(), Stepping(drop=inches("0.004")), inch_machine())
    depths = [plan.second.value(stop.second) for stop in plan.stops]
    assert depths[:3] == [inches("0.004"), inches("0.008"), inches("0.012")]
    assert depths[-1] == inches("0.090")


def test_several_ramps_in_either_order_have_the_same_stops() -> None:
    ring = example_ring(starts=3, span=Fraction(60))
    by_ramp = solve(ring, half_inch(), Stepping(step=Fraction(10)), inch_machine())
    by_depth = solve(ring, half_inch(), Stepping(step=Fraction(10), order="by-depth"), inch_machine())

    def key(plan):  # type: ignore[no-untyped-def]
        return sorted((s.start, s.first, s.second) for s in plan.stops)

    assert key(by_ramp) == key(by_depth)
    depths = [stop.second for stop in by_depth.stops]
    assert depths == sorted(depths)
    rounds = [by_depth.stops[k : k + 3] for k in range(0, len(by_depth.stops), 3)]
    assert all({stop.start for stop in one} == {1, 2, 3} for one in rounds)  # each depth once on every ramp
    assert all(len({stop.second for stop in one}) == 1 for one in rounds)
    tables = [stop.first for stop in by_ramp.stops]
    assert tables == sorted(tables)


def test_the_side_rule_of_thumb_holds_for_small_steps_and_fails_for_large_ones() -> None:
    # Common practice, no source: ridge about pitch^2 / (8 R) between equal stops, quadratic in the step.
    # A level ring but for two millionths of an inch, on a thin wall at radius 0.75 in and a fine scale: slope, wall and rounding
    # add next to nothing to what half-inch circles a chord apart leave, which is a circle's height over its chord.
    inch_mill = machines.find("inch")
    assert inch_mill.depth is not None
    fine = replace(inch_mill, depth=replace(inch_mill.depth, division=Fraction(1, 10**6)))
    ring = example_ring(
        outside_diameter=inches("1.501"), inside_diameter=inches("1.499"), rise=inches("0.000002"), start_depth=inches("0.2"),
        span=Fraction(120),
    )  # fmt: skip
    found = {step: inch(solve(ring, half_inch("side", "centre"), every(step), fine).result.scallop) for step in (1, 2, 5, 10, 30)}  # fmt: skip
    for step, stands in found.items():
        chord = 2 * 0.75 * math.sin(math.radians(step / 2))
        over_chord = 0.25 - math.sqrt(0.25**2 - (chord / 2) ** 2)
        assert over_chord < stands < 1.003 * over_chord + 2.1e-6
    for step in (2, 5, 10):
        assert found[step] == pytest.approx((0.75 * math.radians(step)) ** 2 / (8 * 0.25), rel=0.02)
    assert found[10] == pytest.approx(0.0086, rel=0.02)  # the figure in two places, by hand
    assert found[30] > 1.19 * (0.75 * math.radians(30)) ** 2 / (8 * 0.25)  # the circle rises faster than its parabola


def test_leave_auto_is_the_sum_of_the_machines_errors() -> None:
    plan = solve(example_ring(), Cutting("across", "edge", Cutter("flat", INCH / 2), None), every(10), inch_machine())
    # slope 0.0005 in a degree x 1 minute + 0.0005 in, rounded up to the 0.0005 in scale
    assert plan.leave == inches("0.001")
    assert "leave-auto" in [remark.code for remark in plan.remarks]


def test_a_leave_below_the_errors_is_remarked_on() -> None:
    plan = solve(example_ring(), half_inch(), every(10), inch_machine())
    remark = next(remark for remark in plan.remarks if remark.code == "leave-small")
    assert inch(remark.facts["safe"]) == pytest.approx(0.0005 / 60 + 0.0005)


@pytest.mark.parametrize(
    ("key", "code", "ring", "cutting", "stepping"),
    [
        ("cutter", "crosses-bore", {}, Cutting("across", "edge", Cutter("flat", inches("0.7"))), Stepping()),
        ("cutter", "narrower-than-wall", {}, Cutting("plunge", "centre", Cutter("flat", inches("1/8"))), Stepping()),
        ("step", "apart", {}, Cutting("plunge", "centre", Cutter("flat", inches("3/16"))), every(20)),
        ("span", "over-sector", {"starts": 3}, half_inch(), Stepping()),
        ("leave", "nothing-to-cut", {}, half_inch(leave=inches("0.1")), Stepping()),
        ("stops", "disagree-stops", {}, half_inch(), Stepping(step=Fraction(10), stops=20)),
        ("drop", "disagree-drop", {}, half_inch(), Stepping(step=Fraction(10), drop=inches("0.006"))),
        ("scallop", "disagree-scallop", {}, half_inch(), Stepping(step=Fraction(10), scallop=inches("0.004"))),
        ("stops", "not-so-many", {}, half_inch(), Stepping(stops=400)),
        ("stops", "too-many", {}, half_inch(), Stepping(step=Fraction(1, 1000))),
        ("scallop", "out-of-reach", {}, half_inch("side", "centre"), Stepping(scallop=Fraction(1, 10**6))),
        ("cutter", "too-round", {"law": "harmonic", "rise": inches("0.4"), "span": Fraction(40)}, half_inch("side", "centre"), Stepping()),
        ("cutter", "too-round", {"law": "harmonic", "rise": inches("0.4"), "starts": 9, "span": Fraction(0)},
         Cutting("across", "centre", Cutter("ball", inches("0.2"), inches("0.1"))), Stepping()),
        ("cutter", "no-room", {"starts": 8, "span": Fraction(0)}, half_inch(), Stepping()),
        ("drop", "below-division", {}, half_inch(), Stepping(drop=inches("0.0001"))),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_refused(key, code, ring, cutting, stepping) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refused) as refused:
        solve(example_ring(**ring), cutting, stepping, inch_machine())
    assert (refused.value.key, refused.value.code) == (key, code)
    for voice in (Voice("in", "minutes"), Voice("mm")):
        said = str(refusal(refused.value, voice))
        assert said.startswith(new_name(key))
        assert said.endswith(".")


# --- cuts so thin that they rub -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("spacing", [{"step": "2deg"}, {"scallop": "1thou"}, {"drop": "1thou"}, {"cuts": "70"}])
def test_thin_cuts_are_put_together_when_that_is_asked_for(spacing: dict[str, str]) -> None:
    recipe = recipes.load("sluice-clamp-ramp").resized({"step": "", **spacing})
    thin, thick = recipes.job(recipe).plan, recipes.job(recipe.resized({"regroup": "true"})).plan
    hair = 0.002 * 25.4  # an end mill rubs below about 0.002 in; common practice, no source

    def drops(plan: Plan) -> list[float]:
        depths = [0.0] + [float(plan.second.value(stop.second)) for stop in plan.stops if stop.start == 1]
        return [b - a for a, b in itertools.pairwise(depths)]

    assert max(drops(thin)) < hair
    assert "rubs" in [remark.code for remark in thin.remarks]
    codes = [remark.code for remark in thick.remarks]
    assert "regrouped" in codes
    assert "rubs" not in codes
    assert max(drops(thick)) >= hair
    # Of the cuts in the middle none rubs; the first and the last take what the leave and the span leave over.
    assert min(drops(thick)[1:-1]) >= hair - 0.0005 * 25.4 - 1e-9
    # By hand: a cut at an angle stands no deeper than the ramp there, 0.090 in in 140 degrees from 0.002 in, less the leave.
    for stop in thick.stops:
        at = (float(thick.first.value(stop.first)) - 180 * (stop.start - 1)) / 140
        assert float(thick.second.value(stop.second)) <= 25.4 * 0.090 * min(1.0, at) + 1e-9
    if "step" in spacing:  # still easy to dial: whole steps of the first one
        assert thick.first.value(thick.stops[1].first) % 2 == 0


def test_cuts_that_are_thick_enough_stay_as_they_are() -> None:
    recipe = recipes.load("sluice-clamp-ramp").resized({"step": "3deg"})
    assert recipes.job(recipe.resized({"regroup": "true"})).plan.stops == recipes.job(recipe).plan.stops


def test_only_targets_that_rise_or_jump_or_go_all_round_make_a_free_line() -> None:
    def free(span: int, *targets: tuple[int, int]) -> bool:
        pairs = tuple((Fraction(at), Fraction(depth)) for at, depth in targets)
        return Ramp(Fraction(60), Fraction(48), Fraction(span), Fraction(0), law="targets", targets=pairs).free

    assert not free(90, (0, 0), (40, 1), (90, 2))
    assert not free(90, (0, 0), (40, 1), (90, 1))
    assert free(90, (0, 0), (40, 1), (40, 2), (90, 3))
    assert free(90, (0, 0), (40, 2), (90, 1))
    assert free(360, (0, 0), (360, 2))


@pytest.mark.parametrize(("way", "fine", "said"), [("end", "slide", False), ("end", "depth", True), ("side", "slide", True), ("side", "depth", False)])  # fmt: skip
def test_what_does_not_come_out_even_is_seen_on_the_scale_that_goes_deeper(way: str, fine: str, said: bool) -> None:
    """0.1 mm for each 10 degrees: whole divisions of 0.005 mm, not of 0.03 mm; with the side the slide goes deeper."""
    values = {
        "outside": "60mm",
        "bore": "48mm",
        "per": "0.1mm/10deg",
        "span": "120deg",
        "cutter": "6mm",
        "cut-with": way,
    }
    job = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": values}))
    coarse = replace(getattr(job.machine, fine), division=Fraction(3, 100))
    machine = replace(job.machine, **{fine: coarse})
    assert bool(ask._gives(job.values, Fraction(120), machine)) is said


def test_so_much_for_so_many_degrees_is_the_step_though_a_wider_one_would_keep_the_usual_ridge() -> None:
    """0.05 mm for each 5 degrees; 10 degrees would leave 0.1 mm, less than the usual 0.12."""
    values = {"outside": "60mm", "bore": "48mm", "per": "0.05mm/5deg", "span": "60deg", "cutter": "6mm", "leave": "0mm"}
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": values})).plan
    places = [plan.first.value(stop.first) for stop in plan.stops]
    assert {b - a for a, b in itertools.pairwise(places)} == {5}


def test_one_ramp_has_at_least_one_cut() -> None:
    with pytest.raises(BadValue, match=r"cuts = 0: must be at least 1\. Give the number of cuts of one ramp\."):
        Stepping(stops=0)


def test_step_and_drop_beside_a_rise_tell_the_span() -> None:
    """0.1 mm for each 5 degrees: a rise of 2 mm takes 100 degrees."""
    ring = {"outside": "60mm", "bore": "48mm", "cutter": "6mm", "leave": "0mm", "on-centre": "edge"}
    content = {"stepcut": 1, "machine": "metric", "ramp": {**ring, "rise": "2mm", "step": "5deg", "drop": "0.1mm"}}
    assert recipes.job(recipes.from_content(content)).plan.details.ramp.span == 100


@pytest.mark.parametrize(
    ("ramps", "said"), [("1", ""), ("2", ", one ramp after the other"), ("3", ", one ramp after the other")]
)
def test_the_card_says_of_ramps_how_many_in_which_order_and_what_differs(ramps: str, said: str) -> None:
    ring = {
        "outside": "60mm",
        "bore": "48mm",
        "cutter": "6mm",
        "leave": "0mm",
        "step": "10deg",
        "rise": "1mm",
        "span": "60deg",
    }
    desks = []
    for centre in ("edge", "axis"):
        content = {"stepcut": 1, "machine": "metric", "ramp": {**ring, "ramps": ramps, "on-centre": centre}}
        words = card(recipes.job(recipes.from_content(content)).plan, Heading(date="2026-01-01")).words
        assert dict(words.head)["Ramps"] == f"{ramps}{said}; rises CLOCKWISE, seen facing it"
        desks.append(dict(words.desk))
    # An edge on the radial line leaves no twist; an axis there turns farther at the bore, common practice, no source.
    assert ["bore and outside differ by" in desk["Scallop"] for desk in desks] == [False, True]
    assert re.match(
        r"[\d.]+° bore, [\d.]+° middle, [\d.]+° outside; by the middle radius, 27", desks[0]["Will it hold"]
    )
