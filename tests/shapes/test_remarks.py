"""Every remark on a plan in full, from a job that gets it: what is so, with its number, and what to do."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.wording import remark_text
from stepcut.cli import show
from stepcut.job import job_on
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.voice import voice_of
from tests.shops import plan_of

RING = {"outside": "44.45mm", "bore": "35.56mm", "rise": "2mm", "span": "120deg", "cutter": "8mm", "step": "10deg"}
CAM = {
    "base": "15mm",
    "segments": ["rise 6mm in 40deg harmonic", "dwell 60deg", "fall 6mm in 40deg harmonic"],
    "cutter": "14mm",
    "step": "2deg",
}
ARM = {"base": "15mm", "segments": ["rise 2mm in 60deg", "dwell 30deg", "fall 2mm in 60deg", "dwell 210deg"], "cutter": "14mm",
       "step": "4deg", "pivot": "30mm", "arm": "25mm"}  # fmt: skip
OPEN = {"base": "20mm", "segments": ["rise 8mm in 350deg"], "cutter": "60mm", "step": "4deg"}
TEETH = {**RING, "rise": None, "span": None, "step": "5deg",
         "targets": [["0deg", "0mm"], ["90deg", "2mm"], ["90deg", "0mm"], ["180deg", "2mm"]]}  # fmt: skip
REMARKS: list[tuple[str, dict[str, Any], str, str]] = [
    ("ramp", {**RING, "span": None, "step": None}, "chosen-step",
     "Step 18° (4 1/2 turns of the crank) was chosen: the largest of whole and half turns that keeps the scallop within 0.120 mm."),
    ("ramp", {**RING, "span": None}, "chosen-span",
     "Span 333°15' was taken: the largest that fits the 360° sector with 26.7° of run-out for this cutter."),
    ("ramp", RING, "leave-auto",
     "Leave 0.015 mm from the machine: slope x table error 0.000 mm + depth error 0.010 mm, up to the next mark of the depth."),
    ("points", {"radius": "21mm", "side": "inside", "cutter": "8mm", "depth": "6mm", "scallop": "0.02mm", "leave": "auto"}, "leave-auto",
     "Leave 0.015 mm from the machine: errors of both slides together 0.014 mm, up to the next mark of the depth."),
    ("cam", {**ARM, "follower": "flat", "face": "5mm"}, "face-narrow",
     "The 5.000 mm face is too short: this cam touches it up to 28.130 mm from the pivot. Make it that long or more."),
    ("cam", {**ARM, "follower": "flat", "face": "5mm"}, "undercut",
     "The cam is UNDERCUT: up to 0.033 mm of lift is lost near 90°, for there the rim cannot fill the flat follower's every place. Take a "
     "larger base radius."),
    ("ramp", {**RING, "leave": "0.001mm"}, "leave-small",
     "Leave 0.001 mm is less than this machine's errors can cut too deep, 0.010 mm: slope x table error 0.000 mm + depth error 0.010 mm. "
     "Leave auto takes it from the machine."),
    ("ramp", {**RING, "leave": "0.05mm"}, "face-stands",
     "The first 3° stand as the face leaves them, less than 0.050 mm over the wanted surface. A start depth of 0.050 mm or more would "
     "leave the same everywhere."),
    ("ramp", {**RING, "step": "0.2deg"}, "rubs",
     "The largest step down is 0.005 mm; an end mill rubs below about 0.051 mm. Rough nearly to depth first, or take larger steps: "
     "--regroup puts cuts together."),
    ("ramp", {**RING, "step": "0.5deg", "regroup": "true"}, "regrouped",
     "238 thin cuts of a ramp, 0.010 mm down at most, were put together to 35 of up to 0.060 mm: an end mill rubs below about 0.051 mm. "
     "Their ridges are higher."),
    ("ramp", {**RING, "ramps": "7", "span": "30deg", "cutter": "3mm", "step": "1deg"}, "sector-rounded",
     "A sector of 51.4286° is no whole number of divisions; each ramp begins on the next mark."),
    ("ramp", {**RING, "ramps": "2", "span": "178deg"}, "runs-into-next",
     "The cutter overlaps the next ramp by 24.7°. No standard cutter clears. With this 8 mm cutter 15 of 18 cuts fit, the last at 150°; a "
     "span of 153°15' fits whole. For a tooth with an upright face tilt the head 3.3°, or take a single-angle cutter of 86.7° or less."),
    ("ramp", TEETH, "upright-face",
     "Beside the upright face at 90°00' 1.985 mm stands in the foot: an end mill held upright does not reach it. Tilt the head 6.4° or "
     "more so that its end lies along the slope (tilt-head), and file what its leaning side leaves of the face; or take a single-angle cutter "
     "of 83.6° or less, its upright side on the centre line (angle-cutter)."),
    ("cam", OPEN, "reaches-over-gap",
     "The cutter's flat reaches over the 10° gap into the other end of the cam, so the cuts beside it are held back there and up to "
     "4.514 mm more stands: file it, or leave a gap of 46.3° or more. The largest standard cutter that clears is 5 mm."),
    ("cam", {"base": "45mm", "segments": ["eccentric 5mm in 360deg"], "cutter": "5mm", "step": "2deg"}, "too-narrow",
     "The 5 mm cutter is too narrow for its flat to lie on this cam, which needs at least 10.000 mm: where the rim is steep only the "
     "cutter's edge cuts, and small steps leave high ridges. Take a wider cutter."),
    ("cam", {**CAM, "segments": ["rise 3mm in 60deg", "dwell 60deg", "fall 3mm in 60deg"]}, "flats-in-hollow",
     "The cam has hollows (corners where it turns up at once); a flat leaves metal standing in them, up to 0.065 mm that no cut lowers. "
     "A file reaches in."),
    ("cam", {**CAM, "follower": "roller", "roller": "12mm"}, "flats-in-hollow",
     "The cam has hollows (smallest radius 17.094 mm); a flat leaves metal standing in them, up to 0.221 mm that no cut lowers. The side "
     "of a cutter no rounder than the hollow reaches in."),
    ("cam", {**CAM, "segments": ["rise 3mm in 60deg", "dwell 60deg", "fall 3mm in 60deg"], "for": "clamp"}, "rim-slips",
     "As a clamp it SLIPS when oiled: its rim stands up to 10.8° to its turning, and friction 0.08 holds less. Lengthen the rise, lift "
     "less, or add a level stretch."),
    ("cam", {**CAM, "follower": "flat", "face": "9mm"}, "undercut",
     "The cam is UNDERCUT: up to 0.674 mm of lift is lost near 34°, for there the rim cannot fill the flat follower's every place. A base "
     "radius of 54.750 mm or more loses none."),
    ("cam", {**CAM, "follower": "flat", "face": "9mm"}, "face-narrow",
     "The 9.000 mm face is too narrow: this cam touches it up to 13.500 mm beside its middle, so it must be 27.000 mm wide or more."),
    ("points", {"radius": "21mm", "side": "inside", "cutter": "8mm", "depth": "6mm", "scallop": "0.001mm"}, "points-ridge",
     "Rounded to the slides' divisions the ridge is 0.005 mm, where 0.001 mm was asked for."),
    ("helix", {"diameter": "43mm", "lead": "150mm", "length": "50mm", "depth": "2.5mm", "cutter": "6mm", "step": "4deg", "groove-width": "9mm"}, "walls-lean",
     "The walls of sweeps lean in: 9 mm apart at the surface, 8.798 mm toward the floor. A roller or key of 9 mm goes down to the floor where "
     "groove-width is 9.217 mm."),
    ("points", {"tube": "27mm", "onto": "36mm", "angle": "60deg", "cutter": "10mm", "depth": "27mm", "scallop": "0.1mm"}, "mitre-short",
     "A depth of 27 mm does not come out below: as it is held, the tube is 31.177 mm straight down. Is it to be cut in two goes? Else make "
     "the depth more than that."),
    ("radius", {"form": "ball", "radius": "10mm", "scallop": "0.05mm", "tool": "round", "nose": "2mm"}, "scallop-exceeded",
     "The ridge of 0.050 mm is not kept everywhere: at 0.000 mm 0.074 mm stands, and no cut of this cutter lowers it. Take a smaller or a "
     "sharper cutter, or file more there."),
    ("lever-ball-knob", {}, "two-corners",
     "Two tables: the front is cut with the corner toward the headstock, the back with the corner toward the tailstock. Touch off each "
     "corner on its own."),
    ("depth-stop-turret", {}, "sweep-deep",
     "The deepest flat is swept 0.2180 in deep with a 3/8 in cutter, in passes that the card lists. Much of it may be milled or sawn away "
     "before: then go on from the pass that touches."),
    ("depth-stop-turret", {}, "corner-stands",
     "Beside upright faces, the worst at 360°00' a corner 0.1114 in wide and 0.2183 in high is left: a plunged cutter leaves it round. "
     "File it."),
    ("spring-preload-collar", {}, "corner-stands",
     "Beside the upright face at 180°00' a corner 1.209 mm wide and 4.990 mm high is left: the far edge of the cutter does not run along "
     "the radial line. File it, or move the saddle until that edge stands on the centre line and feed across once more there."),
    ("tower-clock-rack-snail", {}, "step-corners",
     "Beside each step the cutter leaves its own round, radius 1.500 mm, for it may not enter the higher sector: file the corner where "
     "the pin must reach it."),
    ("tower-clock-rack-snail", {}, "wedge-up-step",
     "Up the step at 360° the straight side of the cutter leaves a wedge too, 1.247 mm thick at the blank's rim, for it does not run "
     "along the ray: saw or mill it off, then file."),
    ("cam", {**CAM, "cutter": "3mm", "step": "8deg", "blank": "60mm"}, "fins-between",
     "At the blank's rim the cuts lie farther apart than the 3 mm cutter is wide: 10 fins stand between them, near 4° 1.204 mm thick there "
     "and up to 15.000 mm over the cam. Take a wider cutter, smaller steps or a smaller blank."),
    ("ramp", {**RING, "span": "350deg"}, "runs-into-next",
     "The cutter overlaps its own high end by 16.7°. The largest standard cutter that clears is 3 mm, with cuts closer together. With this "
     "8 mm cutter 33 of 35 cuts fit, the last at 330°; a span of 333°15' fits whole."),
    ("ramp", {**RING, "ramps": "6", "span": "50deg", "cutter": "12mm", "step": "45deg"}, "runs-into-next",
     "The cutter overlaps the next ramp by 32.4°. The largest standard cutter that clears is 3 mm. With this 12 mm cutter no cut fits."),
    ("ramp", {**RING, "rise": None, "per": "0.1mm/7.013deg", "step": None}, "per-gives",
     "0.100 mm for 7°01' does not come out even: the rim shows 0°01', so a step turns a mark more or less; 120° is no whole number of "
     "steps, so the last one is 0°47'. The total is kept."),
    ("cam", {**OPEN, "segments": ["rise 8mm in 359deg"]}, "reaches-over-gap",
     "The cutter's flat reaches over the 1° gap into the other end of the cam, so the cuts beside it are held back there and up to "
     "7.568 mm more stands: file it, or leave a gap of 46.4° or more. The side of a cutter may clear."),
    ("cam", {**OPEN, "segments": ["rise 8mm in 359deg"], "cut-with": "side"}, "reaches-over-gap",
     "The cutter's side reaches over the 1° gap into the other end of the cam, so the cuts beside it are held back there and up to "
     "7.254 mm more stands: file it, or leave a gap of 32.7° or more. No standard cutter clears with its side."),
    ("cam", {**CAM, "cutter": "10mm", "cut-with": "side", "base": "10mm", "follower": "roller", "roller": "6mm"}, "pressure-steep",
     "The pressure angle reaches 40.7° at 18°; a follower that slides straight may jam above about 30°. Take a larger base radius, or a "
     "longer rise."),
    ("cam", {**CAM, "cutter": "30mm", "follower": "roller", "roller": "60mm"}, "undercut",
     "The cam is UNDERCUT: up to 0.201 mm of lift is lost near 106°, for there the rim cannot fill the roller follower's every place. Take "
     "a larger base radius or a smaller roller."),
    # By a raster of the cutter in the corner: 0.0541 mm stand on the ray at 60 degrees; heights are rounded up.
    ("cam", {"base": "20mm", "segments": ["fall 3mm in 60deg", "rise 3mm in 60deg", "dwell 240deg"], "cutter": "10mm",
             "cut-with": "side", "scallop": "0.02mm"}, "scallop-exceeded",
     "The ridge of 0.020 mm is not kept everywhere: at 60° 0.059 mm stands, and no cut of this cutter lowers it. Take a smaller or "
     "a sharper cutter, or file more there."),
    ("cam", {"sectors": "20mm, 19mm, 17mm", "cutter": "12mm", "step": "5deg"}, "step-corners",
     "Beside each step the cutter leaves a corner as wide as it reaches, for it may not enter the higher sector: file the corner where the "
     "pin must reach it."),
    ("profile", {"targets": [["0mm", "20mm"], ["10mm", "24mm"], ["20mm", "23.9mm"]], "cuts": "40"}, "fewer-cuts",
     "One flank takes 5 cuts and not 40: more would cut nothing on these scales."),
]  # fmt: skip


def plan(shape: str, values: dict[str, Any]) -> Plan:
    if "-" in shape:
        return show.solved(recipes.job(recipes.load(shape)))
    return plan_of(shape, **{key: value for key, value in values.items() if value is not None})


# Two cams that take a second each and say in another sentence of a remark what a quicker one says too.
SLOW = [
    case
    for case in REMARKS
    if case[1]
    in (
        {**CAM, "cutter": "30mm", "follower": "roller", "roller": "60mm"},
        {**CAM, "follower": "roller", "roller": "12mm"},
    )
]


@pytest.mark.parametrize(
    ("shape", "values", "code", "sentence"),
    [
        pytest.param(*case, id=f"{case[0]} {case[2]}", marks=pytest.mark.long if case in SLOW else ())
        for case in REMARKS
    ],
)
def test_a_remark_says_what_is_so_and_what_to_do(shape: str, values: dict[str, Any], code: str, sentence: str) -> None:
    made = plan(shape, values)
    assert sentence in [remark_text(each, voice_of(made.machine)) for each in made.remarks if each.code == code]


@pytest.mark.parametrize(("shape", "values"), [
    ("helix", {"diameter": "1-3/8in", "lead": "5in", "length": "1/2in", "depth": "60thou", "cutter": "1/8in ball", "step": "4deg"}),
    ("scroll", {"begin": "1in", "end": "1-1/4in", "pitch": "1/4in", "depth": "60thou", "cutter": "1/8in", "step": "4deg"}),
])  # fmt: skip
def test_a_depth_between_the_marks_of_its_scale_is_said_with_what_it_leaves(shape: str, values: dict[str, Any]) -> None:
    """A rule in sixty-fourths: three of them are 0.046875, four 0.0625; of the metric knee's marks a hair is not said."""
    inch = machines.find("inch")
    assert inch.depth is not None

    def said(depth: str, division: Fraction) -> list[str]:
        rule = replace(inch, depth=replace(inch.depth, name="quill", division=division, error=division))
        recipe = recipes.from_content({"stepcut": 1, shape: {**values, "depth": depth, "leave": "0in"}})
        plan = show.solved(job_on(recipe, rule))
        return [remark_text(each, voice_of(rule)) for each in plan.remarks if each.code == "before-mark"]

    mark = Fraction(254, 640)
    assert said("60thou", mark) == [
        "Depth 0.0600 in is no mark of the quill: it is set to 0.0469 in, and the floor stands 0.0131 in higher than wanted. Set it by an "
        "indicator or a block under the stop, or take a depth that it shows."
    ]
    assert said("1/16in", mark) == said("60.4thou", Fraction(254, 10_000)) == []
