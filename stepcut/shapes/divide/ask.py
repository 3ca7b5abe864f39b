"""What may be asked of a dividing job."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan
from stepcut.shapes.spaced import covered, kept

if TYPE_CHECKING:
    from stepcut.shapes.divide.task import Dividing
    from stepcut.shapes.divide.wanted import Spot

MOST = 3600
EXAMPLES = (
    "divide --divisions 100 --make lines --line 3mm --fifth 4.5mm --tenth 6mm --number 1 --diameter 41mm --machine metric",
    "divide --divisions 7 --depth 1/4in --circles 15,16,17,18,19,20,21",
)
FIELDS = (
    Field("divisions", "count", "Number of equal divisions.", most=MOST, example="7"),
    Field("every", "angle", "Angle from one place to the next, instead of divisions."),
    Field("angles", "angles", "The angles themselves: '0deg, 17.5deg, 90deg'.", rule="not-negative"),
    Field("vernier", "count", "Divisions of a vernier, such as 10 or 12; with main.", most=200),
    Field("main", "angle", "One division of the main scale that a vernier reads."),
    Field("over", "count", "How many main divisions the vernier covers; one less than its own when left out.", most=400),
    Field("start", "angle", "Where the first place stands from nought.", default="0deg", rule="any"),
    Field("span", "angle", "Arc that the divisions cover; the whole circle when left out."),
    Field("skip", "counts", "Places to leave out, counted from 1: '4,8'.", most=MOST),
    Field("make", "choice", "What is made at each place: lines along the slide, holes or slots to a depth.", default="holes", choices=("holes", "slots", "lines")),
    Field("depth", "length", "Depth of each hole or slot."),
    Field("line", "length", "Length of every line."),
    Field("fifth", "length", "Length of each fifth line."),
    Field("tenth", "length", "Length of each tenth line."),
    Field("number", "number", "What one line counts; each tenth line is numbered with it."),
    Field("diameter", "length", "Diameter of the part there, to say the worst error as a length."),
    Field("by", "choice", "Rim and dial of the table, one hole circle of a plate, or a direct plate; by the machine when left out.", choices=("rim", "plate", "direct"), group="steps"),
    Field("circles", "counts", "Hole circles on hand: '15,16,17'; the machine's own when left out.", most=1000, group="steps"),
    Field("direct", "count", "Holes of the direct plate.", most=1000, group="steps"),
    Field("cutter", "cutter", "The cutter or drill, where the card should say its speed.", group="cutter"),
)  # fmt: skip
SIZES = ("divisions", "every", "vernier")  # they tell one part from another
TOGETHER = (("divisions", "skip"),)  # usually change together; common practice, no source
WAYS = ("divisions", "every", "angles", "vernier")


def _one_way(values: Values) -> str:
    """Return which of the ways to say the places is used."""
    given = [key for key in WAYS if values[key] is not None]
    if not given:
        raise BadValue(
            "divisions", None, "is missing", "Give divisions, such as 7, or every, angles, or vernier with main."
        )
    if len(given) > 1:
        raise BadValue(given[1], values.said(given[1]), f"does not go with {given[0]}", "Leave one of them out.")
    for key, owner in (("main", "vernier"), ("over", "vernier")):
        if values[key] is not None and given[0] != owner:
            raise BadValue(key, values.said(key), f"goes with {owner}", "Leave it out.")
    if values["span"] is not None and given[0] in ("angles", "vernier"):
        raise BadValue("span", values.said("span"), f"does not go with {given[0]}", "Leave it out.")
    return given[0]


def _spots(values: Values) -> tuple[Spot, ...]:
    """Return the places that are wanted, less those that are skipped.

    Raises
    ------
    BadValue
        When they cannot be told, stand on each other, or none is left.
    """
    from stepcut.shapes.divide.wanted import even, listed, vernier

    way, start, span = _one_way(values), values["start"], values["span"] or Fraction(360)
    if not -360 <= start <= 360 or span > 360:
        key = "span" if span > 360 else "start"
        raise BadValue(key, values.said(key), "is more than one turn", "Give at most 360 degrees.")
    start %= 360  # the table turns one way only
    if way == "angles":
        if max(values["angles"]) >= 360 or len(set(values["angles"])) < len(values["angles"]):
            raise BadValue(
                "angles", values.said("angles"), "must be below 360deg, each of them once", "Check the list."
            )
        spots = listed(values["angles"], start)
    elif way == "vernier":
        if values["main"] is None:
            raise BadValue(
                "main", None, "is missing for a vernier", "Give one division of the main scale, such as 1deg."
            )
        over = covered(values)
        if values["main"] * over >= 360:
            raise BadValue("over", over, "makes no scale on one turn", "Check vernier, main and over.")
        spots = vernier(values["vernier"], values["main"], over, start)
    else:
        spots = even(_divisions(values, way, span), start, span)
    return kept(values, spots, "places")


def _divisions(values: Values, way: str, span: Fraction) -> int:
    """Return the number of equal divisions."""
    if way == "divisions":
        return int(values["divisions"])
    count = span / values["every"]
    if count.denominator != 1 or count > MOST:
        rule = f"does not divide {float(span):g}deg into a whole number of up to {MOST}"
        raise BadValue("every", values.said("every"), rule, "Give divisions, or the span that it divides.")
    return int(count)


def _means(values: Values, machine: Machine) -> tuple[str, tuple[int, ...]]:
    """Return how the part is divided, and the hole circles for it."""
    own = machine.table.hole_circles if machine.table else ()
    circles = values["circles"] or own
    by = values["by"]
    if by is None:
        by = "direct" if values["direct"] is not None else "plate" if circles else "rim"
    if by == "direct":
        if values["direct"] is None:
            raise BadValue("direct", None, "is missing", "Give the holes of the direct plate, such as 24.")
        return by, (values["direct"],)
    if values["direct"] is not None:
        raise BadValue("direct", values.said("direct"), f"does not go with by = {by}", "Leave one of them out.")
    if by == "plate" and not circles:
        way = "Give circles, such as 15,16,17, or put hole-circles into the machine's file."
        raise BadValue("circles", None, "are missing", way)
    if by == "rim" and values["circles"]:
        raise BadValue("circles", values.said("circles"), "do not go with by = rim", "Leave one of them out.")
    return by, circles


def _dividing(values: Values, machine: Machine) -> Dividing:
    from stepcut.shapes.divide.task import Dividing
    from stepcut.shapes.divide.wanted import Ranks

    means, circles = _means(values, machine)
    reads = (
        values["main"] / values["vernier"] if values["vernier"] is not None else None
    )  # main is there: it made the spots
    closed = values["vernier"] is None and values["span"] in (
        None,
        360,
    )  # the last place has the first as its neighbour
    make, cutter = values["make"], values["cutter"] or Cutter("square", Fraction(0))
    lines = ("line", "fifth", "tenth", "number")
    if make != "lines":
        for key in lines:
            if values[key] is not None:
                raise BadValue(key, values.said(key), f"does not go with make = {make}", "Give make = lines.")
        if values["depth"] is None:
            raise BadValue(
                "depth",
                None,
                f"is missing for {make}",
                f"Give how deep each of them is, such as {values.like('3/16in', '5mm')}.",
            )
        return Dividing(means, circles, make, cutter, None, values["depth"], values["diameter"], closed, reads)  # type: ignore[arg-type]  # one of the words
    if values["depth"] is not None:
        raise BadValue(
            "depth", values.said("depth"), "does not go with make = lines", "Give line, the length of a line."
        )
    if values["line"] is None:
        raise BadValue(
            "line",
            None,
            "is missing for lines",
            f"Give the length of every line, such as {values.like('1/8in', '3mm')}.",
        )
    ranks = Ranks(values["line"], values["fifth"], values["tenth"], values["number"])
    return Dividing(means, circles, make, cutter, ranks, Fraction(0), values["diameter"], closed, reads)  # type: ignore[arg-type]  # one of the words


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a dividing job."""
    from stepcut.shapes.divide.task import solve

    plan = solve(_spots(values), _dividing(values, machine), machine)
    if plan.details.dividing.means == "direct" and plan.details.worst:
        place = plan.details.spots[plan.details.worst_at - 1]
        rule = f"has no hole at {float(place.at):.4g}deg: the nearest is {float(plan.details.worst) * 60:.0f}' off"
        raise BadValue(
            "direct", values.said("direct"), rule, "Use a plate that the divisions fall on, or by = plate or rim."
        )
    return plan
