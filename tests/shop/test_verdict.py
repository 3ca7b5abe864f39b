"""Every verdict as a full text, with the number that tips it on each side."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.odd_text import ODD
from stepcut.cards.verdict_text import REASONS, chance_line, head, of_plan, use_line
from stepcut.log.frozen import freeze, thaw
from stepcut.plan import Plan, Remark
from stepcut.quantity import parse_length
from stepcut.shop.lock import FRICTIONS, locking
from stepcut.shop.verdict import ORDER, swing, verdict
from stepcut.voice import Voice
from tests.conftest import Run

RING = "sluice-clamp-ramp"
# The example ring: middle radius 0.7875 in, 140 degrees: a rise r falls 1.9242 in along the middle of its wall, so that
# friction 0.08 holds to 0.1539 in, 8 degrees is 0.2704 in, and friction 0.15 holds to 0.2886 in.  The wall is 0.175 in.
SLIPS = "It slips when oiled: {angle}° at the middle radius 0.7875 in, and friction 0.08 holds up to 4.57°."


def plan_of(name: str, **sets: str) -> Plan:
    return recipes.job(recipes.load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


TEXTS: list[tuple[str, str | None, dict[str, str], str]] = [
    (RING, None, {}, "CUT IT"),
    # Holds at the oily end of friction.
    (RING, "clamp", {"rise": "0.153in"}, "CUT IT"),
    (RING, "clamp", {"rise": "0.155in"}, f"LOOK AGAIN. {SLIPS.format(angle='4.61')}"),
    (RING, None, {"rise": "0.155in"}, f"LOOK AGAIN. {SLIPS.format(angle='4.61')} If it is no clamp, say so with --for dog or --for lift."),
    (RING, "lift", {"rise": "0.155in"}, "CUT IT"),
    # A rise of more than the wall.
    (RING, "clamp", {"rise": "0.174in"}, f"LOOK AGAIN. {SLIPS.format(angle='5.17')}"),
    (RING, "clamp", {"rise": "0.176in"}, f"LOOK AGAIN\n1. {SLIPS.format(angle='5.23')}\n"
        "2. The rise is more than the wall, 0.1750 in. Is it 0.0176 in or 0.1760 in?"),
    # Steeper than clamps are.
    (RING, "clamp", {"rise": "0.270in"}, f"LOOK AGAIN\n1. {SLIPS.format(angle='7.99')}\n"
        "2. The rise is more than the wall, 0.1750 in. Is it 0.0270 in or 0.2700 in?"),
    (RING, "clamp", {"rise": "0.271in"}, f"LOOK AGAIN\n1. {SLIPS.format(angle='8.02')}\n"
        "2. 8.02° is steep for a clamp, usually 8° at most. Is the rise 0.0271 in or 0.2710 in?\n"
        "3. The rise is more than the wall, 0.1750 in. Is it 0.0271 in or 0.2710 in?"),
    # A dog must let go, dry too.
    (RING, "dog", {"rise": "0.288in"}, "LOOK AGAIN. A dog must let go, and this holds when dry: 8.51° at the middle radius 0.7875 in; "
        "friction 0.15 holds up to 8.53°."),
    (RING, "dog", {"rise": "0.289in"}, "CUT IT"),
    # Deeper in full metal than the cutter is wide: the last cut goes down by the rise (start depth and leave are alike).
    (RING, "lift", {"rise": "0.375in"}, "CUT IT"),
    (RING, "lift", {"rise": "0.376in"}, "LOOK AGAIN. The last cuts stand 0.3760 in deep in full metal at the downhill edge, more than "
        "the 3/8 in cutter is wide. The card goes down in passes; the flutes must be longer than that."),
    # Thinner than a hair: 3 degrees go down 0.0019 in, 0.0020 in at some cuts on this scale; 2 degrees 0.0015 in at most.
    (RING, "lift", {"step": "3deg"}, "CUT IT"),
    (RING, "lift", {"step": "2deg"}, "LOOK AGAIN. Cuts thinner than a hair: the largest step down is 0.0015 in, and an end mill rubs "
        "below about 0.0020 in. Take larger steps (--regroup puts cuts together), or rough nearly to depth first."),
    # One part in a hundred cut below.
    (RING, "clamp", {"leave": "0.6thou"}, "CUT IT"),
    (RING, "clamp", {"leave": "0.5thou"}, "LOOK AGAIN. The chance that some place is cut below the wanted surface is 1 in 94, with leave "
        "0.0005 in. For 1 in 100 leave 0.0006 in."),
    (RING, "clamp", {"leave": "0.4thou"}, "LOOK AGAIN. The chance that some place is cut below the wanted surface is 1 in 4, with leave "
        "0.0004 in. For 1 in 100 leave 0.0006 in."),
    # More than a file is left with.
    (RING, "clamp", {"leave": "0.010in"}, "CUT IT"),
    (RING, "clamp", {"leave": "0.020in"}, "LOOK AGAIN. Leave 0.0200 in is much to file off, usually 0.0100 in at most. Is it 0.0020 in or "
        "0.0200 in?"),
    # A groove deeper than its cutter is wide.
    ("oil-groove-helix", None, {"depth": "5mm"}, "CUT IT"),
    ("oil-groove-helix", None, {"depth": "5.1mm"}, "LOOK AGAIN. The groove is 5.100 mm deep, more than the 5 mm cutter is wide; its flutes "
        "must be longer than that. Is it 0.510 mm or 5.100 mm?"),
    ("bellows-chuck-face-scroll", None, {"depth": "25mm"}, "LOOK AGAIN. The groove is 25.000 mm deep, more than the 4 mm cutter is wide; its "
        "flutes must be longer than that. Is it 2.500 mm or 25.000 mm?"),
    # Travel of the compound: 60 mm, along a side of 1.43 degrees, whose passes begin 1 mm in front of the face.
    ("bollard-pin-taper", None, {"by": "compound", "length": "58.9mm"}, "CUT IT"),
    ("bollard-pin-taper", None, {"by": "compound", "length": "59.5mm"}, "LOOK AGAIN. The compound is too short: the taper needs 60.519 mm "
        "of travel, and it has 60.000 mm."),
    # Flats in the hollows of a cam: a base so large that the flanks stand out has none.
    ("tension-release-cam", None, {"segments": "rise 6mm in 60deg cycloidal; dwell 30deg; fall 6mm in 60deg cycloidal", "base": "8mm",
        "blank": "60mm"}, "LOOK AGAIN. Flats leave metal standing in the hollows (smallest radius 4.043 mm). The side of the cutter "
        "reaches them."),
    ("tension-release-cam", None, {"segments": "rise 1mm in 90deg cycloidal; dwell 30deg; fall 1mm in 90deg cycloidal", "base": "25mm",
        "blank": "60mm"}, "CUT IT"),
    # A corner where a spiral starts up at once: what no flat reaches is less than 0.05 mm left for the file, more than none.
    ("tension-release-cam", None, {"leave": "0.05mm"}, "CUT IT"),
    ("tension-release-cam", None, {"leave": "0mm"}, "LOOK AGAIN\n1. The chance that some place is cut below the wanted surface is "
        "nearly every time, with leave 0.000 mm. For 1 in 100 leave 0.011 mm.\n2. Flats leave metal standing in the hollows (corners "
        "where it turns up at once). A file reaches them."),
    # Spoils: 5/8 in overlaps the next ramp; 3/8 in, above, does not.
    # By hand: the last cut stands at 140 degrees and reaches asin(d / 0.7) on at the bore: 0.44995 in just clears the next ramp at 180.
    (RING, "clamp", {"cutter": "0.4499in"}, "CUT IT"),
    (RING, "clamp", {"cutter": "0.451in"}, "DO NOT CUT. The cutter overlaps the next ramp by 0.1°. The largest standard cutter that clears "
        "is 7/16 in. With this 0.451 in cutter 13 of 14 cuts fit, the last at 130°; a span of 139°53' fits whole."),
    (RING, "clamp", {"cutter": "5/8in"}, "DO NOT CUT. The cutter overlaps the next ramp by 23.2°. The largest standard cutter that clears "
        "is 7/16 in. With this 5/8 in cutter 11 of 14 cuts fit, the last at 110°; a span of 116°45' fits whole."),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "use", "sets", "text"),
    # What stands in the hollows of that cam takes two seconds to find.
    [pytest.param(*row, marks=[pytest.mark.long] if row[2].get("base") == "8mm" else []) for row in TEXTS],
)
def test_a_verdict_in_full_on_each_side_of_its_tip(name: str, use: Any, sets: dict[str, str], text: str) -> None:
    voice = Voice("mm" if name != RING else "in", "minutes")
    assert "\n".join(of_plan(plan_of(name, **sets), use, voice, 1000)[0]) == text


GAP = {"base": "20mm", "cutter": "30mm", "step": "4deg"}
RIDE = {"base": "20mm", "step": "2deg", "cut-with": "side"}
NOSE = {"targets": [["0mm", "20mm"], ["10mm", "20mm"], ["20mm", "40mm"]], "tool": "round", "nose": "2mm"}
FACE = {"base": "30mm", "cutter": "40mm", "step": "2deg", "follower": "flat", "segments": [
    "rise 6mm in 90deg harmonic", "dwell 60deg", "fall 6mm in 90deg harmonic", "dwell 120deg"]}  # fmt: skip
HARMONIC = ["rise {} in {} harmonic", "fall {} in {} harmonic"]


def _ride(lift: str, span: str, rest: str, **more: str) -> dict[str, Any]:
    return {**RIDE, "segments": [*(each.format(lift, span) for each in HARMONIC), f"dwell {rest}"], **more}


# Each reason that a whole part gives, on both sides of its tip; what comes first in the text is the reason.
OTHERS: list[tuple[str, dict[str, Any], str]] = [
    # By hand: friction 0.08 holds a rim up to 0.08; a rise in 90 degrees from a radius of 20 mm climbs rise / (20 pi / 2): 2.513 mm.
    ("cam", {**RIDE, "cutter": "16mm", "for": "clamp", "segments": ["rise 2.51mm in 90deg", "dwell 200deg"]}, "CUT IT"),
    ("cam", {**RIDE, "cutter": "16mm", "for": "clamp", "segments": ["rise 2.52mm in 90deg", "dwell 200deg"]}, "LOOK AGAIN. As a clamp it "
        "SLIPS when oiled: its rim stands up to 4.6° to its turning, and friction 0.08 holds less. Lengthen the rise, lift less, or add a "
        "level stretch."),
    # By hand: harmonic, the angle is largest near the middle, tan = (lift / 2) (180 / 60) sin / (20 + lift share): 30 degrees at 9.35 mm.
    ("cam", _ride("9.3mm", "60deg", "240deg", cutter="10mm", follower="knife"), "CUT IT"),
    ("cam", _ride("9.4mm", "60deg", "240deg", cutter="10mm", follower="knife"), "LOOK AGAIN. The pressure angle reaches 30.2° at 26°; a "
        "follower that slides straight may jam above about 30°. Take a larger base radius, or a longer rise."),
    # By hand: a harmonic nose of 2 mm in 15 degrees bends 144 mm a radian squared; a roller of 3.97 mm radius just fills it, and from
    # 4.3 mm on 0.005 mm of lift are lost.
    ("cam", _ride("2mm", "15deg", "330deg", cutter="4mm", follower="roller", roller="7.9mm"), "CUT IT"),
    ("cam", _ride("2mm", "15deg", "330deg", cutter="4mm", follower="roller", roller="8.7mm"), "LOOK AGAIN. The cam is UNDERCUT: up to "
        "0.006 mm of lift is lost near 15°, for there the rim cannot fill the roller follower's every place. Take a larger base radius or a "
        "smaller roller."),
    # By hand: a flat face touches dr/dphi beside its middle: 6/2 (180/90) = 6 mm each way.
    ("cam", {**FACE, "face": "12mm"}, "CUT IT"),
    ("cam", {**FACE, "face": "11.9mm"}, "LOOK AGAIN. The 11.900 mm face is too narrow: this cam touches it up to 6.000 mm beside its "
        "middle, so it must be 12.000 mm wide or more."),
    # By hand: a nose of 2 mm leaves 2 (1 - sin 67.5) = 0.152 mm in a corner of 135 degrees, and the marks of the scales a little more.
    ("profile", {**NOSE, "scallop": "0.16mm"}, "CUT IT"),
    ("profile", {**NOSE, "scallop": "0.15mm"}, "LOOK AGAIN. A ridge of 0.156 mm stands where 0.150 mm was asked for."),
    # What the far end of a cam with a gap holds a flat back by: a file takes 1 mm, and no more.
    ("cam", {**GAP, "segments": ["rise 6mm in 338deg"]}, "LOOK AGAIN. Flats leave metal standing in the hollows (corners where it turns up "
        "at once). A file reaches them."),
    ("cam", {**GAP, "segments": ["rise 6mm in 339deg"]}, "DO NOT CUT. The cutter's flat reaches over the 21° gap into the other end of the "
        "cam, so the cuts beside it are held back there and up to 1.053 mm more stands: file it, or leave a gap of 38.3° or more. The "
        "largest standard cutter that clears is 14 mm."),
]  # fmt: skip


@pytest.mark.parametrize(("shape", "values", "text"), OTHERS)
def test_a_reason_of_another_shape_in_full_on_each_side_of_its_tip(
    shape: str, values: dict[str, Any], text: str
) -> None:
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", shape: values})).plan
    assert "\n".join(of_plan(plan, None, Voice("mm"), 1000)[0]) == text


# A scale that can go just so far, and a mark less: the ring's cutter is lifted 0.050 in above its top and goes down to 0.090 in; the pin's
# carriage begins 1 mm in front of the face and goes to 91.5 mm, its cross-slide goes from 12.8 mm back to 2 mm clear of the blank's
# 15.05 mm; the groove's slide comes back to 0 past it, by a quarter turn of 5 mm a turn.
TRAVELS: list[tuple[str, str, str, str, str]] = [
    (RING, "second", "0.1400in", "0.1395in", "LOOK AGAIN. The knee readout cannot go so far: this job needs 0.1400 in from end to end, and it "
        "moves 0.1395 in from stop to stop. Set the work or the knee readout anew, or use another scale."),
    ("bollard-pin-taper", "first", "92.5mm", "92.48mm", "LOOK AGAIN. The carriage cannot go so far: this job needs 92.500 mm from end to "
        "end, and it moves 92.480 mm from stop to stop. Set the work or the carriage anew, or use another scale."),
    ("bollard-pin-taper", "second", "4.25mm", "4.24mm", "LOOK AGAIN. The cross-slide cannot go so far: this job needs 4.250 mm from end to "
        "end, and it moves 4.240 mm from stop to stop. Set the work or the cross-slide anew, or use another scale."),
    ("oil-groove-helix", "second", "61.25mm", "61.24mm", "LOOK AGAIN. The table readout (X) cannot go so far: this job needs 61.250 mm from end to "
        "end, and it moves 61.240 mm from stop to stop. Set the work or the table readout (X) anew, or use another scale."),
]  # fmt: skip


@pytest.mark.parametrize(("name", "scale", "enough", "less", "text"), TRAVELS)
def test_travel_in_full_on_each_side_of_its_tip(name: str, scale: str, enough: str, less: str, text: str) -> None:
    plan, voice = plan_of(name), Voice("in" if name == RING else "mm")
    for travel, expected in ((enough, "CUT IT"), (less, text)):
        short = replace(getattr(plan, scale), travel=parse_length(travel, "travel"))
        assert of_plan(replace(plan, **{scale: short}), None, voice, 1000)[0] == [expected]


def test_no_reason_is_left_out_of_the_tables() -> None:
    """Every code that a verdict can give is in one of the tables above in full, told by the beginning of its sentence."""
    texts = "\n".join([text for *_, text in TEXTS] + [text for *_, text in OTHERS] + [text for *_, text in TRAVELS])
    begins = {
        "spoils": "DO NOT CUT. The cutter overlaps", "slips": "It slips when oiled", "dog-holds": "A dog must let go",
        "compound-short": "The compound is too short", "travel-short": "cannot go so far", "slope-far": "is steep for a clamp",
        "rise-far": "The rise is more than the wall", "deep-bite": "The last cuts stand", "deep-groove": "The groove is",
        "leave-far": "is much to file off", "rubs": "Cuts thinner than a hair",
        "may-cut-below": "The chance that some place", "scallop-exceeded": "A ridge of", "flats-in-hollow": "Flats leave metal",
        "look": "As a clamp it SLIPS",
    }  # fmt: skip
    assert {code for code, begin in begins.items() if begin not in texts} == set()
    # Of a plan that comes from the log, without the functions of its line: the test below has it in full.
    assert set(ORDER) - set(begins) - set(ODD) == {"leave-small"}  # what is odd about sizes: tests/shop/test_odd.py


def test_leave_is_judged_by_the_machines_errors_where_no_chance_is_known() -> None:
    """A plan that comes from the log has its numbers and not the functions of its wanted line."""
    remark = Remark("leave-small", {"leave": 0.01, "safe": 0.03, "parts": (0.01, 0.02)})
    kept = thaw(freeze(replace(plan_of("bollard-pin-taper"), remarks=(remark,))))
    text = of_plan(kept, None, Voice("mm"), 1000)[0]
    assert text == ["LOOK AGAIN. Leave 0.010 mm is less than this machine's errors can cut too deep, 0.030 mm."]


def test_a_decimal_point_that_slipped_is_asked_about() -> None:
    text = " ".join(of_plan(plan_of(RING, rise="0.30in", span="130deg"), "clamp", Voice("in"), 1000)[0])
    assert "Is the rise 0.0300 in or 0.3000 in?" in text


@pytest.mark.parametrize("rise", [60, 90, 120, 153, 154, 200])
@pytest.mark.parametrize("friction", FRICTIONS)
def test_lock_card_and_verdict_agree(rise: int, friction: float, monkeypatch: pytest.MonkeyPatch) -> None:
    from stepcut.shapes.ramp.words import lock_line

    monkeypatch.setattr("stepcut.shop.verdict.OILY", friction)
    plan = plan_of(RING, rise=f"{rise / 1000:.3f}in")
    # By hand: the pair slides as one at the middle radius, (1.75 + 1.40) / 4 in.
    angle = math.degrees(math.atan(rise / 1000 / (math.radians(140) * 0.7875)))
    holds = locking(angle, 20.0, 1000.0, friction).holds
    assert holds == (math.tan(math.radians(angle)) < friction)
    assert holds == ("slips" not in [reason.code for reason in verdict(plan, "clamp").reasons])
    assert f"{friction:.2f} {'holds' if holds else 'SLIPS'}" in lock_line(plan, Voice("in"))


def test_a_chance_above_one_half_is_said_in_tenths() -> None:
    """1 in 1 would be each time.  By numpy: of 100,000 pins turned with leave 0.002 mm 78,298 are cut below somewhere."""
    pin = plan_of("bollard-pin-taper", leave="0.002mm", scallop="0.05mm")
    rng, angle = np.random.default_rng(72), math.atan(2.25 / 90)
    z = np.array([float(pin.first.value(stop.first)) for stop in pin.stops])
    x = np.array([float(pin.second.value(stop.second)) for stop in pin.stops])
    # A nose of 1.5 mm stands behind its leading point and outside its nearest point; dials off by 0.02 mm, across on the diameter.
    along, across = (rng.uniform(-error, error, (10_000, len(z))) for error in (0.02, 0.01))
    apart = (x + across + 1.5 - 12.75 - (z + along - 1.5) * math.tan(angle)) * math.cos(angle) - 1.5
    touches = z + along - 1.5 + 1.5 * math.sin(angle)  # past the large end and before the face no slope is wanted
    seen = ((apart < 0) & (touches > 0) & (touches < 90)).any(axis=1).mean()
    assert seen == pytest.approx(0.783, abs=0.02)
    assert f"is {10 * seen:.0f} in 10;" in chance_line(pin, Voice("mm"))


def test_a_clamps_use() -> None:
    # By hand: 0.090 in over 140 degrees; 0.020 in is 31.1 degrees, and 108.9 of 140 degrees still bear: 78 %; half of 140 is 70.
    assert use_line(plan_of(RING), None, Voice("in")) == (
        "a gap of 0.0200 in takes 31° of the handle, and 78 % of the face still bears then; stop pins where it is shut, at 0°, and at "
        "70° of 140°, past which less than half of the face bears"
    )
    # 0.045 in is half of the rise: on its either side half of the face, and less.
    half = use_line(plan_of(RING), "clamp", Voice("in"), 0.045 * 25.4)
    assert half.endswith("50 % of the face still bears then; stop pins where it is shut, at 0°, and at 70° of 140°, past which less "
                         "than half of the face bears")  # fmt: skip
    assert use_line(plan_of(RING), "clamp", Voice("in"), 0.046 * 25.4) == (
        "a gap of 0.0460 in takes 72° of the handle, and 49 % of the face still bears then; stop pins where it is shut, at 0°, and at "
        "72° of 140°, and less than half of the face bears: a wider span or a smaller gap is better"
    )
    assert use_line(plan_of(RING), "dog", Voice("in")) == ""
    one = use_line(plan_of(RING, ramps="1"), "clamp", Voice("in"), 0.010 * 25.4)
    assert one.endswith(
        "one ramp pushes on one side once it has turned and tips the sleeve: two or three pull straight"
    )
    assert "tips" not in use_line(plan_of(RING, ramps="2"), "clamp", Voice("in"), 0.010 * 25.4)
    assert "is more than the whole rise gives" in use_line(plan_of(RING), "clamp", Voice("in"), 0.1 * 25.4)


@pytest.mark.parametrize("gap", [0.005, 0.020, 0.045, 0.080])
def test_the_gap_and_the_contact_of_a_clamp_against_two_rings_laid_on_each_other(gap: float) -> None:
    """Turn one ring of 0.1 degree slices on another until it has come so much nearer; count the slices that still touch."""
    found = swing(plan_of(RING), gap * 25.4)
    assert found is not None
    slices = np.arange(1800) / 10  # one half of the ring: 140 degrees of ramp, then the ring's floor
    lower = np.where(slices <= 140, -0.090 * slices / 140, -5.0)  # the floor lies out of reach
    # The same part face down: over the lower one's slice s lies its slice 140 - s + turned, hanging the other way.
    over = 140 - slices + found.turned
    upper = np.where((over >= 0) & (over <= 140), -0.090 * np.clip(over, 0, 140) / 140, -5.0)
    meet = lower + upper  # where the sum is largest the parts touch first
    shut = (np.where(slices <= 140, -0.090 * slices / 140 - 0.090 * (140 - slices) / 140, -9)).max()
    assert shut - meet.max() == pytest.approx(gap, abs=1e-4)
    assert (meet > meet.max() - 1e-6).sum() / 1401 == pytest.approx(found.contact, abs=0.002)


@pytest.mark.parametrize(
    ("use", "rises"),
    [("clamp", ("0.153in", "0.155in")), ("dog", ("0.289in", "0.288in")), ("lift", ("0.153in", "0.289in"))],
)
def test_lock_and_check_say_the_same_by_the_same_radius(run: Run, use: str, rises: tuple[str, str]) -> None:
    well, ill = (
        (
            run("lock", RING, "--for", use, "--set", f"rise={rise}", "--width", "160"),
            run("check", RING, "--for", use, "--set", f"rise={rise}", "--width", "160"),
        )
        for rise in rises
    )
    assert well[0].stdout.startswith(f"For a {use}")
    assert "slips when oiled" not in well[1].stdout
    assert "must let go" not in well[1].stdout
    if use == "lift":
        assert ill[0].stdout.startswith("For a lift it may hold or slip")
        return
    said = " ".join(ill[0].stdout.split("Ramp angle")[0].split())
    assert said.removeprefix("LOOK AGAIN. ") in " ".join(ill[1].stdout.split())
    assert "at the middle radius 0.7875 in" in said
    assert "by the middle radius, 0.7875 in" in " ".join(ill[1].stdout.split())
    assert "slides as one at the middle radius, 0.7875 in" in " ".join(ill[0].stdout.split())


def test_a_ramp_of_no_said_use_is_said_to_be_judged_as_a_clamp(run: Run) -> None:
    """What holds when dry is no dog: by hand friction 0.15 holds up to 8.53 degrees, a rise of 0.288 in on the example ring."""
    said = "a clamp, for its recipe does not say what it is for; it holds when dry too, and a dog must let go: if it is one, say --for dog"
    for command, before in (("check", "Judged as "), ("lock", "Judged as ")):
        for sets, told in (
            ((), True), (("--for", "clamp"), False), (("--for", "dog"), False), (("--for", "lift"), False),
            (("--set", "rise=0.288in"), True), (("--set", "rise=0.289in"), False),
        ):  # fmt: skip
            text = " ".join(run(command, RING, *sets).stdout.split())
            assert (f"{before}{said}" in text.replace("Judged as  ", before)) is told, (command, sets)


@pytest.mark.parametrize("name", ["tripod-swivel-targets", "valve-lift-plate", "tank-cap-bayonet", "winch-dog-plunged"])
@pytest.mark.parametrize("use", ["", "clamp", "dog", "lift"])
def test_lock_and_check_agree_on_every_kind_of_ramp(run: Run, name: str, use: str) -> None:
    """A curved or listed slope whose use is not said is judged by neither: lock said SLIPS where check said CUT IT."""
    said = ("--for", use) if use else ()
    lock, check = (run(command, name, *said, "--width", "160").stdout for command in ("lock", "check"))
    assert lock.startswith("LOOK AGAIN") is check.startswith("LOOK AGAIN")
    unsaid = (
        "Not judged: it is no plain ramp, and its recipe does not say what it is for. Say --for clamp, dog or lift."
    )
    assert (unsaid in lock) is (not use and name in ("tripod-swivel-targets", "valve-lift-plate"))


def test_a_ramp_without_one_slope_does_not_lock(run: Run) -> None:
    assert run("lock", "crank-face-ratchet").stderr == (
        "recipe = crank-face-ratchet: does not fall all the way, so it has no one ramp angle that could lock. Name the recipe of a ramp.\n"
    )


def test_lock_judges_an_angle_by_its_use(run: Run) -> None:
    # By hand: friction 0.08 holds up to atan(0.08) = 4.574 degrees, 0.15 up to 8.531.
    for angle, use, begins in (
        ("4.57deg", "clamp", "For a clamp: it holds, at friction 0.08 too."),
        ("4.58deg", "clamp", "LOOK AGAIN. It slips when oiled: 4.58° at the middle radius 1.0000 in, and friction 0.08 holds up to 4.57°."),
        ("8.53deg", "dog", "LOOK AGAIN. A dog must let go, and this holds when dry: 8.53° at the middle radius 1.0000 in; friction 0.15 holds up to 8.53°."),
        ("8.54deg", "dog", "For a dog: it lets go, at friction 0.15 too."),
    ):  # fmt: skip
        assert run("lock", "--angle", angle, "--radius", "1in", "--for", use, "--width", "160").stdout.startswith(
            begins
        )
    assert "gap: goes" in run("lock", "--angle", "3deg", "--radius", "1in", "--gap", "1mm").stderr.replace(" = 1mm", "")


@pytest.mark.parametrize("command", ["check", "card"])
def test_the_verdict_stands_first_and_last(run: Run, command: str) -> None:
    def ends(*more: str) -> tuple[int, str, str]:
        done = run(command, RING, *more)
        lines = done.stdout.splitlines()
        return done.returncode, lines[0], lines[-1].strip()

    status, first, last = ends()
    assert (status, first.endswith("CUT IT"), last.startswith("CUT IT")) == (0, True, True)
    status, first, last = ends("--set", "cutter=5/8in")
    assert (status, "DO NOT CUT" in first, last) == (1, True, "DO NOT CUT: 1 reason, said at the top")
    status, first, last = ends("--set", "rise=0.2in", "--for", "clamp")
    assert (status, first.endswith("LOOK AGAIN"), last) == (0, True, "LOOK AGAIN: 2 reasons, said at the top")
    _, first, _ = ends("--set", "rise=0.2in", "--set", "for=lift")
    assert first.endswith("CUT IT")
    assert (
        "for = brake: is not one of the choices. Use clamp, dog or lift." in run(command, RING, "--for", "brake").stderr
    )


def test_the_last_line_counts_the_reasons() -> None:
    assert head(verdict(plan_of(RING))) == "CUT IT"
    assert head(verdict(plan_of(RING, rise="0.155in"))) == "LOOK AGAIN: 1 reason, said at the top"


def test_every_kind_of_card_gives_the_verdict_by_the_use_of_the_part(run: Run) -> None:
    """The terminal's words are the measure; 0.2 in over 140 degrees slips as a clamp and is well as a lift."""
    args = ("card", RING, "--set", "rise=0.2in")
    for use, word in (("clamp", "LOOK AGAIN"), ("lift", "CUT IT")):
        found = json.loads(run(*args, "--for", use, "--json").stdout)["verdict"]
        assert found["word"] == word
        assert [reason["code"] for reason in found["reasons"]] == (["slips", "rise-far"] if use == "clamp" else [])
        for kind in ("html", "csv", "txt", "json"):
            done = run(*args, "--for", use, "--out", "-", "--as", kind)
            assert ("LOOK AGAIN" in done.stdout) is (use == "clamp"), kind
            for reason in found["reasons"]:
                said = reason["text"] if kind != "html" else reason["text"].split(":")[0]
                assert "".join(said.split()) in "".join(done.stdout.split()), kind


def test_a_leave_that_the_machine_asks_for_is_no_slip_of_the_pen() -> None:
    plan = plan_of(RING, leave="0.020in")
    asked = replace(
        plan, remarks=(*plan.remarks, Remark("leave-auto", {"leave": plan.leave, "parts": (float(plan.leave),)}))
    )
    reason = next(each for each in verdict(asked, "clamp").reasons if each.code == "leave-far")
    assert REASONS["leave-far"](reason.facts, Voice("in")) == (
        "Leave 0.0200 in is much to file off, usually 0.0100 in at most: this machine's errors ask for it. Read that scale by an "
        "indicator, and write its smaller error into the machine's file."
    )
