"""Tapers, radii and profiles against a raster along the axis."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import CrossSection, Manifold
from msgspec.structs import replace
from scipy.optimize import brentq

from stepcut import recipes
from stepcut.cli import show
from stepcut.machine import Cutter, Scale
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.shapes.turned.bench import Turning
from stepcut.shapes.turned.task import solve
from stepcut.shapes.turned.wanted import Revolved, taper
from tests.conftest import Run
from tests.outside import front
from tests.shops import plan_of, stops_of

INCH = 25.4


def as_cut(
    z: np.ndarray, stops: list[dict[str, float]], nose: float, blank: float, bore: bool = False, back: bool = False
) -> np.ndarray:
    """Radius that the stops leave, from their Z and X alone.

    A pass comes from the face (to the back of a ball from its neck): it leaves a cylinder up to a square tool's corner, or up to
    the middle of a round nose, and the nose's arc beyond.
    """
    radius = np.full_like(z, blank)
    better = np.maximum if bore else np.minimum
    for stop in stops:
        centre = stop["z"] - nose
        ahead = np.maximum(centre - z if back else z - centre, 0.0)
        sag = nose - np.sqrt(np.clip(nose**2 - ahead**2, 0, None))
        cut = stop["x"] - sag if bore else stop["x"] + sag
        radius = np.where(ahead <= nose, better(radius, cut), radius)
    return radius


def compare(plan: Plan, z: np.ndarray, wanted: np.ndarray, cut: np.ndarray, leave: float, bore: bool = False) -> None:
    stock = wanted - cut if bore else cut - wanted
    assert stock.min() >= leave - 1e-6
    cell = np.abs(np.diff(wanted)).max()
    assert stock.max() == pytest.approx(plan.result.stock_max, abs=cell + 2e-3)
    inner, outer = (cut, wanted) if bore else (wanted, cut)
    volume = np.trapezoid(np.pi * (outer**2 - inner**2), z)
    assert plan.result.volume == pytest.approx(volume, rel=0.002, abs=0.1)


@given(
    large=st.integers(20, 60), drop=st.integers(1, 10), length=st.integers(10, 80), nose=st.sampled_from([0.0, 0.4, 1.0, 3.0]),
    leave=st.sampled_from(["0mm", "0.1mm"]), spacing=st.sampled_from([{"step": "1mm"}, {"stops": "9"}, {"scallop": "0.05mm"}]),
    bore=st.booleans(),
)  # fmt: skip
def test_a_stepped_taper_is_never_below_and_leaves_what_is_said(
    large, drop, length, nose, leave, spacing, bore
) -> None:  # type: ignore[no-untyped-def]
    small = large - drop
    tool = {"tool": "round", "nose": f"{nose}mm"} if nose else {}
    side = "bore" if bore else "outside"
    plan = plan_of(
        "taper",
        large=f"{large}mm",
        small=f"{small}mm",
        length=f"{length}mm",
        side=side,
        leave=leave,
        **tool,
        **spacing,
    )
    z = np.linspace(0, length, 40_001)
    slope = drop / 2 / length
    wanted = large / 2 - slope * z if bore else small / 2 + slope * z
    cut = as_cut(z, stops_of(plan), nose, small / 2 if bore else large / 2, bore)
    compare(plan, z, wanted, cut, 0.0, bore)
    touched = cut != (small / 2 if bore else large / 2)
    stock = (wanted - cut if bore else cut - wanted)[touched]
    assert stock.min() >= float(leave[:-2]) - 1e-6


@pytest.mark.parametrize("nose", [0.0, 1.0])
@pytest.mark.parametrize("limit", ["0.05mm", "0.2mm"])
def test_a_ball_is_stepped_at_equal_ridge_and_never_below(nose: float, limit: str) -> None:
    tool = {"tool": "round", "nose": "1mm"} if nose else {}
    plan = plan_of("radius", form="ball", radius="12mm", **{"to-angle": "140deg"}, scallop=limit, **tool)
    stops = stops_of(plan)
    z = np.linspace(0, 12, 60_001)
    wanted = np.sqrt(np.clip(144 - (12 - z) ** 2, 0, None))
    cut = as_cut(z, [s for s in stops if s["start"] == 1], nose, 12.0)
    assert (cut - wanted).min() >= -1e-6
    back = np.linspace(12, 12 + 12 * math.cos(math.radians(40)), 60_001)
    wanted_back = np.sqrt(np.clip(144 - (back - 12) ** 2, 0, None))
    cut_back = as_cut(back, [s for s in stops if s["start"] == 2], nose, 12.0, back=True)
    assert (cut_back - wanted_back).min() >= -1e-6
    # Ridges square to the ball: distance of the cut surface from the centre, less the radius.
    ridge = np.hypot(z - 12, cut) - 12
    most = float(limit[:-2])
    assert (
        0.95 * most < ridge.max() <= most
    )  # the fewest cuts use what is allowed: a division of Z is worth less than that
    # In the corner between ball and neck a round tool leaves what no spacing of stops can take; else nothing stands higher.
    ridge_back = np.hypot(back - 12, cut_back) - 12
    assert ridge_back[: 50_000 if nose else None].max() <= most
    assert plan.result.scallop == pytest.approx(max(ridge.max(), ridge_back.max()), abs=1e-4)


@pytest.mark.parametrize(
    ("form", "values"), [("fillet", {"diameter": "20mm", "at": "5mm"}), ("cove", {"diameter": "40mm"})]
)
@pytest.mark.parametrize("nose", [0.0, 0.8])
def test_hollow_forms_are_never_below(form: str, values: dict[str, str], nose: float) -> None:
    tool = {"tool": "round", "nose": "0.8mm"} if nose else {}
    plan = plan_of("radius", form=form, radius="6mm", scallop="0.05mm", **values, **tool)
    begin = 5.0 if form == "fillet" else 0.0
    z = np.linspace(begin, begin + 6, 60_001)
    base = 10.0 if form == "fillet" else 14.0
    wanted = base + 6 - np.sqrt(np.clip(36 - (z - begin) ** 2, 0, None))
    cut = as_cut(z, stops_of(plan), nose, base + 6)
    assert (cut - wanted).min() >= -1e-6
    # Square to the hollow: what the cut surface lacks of the radius from its centre.
    ridge = 6 - np.hypot(z - begin, base + 6 - cut)
    assert ridge.max() <= 0.05
    assert plan.result.scallop == pytest.approx(ridge.max(), abs=1e-4)


def test_a_profile_through_targets_is_never_below() -> None:
    plan = show.solved(recipes.job(recipes.load("belt-crown-profile")))
    targets = np.array(plan.target["targets"])
    z = np.linspace(0, 12.5, 40_001)
    wanted = np.interp(z, targets[:, 0], targets[:, 1] / 2)
    assert (as_cut(z, stops_of(plan), 1.0, 50.0) - wanted).min() >= -1e-6


def test_the_volume_of_a_stepped_taper_is_that_of_the_solid() -> None:
    plan = plan_of("taper", large="30mm", small="24mm", length="40mm", step="4mm")
    stops = stops_of(plan)
    outline = [(0.0, 0.0)]
    before = 0.0
    for stop in reversed(stops):
        outline += [(stop["x"], before), (stop["x"], stop["z"])]
        before = stop["z"]
    outline += [(15.0, before), (15.0, 40.0), (0.0, 40.0)]
    solid = Manifold.revolve(CrossSection([outline]), 720)
    cone = Manifold.revolve(CrossSection([[(0.0, 0.0), (12.0, 0.0), (15.0, 40.0), (0.0, 40.0)]]), 720)
    assert plan.result.volume == pytest.approx(solid.volume() - cone.volume(), rel=1e-3)


def test_the_ridge_of_a_square_tool_is_the_step_times_the_sine() -> None:
    plan = plan_of("taper", large="30mm", small="24mm", length="60mm", step="3mm")
    a = math.atan(3 / 60)
    assert plan.result.scallop == pytest.approx(
        3 * math.sin(a), abs=1e-5
    )  # 0.15 mm lower from cut to cut: whole divisions


def fine_plan(part: Revolved, nose: Fraction, step: Fraction) -> Plan:
    fine = replace(
        machines.find("metric"),
        carriage=Scale("carriage", Fraction(1, 10**6)),
        cross=Scale("cross", Fraction(1, 10**6)),
    )
    return solve(part, Turning(Cutter("round", 2 * nose, nose), step=step), fine, "taper", {})


def test_the_ridge_of_a_round_tool_going_straight_in_is_that_of_its_chord() -> None:
    # Ghosh & Mallik, "Manufacturing Science", problem 24: feed 0.125, nose 0.7: f^2/(8r) = 0.0027901786 mm.
    nearly_level = taper(Fraction(20), Fraction(20) - Fraction(1, 50), Fraction(10), "outside")
    plunged = replace(nearly_level, flanks=tuple(replace(each, straight_in=True) for each in nearly_level.flanks))
    plan = fine_plan(plunged, Fraction(7, 10), Fraction(1, 8))
    assert plan.result.scallop == pytest.approx(0.0027901786, rel=5e-3)


@pytest.mark.parametrize("angle", [1.0, 5.0, 20.0, 45.0])
@pytest.mark.parametrize("step", ["0.3", "1.1"])
def test_the_ridge_of_passes_of_a_round_tool_stands_where_a_cylinder_meets_the_next_nose(
    angle: float, step: str
) -> None:
    """A pass from the face leaves a cylinder: the nose of the next one ends it, not two arcs their chord.

    By hand, with t along the slope toward the face: noses of 0.8 mm touch it at 0 and s; the first one's arc ends under its middle,
    at t = p sin a and the height p (1 - cos a), and from there a level line rises from the slope by tan a.  The second one's arc
    ends at its leading point, at s - p cos a and the height p (1 - sin a), where the edge goes on square to the axis.
    """
    nose, a = 0.8, math.radians(angle)
    drop = Fraction(math.tan(a) * 30).limit_denominator(10**6)
    plan = fine_plan(
        taper(Fraction(70), Fraction(70) - 2 * drop, Fraction(30), "outside"), Fraction(8, 10), Fraction(step)
    )
    s = float(step) / math.cos(a)

    def before(t: float) -> float:
        if t <= nose * math.sin(a):
            return nose - math.sqrt(nose**2 - t**2)
        return nose * (1 - math.cos(a)) + (t - nose * math.sin(a)) * math.tan(a)

    def after(t: float) -> float:
        leading = s - nose * math.cos(a)
        if t < leading:
            return nose * (1 - math.sin(a)) + (leading - t) / math.tan(a)
        return nose - math.sqrt(nose**2 - (s - t) ** 2)

    met = brentq(lambda t: before(t) - after(t), 0.0, s)
    chord = nose - math.sqrt(nose**2 - (s / 2) ** 2) if s < 2 * nose else math.inf
    assert plan.result.scallop == pytest.approx(before(met), abs=2e-5)
    assert plan.result.scallop <= chord + 2e-5
    if s > 2 * nose * math.sin(a) * 1.05:
        assert plan.result.scallop < 0.99 * chord


def test_a_bare_angle_is_refused_with_the_two_words(run: Run) -> None:
    done = run("taper", "--angle", "8deg", "--large", "1in", "--length", "1in")
    assert done.returncode == 2
    assert (
        done.stderr.strip()
        == "angle = 8deg: does not say whether it is each side or total. Give per-side or included instead."
    )


@pytest.mark.parametrize(
    ("machine", "word"),
    [('zero = "along"', "0 stands ALONG the ways"), ('zero = "across"', "0 stands ACROSS the ways")],
)
def test_the_card_says_the_words_that_are_mixed_up(machine: str, word: str, run: Run, tmp_path) -> None:  # type: ignore[no-untyped-def]
    text = (
        machines.shipped_path("inch")
        .read_text("utf-8")
        .replace('zero = "along"', machine)
        .replace('reads = "diameter"', 'reads = "radius"')
    )
    path = tmp_path / "own.toml"
    path.write_text(text, "utf-8")
    card = " ".join(
        run(
            "taper",
            "--large",
            "1in",
            "--length",
            "0.5in",
            "--per-side",
            "30deg",
            "--machine",
            str(path),
            "--by",
            "compound",
        ).stdout.split()
    )
    assert word in card
    assert "EACH SIDE" in card
    assert "TOTAL" in card
    assert "cross-slide shows RADIUS" in card
    assert ("set 30.00°" if "along" in machine else "set 60.00°") in card
    # Common practice, no source: back off exactly 1.000 and touch: at 30 degrees it must read 0.500 (sine).
    assert "it must move 0.5000 in on its RADIUS dial" in card


def test_a_diameter_dial_is_said_and_read(run: Run) -> None:
    card = run(
        "taper", "--large", "1in", "--small", "0.8in", "--length", "2in", "--step", "0.5in", "--leave", "0in"
    ).stdout
    assert "cross-slide shows DIAMETER" in card
    plan = plan_of("taper", "inch", large="1in", small="0.8in", length="2in", step="0.5in")
    first = stops_of(plan)[0]
    assert first["x"] == pytest.approx(0.475 * INCH)  # radius in the JSON
    row = next(line for line in card.splitlines() if re.match(r" *1 +1\.5", line))
    assert "0.950" in row  # diameter on the dial


def test_no_roughing_pass_is_deeper_than_asked() -> None:
    plan = plan_of(
        "taper", large="30mm", small="24mm", length="40mm", step="4mm", blank="36mm", **{"cut-depth": "0.5mm"}
    )
    before = Fraction(18)
    for stop in plan.stops:
        for x in (*plan.details.roughing.get(stop.n, ()), stop.second):
            here = plan.second.value(x)
            assert 0 <= before - here <= Fraction(1, 2)
            before = here


def test_json_tells_the_roughing_passes_before_each_stop() -> None:
    # By hand: from 18 mm to 15 mm in passes of 0.5 mm on the radius; then 0.3 mm less at each stop needs none.
    values = dict(large="30mm", small="24mm", length="40mm", step="4mm", blank="36mm", **{"cut-depth": "0.5mm"})
    data = front.solved("taper", **values)
    first = data["roughing"][0]
    assert first["before"] == 1
    assert first["x"] == pytest.approx([17.5, 17.0, 16.5, 16.0, 15.5, 15.0][: len(first["x"])])
    steps = {row["before"]: row["x"] for row in data["roughing"]}
    before = 18.0
    for stop in data["stops"]:
        for x in (*steps.get(stop["n"], ()), stop["x"]):
            assert 0 <= before - x <= 0.5 + 1e-9
            before = x
    assert front.solved("taper", **{k: v for k, v in values.items() if k != "cut-depth"})["roughing"] == []


@pytest.mark.parametrize(
    ("shape", "sizes", "ends"),
    [
        ("profile", {"targets": [["0mm", "20mm"], ["4mm", "24mm"], ["4mm", "26mm"], ["9mm", "26mm"]], "blank": "30mm"}, 9.0),
        ("taper", {"large": "20mm", "small": "19.96mm", "length": "30mm", "blank": "25mm"}, 30.0),
    ],
)  # fmt: skip
def test_no_pass_of_a_nose_is_made_that_takes_nothing(shape: str, sizes: dict[str, Any], ends: float) -> None:
    stops = stops_of(plan_of(shape, tool="round", nose="1mm", step="0.5mm", **sizes))
    z = np.arange(0.0, ends + 2, 1e-3)
    for n in range(len(stops)):
        before, after = (as_cut(z, stops[:k], 1.0, 15.0) for k in (n, n + 1))
        assert (before - after).max() > 1e-4, stops[n]
