"""Phrases of the trade: every reading with its exact value, every refusal as a whole text, and errors in the user's unit."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.wording import remark_text
from stepcut.cli import show
from stepcut.cli.shape import read_targets
from stepcut.errors import BadValue, StepcutError
from stepcut.job import job_on
from stepcut.machine import files as machines
from stepcut.phrases import Per, parse_cutter, parse_per, parse_taper, resized_cutter, split_pairs
from stepcut.shapes import SHAPES, kind

INCH = Fraction(254, 10)
THOU = INCH / 1000


@pytest.mark.parametrize(
    ("text", "drop", "step"),
    [
        ("5thou/10deg", 5 * THOU, 10), ("5 thou per 10 deg", 5 * THOU, 10), ("5 thou every 10 degrees", 5 * THOU, 10),
        ("5 thou for 10°", 5 * THOU, 10), ('.005"/10°', 5 * THOU, 10), (".005” per 10°", 5 * THOU, 10),
        ("0.1mm/5deg", Fraction(1, 10), 5), ("1mm per turn", 1, 360), ("0.090in in 180deg", 90 * THOU, 180),
        ("3/32in/90deg", INCH * 3 / 32, 90), ("1/2 mm per deg", Fraction(1, 2), 1), ("5 thou per 12°30'", 5 * THOU, Fraction(25, 2)),
        ("5 thou per 2.5 cranks", 5 * THOU, 10), ("5 thou/crank", 5 * THOU, 4), ("5 thou over 600'", 5 * THOU, 10),
    ],
)  # fmt: skip
def test_so_much_for_so_many_degrees_is_read_exactly(text: str, drop: Fraction, step: Fraction) -> None:
    assert parse_per(text, "per", None, crank=Fraction(4)) == Per(drop, step)


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1/20", Fraction(1, 20)), ("1:20", Fraction(1, 20)), ("1 in 20", Fraction(1, 20)), ("7:24", Fraction(7, 24)),
        ("0.600in/ft", Fraction(1, 20)), ("0.600 in per foot", Fraction(1, 20)), ("0.600 per foot", Fraction(1, 20)),
        ('5/8" per ft', Fraction(5, 96)), ("3/4in/ft", Fraction(1, 16)), ("50 thou per inch", Fraction(1, 20)),
        ("1mm per 20mm", Fraction(1, 20)), ("0.05 in per in", Fraction(1, 20)), ("1 mm on 50 mm", Fraction(1, 50)),
        # Table "Dimensions of Standard Tapers" of the early 20th century: taper per foot of Morse 2 and of Brown & Sharpe 7
        ("MT2", Fraction("0.59941") / 12), ("mt 2", Fraction("0.59941") / 12), ("2MT", Fraction("0.59941") / 12),
        ("Morse No. 2", Fraction("0.59941") / 12), ("No 2 Morse", Fraction("0.59941") / 12), ("MK2", Fraction("0.59941") / 12),
        ("B&S 7", Fraction("0.5015") / 12), ("Brown and Sharpe 7", Fraction("0.5015") / 12),
        ("MT 4-1/2", Fraction("0.62400") / 12), ("MT4.5", Fraction("0.62400") / 12),
        # Lobben, Machinists' and Draftsmen's Handbook, table 51: 0.600 in per foot
        ("Jarno 8", Fraction(1, 20)),
        # ISO 7388, from memory: 7 in 24; DIN 238, from memory: B16 is cut from Morse 2; ISO 2339, from memory: 1 in 50
        ("ISO 40", Fraction(7, 24)), ("NT30", Fraction(7, 24)), ("7/24", Fraction(7, 24)), ("B16", Fraction("0.59941") / 12),
        ("taper pin metric", Fraction(1, 50)), ("pipe thread", Fraction(1, 16)),
        # ASME B5.10, from memory
        ("JT33", Fraction("0.76194") / 12), ("JT 6", Fraction("0.62292") / 12),
    ],
)  # fmt: skip
def test_a_taper_is_read_exactly(text: str, ratio: Fraction) -> None:
    assert parse_taper(text, "taper").ratio == ratio


def test_an_angle_says_whether_it_is_each_side_or_both() -> None:
    # tan 45 = 1: a cone of 45 degrees each side grows by 2 on the diameter for each 1 of length
    assert float(parse_taper("45deg each side", "taper").ratio) == pytest.approx(2, rel=1e-12)
    assert float(parse_taper("90° included", "taper").ratio) == pytest.approx(2, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "cutter"),
    [
        ("1/2in", ("flat", INCH / 2, 0)), ("1/2in ball", ("ball", INCH / 2, INCH / 4)), ("ball 1/2in", ("ball", INCH / 2, INCH / 4)),
        ("½” ball nose", ("ball", INCH / 2, INCH / 4)), ("10mm end mill", ("flat", 10, 0)), ("10 mm flat", ("flat", 10, 0)),
        ("10mm slot drill", ("flat", 10, 0)), ("12mm bull 1mm", ("bull", 12, 1)), ("12mm bull nose r 1mm", ("bull", 12, 1)),
        ('1/2in bull 1/16"', ("bull", INCH / 2, INCH / 16)), ("12mm, corner radius 1.5mm", ("bull", 12, Fraction(3, 2))),
        ("0.498in", ("flat", INCH * 498 / 1000, 0)), ("1-1/4in flat", ("flat", INCH * 5 / 4, 0)),
    ],
)  # fmt: skip
def test_a_cutter_is_read_exactly(text: str, cutter: tuple[str, Fraction, Fraction]) -> None:
    found = parse_cutter(text, "cutter")
    assert (found.kind, found.diameter, found.corner) == cutter


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("0deg 0, 90deg 0.045in", [["0deg", "0"], ["90deg", "0.045in"]]),
        ("0deg, 0; 90deg, 0.045in", [["0deg", "0"], ["90deg", "0.045in"]]),
        ("0° 0\n90° .045”\n180° 3/32”", [["0°", "0"], ["90°", '.045"'], ["180°", '3/32"']]),
        ("0deg=0, 12°30' = 1.5 mm", [["0deg", "0"], ["12°30'", "1.5 mm"]]),
        ("0mm 99.5mm, 2.5mm 99.68mm", [["0mm", "99.5mm"], ["2.5mm", "99.68mm"]]),
        ("0deg 0, 90 deg 1-3/8 in", [["0deg", "0"], ["90 deg", "1-3/8 in"]]),
    ],
)
def test_a_list_of_pairs_is_split(text: str, pairs: list[list[str]]) -> None:
    assert split_pairs(text, "targets") == pairs


PAIRS_WAY = "Write pairs like 0deg 0, 90deg 0.045in, or name a file with one pair a line."
CUTTER_WAY = "Write it like 1/2in, 1/2in ball, 10mm flat or 12mm bull 1mm."


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (parse_per, "5 thou", "x = 5 thou: is not so much for so many degrees. Write it like 5 thou per 10 deg, 5thou/10deg or 0.1mm every 5deg."),
        (parse_per, "5/10deg", "x = 5/10deg: is not so much for so many degrees. Write it like 5 thou per 10 deg, 5thou/10deg or 0.1mm every 5deg."),
        (parse_per, "0in/10deg", "x = 0in/10deg: is not so much for so many degrees. Write it like 5 thou per 10 deg, 5thou/10deg or 0.1mm every 5deg."),
        (parse_taper, "3deg", "x = 3deg: does not say whether it is each side or total. Write 3deg each side, or 3deg included."),
        (parse_taper, "MT9", "x = MT9: is no standard taper that is known here. Known are Morse 0 to 7 (MT2), Brown & Sharpe 1 to 13 (B&S 7), "
         "Jarno 2 to 20, JT 0 to 6 and 33, B10 to B24, 7/24 (ISO 40), metric 1:20, taper pin inch, taper pin metric, pipe thread."),
        (parse_taper, "20:1", "x = 20:1: is too blunt or too slender for a taper. Write it like 1:20, 0.600in/ft, 3/4in per foot, 1mm per 20mm, "
         "6deg included, 3deg each side, or a name such as MT2."),
        (parse_taper, "5in", "x = 5in: is not a taper. Write it like 1:20, 0.600in/ft, 3/4in per foot, 1mm per 20mm, 6deg included, "
         "3deg each side, or a name such as MT2."),
        (parse_taper, "170deg each side", "x = 170deg each side: is too blunt for a taper. Each side must be above 0 and below 80 degrees."),
        (parse_cutter, "1/2", "x = 1/2: needs a unit. Write 1/2in or 1/2mm."),
        (parse_cutter, "1/2in bal", f"x = 1/2in bal: bal is no kind of cutter that is known here. {CUTTER_WAY} Did you mean ball?"),
        (parse_cutter, "ball", "x = ball: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
        (parse_cutter, "1/2in bull", "x = 1/2in bull: is a bull nose without its corner radius. Write 1/2in bull 1/32in, or 1/2in bull 1mm."),
        (parse_cutter, "10mm bull 6mm", "x = 10mm bull 6mm: has a corner radius of more than half its diameter. Check both sizes."),
        (parse_cutter, "10mm ball 1mm", f"x = 10mm ball 1mm: a ball cutter has no corner radius of its own. {CUTTER_WAY}"),
        (parse_cutter, "3/32 ball", "x = 3/32 ball: needs a unit. Write 3/32in ball or 3/32mm ball."),
        (parse_cutter, "10mm flat ball", f"x = 10mm flat ball: is not a cutter. {CUTTER_WAY}"),
        (parse_cutter, "-5mm", "x = -5mm: must be greater than 0. Give a size above nought."),
        (parse_cutter, "0mm", "x = 0mm: must be greater than 0. Give a size above nought."),
        (split_pairs, "0deg 0, 90deg", f"x = 0deg 0, 90deg: is not a list of pairs of place and depth. {PAIRS_WAY}"),
        (split_pairs, "0deg 0, ninety 0.045in", f"x = ninety 0.045in: cannot be read in a list of pairs. {PAIRS_WAY}"),
        (split_pairs, "", f"x = '': is not a list of pairs of place and depth. {PAIRS_WAY}"),
    ],
)  # fmt: skip
def test_what_is_no_such_phrase_is_refused_whole(read, text: str, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BadValue) as refused:
        read(text, "x")
    assert str(refused.value) == message


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (parse_per, parse_taper, parse_cutter, split_pairs):
        try:
            read(text, "x")
        except BadValue as problem:
            assert str(problem)


def test_a_new_diameter_keeps_the_end_of_the_cutter() -> None:
    assert resized_cutter("1/2in ball", "3/8in") == "3/8in ball"
    assert resized_cutter("12mm bull 1mm", "10mm") == "10mm bull 1mm"
    assert resized_cutter("1/2in", "3/8in ball") == "3/8in ball"


# --- what a slope makes --------------------------------------------------------------------------------------

RING = {"outside": "1-3/4in", "bore": "1.40in", "cutter": "3/8in"}


def solved(shape: str, **values: object) -> recipes.Job:
    made = recipes.job(recipes.from_content({"stepcut": 1, shape: {k.replace("_", "-"): v for k, v in values.items()}}), "inch")  # fmt: skip
    show.solved(made)
    return made


def test_a_slope_without_a_span_takes_the_largest_that_fits() -> None:
    for said in ({"per": "5thou/10deg"}, {"step": "10deg", "drop": "5thou"}):
        plan = solved("ramp", **RING, **said, ramps=2).plan
        ramp = plan.details.ramp
        assert ramp.rise == ramp.span * 5 * THOU / 10
        longer = {**RING, "per": "5thou/10deg", "ramps": 2, "span": f"{float(ramp.span) + 0.5}deg"}
        assert not plan.spoils
        assert solved("ramp", **longer).plan.spoils
        assert [remark.code for remark in plan.remarks].count("chosen-span") == 1
        assert [plan.first.value(stop.first) for stop in plan.stops[:3]] == [10, 20, 30]


def test_a_ridge_that_nobody_asked_for_grows_to_what_coarse_scales_can_keep() -> None:
    lathe = machines.find("inch")
    coarse = replace(lathe, carriage=replace(lathe.carriage, division=INCH / 100))
    values = {"form": "ball", "radius": "1/2in"}
    plan = job_on(recipes.from_content({"stepcut": 1, "radius": values}), coarse).plan
    assert 2 * THOU < plan.result.scallop < 20 * THOU
    with pytest.raises(StepcutError, match="out-of-reach"):
        assert job_on(recipes.from_content({"stepcut": 1, "radius": {**values, "scallop": "2thou"}}), coarse).plan


def test_pairs_in_a_file_may_stand_as_they_do_in_a_line(tmp_path: Path) -> None:
    wanted = [["0deg", "0"], ["90deg", "0.045in"], ["12°30'", "1-3/8in"]]
    for apart in (", ", " ", "\t", ";"):
        path = tmp_path / "pairs.txt"
        path.write_text("".join(f"{apart.join(pair)}  # a remark\n" for pair in wanted), "utf-8")
        assert read_targets(path) == wanted


def test_a_slope_with_a_span_gives_the_rise_and_the_step() -> None:
    # 5 thou for every 10 of 140 degrees: 14 steps, 70 thou
    for said in ({"per": "5thou/10deg"}, {"step": "10deg", "drop": "5thou"}):
        plan = solved("ramp", **RING, **said, span="140deg", leave="0mm").plan
        assert plan.target["rise"] == pytest.approx(1.778)
        assert [plan.first.value(stop.first) for stop in plan.stops] == [10 * n for n in range(1, 15)]
        assert [plan.second.value(stop.second) for stop in plan.stops] == [5 * THOU * n for n in range(1, 15)]
        assert not any(remark.code == "per-gives" for remark in plan.remarks)


def test_a_slope_with_a_rise_gives_the_span() -> None:
    plan = solved("ramp", **RING, per="5thou/10deg", rise="60thou").plan
    assert plan.target["span"] == 120
    plan = solved("ramp", **RING, per="5thou/10deg", rise="60thou", dwell_high="5deg", dwell_low="5deg").plan
    assert plan.target["span"] == 130


def test_what_had_to_give_is_said() -> None:
    # 0.3 mm is 23.6 divisions of a 0.0005 in scale: 0.0115 and 0.0120 in by turns
    made = solved("ramp", **RING, per="0.3mm/10deg", span="145deg")
    text = next(remark_text(r, show.voice(made)) for r in made.plan.remarks if r.code == "per-gives")
    assert text == (
        "0.01181 in for 10° does not come out even: the depth scale shows 0.0005 in, so a step goes down 0.0115 in or "
        "0.0120 in by turns; 145° is no whole number of steps, so the last one is 5°. The total is kept."
    )


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"per": "5thou/10deg", "rise": "60thou", "span": "100deg"},
         "per = 5thou/10deg: does not agree with span = 100deg: a rise of 60thou then takes 120 deg. Leave one of the three out."),
        ({"per": "5thou/10deg", "span": "140deg", "motion": "harmonic"},
         "per = 5thou/10deg: does not go with motion = harmonic. A curved motion has no one slope: give rise and span."),
        ({"step": "10deg"}, "rise: is missing. Give rise, such as 0.090in, or per with span, or targets."),
        ({"per": "5thou/10deg", "targets": "0deg 0, 90deg 45thou"}, "per = 5thou/10deg: does not go with targets. Leave one of them out."),
    ],
)  # fmt: skip
def test_a_slope_that_does_not_agree_is_refused(values: dict[str, str], message: str) -> None:
    with pytest.raises(BadValue) as refused:
        solved("ramp", **RING, **values)
    assert str(refused.value) == message


# --- the user's unit -----------------------------------------------------------------------------------------

IN_INCHES = {
    "ramp": {**RING, "rise": "90thou", "span": "140deg", "step": "10deg"},
    "rule": {"pitch": "1/8in", "divisions": "16", "line": "3/16in"},
    "helix": {"diameter": "1-3/8in", "lead": "6in", "length": "2in", "depth": "60thou", "cutter": "3/16in", "step": "4deg"},
    "taper": {"large": "1-3/8in", "small": "1in", "length": "2in", "step": "50thou"},
    "radius": {"form": "ball", "radius": "1/2in", "scallop": "8thou"},
    "profile": {"targets": "0in 1in, 1in 1-3/8in", "step": "50thou"},
    "cam": {"base": "3/4in", "segments": "rise 1/8in in 120deg; dwell 60deg; fall 1/8in in 120deg", "cutter": "5/8in", "step": "5deg"},
    "divide": {"divisions": "7", "depth": "1/8in"},
    "groove": {"circle": "1-3/8in", "span": "60deg", "begin-depth": "10thou", "end-depth": "80thou", "cutter": "1/4in ball", "step": "4deg"},
    "scroll": {"begin": "5/8in", "end": "1-1/8in", "pitch": "3/8in", "depth": "80thou", "cutter": "3/16in", "step": "5deg"},
    "points": {"radius": "3-3/8in", "side": "on", "begin": "77deg", "span": "26deg", "x-step": "60thou", "depth": "1/8in", "cutter": "5/16in"},
}  # fmt: skip
BAD = st.sampled_from(
    ["0in", "9in", "-1/8in", "400in", "0.1 thou", "1/8in", "2in ball", "0in 2in, 1in 1in", "0deg 1in, 90deg 0in", "0deg -1in, 9deg 0in",
     "fall 2in in 90deg", "rise 1/8in in 90deg", "eccentric 3in in 360deg", "fillet", "side", "end", "ball", "bore", "179deg", "round"]
)  # fmt: skip


@given(st.sampled_from(sorted(SHAPES)), st.data())
def test_nothing_of_an_inch_job_is_refused_in_mm(shape: str, data: st.DataObject) -> None:
    values: dict[str, object] = dict(IN_INCHES[shape])
    for _ in range(data.draw(st.integers(1, 2))):
        values[data.draw(st.sampled_from([f.key for f in kind(shape).fields]))] = data.draw(BAD)
    try:
        solved(shape, **values)
    except StepcutError as problem:
        assert not re.search(r"\d mm\b", str(problem)), str(problem)


@pytest.mark.parametrize(
    ("shape", "values", "message"),
    [
        ("ramp", {"bore": "2in"}, "bore = 2in: must be smaller than outside = 1-3/4in. Give both as diameters; check that they are not swapped."),
        ("ramp", {"rise": None, "span": None, "targets": "0deg -5thou, 90deg 2thou"},
         "targets = -0.005 in: must not be negative. Depths count down from the face."),
        ("helix", {"angle": "45deg"}, "angle = 45 deg: does not agree with lead = 6in, it makes 4.3197 in. Leave one of them out."),
        ("taper", {"small": "1-1/2in"}, "small = 1-1/2in: must be smaller than large = 1-3/8in. Check that they are not swapped."),
        ("taper", {"small": None, "length": "9in", "taper": "1:4"},
         "length = 9in: runs past the point of the cone, 5 1/2 in from the large end. Shorten it, or check the angle."),
        ("radius", {"form": "cove", "diameter": "3/4in"}, "radius = 1/2in: must be less than half the diameter, 3/4in. Check both sizes."),
        ("profile", {"targets": "0in 1-3/8in, 1in 1in, 2in 1-3/16in"},
         "targets row 3 = 1 3/16 in: grows again behind a waist (1 in), which no corner of a square tool reaches into. Take a round nose: "
         "tool = round 1/32in; or a parting tool that goes straight in: tool-width = 1/8in."),
        ("cam", {"segments": "fall 1in in 90deg"}, "segments 1 = fall 1in in 90deg: falls below the axis. Check base and lifts."),
        ("cam", {"segments": "rise 1/8in in 180deg; dwell 180deg"},
         "segments: end at radius 7/8 in and begin at 3/4 in. A whole cam must close; leave a gap of a few degrees if it should drop."),
        ("cam", {"segments": "rise 1/8in in 90deg, fall from 1in to 3/4in in 90deg"},
         "segments 2 = fall from 1in to 3/4in in 90deg: begins at radius 1in, and the one before it ends at 7/8 in. "
         "Make them meet, or say the change: fall 1/4in in 300deg."),
    ],
)  # fmt: skip
def test_a_size_is_refused_in_the_words_of_the_user(shape: str, values: dict[str, str | None], message: str) -> None:
    every = {k: v for k, v in {**IN_INCHES[shape], **values}.items() if v is not None}
    with pytest.raises(StepcutError) as refused:
        solved(shape, **every)
    assert str(refused.value) == message


# --- segments and old words ----------------------------------------------------------------------------------


def test_a_cam_may_say_its_radii_and_other_words_for_its_segments() -> None:
    base = {"base": "19mm", "cutter": "12mm", "step": "5deg"}
    snail = solved("cam", **base, segments="spiral from 19mm to 22mm in 200deg").plan
    assert snail.target == solved("cam", **base, segments="spiral 3mm over 200deg").plan.target
    fall = solved("cam", **base, segments="drop from 19mm to 11mm in 300 deg").plan
    assert fall.target == solved("cam", **base, segments="fall 8mm in 300deg").plan.target
    held = solved("cam", **base, segments="lift 3mm in 60deg harmonic, hold 30deg, fall 3mm in 60deg harmonic").plan
    said = "rise 3mm in 60deg harmonic; dwell 30deg; fall 3mm in 60deg harmonic"
    assert held.target == solved("cam", **base, segments=said).plan.target


def test_an_old_recipe_is_read_and_its_old_words_are_said() -> None:
    old = {
        "outside": "1-3/4in", "bore": "1.40in", "rise": "0.090in", "span": "90deg", "starts": 2, "law": "harmonic", "lead-in": "5deg",
        "lead_out": "5deg", "cutter": "1/4in", "kind": "ball", "approach": "across", "on-line": "centre", "stops": 12,
    }  # fmt: skip
    new = {
        "outside": "1-3/4in", "bore": "1.40in", "rise": "0.090in", "span": "90deg", "ramps": 2, "motion": "harmonic", "dwell-high": "5deg",
        "dwell-low": "5deg", "cutter": "1/4in ball", "cut-with": "end", "on-centre": "axis", "cuts": 12,
    }  # fmt: skip
    was, now = (recipes.from_content({"stepcut": 1, "ramp": values}) for values in (old, new))
    assert dict(was.values) == new == dict(now.values)
    assert recipes.job(was).revision == recipes.job(now).revision
    assert "starts is now called ramps; it was read as ramps = 2." in was.notes()
    assert "on-line is now called on-centre; it was read as on-centre = axis." in was.notes()
    assert now.notes() == []
    for key, text, taper in (
        ("per-foot", "0.600in", "0.600in/ft"),
        ("standard", "MT2", "MT2"),
        ("ratio", "1:20", "1:20"),
    ):
        found = recipes.from_content({"stepcut": 1, "taper": {"large": "1in", "length": "2in", key: text}})
        assert found.values["taper"] == taper
