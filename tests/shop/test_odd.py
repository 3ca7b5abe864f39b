"""What a shop hand asks about before the first cut, as full texts with the size that tips each on both sides.

Every bound is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.odd_text import ODD
from stepcut.cards.verdict_text import of_plan
from stepcut.plan import Plan
from stepcut.quantity import parse_length
from stepcut.voice import Voice
from tests.shops import thinned

PIN, JOURNAL, SLOT, CAM = "bollard-pin-taper", "oil-groove-helix", "level-sight-slot", "tension-release-cam"
ARC, KNOB, BORE, CRANK = "paddle-quadrant-arc-slot", "lever-ball-knob", "paddle-socket-bore", "ball-crank-neck-first"
INCH = (KNOB, BORE, CRANK)
FINE = {"cutter": "1mm", "depth": "1mm", "x_step": "0.4mm"}
CONE = {"included": "2deg", "by": "steps", "step": "1/4in", "cut_depth": "0.05in"}


def plan_of(name: str, sets: dict[str, str]) -> Plan:
    return recipes.job(recipes.load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


def told(plan: Plan, name: str, use: Any = None) -> str:
    return "\n".join(of_plan(plan, use, Voice("in" if name in INCH else "mm"), 1000)[0])


# Recipe, what is within the bound, what is beyond it, and what is said then.
TIPS: list[tuple[str, dict[str, str], dict[str, str], str]] = [
    # Ten times the ridge that was meant: 10 thou is 0.254 mm.
    (PIN, {"scallop": "0.254mm"}, {"scallop": "0.26mm"}, "Ridges of 0.260 mm between cuts are much to file off, usually 0.254 mm at most. "
        "Is it 0.026 mm or 0.260 mm? Smaller steps leave less."),
    # By hand: the spiral climbs 27 degrees a revolution of its step; 30 thou on a table is 0.762 mm.
    ("ferry-chain-snail", {"step": "10deg"}, {"step": "11deg"}, "Ridges of 0.856 mm between cuts are much to file off, usually 0.762 mm at "
        "most. Is it 0.086 mm or 0.856 mm? Smaller steps leave less."),
    (JOURNAL, {"cutter": "40mm ball", "starts": "1", "length": "20mm"}, {"cutter": "41mm ball", "starts": "1", "length": "20mm"},
        "The cutter is 41 mm wide, more than the work is round, 40 mm. Is it 4.1 mm or 41 mm?"),
    (JOURNAL, {}, {"cutter": "50mm ball"}, "The cutter is 50 mm wide, more than the work is round, 40 mm. Is it 5 mm or 50 mm?"),
    ("winder-sleeve-wide-groove", {"groove_width": "43mm", "step": "6deg", "length": "40mm"}, {"groove_width": "44mm", "step": "6deg", "length": "40mm"}, "The cut is 44 mm wide, more than the work is round, 43 mm. Is it 4.4 mm "
        "or 44 mm?"),
    (CAM, {"cutter": "36mm"}, {"cutter": "37mm"}, "The cutter is 37 mm wide, more than the work is round, 36.1 mm. Is it 3.7 mm or 37 mm?"),
    (ARC, {"cutter": "50.8mm"}, {"cutter": "51mm"}, "The cutter is 51 mm wide, more than a light quill drives, usually 50.8 mm at most. Is "
        "it 5.1 mm or 51 mm?"),
    (ARC, FINE, {**FINE, "cutter": "0.9mm", "depth": "0.9mm"}, "The cutter is 0.9 mm wide; fed by hand it breaks easily, and is usually 1 mm at least. "
        "Is it 0.9 mm or 9 mm?"),
    ("belt-crown-profile", {"nose": "6.35mm"}, {"nose": "6.4mm"}, "The tool's nose of 6.4 mm chatters, usually 6.35 mm at most. Is it 0.64 "
        "mm or 6.4 mm?"),
    # By hand: a shaft of 25 mm has a radius of 12.5.
    ("shaft-shoulder-fillet", {"radius": "12.5mm"}, {"radius": "12.6mm"}, "The fillet's radius of 12.6 mm is larger than the shaft's own, "
        "12.5 mm. Is it 1.26 mm or 12.6 mm?"),
    # By hand: four times half of the mouth of 21 mm.
    ("tripod-ball-seat", {"radius": "42mm"}, {"radius": "42.1mm"}, "A ball of 42.1 mm radius hardly enters a mouth of 21 mm: so flat a seat "
        "does not centre it. Is it 4.21 mm or 42.1 mm?"),
    # By hand: a third of 29 mm is 9.667.
    ("windlass-shaft-neck", {"small": "9.7mm"}, {"small": "9.6mm"}, "Only 9.6 mm stand where the work is thinnest, less than a third of the "
        "29 mm beside it: it bends or breaks under the tool. Is it 9.6 mm or 96 mm?"),
    # By hand: 9 and 5 mm are 7 mm in the middle, and twenty times that is 140.
    ("bung-reamer-taper", {"large": "9mm", "small": "5mm", "length": "140mm"}, {"large": "9mm", "small": "5mm", "length": "141mm"},
        "The work is 141 mm long, 20.1 times its diameter of 7.000 mm: it bends away from the tool, usually from 20 times on. Is it 14.1 mm or "
        "141 mm?"),
    # By hand: ends of 1.25 and 1.25 - 2 x 6.84 tan 1 = 1.0112 in: 1.1306 in the middle, and 6.78 in is six times that.
    (BORE, {**CONE, "length": "6.7in"}, {**CONE, "length": "6.9in"}, "The bore is 6.9 in long, 6.1 times its diameter of 1.1296 in: the bar "
        "bends away from the work, usually from 6 times on. Is it 0.69 in or 6.9 in?"),
    (CAM, {"blank": "90mm"}, {"blank": "91mm"}, "The blank of 91 mm is far larger than what is turned of it, 36.1 mm. Is it 9.1 mm or 91 mm?"),
    (PIN, {"blank": "75mm"}, {"blank": "76mm"}, "The blank of 76 mm is far larger than what is turned of it, 30 mm. Is it 7.6 mm or 76 mm?"),
    # By hand: 60 mm are two turns of a lead of 30; steps of 5 degrees keep below 300 cuts.
    (JOURNAL, {"lead": "30mm", "step": "5deg"}, {"lead": "29.9mm", "step": "5deg"}, "The groove goes round 2.01 times; so many turns are cut "
        "with change gears or on a lathe, and by steps usually 2 at most. Is the lead 29.9 mm or 299 mm, the length 6 mm or 60 mm?"),
    # By hand: 24 mm at 78.92 degrees from the axis are 23.552 square to the way; two thirds of that are 15.70.
    (SLOT, {"cutter": "15.7mm"}, {"cutter": "15.8mm"}, "Only 7.752 mm stand between one turn of the groove and the next, which is 15.800 mm "
        "wide. Is the lead 24 mm or 240 mm?"),
    (SLOT, {}, {"cutter": "30mm"}, "Nothing stands between one turn of the groove and the next, which is 30.000 mm wide. Is the lead 24 mm "
        "or 240 mm?"),
    (CRANK, {"cut_depth": "1/8in"}, {"cut_depth": "0.13in"}, "A roughing pass of 0.13 in on the radius is much for a small lathe, usually 1/8 "
        "in at most. Is it 0.013 in or 0.13 in?"),
    # A ball of 4 in radius is 8 in round; a ring of 12 in is 304.8 mm.
    (KNOB, {"radius": "4in"}, {"radius": "4.01in"}, "The work is 8.02 in round, large for a small lathe, usually 8 in at most. Is it 0.802 in "
        "or 8.02 in?"),
    ("tank-cap-bayonet", {"outside": "304.8mm", "bore": "280mm"}, {"outside": "305mm", "bore": "280mm"}, "The work is 305 mm round, large "
        "for a rotary table, usually 304.8 mm at most. Is it 30.5 mm or 305 mm?"),
    # By hand: 180 degrees by steps of 1.2 are 151 cuts to a groove, by 1.22 not quite 149.
    (JOURNAL, {"step": "1.22deg"}, {"step": "1.2deg"}, "302 cuts, at a minute each 5 hours; usually 300 at most. Is the step or ridge ten "
        "times too small?"),
    # A slot as deep as its cutter is wide; what is cut beside an edge is none.
    (ARC, {"depth": "8mm"}, {"depth": "8.1mm"}, "The groove is 8.100 mm deep, more than the 8 mm cutter is wide; its flutes must be longer "
        "than that. Is it 0.810 mm or 8.100 mm?"),
    (ARC, {"depth": "8.1mm", "side": "outside"}, {"depth": "8.1mm", "side": "on"}, "The groove is 8.100 mm deep, more than the 8 mm cutter is "
        "wide; its flutes must be longer than that. Is it 0.810 mm or 8.100 mm?"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "well", "odd", "text"), thinned(TIPS))
def test_a_size_is_asked_about_from_its_tip_on(name: str, well: dict[str, str], odd: dict[str, str], text: str) -> None:
    assert told(plan_of(name, well), name) == "CUT IT"
    assert told(plan_of(name, odd), name) == f"LOOK AGAIN. {text}"


def test_a_slide_whose_travel_is_not_known_is_asked_about_from_20_inches_on() -> None:
    """By hand: carriage marks of 0.02 mm; the first cut of a pin goes past its length by its nose, 1.5 mm, and begins 1 mm before its face."""
    text = (
        "LOOK AGAIN. This job needs {} mm of the carriage from end to end, and the machine's file does not say how far it moves; usually "
        "508 mm at most. Is it {} mm or {} mm?"
    )
    short, long_ = (plan_of(PIN, {"large": "60mm", "blank": "62mm", "length": length}) for length in ("500mm", "530mm"))
    farthest = float(max(long_.first.value(stop.first) for stop in long_.stops))
    assert farthest == 531.5
    assert told(short, PIN) == "CUT IT"
    assert told(long_, PIN) == text.format("532.500", "53.250", "532.500")
    known = replace(long_, first=replace(long_.first, travel=parse_length("600mm", "travel")))
    assert told(known, PIN) == "CUT IT"


def test_a_lathe_whose_cross_slide_goes_so_far_is_not_asked_about_its_size() -> None:
    large = plan_of(KNOB, {"radius": "4.01in"})
    assert told(replace(large, second=replace(large.second, travel=parse_length("5in", "travel"))), KNOB) == "CUT IT"


def test_upright_faces_are_no_ridges() -> None:
    """The snail of a clock falls 11 mm at once, and nobody files that."""
    plan = plan_of("tower-clock-rack-snail", {})
    assert plan.result.scallop > 5
    assert told(plan, "") == "CUT IT"


def test_every_question_is_asked_in_full() -> None:
    texts = "\n".join(text for *_, text in TIPS)
    begins = {
        "work-far": "large for a small lathe", "wider-than-work": "more than the work is round", "cutter-wide": "more than a light quill",
        "cutter-thin": "breaks easily", "nose-far": "chatters", "radius-far": "larger than the shaft's own", "seat-flat": "hardly enters",
        "neck-thin": "where the work is thinnest", "slender": "bends away from the tool", "blank-far": "far larger than what is turned",
        "turns-far": "goes round", "land-thin": "between one turn", "pass-deep": "A roughing pass", "ridge-far": "Ridges of",
        "many-cuts": "at a minute each",
    }  # fmt: skip
    assert {code for code, begin in begins.items() if begin not in texts} == set()
    assert set(ODD) - set(begins) == {"travel-far"}  # in full above


# Ten times too large, or a tenth: what a slipped point makes of the examples, which shall not pass.
SLIPS = [
    (PIN, "scallop", "0.4mm"), (PIN, "nose", "15mm"), (PIN, "blank", "310mm"), (PIN, "cut-depth", "10mm"),
    ("bung-reamer-taper", "length", "1200mm"), (JOURNAL, "cutter", "50mm ball"), (JOURNAL, "lead", "12mm"), (JOURNAL, "length", "600mm"),
    (JOURNAL, "diameter", "4mm"), ("capstan-sleeve-detent-groove", "lead", "11mm"), ("capstan-sleeve-detent-groove", "length", "330mm"),
    ("dredger-roller-cross-grooves", "lead", "9mm"), ("sluice-spindle-vee-groove", "lead", "19mm"), ("shaft-shoulder-fillet", "radius", "60mm"),
    ("shaft-shoulder-fillet", "scallop", "0.5mm"), ("lock-gate-roller-edge", "diameter", "270mm"), (KNOB, "radius", "5in"),
    ("launch-funnel-dome", "scallop", "1mm"), ("sluice-lever-handle", "small", "1.9mm"), ("sluice-lever-handle", "length", "700mm"),
    ("tripod-ball-seat", "radius", "110mm"), ("paddle-latch-ramps", "outside", "520mm"), ("valve-lift-plate", "scallop", "40thou"),
    ("feed-pump-valve-cam", "cutter", "80mm"), ("feed-pump-valve-cam", "cutter", "0.8mm"), (CAM, "step", "40deg"), (CAM, "blank", "370mm"),
    ("rail-tube-saddle", "step", "60deg"), ("tank-cap-bayonet", "step", "20deg"), ("bung-reamer-taper", "step", "40mm"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "key", "text"),
    thinned(SLIPS, 3),
)
def test_a_slipped_decimal_point_does_not_pass(name: str, key: str, text: str) -> None:
    assert told(plan_of(name, {key: text}), name).startswith(("LOOK AGAIN", "DO NOT CUT"))


@pytest.mark.parametrize("name", thinned((path.stem for path in recipes.shipped()), 3))
def test_no_example_is_asked_about_its_sizes(name: str) -> None:
    """What our own shop cuts is common practice: of the examples only two teeth are deeper than their cutters are wide."""
    job = recipes.job(recipes.load(name))
    text = told(job.plan, name, job.use)
    assert (text == "CUT IT") is (name not in ("dredge-jaw-clutch", "pump-crank-dog"))
