"""Ten worked examples whose figures stand printed in a source, each against what the program works out; and two printed functions.

Every figure here was read in a copy or a public transcription of its source; its last printed digit gives the tolerance.

- "Sarkar": "Theory of Machines", chapter 9, illustrations 2 (p. 247), 3 (p. 249) and 5 (p. 252): five accelerations, read in a public
  transcription that takes pi as 3.141; no other figure of it is used.
- "The valve cam": the textbook exercise of a valve raised 50 mm in a third of a turn, which Sarkar's illustration 3 is too: its
  printed answers, two speeds and two accelerations, on a public page of questions (mycoursehelp.com, 67124).
- "The tangent cam": least radius 30, roller 17.5, 600 turns a minute, its first acceleration, on a public page of questions
  (bissoy.com, 375987), worked with an angular speed rounded to 62.84.
- "The table of lifts": a follower raised 2.5 in harmonically in 1.4 s, held 0.8 s, lowered in 1.2 s, held 1 s; a student's worked
  exercise with its table of lifts every tenth of a second (scribd.com, 545093717), worked with pi to seven figures.
- "The table of rates": 20 mm up in 120 degrees and down in 150, both harmonic, with lifts and rates every ten degrees; a worked sheet
  of a course (scribd.com, 478424343).  The one rate of the fall that was read does not belong to its lifts, and is not used.
- "The homework": 240 degrees of dwell, 20 mm up in 60 degrees and down in 60, both cycloidal, with lift, rate and its change every five
  degrees (scribd.com, 402730349).
- "The heart cam": half an inch in half a turn, with the lift of the first four degrees, cut after five to seven places; an answer to a
  winder of coils (music-electronics-forum.com, t4212).
- "The milling treatise": "Practical Treatise on Milling and Milling Machines", chapter 9, pp. 181-182 and Fig. 73 (Wikisource): two
  lobes of a screw machine's cam, rises in hundredths of the circumference, and the leads found from them.
- "The threading cam": "Machinery's Handbook", 31st edition, p. 1238: the arc of a lobe for each thousandth of its rise.
- "The motions": the printed functions of modified sine and modified trapezoid, coefficients to seven figures, in a course's sheet
  of formulas (scribd.com, 261097438).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest

from stepcut.kernel.motions import MOTIONS
from stepcut.shapes.cam.follower import Follower, Riding
from stepcut.shapes.cam.wanted import Cam, Segment
from tests.shapes.cam.test_follower import DEG, riding

INCH = 25.4

# Stroke, mm, in so many degrees at so many turns a minute, and the largest acceleration that is printed, m/s^2.
PRINTED = [
    ("Sarkar, illustration 2, p. 247, outstroke", "harmonic", 40.0, 60.0, 300.0, 177.65),
    ("Sarkar, illustration 2, p. 247, return", "harmonic", 40.0, 90.0, 300.0, 78.96),
    ("Sarkar, illustration 3, p. 249", "harmonic", 50.0, 120.0, 100.0, 6.2),
    ("Sarkar, illustration 5, p. 252, outstroke", "parabolic", 25.0, 120.0, 1000.0, 250.0),
    ("Sarkar, illustration 5, p. 252, return", "parabolic", 25.0, 90.0, 1000.0, 444.44),
    ("the valve cam, raising", "harmonic", 50.0, 120.0, 100.0, 6.17),
    ("the valve cam, lowering", "harmonic", 50.0, 60.0, 100.0, 24.67),
]
# The same cam's largest speeds as its answers print them, m/s.
SPEEDS = [("raising", 50.0, 120.0, 100.0, 0.39), ("lowering", 50.0, 60.0, 100.0, 0.78)]


def cam_of(base: float, *segments: tuple[str, str, str, str], follower: Follower | None = None) -> Cam:
    """A cam of segments: kind, span in degrees, lift in mm, law."""
    made = (Segment(kind, Fraction(span), Fraction(lift), law) for kind, span, lift, law in segments)  # type: ignore[arg-type]  # words of the test
    return Cam(Fraction(base), tuple(made), follower=follower)


def _least_cut(stroke: float, span: float, motion: str) -> Riding:
    """A flat face on a cam with this rise and a gentler fall."""
    cam = cam_of(
        10.0, ("rise", str(span), str(stroke), motion), ("dwell", "20", "0", "uniform"),
        ("fall", "150", str(stroke), "harmonic"), ("dwell", str(190 - span), "0", "uniform"),
    )  # fmt: skip
    return Riding(cam.lifts, Follower("flat"))


@pytest.mark.parametrize(("source", "motion", "stroke", "span", "speed", "printed"), PRINTED, ids=[row[0] for row in PRINTED])  # fmt: skip
def test_the_base_under_a_flat_face_is_that_of_a_printed_acceleration(
    source: str, motion: str, stroke: float, span: float, speed: float, printed: float
) -> None:
    """Norton: a flat face loses nothing where base + lift + d2(lift)/d(angle)2 is nowhere below 0.

    The printed acceleration by the speed squared is d2(lift)/d(angle)2, largest against the lift where the rise ends (harmonic), or
    from its middle on (parabolic, where half the stroke is lifted).
    """
    least = _least_cut(stroke, span, motion).least_base
    assert least is not None
    bend = least + stroke * (1 if motion == "harmonic" else 0.5)
    says = bend / 1000 * (speed * 2 * math.pi / 60) ** 2
    last_figure = 10.0 ** -len(f"{printed:g}".partition(".")[2])
    # half of the last figure that is printed, and a hair beside the place where it is largest
    assert says == pytest.approx(printed, abs=last_figure / 2 + 2e-4 * printed)


@pytest.mark.parametrize(("way", "stroke", "span", "speed", "printed"), SPEEDS, ids=[row[0] for row in SPEEDS])
def test_a_flat_face_is_as_wide_as_a_printed_speed_says(
    way: str, stroke: float, span: float, speed: float, printed: float
) -> None:
    # Norton: the face touches d(lift)/d(angle) beside the axis, which is the speed of the lift by the speed of the turn.
    needed = _least_cut(stroke, span, "harmonic").face_needed
    assert needed / 2 / 1000 * speed * 2 * math.pi / 60 == pytest.approx(printed, abs=0.00501 + 1e-3 * printed)


def test_the_tangent_cam_starts_its_roller_as_printed() -> None:
    """Its flank is straight for the program, and the lift that makes it so bends at the beginning as the printed acceleration."""
    printed, omega = 187.6, 62.84
    least, roller = 30.0, 17.5
    ride = riding(lambda a: least + (least + roller) * (1 / math.cos(a) - 1), 30.0, Follower("roller", roller), least)
    for at in (3.0, 8.0, 13.0):
        radius, _ = ride.rim(at)
        assert radius * math.cos(at * DEG) == pytest.approx(least, abs=2e-5)
    begin, end = 0.2, 0.4
    rates = [-math.degrees(ride.lift.slope(at)) for at in (begin, end)]
    bend = (rates[1] - rates[0]) / ((end - begin) * DEG)
    assert bend / 1000 * omega**2 == pytest.approx(printed, abs=0.05)


LIFTS = (
    0, 0.0313401106948, 0.1237889187178, 0.27271065466576, 0.4706377606355, 0.70764534477009, 0.97184885679386, 1.25000002900638,
    1.5281511997644, 1.79235470749761, 2.0293622847207, 2.22728938150461, 2.37621110645299, 2.46865990221426, 2.5,
)  # fmt: skip
FALLS = (
    2.5, 2.4574072816101, 2.33253174989615, 2.13388346622788, 1.87499998325316, 1.57352378302981, 1.24999997099362, 0.92647616093417,
    0.62499996650632, 0.36611649275091, 0.16746822109747, 0.04259270337509, 0,
)  # fmt: skip
PI_TO_SEVEN = 1e-7  # inches: the table's own error in the middle of a rise, where it ought to print 1.25


def test_the_table_of_lifts_is_that_of_the_printed_exercise() -> None:
    # 4.4 s are a turn: a tenth of a second is 8.18181818182 degrees there, and the second column of the table.
    turn = [str(Fraction(360) * part / 44) for part in (14, 8, 12, 10)]
    lift = str(Fraction("2.5") * 254 / 10)
    cam = cam_of(25.4, ("rise", turn[0], lift, "harmonic"), ("dwell", turn[1], "0", "uniform"),
                 ("fall", turn[2], lift, "harmonic"), ("dwell", turn[3], "0", "uniform"))  # fmt: skip
    line = cam.lifts
    assert line.span == pytest.approx(360.0)
    for first, printed in ((0, LIFTS), (22, FALLS)):
        for k, inches in enumerate(printed, first):
            assert -line.depth(k * 360 / 44) / INCH - 1 == pytest.approx(inches, abs=PI_TO_SEVEN)


# Lift, mm, and rate, mm a radian, at every ten degrees from 0 and of the first three of the fall from 150.
RATES = (
    (0, 0), (0.34074174, 3.88228568), (1.33974596, 7.5), (2.92893219, 10.6066017), (5, 12.9903811), (7.41180955, 14.4888874), (10, 15),
    (12.5881905, 14.4888874), (15, 12.9903811), (17.0710678, 10.6066017), (18.660254, 7.5), (19.6592583, 3.88228568), (20, 0),
)  # fmt: skip
FALLING = (
    20, 19.781476, 19.1354546, 18.0901699, 16.6913061, 15, 13.0901699, 11.0452846, 8.95471537, 6.90983006, 5, 3.30869394, 1.90983006,
    0.86454542, 0.21852399, 0,
)  # fmt: skip


def test_lifts_and_rates_are_those_of_the_printed_sheet() -> None:
    line = cam_of(30.0, ("rise", "120", "20", "harmonic"), ("dwell", "30", "0", "uniform"), ("fall", "150", "20", "harmonic"),
                  ("dwell", "60", "0", "uniform")).lifts  # fmt: skip
    for k, (lift, rate) in enumerate(RATES):
        assert -line.depth(10 * k) - 30 == pytest.approx(lift, abs=6e-8)
        assert -math.degrees(line.slope(10 * k)) == pytest.approx(rate, abs=6e-8)
    for k, lift in enumerate(FALLING):
        assert -line.depth(150 + 10 * k) - 30 == pytest.approx(lift, abs=6e-8)


# Lift, mm, rate, mm a degree, and its change, mm a degree squared, every five degrees of the rise from 245 on.
HOMEWORK = (
    (0.075117, 0.044658, 0.017453), (0.576689, 0.166667, 0.03023), (1.816901, 0.333333, 0.034907), (3.910022, 0.5, 0.03023),
    (6.741784, 0.622008, 0.017453), (10, 0.666667, 0), (13.25822, 0.622008, -0.017453), (16.08998, 0.5, -0.03023),
    (18.1831, 0.333333, -0.034907), (19.42331, 0.166667, -0.03023), (19.92488, 0.044658, -0.017453),
)  # fmt: skip


def test_a_cycloidal_cam_is_that_of_the_printed_homework() -> None:
    line = cam_of(
        30.0, ("dwell", "240", "0", "uniform"), ("rise", "60", "20", "cycloidal"), ("fall", "60", "20", "cycloidal")
    ).lifts
    for k, (lift, rate, change) in enumerate(HOMEWORK, 1):
        for at, way in ((240 + 5 * k, 1), (360 - 5 * k, -1)):  # the fall's rows are the rise's, read backward
            assert -line.depth(at) - 30 == pytest.approx(lift, abs=6e-7 if lift < 10 else 6e-6)
            assert -line.slope(at) == pytest.approx(rate * way, abs=6e-7)
            assert (line.slope(at - 0.01) - line.slope(at + 0.01)) / 0.02 == pytest.approx(change, abs=6e-7)


def test_a_heart_cam_rises_by_the_printed_lifts() -> None:
    line = cam_of(25.4, ("rise", "180", "12.7", "uniform"), ("fall", "180", "12.7", "uniform")).lifts
    for at, inches, last in ((1, 0.0027777, 1e-7), (2, 0.00555555, 1e-8), (3, 0.00833333, 1e-8), (4, 0.011111, 1e-6)):
        assert 0 <= -line.depth(at) / INCH - 1 - inches < last  # cut, not rounded


# Rise in so many hundredths of the circumference and lead, inches.  B's lead is printed to a thousandth; of A's, found alike, the sine of
# the head's angle is printed, cut after five figures, with a machine lead of 8.437.
LOBES = [("A", "2.493", 47, 0.62865 * 8.437, 0.0005 + 1e-5 * 8.437), ("B", "2.443", 29, 8.424, 0.0005)]


@pytest.mark.parametrize(("lobe", "rise", "hundredths", "lead", "within"), LOBES, ids=[row[0] for row in LOBES])
def test_a_lobe_has_the_lead_that_the_milling_treatise_prints(
    lobe: str, rise: str, hundredths: int, lead: float, within: float
) -> None:
    lift = str(Fraction(rise) * 254 / 10)
    line = cam_of(25.4, ("rise", str(Fraction(36, 10) * hundredths), lift, "uniform")).lifts
    begin, end = 20.0, 90.0
    risen = (line.depth(begin) - line.depth(end)) / INCH
    assert risen * 360 / (end - begin) == pytest.approx(lead, abs=within)


def test_a_thousandth_of_the_threading_cam_takes_the_printed_arc() -> None:
    # 0.0375 of the circumference is 810 minutes of arc; 0.413 in of rise in it: 1.96 minutes for each thousandth.
    line = cam_of(25.4, ("rise", "13.5", str(Fraction(413, 1000) * 254 / 10), "uniform")).lifts
    begin, end = 5.0, 6.0
    thousandths = (line.depth(begin) - line.depth(end)) / INCH * 1000
    assert (end - begin) * 60 / thousandths == pytest.approx(1.96, abs=0.005)


Share = Callable[[float], float]
# From, to, and the share of the rise there at a share x of the span, as printed.
PIECES: dict[str, tuple[tuple[float, float, Share], ...]] = {
    "modified-trapezoid": (
        (0.0, 1 / 8, lambda x: 0.38898448 * x - 0.0309544 * math.sin(4 * math.pi * x)),
        (1 / 8, 3 / 8, lambda x: 2.44406184 * x * x - 0.22203097 * x + 0.00723407),
        (3 / 8, 5 / 8, lambda x: 1.6110154 * x - 0.0309544 * math.sin(4 * math.pi * x - math.pi) - 0.3055077),
        (5 / 8, 7 / 8, lambda x: -2.44406184 * x * x + 4.6660917 * x - 1.2292648),
        (7 / 8, 1.0, lambda x: 0.6110154 + 0.38898448 * x + 0.0309544 * math.sin(4 * math.pi * x - 3 * math.pi)),
    ),
    "modified-sine": (
        (0.0, 1 / 8, lambda x: 0.43990085 * x - 0.0350062 * math.sin(4 * math.pi * x)),
        (1 / 8, 7 / 8, lambda x: 0.28004957 + 0.43990085 * x - 0.31505577 * math.cos(4 * math.pi * x / 3 - math.pi / 6)),
        (7 / 8, 1.0, lambda x: 0.56009915 + 0.43990085 * x - 0.0350062 * math.sin(2 * math.pi * (2 * x - 1))),
    ),
}  # fmt: skip


@pytest.mark.parametrize("motion", PIECES)
def test_a_modified_motion_is_the_printed_function(motion: str) -> None:
    """Where the printed pieces of the trapezoid meet, they miss each other by up to a millionth themselves."""
    for low, high, share in PIECES[motion]:
        for k in range(1, 8):
            x = low + (high - low) * k / 8
            assert MOTIONS[motion].share(x) == pytest.approx(
                share(x), abs=1e-6 if motion == "modified-trapezoid" else 1e-7
            )
