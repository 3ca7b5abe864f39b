"""How the rows ask the program: the one place here that changes when the program's modules do."""

from __future__ import annotations

import contextlib
import io
import json
from fractions import Fraction
from itertools import pairwise
from math import atan, degrees, pi

from stepcut import cli
from stepcut.kernel.footprints import Straight
from stepcut.kernel.line import line_by_targets
from stepcut.kernel.measure import Left, measure
from stepcut.kernel.motions import MOTIONS
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale
from stepcut.quantity import parse_angle
from stepcut.routine.speeds import FOOT, turns_a_minute
from stepcut.shop.gears import machine_lead
from stepcut.shop.index import settings, turns_for
from stepcut.shop.lock import Locking, locking
from stepcut.shop.tapers import Standard, standard

INCH = Fraction(254, 10)
FORTY = Fraction(40)


def taper(key: str, **options: str) -> float:
    """A figure of the target that `stepcut taper --json` prints."""
    words = [word for name, text in options.items() for word in (f"--{name}", text)]
    with contextlib.redirect_stdout(io.StringIO()) as out:
        status = cli.run(["taper", *words, "--by", "compound", "--json"])
    assert status == 0, out.getvalue()
    return float(json.loads(out.getvalue())["target"][key])


def named(name: str) -> Standard:
    """A standard taper that the program knows by name."""
    found = standard(name)
    assert found is not None
    return found


def inches(mm: Fraction | None) -> Fraction:
    assert mm is not None
    return mm / INCH


def turns(angle: str) -> Fraction:
    """Crank turns of a 40:1 head."""
    return turns_for(FORTY, angle=parse_angle(angle))


def holes(angle: str, circle: int) -> Fraction:
    """Part of a turn of a 40:1 head that is set in one hole circle, which must serve exactly."""
    (setting,) = settings(turns(angle), FORTY, [circle])
    assert setting.error == 0
    return Fraction(setting.spaces, setting.circle)


def ratio_of_leads(ratio: int, other: int) -> Fraction:
    """Lead with one ratio of the head over that with another, same gears and screw."""
    return machine_lead(Fraction(ratio), INCH) / machine_lead(Fraction(other), INCH)


def seconds(text: str) -> float:
    """Seconds of arc beyond whole minutes of an angle as the program reads it."""
    return float(parse_angle(text) * 3600 % 60)


def _steps(name: str, order: int) -> list[float]:
    """First or second differences of a motion, a grid that meets every joint of every motion."""
    n = 4800
    shares = [MOTIONS[name].share(k / n) for k in range(n + 1)]
    for _ in range(order):
        shares = [(b - a) * n for a, b in pairwise(shares)]
    return shares


def peak_speed(name: str) -> float:
    """Largest speed of a motion, in rise over span, by differences of its places alone."""
    return max(_steps(name, 1))


def peak_acceleration(name: str) -> float:
    """Largest acceleration of a motion, in rise over span squared, by differences of its places alone."""
    return max(_steps(name, 2))


def acceleration(name: str, lift: float, angle: float, rpm: float) -> float:
    """Largest acceleration of a follower, in the unit of its lift for each second squared."""
    seconds_of_rise = angle / 360 / (rpm / 60)
    return peak_acceleration(name) * lift / seconds_of_rise**2


def screw(
    mean: float, lead: float, force: float, friction: float, collar: float = 0, rubs: float = 0, flank: float = 0
) -> Locking:
    """A thread of a mean diameter and lead; torques in force times length."""
    return locking(degrees(atan(lead / (pi * mean))), mean / 2, force, friction, collar, rubs, flank)


def screw_at(angle: float, friction: float) -> Locking:
    """A ramp of a lead angle."""
    return locking(angle, 10, 100, friction)


def _left(step: float, radius: float) -> Left:
    """What the kernel measures between five round cuts a step apart on a level line."""
    level = line_by_targets([(0.0, radius), (4 * step, radius)])
    scale = Scale("slide", Fraction(1, 1000))
    task = Task((Section(level, Straight(Outline(radius, radius)), 0.0),), (), scale, scale)
    return measure(task, [Place(n * step, radius) for n in range(5)])


def ridge(step: float, radius: float) -> float:
    """The ridge that the kernel measures between round cuts a step apart on a level line."""
    return _left(step, radius).scallop


def segment(chord: float) -> float:
    """Area between a chord and its arc of radius 1: what of a rectangle over the chord the metal between round cuts leaves free."""
    left = _left(chord, 1.0)
    return chord * left.scallop - left.volume / 4


def spindle(metres: int, diameter: int) -> float:
    """Turns a minute as the card prints them, in two figures, for a cutting speed in m/min and a diameter in mm."""
    return turns_a_minute(Fraction(diameter), metres * 1000 / FOOT)  # type: ignore[arg-type]  # whole metres are no whole feet
