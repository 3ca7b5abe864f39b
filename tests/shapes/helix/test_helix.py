"""Helical grooves against discs and solids of their own."""

from __future__ import annotations

import contextlib
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon

from stepcut.errors import BadValue, StepcutError
from stepcut.shapes.helix.groove import Screw
from tests.conftest import Run
from tests.outside import solid
from tests.shops import plan_of, stops_of


def reach(at, turn, slide, radius, cutter, pitch, side):  # type: ignore[no-untyped-def]
    """Return how far beside the path at some turns a round cutter reaches on the surface, by halving; its axis is a radius."""
    norm = math.hypot(radius, pitch)

    def inside(beside):  # type: ignore[no-untyped-def]
        across = radius * np.sin(at - side * beside * pitch / (norm * radius) - turn)
        return across**2 + (pitch * at + side * beside * radius / norm - slide) ** 2 <= cutter**2

    low = side * (slide - pitch * turn) * radius / norm + 0 * at
    begin, high = low, low + 1.5 * cutter
    for _ in range(40):
        middle = (low + high) / 2
        hit = inside(middle)
        low, high = np.where(hit, middle, low), np.where(hit, high, middle)
    return np.where(inside(begin), low, -np.inf)


def highest_on_the_walls(turns, slides, radius, cutter, pitch):  # type: ignore[no-untyped-def]
    """Return how far the walls that cuts leave stand into the groove of a cut without steps, at the surface, mm."""
    highest = 0.0
    for side in (1, -1):
        all_turns = np.linspace(-1, 1, 8001) * cutter / math.hypot(radius, pitch)
        smooth = reach(np.zeros(1), all_turns, pitch * all_turns, radius, cutter, pitch, side)
        touches = -all_turns[smooth.argmax()]

        def stands(at, first, smooth=smooth, side=side):  # type: ignore[no-untyped-def]
            near = [np.clip(first + k, 0, len(turns) - 1) for k in range(-2, 4)]
            found = [reach(at, turns[k][:, None], slides[k][:, None], radius, cutter, pitch, side) for k in near]
            return smooth.max() - np.max(found, axis=0)

        steps, share = np.arange(len(turns) - 1), np.linspace(0, 1, 65)
        at = turns[:-1, None] + share * np.diff(turns)[:, None] + touches
        found = stands(at, steps)
        k, i = np.unravel_index(found.argmax(), found.shape)
        closer = np.linspace(at[k, max(0, i - 1)], at[k, min(64, i + 1)], 1001)[None, :]
        highest = max(highest, float(stands(closer, steps[k : k + 1]).max()))
    return highest


# No cutter so wide on so thin a bar that the edge of its flat end no longer reaches below the surface.
GROOVES = st.tuples(
    st.integers(27, 60), st.integers(20, 200), st.sampled_from([3, 6, 10]), st.sampled_from([2, 4, 8]), st.integers(1, 3)
)  # fmt: skip


@pytest.mark.parametrize("examples", [2, pytest.param(12, marks=pytest.mark.long)])
def test_stops_follow_the_helix_and_the_wall_is_that_of_round_cutters(examples: int) -> None:
    @settings(max_examples=examples)
    @given(GROOVES)
    def check(sizes: tuple[int, int, int, int, int]) -> None:
        follows(*sizes)

    check()


def follows(diameter: int, lead: int, cutter: int, step: int, starts: int) -> None:
    try:
        plan = plan_of(
            "helix",
            diameter=f"{diameter}mm",
            lead=f"{lead}mm",
            length="30mm",
            depth="1mm",
            cutter=f"{cutter}mm",
            step=f"{step}deg",
            starts=starts,
        )
    except BadValue as refused:
        round_it = math.pi * diameter  # neighbouring grooves stand so far apart, square to both
        apart = lead / starts * round_it / math.hypot(round_it, lead)
        assert ("no land" in str(refused), "uncut metal" in str(refused)) == (apart <= cutter, apart > cutter)
        return
    stops = [s for s in stops_of(plan) if s["start"] == 1]
    for stop in stops:
        assert abs(stop["x"] - lead * stop["table"] / 360) <= 0.0025 + 1e-9  # half a division of the slide
    turns, slides = np.radians([s["table"] for s in stops]), np.array([s["x"] for s in stops])
    found = highest_on_the_walls(turns, slides, diameter / 2, cutter / 2, lead / (2 * math.pi))
    # Of steps alike the one that stands farthest off is looked at, on both sides: up to half a division too careful.
    assert found - 1e-4 * cutter <= plan.result.more["wall_ridge"] <= found + 0.0025


def test_the_ridge_on_the_floor_is_that_of_balls_in_space() -> None:
    # Points out from the axis under the path: how far out does the first of them lie in one of two neighbouring balls?
    plan = plan_of(
        "helix", diameter="40mm", lead="90mm", length="60mm", depth="2mm", cutter="6mm", kind="ball", step="8deg"
    )
    first, second = (stop for stop in stops_of(plan)[3:5])
    centres = [
        np.array([21 * math.cos(math.radians(stop["table"])), 21 * math.sin(math.radians(stop["table"])), stop["x"]])
        for stop in (first, second)
    ]
    highest = 0.0
    for at in np.linspace(first["table"], second["table"], 401):
        out = np.linspace(18, 20, 20_001)
        across = math.cos(math.radians(at)) * out, math.sin(math.radians(at)) * out, np.full_like(out, 90 * at / 360)
        inside = np.any([np.linalg.norm(np.transpose(across) - centre, axis=1) <= 3 for centre in centres], axis=0)
        highest = max(highest, float(out[inside.argmax()]) - 18)
    assert plan.result.more["floor_ridge"] == pytest.approx(highest, abs=2e-4)  # 0.1 um from point to point


@pytest.mark.parametrize(
    ("kind", "diameter", "lead", "depth", "cutter", "step"),
    [
        pytest.param("flat", 30, 80, 2.0, 6, 8, marks=pytest.mark.long),
        pytest.param("ball", 30, 80, 2.0, 6, 8, marks=pytest.mark.long),
        pytest.param("flat", 40, 120, 1.5, 5, 4, marks=pytest.mark.long),
        pytest.param("ball", 40, 120, 2.5, 5, 6, marks=pytest.mark.long),
    ],
)
def test_the_volume_in_a_groove_is_that_of_the_solid(kind, diameter, lead, depth, cutter, step) -> None:  # type: ignore[no-untyped-def]
    # Cuts a 24th of the step apart still leave a 24th of what stands near a flat floor's walls, and a 576th elsewhere; twice as
    # many leave half of that, so that the two together say what a continuous cut leaves.
    coarse, fine = (solid.helix_left_over(kind, diameter, lead, 20.0, depth, cutter / 2, step, n) for n in (12, 24))
    found = 2 * fine - coarse if kind == "flat" else fine
    plan = plan_of(
        "helix", diameter=f"{diameter}mm", lead=f"{lead}mm", length="20mm", depth=f"{depth}mm", cutter=f"{cutter}mm",
        kind=kind, step=f"{step}deg",
    )  # fmt: skip
    assert plan.result.volume == pytest.approx(found, rel=0.015 if kind == "flat" else 0.003)


def test_the_facets_of_the_floor_are_those_of_the_polygon() -> None:
    # Flats a turn apart round a floor are a polygon about its circle: shapely measures how far its corners stand off.
    plan = plan_of("helix", diameter="30mm", lead="60mm", length="60mm", depth="2mm", cutter="6mm", step="6deg")
    far = 13 / math.cos(math.radians(3))
    corners = [(far * math.cos(math.radians(6 * k + 3)), far * math.sin(math.radians(6 * k + 3))) for k in range(60)]
    polygon = Polygon(corners)
    assert polygon.exterior.distance(Point(0, 0)) == pytest.approx(13)
    assert plan.result.stock_max == pytest.approx(polygon.hausdorff_distance(Point(0, 0)) - 13)


def test_flats_that_do_not_meet_are_refused() -> None:
    with pytest.raises(BadValue, match="uncut metal"):
        plan_of("helix", diameter="80mm", lead="2000mm", length="300mm", depth="1mm", cutter="6mm", step="12deg")


def test_angle_and_lead_must_agree() -> None:
    plan = plan_of("helix", diameter="30mm", angle="45deg", length="30mm", depth="1mm", cutter="6mm", step="2deg")
    assert plan.target["lead"] == pytest.approx(math.pi * 30, rel=1e-6)
    with pytest.raises(BadValue, match="does not agree with lead"):
        plan_of("helix", diameter="30mm", angle="45deg", lead="50mm", length="30mm", depth="1mm", cutter="6mm")
    with pytest.raises(BadValue, match=r"greater than 0\. Give the hand with hand"):
        plan_of("helix", diameter="30mm", lead="-50mm", length="30mm", depth="1mm", cutter="6mm")


def test_the_cards_of_every_shape_say_their_words(run: Run) -> None:
    gears = run("gears", "--lead", "12in").stdout
    assert "DRIVERS" in gears
    assert "DRIVEN" in gears
    helix = " ".join(run("card", "oil-groove-helix").stdout.split())
    assert "40 mm diameter" in helix
    assert "RIGHT hand" in helix


@pytest.mark.parametrize(
    "values",
    [
        {
            "length": "2000mm",
            "lead": "700mm",
            "step": "0.1deg",
        },  # 10,287 cuts, each of them reached over by its neighbours
        pytest.param(  # between the table's marks
            {"length": "1850mm", "lead": "700mm", "step": "0.08deg"}, marks=pytest.mark.long
        ),
        pytest.param(  # the step is looked for: 10,538 cuts
            {"length": "2000mm", "lead": "100mm", "scallop": "0.02mm"}, marks=pytest.mark.long
        ),
        pytest.param(  # rounding alone leaves nearly as much
            {"length": "60mm", "lead": "120mm", "scallop": "0.002mm"}, marks=pytest.mark.long
        ),
        {"length": "100000mm", "lead": "40mm", "scallop": "0.00001mm"},  # hopeless: 27,000,001 cuts
    ],
)
@pytest.mark.usefixtures("afresh")
def test_the_work_does_not_grow_with_the_cuts(values, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    asked, end = 0, Screw.end

    def counted(*given):  # type: ignore[no-untyped-def]
        nonlocal asked
        asked += 1
        return end(*given)

    monkeypatch.setattr(Screw, "end", counted)
    with pytest.raises(StepcutError, match="cannot be kept") if values["lead"] == "40mm" else contextlib.nullcontext():
        plan_of("helix", diameter="40mm", depth="3mm", cutter="6mm", **values)
    # Two microseconds each.  A pair of cuts takes thousands, so that 12,000 pairs would ask hundreds of times as often.
    assert asked < 600_000


def test_walls_of_sweeps_are_left_as_much_as_table_and_slide_may_be_off() -> None:
    values = {"diameter": "37mm", "lead": "120mm", "length": "6mm", "depth": "2mm", "cutter": "5mm", "step": "9deg"}
    plan = plan_of("helix", **values, **{"groove-width": "7mm", "leave": "auto"})
    # By hand: a minute of the table, 1/60 degree of 120 mm in 360, and 0.01 mm of the slide along the axis; square to a way that
    # stands 45.9 degrees to it 0.0108 mm, more than the 0.01 mm of the depth: three divisions of 0.005 mm.
    assert (plan.machine.slide.error, plan.machine.depth.error) == (Fraction(1, 100), Fraction(1, 100))
    assert plan.leave == Fraction(15, 1000)
