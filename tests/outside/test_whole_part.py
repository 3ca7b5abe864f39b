"""Every shape, cutter and way of cutting, through the front, against models that know the whole part.

A model takes the JSON of a plan and nothing else of the program.  A plan that says DO NOT CUT may spoil the part; any other
may nowhere go below the stock line, nor into metal that must stay, and its figures are those of the model.
"""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import pytest

from stepcut.errors import StepcutError
from stepcut.quantity import parse_length
from tests.outside import cases, front, whole_part
from tests.outside import compared as tell
from tests.outside.compared import disagreements, written
from tests.outside.hunt import HUNT, HUNTED
from tests.shops import thinned

SEEDS = 20
NEW = 10_000 * random.SystemRandom().randrange(1, 100_000)  # a job that is told wrong is printed whole


def mended(*values: Any, was: str, name: str, marks: Any = ()) -> Any:
    """A case that failed once; ``was`` tells how."""
    return pytest.param(*values, id=name, marks=marks)


def told_wrong(shape: str, values: dict[str, Any], machine: str = "metric") -> list[str]:
    """What a plan says wrong; a job of these must not be refused."""
    return tell.told_wrong(front.solved(shape, machine, **values), values)


FINE = {"ramp": "0.5deg", "taper": "0.05mm", "radius": "0.05mm", "profile": "0.05mm"}  # far finer than any limit needs


def wrongly_refused(shape: str, values: dict[str, Any], said: StepcutError) -> list[str]:
    """A limit of the ridge that cannot be kept, says the program: very fine steps keep it in the model."""
    if not str(said).startswith("scallop = ") or shape not in FINE or values.get("scallop") is None:
        return []
    limit = float(parse_length(values["scallop"], "scallop"))
    fine = {key: value for key, value in values.items() if key != "scallop"} | {"step": FINE[shape]}
    try:
        plan = front.solved(shape, **fine)
    except StepcutError:  # nor can such steps be made on these scales
        return []
    seen = whole_part.see(plan, True)
    stands = min(seen.scallop, seen.more.get("scallop_low", seen.scallop))
    return [f"refused, but {stands:.5f} stands in fine steps: {said}"] if stands <= limit else []


def agrees(shape: str, first: int, fixed: dict[str, Any], count: int = SEEDS) -> None:
    """So many random jobs of a kind are compared: all of them tell the truth.  Where random cases are new at each run, these are too.

    What is refused, or would spoil and says so, is not compared and does not count; a limit that is refused is looked at in the model.
    """
    if HUNT:
        first = NEW + first
    found, compared = [], 0
    for seed in range(first, first + 3 * count + 3):
        values = cases.job(shape, seed, **fixed)
        try:
            plan = front.solved(shape, **values)
        except StepcutError as said:
            found += [f"{written(shape, values)}: {line}" for line in wrongly_refused(shape, values, said)]
            continue
        fast = count < SEEDS or bool(seed % 4)  # where all jobs are looked at, every fourth one sharply
        found += [f"{written(shape, values)}: {line}" for line in tell.told_wrong(plan, values, fast)]
        compared += bool(plan["stops"]) and not any(remark["spoils"] for remark in plan["remarks"])
        if compared == count or len(found) > 5:
            break
    assert not found, "\n".join(found)
    assert compared == count  # a program that refuses two of three jobs would tell the truth too


@pytest.fixture(params=[pytest.param(10, id="some"), pytest.param(1 if HUNT else 2, id="more", marks=pytest.mark.long)])
def part(request: pytest.FixtureRequest) -> int:
    """Which part of the random jobs is looked at: a tenth; half where long tests run; all of them, sharply, in a hunt."""
    return int(request.param)


# --- random jobs ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "fixed",
    [
        pytest.param({"approach": "across", "kind": "flat"}, id="across, flat"),
        pytest.param({"approach": "across", "kind": "ball"}, id="across, ball", marks=pytest.mark.long),
        pytest.param({"approach": "across", "kind": "bull"}, id="across, bull", marks=pytest.mark.long),
        pytest.param({"approach": "plunge", "kind": "flat"}, id="plunge, flat"),
        pytest.param({"approach": "plunge", "kind": "ball"}, id="plunge, ball", marks=pytest.mark.long),
        pytest.param({"approach": "plunge", "kind": "bull"}, id="plunge, bull", marks=pytest.mark.long),
        pytest.param({"approach": "side"}, id="side"),
    ],
)
def test_random_ramps(fixed: dict[str, Any], part: int) -> None:
    agrees("ramp", 1000, fixed, SEEDS // part)


@pytest.mark.parametrize("tool", ["square", "round"])
@pytest.mark.parametrize("side", ["outside", "bore"])
def test_random_tapers(tool: str, side: str, part: int) -> None:
    agrees("taper", 2000, {"tool": tool, "side": side}, 2 * SEEDS // part)


@pytest.mark.parametrize(
    "fixed",
    [
        pytest.param({"form": "ball", "tool": "square"}, id="ball, square"),
        pytest.param({"form": "ball", "tool": "round"}, id="ball, round"),
        pytest.param({"form": "cove", "tool": "square"}, id="cove, square"),
        pytest.param({"form": "cove", "tool": "round"}, id="cove, round"),
        pytest.param({"form": "fillet", "tool": "square"}, id="fillet, square"),
        pytest.param({"form": "fillet", "tool": "round"}, id="fillet, round"),
    ],
)
def test_random_radii(fixed: dict[str, Any], part: int) -> None:
    agrees("radius", 3000, fixed, 2 * SEEDS // part)


@pytest.mark.parametrize(
    "fixed",
    [pytest.param({"tool": "square"}, id="square"), pytest.param({"tool": "round"}, id="round")],
)
def test_random_profiles(fixed: dict[str, Any], part: int) -> None:
    agrees("profile", 4000, fixed, 3 * SEEDS // part)


@pytest.mark.parametrize("closed", [pytest.param(True, marks=pytest.mark.long), False])
@pytest.mark.parametrize("approach", ["end", "side"])
def test_random_cams(approach: str, closed: bool, part: int) -> None:
    agrees("cam", 5000, {"approach": approach, "closed": closed}, SEEDS // part)


@pytest.mark.parametrize(
    "fixed",
    [
        pytest.param({"kind": "flat", "shallow": False}, id="flat, deep", marks=pytest.mark.long),
        pytest.param({"kind": "flat", "shallow": True}, id="flat, shallow", marks=pytest.mark.long),
        pytest.param({"kind": "ball", "shallow": False}, id="ball, deep", marks=pytest.mark.long),
        pytest.param({"kind": "ball", "shallow": True}, id="ball, shallow", marks=pytest.mark.long),
    ],
)
def test_random_helices(fixed: dict[str, Any], part: int) -> None:
    agrees("helix", 6000, fixed, max(1, 8 // part))


@pytest.mark.parametrize("side", ["inside", "outside", "on"])
def test_random_points(side: str, part: int) -> None:
    agrees("points", 7000, {"side": side}, SEEDS // part)


@pytest.mark.parametrize("kind", ["flat", pytest.param("ball", marks=pytest.mark.long)])
def test_random_grooves_on_a_circle(kind: str, part: int) -> None:
    agrees("groove", 8000, {"kind": kind}, SEEDS // part)


def test_random_divided_circles(part: int) -> None:
    """By rim, plate and direct plate, listed angles and verniers: places, worst error and the best circle by brute force."""
    agrees("divide", 9000, {}, 2 * SEEDS // part)


def test_random_straight_scales(part: int) -> None:
    agrees("rule", 9500, {}, 2 * SEEDS // part)


# --- faults that were found, each with the figure it was found with ---------------------------------------------------

RAMPS = [
    mended(
        {"outside": "60mm", "bore": "40mm", "rise": "2mm", "starts": "3", "cutter": "20mm", "approach": "plunge", "step": "2deg"},
        name="a plunged cutter notches the next high edge", was="0.20 mm wide and 2 mm deep: the tangent radius binds", marks=pytest.mark.long,
    ),
    mended(
        {"outside": "57.5559mm", "bore": "47.9306mm", "starts": "3", "cutter": "20.2006mm", "approach": "plunge",
         "leave": "0.05mm", "rise": "1.2385mm", "law": "parabolic", "drop": "0.0418mm"},
        name="the same with a parabolic motion", was="1.185 mm deep", marks=pytest.mark.long,
    ),
    mended(
        {"outside": "69.7612mm", "bore": "48.7477mm", "starts": "4", "cutter": "20.3741mm", "kind": "bull", "corner": "7.7181mm",
         "start-depth": "1mm", "rise": "0.2024mm", "law": "parabolic", "lead-in": "9.0691deg", "lead-out": "2.7026deg", "step": "3deg"},
        name="the next ramp's last cut takes some of what is left", was="scallop printed 0.359, true 0.263", marks=pytest.mark.long,
    ),
    mended(
        {"outside": "32.993mm", "bore": "30.2773mm", "starts": "1", "cutter": "8.9mm", "kind": "ball", "approach": "plunge",
         "leave": "0.05mm", "step": "3deg", "targets": [["0deg", "0.3mm"], ["61.3149deg", "0.3mm"], ["66.2864deg", "0.7634mm"],
         ["150.802deg", "3.5275mm"], ["165.716deg", "3.7346mm"]]},
        name="a plunged ball at a kink", was="scallop printed 0.112, true 0.117", marks=pytest.mark.long,
    ),
    mended(
        {"outside": "60mm", "bore": "40mm", "leave": "0mm", "cutter": "12mm", "kind": "ball", "scallop": "0.05mm",
         "targets": [["0deg", "0mm"], ["30deg", "0.2mm"], ["40deg", "3mm"], ["90deg", "3.2mm"]]},
        name="a ball in a corner of targets", was="refused: one division more already leaves 0.168 mm", marks=pytest.mark.long,
    ),
    mended(
        {"outside": "61.1044mm", "bore": "45.9233mm", "starts": "4", "cutter": "11.0763mm", "approach": "side", "leave": "0.2mm",
         "targets": [["0deg", "0.3mm"], ["2.1071deg", "1.0215mm"], ["35.1187deg", "3.6826mm"]], "step": "3deg"},
        name="the side of a cutter just past a kink", was="scallop printed 0.488, true 0.573",
    ),
]  # fmt: skip


@pytest.mark.parametrize("values", RAMPS)
def test_ramps_tell_the_truth(values: dict[str, Any]) -> None:
    assert told_wrong("ramp", values) == []


@pytest.mark.parametrize(("kind", "corner"), [("ball", 6.0), ("bull", 2.0)])
def test_what_a_corner_keeps_from_a_round_cutter_is_left_and_said(kind: str, corner: float) -> None:
    """By hand, at the outside: a circle in a corner of two lines leaves, square to the flatter one, at least what stands
    between the point of the corner and the circle that touches both."""
    values = {"outside": "60mm", "bore": "40mm", "leave": "0mm", "cutter": "12mm", "kind": kind, "scallop": "0.05mm",
              "targets": [["0deg", "0mm"], ["30deg", "0.2mm"], ["40deg", "3mm"], ["90deg", "3.2mm"]]}  # fmt: skip
    if kind == "bull":
        values["corner"] = f"{corner}mm"
    plan = front.solved("ramp", **values)
    assert [remark["code"] for remark in plan["remarks"]].count("scallop-exceeded") == 1
    steep = math.atan(2.8 / (math.radians(10) * 20))  # at the bore, where it is steepest
    turn = steep - math.atan(0.2 / (math.radians(50) * 20))
    assert plan["result"]["scallop"] > corner * (1 / math.cos(turn / 2) - 1) * math.cos(steep)
    assert len(plan["stops"]) < 200  # 463 were made, a cut at every mark of the corner


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", *(pytest.param(name, marks=pytest.mark.long) for name in ("valve-lift-plate", "gauge-board-ramp-on-edge",
                                  "paddle-latch-ramps")), "tripod-swivel-targets", "winch-dog-plunged"])  # fmt: skip
def test_example_ramps_tell_the_truth(name: str) -> None:
    plan = front.shipped(name)
    assert disagreements(plan, whole_part.see(plan)) == []


TURNED = [
    pytest.param(
        "profile", {"targets": [["0mm", "0mm"], ["8.1923mm", "1.8959mm"], ["9.1202mm", "14.6177mm"]], "tool": "round",
                    "nose": "1.6311mm", "scallop": "0.1999mm"},
        id="a round nose in an inner corner",
    ),
    pytest.param(
        "profile", {"targets": [["0.801mm", "9.8822mm"], ["6.9098mm", "11.8093mm"], ["12.2921mm", "11.8093mm"],
                                ["16.5236mm", "23.481mm"], ["25.5441mm", "23.481mm"], ["34.1495mm", "24.481mm"]], "stops": "34",
                    "leave": "0mm"},
        id="the volume of a profile with kinks",
    ),
    pytest.param(
        "radius", {"form": "fillet", "radius": "16.8206mm", "diameter": "5.2526mm", "at": "13.9602mm", "tool": "round",
                   "nose": "8.393mm", "stops": "4"},
        id="a wide nose and a shoulder",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("shape", "values"), TURNED)
def test_turned_parts_tell_the_truth(shape: str, values: dict[str, Any]) -> None:
    assert told_wrong(shape, values) == []


@pytest.mark.parametrize(
    "name", ["bollard-pin-taper", "lever-ball-knob", "belt-crown-profile", "shaft-shoulder-fillet"]
)
def test_example_turned_parts_tell_the_truth(name: str) -> None:
    plan = front.shipped(name)
    assert disagreements(plan, whole_part.see(plan)) == []


OPEN = {"base": "20mm", "segments": ["rise 2mm in 350deg"]}
CAMS = [
    pytest.param("metric", {**OPEN, "cutter": "10mm"}, id="the first flat cuts the high end of an open cam"),
    pytest.param("metric", {**OPEN, "cutter": "20mm", "approach": "side"}, id="the side cuts the high end"),
    pytest.param(
        "inch", {"base": "1in", "segments": ["rise 0.25in in 350deg"], "cutter": "10mm"},
        id="the first flat cuts a higher end",
    ),
    pytest.param(
        "metric", {"base": "45mm", "segments": ["eccentric 5mm in 360deg"], "cutter": "5mm", "step": "2deg"},
        id="flats narrower than where they touch",
    ),
    pytest.param(
        "metric", {"base": "33.1803mm", "segments": ["rise 8mm in 288.308deg modified-trapezoid"], "cutter": "5.578mm", "step": "1deg"},
        id="narrow flats on a rise",
    ),
    pytest.param(
        "metric", {**OPEN, "cutter": "10mm", "approach": "side", "scallop": "0.1mm"},
        id="the side stops short of the end of an open cam",
    ),
    pytest.param(
        "metric", {"base": "9.1635mm", "segments": ["rise 1.3437mm in 99deg cycloidal", "dwell 124deg", "fall 1.3437mm in 57deg",
                                                    "dwell 80deg"], "cutter": "5.5182mm", "approach": "side"},
        id="metal stands between a rise and the sweep of its dwell",
    ),
    pytest.param(
        "metric", {"base": "28.7546mm", "segments": ["spiral 7.4144mm in 231.036deg", "fall 6.427mm in 90.8891deg harmonic"],
                   "cutter": "22.6699mm", "leave": "0.2mm", "scallop": "0.1393mm"},
        id="a ridge stands where two segments meet",
    ),
    pytest.param(
        "metric", {"base": "33.3099mm", "segments": ["rise 8mm in 103deg", "dwell 84deg", "fall 8mm in 115deg modified-trapezoid",
                                                     "dwell 58deg"], "cutter": "13.85mm", "leave": "0.05mm", "blank": "85.9733mm"},
        id="a ridge between a rise and its dwell",
    ),
    pytest.param(  # 196 cuts were made, 0.861 mm stood, and "no cut of this cutter lowers it"
        "metric", {"base": "200mm", "segments": ["eccentric 9.9mm in 360deg"], "cutter": "20mm", "scallop": "0.02mm"},
        id="a flat that only just lies on the rim where it touches",
    ),
    pytest.param(
        "metric", {"base": "11.4193mm", "leave": "0.2mm", "cutter": "22.7254mm", "blank": "32.5604mm", "step": "10deg",
                   "segments": ["rise 4.5513mm in 55deg 4-5-6-7", "dwell 115deg", "fall 4.5513mm in 103deg cycloidal",
                                "dwell 87deg"]},
        id="metal in a hollow under a wide flat",  # 0.3726 was printed: the stock is highest beside the ridge square to the rim
    ),
    pytest.param(  # refused: "scallop = 0.02000 mm: cannot be kept on these scales", which nobody had asked for
        "metric", {"base": "20mm", "segments": ["rise 4mm in 90deg", "dwell 70deg", "fall 4mm in 100deg", "dwell 100deg"],
                   "cutter": "10mm", "approach": "side", "leave": "0mm", "blank": "48mm"},
        id="a blank of the finished size beside the side",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("machine", "values"),
    thinned(CAMS),
)
def test_cams_tell_the_truth(machine: str, values: dict[str, Any]) -> None:
    assert told_wrong("cam", values, machine) == []


def test_the_example_cam_tells_the_truth() -> None:
    plan = front.shipped("tension-release-cam")
    assert disagreements(plan, whole_part.see(plan)) == []


def _helix(diameter: float, lead: float, length: float, depth: float, cutter: float, **more: str) -> dict[str, Any]:
    sizes = {"diameter": diameter, "lead": lead, "length": length, "depth": depth, "cutter": cutter}
    return {key: front.mm(size) for key, size in sizes.items()} | more


HELICES = [
    # was printed as a ridge of 1.50 in a groove 0.1 mm deep
    pytest.param(_helix(40, 120, 60, 0.1, 6, kind="ball", step="10deg"), id="a groove shallower than its dimples"),
    # cusps in the corner of floor and wall were printed 0.035 for 0.185, later up to a third too high
    pytest.param(_helix(40, 40, 60, 0.3, 12, step="8deg"), id="a wide flat in a shallow groove"),
    pytest.param(_helix(33.5768, 29.6823, 20.7463, 7.2512, 10.9778, step="2deg"), id="the floor near a wall"),
    # wall ridge was printed 0.0
    pytest.param(_helix(20, 143, 60, 4, 10, step="8deg"), id="a wide cutter on a thin bar"),
    # a cusp low in the corner was seen over: scallop printed 0.0391, true 0.0443; volume was printed 1.7540, true 1.7569
    pytest.param(_helix(21.965, 16.3453, 8.1549, 3.1968, 5.3166, step="4deg"), id="a cusp low in the corner"),
    # wall ridge was printed 0.1997, true 0.1989
    pytest.param(_helix(40, 120, 60, 1.5, 5, kind="ball", step="4deg", starts="2"), id="a ball's floor"),
    # ridge was printed 0.1919, true 0.2026: the wall above the ball is that of the shank
    pytest.param(
        _helix(51.5893, 137.602, 95.6904, 4.6212, 8.3732, kind="ball", scallop="0.1919mm", starts="3", hand="left"),
        id="a groove deeper than its ball", marks=HUNTED,
    ),
    # 1.5 times as wide as the lead, and nothing was said
    pytest.param(_helix(20, 2, 10, 1, 3, step="8deg"), id="grooves that leave no land"),
    # volume was printed 3.70, true 4.90; scallop 0.149, true 0.111
    pytest.param(
        _helix(22.5697, 32.6141, 10.3963, 0.8821, 10.7162, kind="ball", scallop="0.1494mm"), id="the volume of a shallow ball", marks=HUNTED,
    ),
]  # fmt: skip


REFUSED = [HELICES[0].values[0], _helix(20, 2, 10, 1, 3, step="8deg")]  # dimples, and grooves that leave no land


@pytest.mark.parametrize("values", HELICES)
@pytest.mark.long
def test_helices_tell_the_truth(values: dict[str, Any]) -> None:
    try:
        assert told_wrong("helix", values) == []
    except StepcutError as refused:
        assert values in REFUSED, refused


# finer than the table: the ridge was that of the step asked, 25 times too small; between its marks: gaps of 3 and 2 degrees in
# turn were measured as 2.5
@pytest.mark.parametrize("step", ["0.2deg", "2.5deg"])
@HUNTED
@pytest.mark.long
def test_a_helix_on_a_coarse_table_tells_the_truth(step: str, tmp_path: Path) -> None:
    machine = front.coarse_machine(tmp_path)
    assert told_wrong("helix", _helix(40, 120, 40, 2, 6, step=step), machine) == []


FALSELY_REFUSED = [
    ("cove", {"radius": "10mm", "diameter": "60mm", "nose": "2.4mm", "scallop": "0.1mm"}),
    ("fillet", {"radius": "6mm", "diameter": "20mm", "to-angle": "45deg", "nose": "4mm", "scallop": "0.1mm"}),
    ("fillet", {"radius": "6mm", "diameter": "20mm", "to-angle": "30deg", "nose": "3mm", "scallop": "0.1mm"}),
    ("ball", {"radius": "10mm", "to-angle": "91deg", "nose": "2mm", "step": "0.5mm"}),
]


@pytest.mark.parametrize(("form", "values"), FALSELY_REFUSED)
def test_what_can_be_cut_is_not_refused(form: str, values: dict[str, Any]) -> None:
    # A cove was refused with words of 0.50 mm where a step of 0.1 mm leaves 0.08; fillets and balls with words of a ramp.
    plan = front.solved("radius", form=form, tool="round", **values)
    assert tell.told_wrong(plan, values) == []


FACES = [
    # smallest stock was printed 0.0025, true 0.0000; mean 0.0725, true 0.0708
    pytest.param(
        "points", {"radius": "24.3856mm", "side": "outside", "cutter": "13.0244mm", "depth": "5mm", "leave": "0mm", "points": "53",
                   "centre-x": "8.2543mm", "centre-y": "-4.6036mm"},
        id="the middle of a cut is where least stands",
    ),
    # a slot's ridge over the limit was passed over in silence
    pytest.param(
        "points", {"radius": "33.8639mm", "side": "on", "cutter": "5.2846mm", "depth": "5mm", "scallop": "0.0721mm",
                   "centre-x": "7.9118mm", "centre-y": "19.026mm"},
        id="a slot of points",
    ),
    # ridge was printed 0.0058, true 0.0050: other cuts than the two neighbours take of it
    pytest.param(
        "points", {"radius": "37.3841mm", "side": "inside", "cutter": "18.6411mm", "depth": "5mm", "leave": "0.2mm", "points": "138",
                   "centre-x": "-1.2968mm", "centre-y": "-21.3568mm", "begin": "248.943deg", "span": "43.3153deg"},
        id="points closer than their rounding",
    ),
    # 0.727 mm stood where the first cut does not quite reach the beginning, 0.06 were asked, and nothing was said
    pytest.param(
        "groove", {"circle": "88.9762mm", "grooves": "1", "cutter": "7.1308mm", "leave": "0mm", "scallop": "0.0601mm",
                   "targets": [["0deg", "0.7275mm"], ["59.2784deg", "2.4637mm"], ["107.661deg", "0.7275mm"]]},
        id="the beginning of a groove",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("shape", "values"), thinned(FACES))
def test_points_and_grooves_tell_the_truth(shape: str, values: dict[str, Any]) -> None:
    assert told_wrong(shape, values) == []


def test_the_json_tells_where_the_table_turns_with_the_cutter_down() -> None:
    plan = front.shipped("tension-release-cam")
    swept = [act for act in plan["acts"] if act["act"] == "cut" and act["axis"] == "table"]
    assert len(swept) == len(plan["sweeps"]) == 2  # its two dwells
    assert disagreements(plan, whole_part.see(plan)) == []
