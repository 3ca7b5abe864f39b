"""Tapers, radii and profiles against a raster along the axis, and the published settings of tapers."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import CrossSection, Manifold

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.shop import tapers
from stepcut.voice import voice_of
from tests.conftest import Run

INCH = 25.4


def plan_of(shape: str, machine: str = "metric", **values: Any) -> Plan:
    return show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": machine, shape: values})))


def stops_of(plan: Plan) -> list[dict[str, float]]:
    stops: list[dict[str, float]] = content(plan, voice_of(plan.machine))["stops"]
    return stops


def as_cut(
    z: np.ndarray, stops: list[dict[str, float]], nose: float, blank: float, bore: bool = False, back: bool = False
) -> np.ndarray:
    """Radius that the stops leave, from their Z and X alone: a square tool cuts to the end of its pass, a round one its circle."""
    radius = np.full_like(z, blank)
    better = np.maximum if bore else np.minimum
    for stop in stops:
        if nose == 0:
            reached = z >= stop["z"] if back else z <= stop["z"]
            radius = np.where(reached, better(radius, stop["x"]), radius)
        else:
            centre = stop["z"] - nose
            inside = np.clip(nose**2 - (z - centre) ** 2, 0, None)
            sag = nose - np.sqrt(inside)
            cut = stop["x"] - sag if bore else stop["x"] + sag
            radius = np.where(np.abs(z - centre) <= nose, better(radius, cut), radius)
    return radius


def compare(plan: Plan, z: np.ndarray, wanted: np.ndarray, cut: np.ndarray, leave: float, bore: bool = False) -> None:
    stock = wanted - cut if bore else cut - wanted
    assert stock.min() >= leave - 1e-6
    cell = np.abs(np.diff(wanted)).max()
    assert stock.max() == pytest.approx(plan.result.stock_max, abs=cell + 2e-3)
    inner, outer = (cut, wanted) if bore else (wanted, cut)
    volume = np.trapezoid(np.pi * (outer**2 - inner**2), z)
    assert plan.result.volume == pytest.approx(volume, rel=0.02, abs=0.5)


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
    assert ridge.max() == pytest.approx(float(limit[:-2]), rel=0.35)
    # In the corner between ball and neck a round tool leaves what no spacing of stops can take.
    corner = 0.04 if nose else 0.001
    assert plan.result.scallop <= float(limit[:-2]) + corner


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
    assert plan.result.scallop <= 0.05 + 0.02


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
    assert plan.result.scallop == pytest.approx(3 * math.sin(a), abs=0.012)  # carriage and cross-slide divisions


def test_the_ridge_of_a_round_tool_is_that_of_its_chord() -> None:
    # Ghosh & Mallik, "Manufacturing Science", problem 24: feed 0.125, nose 0.7: f^2/(8r) = 0.0027901786 mm.
    assert pytest.approx(0.0027901786, abs=1e-9) == 0.125**2 / (8 * 0.7)
    from dataclasses import replace

    from stepcut.machine import Cutter, Scale
    from stepcut.shapes.turned.task import Turning, solve
    from stepcut.shapes.turned.wanted import taper

    fine = replace(
        machines.find("metric"),
        carriage=Scale("carriage", Fraction(1, 10**6)),
        cross=Scale("cross", Fraction(1, 10**6)),
    )
    nearly_level = taper(Fraction(20), Fraction(20) - Fraction(1, 50), Fraction(10), "outside")
    turning = Turning(Cutter("round", Fraction(14, 10), Fraction(7, 10)), step=Fraction(1, 8))
    plan = solve(nearly_level, turning, fine, "taper", {}, {})
    assert plan.result.scallop == pytest.approx(0.0027901786, rel=5e-3)


# --- published settings -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "angle"),
    [
        # Table "Dimensions of Standard Tapers": half angle (compound setting), degrees.
        ("Morse 0", 1.4907862), ("Morse 1", 1.4287083), ("Morse 3", 1.4377029), ("Morse 4-1/2", 1.4893547),
        ("Morse 5", 1.5072713), ("Morse 7", 1.4893547), ("Brown & Sharpe 1", 1.198262), ("Brown & Sharpe 4", 1.1992165),
        ("Brown & Sharpe 7", 1.1970689), ("Jarno 4", 1.4320962),
        ("7/24", 8.297145),  # ISO 7388 / ASME B5.50 (from memory): atan(7/48)
    ],
)  # fmt: skip
def test_half_angles_of_standard_tapers(name: str, angle: float) -> None:
    found = tapers.standard(name)
    assert found is not None
    assert tapers.half_angle(found.ratio) == pytest.approx(angle, abs=5e-4)


@pytest.mark.parametrize(
    ("name", "per_foot"),
    [("Morse 1", 0.59858824), ("Morse 2", 0.59941463), ("Morse 4", 0.62326154), ("Morse 5", 0.63151807), ("Morse 6", 0.62565517)],
)  # fmt: skip
def test_end_diameters_of_morse_sockets_make_their_taper(name: str, per_foot: float) -> None:
    # Table "Dimensions of Standard Tapers": taper per foot from the two end diameters and the socket depth.
    found = tapers.standard(name)
    assert found is not None
    assert found.large is not None
    assert found.small is not None
    assert found.length is not None
    assert float((found.large - found.small) / found.length) * 12 == pytest.approx(per_foot, abs=2e-4)
    assert float(found.ratio) * 12 == pytest.approx(per_foot, abs=2e-4)


@pytest.mark.parametrize(
    ("name", "n"), [("Morse 0", 19.212296), ("Morse 2", 20.019686), ("Morse 3", 19.921972), ("Morse 5", 19.002074)]
)
def test_conicity(name: str, n: float) -> None:
    # GOST 25307-82, p. 18: conicity 1:n.
    found = tapers.standard(name)
    assert found is not None
    assert float(1 / found.ratio) == pytest.approx(n, abs=2e-3)


def test_jarno_sizes() -> None:
    # Lobben, "Machinists' and Draftsmen's Handbook", table 51, p. 477: n/8, n/10, n/2 inches.
    four, eight = tapers.standard("Jarno 4"), tapers.standard("jarno 8")
    assert four is not None
    assert eight is not None
    assert four.large == Fraction(127, 10)
    assert eight.large == Fraction(254, 10)


@pytest.mark.parametrize(
    ("n", "cone"),
    [(4, 14.250033), (5, 11.421186), (7, 8.1712336), (10, 5.7248105), (12, 4.7718881), (20, 2.8641924), (50, 1.1458774), (100, 0.57295302)],
)  # fmt: skip
def test_cone_angles_of_ratios(n: int, cone: float) -> None:
    # ISO 1119, values as in GOST R 53440-2009, table 1.
    assert 2 * tapers.half_angle(Fraction(1, n)) == pytest.approx(cone, abs=1e-6)


@pytest.mark.parametrize(("cone", "x"), [(90, 0.5), (60, 0.8660254), (45, 1.2071068)])
def test_conicity_of_cones(cone: float, x: float) -> None:
    # The same table: 1:x of a cone.
    assert 1 / tapers.ratio_of(cone / 2) == pytest.approx(x, abs=1e-6)


@pytest.mark.parametrize(
    ("included", "per_inch"), [(1, 0.017453736), (2, 0.03491013), (5, 0.087321886), (20, 0.35265396)]
)
def test_taper_per_inch_of_included_angles(included: float, per_inch: float) -> None:
    # "Turning and Boring Tapers" (Derry-Collard, 1902), table "Equivalent Tapers of Degrees in Inches".
    assert tapers.ratio_of(included / 2) == pytest.approx(per_inch, abs=2e-5)


def test_set_ups() -> None:
    # US Navy training manual 14345, "Using the compound rest": 3.000 to 2.000 in over 12 in between centres: 0.5 in.
    assert tapers.set_over(3.0, 2.0, 12.0, 12.0) == pytest.approx(0.5)
    # Rose, "Modern Machine-Shop Practice", p. 614: 1 in per foot, work 3 ft long: 1.5 in.
    assert tapers.set_over(2.0, 1.0, 12.0, 36.0) == pytest.approx(1.5)
    # Jones, "Turning and Boring": 30 degrees with the axis is 60 on a compound marked from the cross-slide.
    assert tapers.compound_setting(30, "across") == pytest.approx(60)
    # Army TC 9-524, appendix C: 5 in sine bar at 23.68333 degrees.
    assert tapers.sine_block(5, 23.68333) == pytest.approx(2.008407, abs=1e-4)
    # Jones, "Turning and Boring", disk gauges: 3/4 in per foot, disks 1.25 and 1.50 in.
    assert tapers.disk_centres(1.5, 1.25, 0.75 / 12) == pytest.approx(4.0019526, abs=5e-4)


def test_rolls_and_balls_touch_the_cone() -> None:
    # A roll beside a cone on a plate: its centre is a radius from the plate and a radius from the cone's side.
    small, roll, a = 20.0, 6.0, 5.0
    reading = tapers.over_rolls(small, roll, a)
    x, y = reading / 2 - roll / 2, roll / 2
    distance = (x - small / 2) * math.cos(math.radians(a)) - y * math.sin(math.radians(a))
    assert distance == pytest.approx(roll / 2)
    # A ball in a bore: its centre on the axis is a radius from the side.
    depth = tapers.ball_depth(30.0, 24.0, 5.0)
    centre = depth + 12.0
    side = 15.0 - centre * math.tan(math.radians(5))
    assert side * math.cos(math.radians(5)) == pytest.approx(12.0)


# --- the words of the trade -------------------------------------------------------------------------------------


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
    card = run("taper", "--large", "1in", "--small", "0.8in", "--length", "2in", "--step", "0.5in").stdout
    assert "cross-slide shows DIAMETER" in card
    plan = plan_of("taper", "inch", large="1in", small="0.8in", length="2in", step="0.5in")
    first = stops_of(plan)[0]
    assert first["x"] == pytest.approx(0.475 * INCH)  # radius in the JSON
    row = next(line for line in card.splitlines() if line.split()[:1] == ["1"])
    assert "0.950" in row  # diameter on the dial


def test_no_roughing_pass_is_deeper_than_asked() -> None:
    plan = plan_of(
        "taper", large="30mm", small="24mm", length="40mm", step="4mm", blank="36mm", **{"cut-depth": "0.5mm"}
    )
    before = Fraction(18)
    for stop in plan.stops:
        for x in (*plan.facts["roughing"].get(stop.n, ()), stop.second):
            here = plan.second.value(x)
            assert 0 <= before - here <= Fraction(1, 2)
            before = here
