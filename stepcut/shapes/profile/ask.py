"""What may be asked of a turned profile: a list of places and diameters."""

from __future__ import annotations

import itertools
from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning

EXAMPLES = (
    "profile --targets '0mm 20mm, 10mm 24mm, 18mm 25mm' --tool round --nose 1mm --step 0.5mm",
    "profile --targets crown.csv --step 20thou --unit in",
)
FIELDS = (
    Field("targets", "targets", "Pairs of place from the face and DIAMETER there: '0mm 20mm, 10mm 24mm', or a file with one pair a line; two at one place are the face of a step.", needed=True, along="length", risers=True, example="'0in 3/4in, 1/2in 7/8in' or '0mm 20mm, 10mm 24mm'"),
    *TURNED_FIELDS,
)  # fmt: skip
SIZES = ("blank",)  # they tell one part from another
TOGETHER = (("targets", "blank"),)  # usually change together; common practice, no source


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a profile."""
    from stepcut.shapes.turned.task import solve
    from stepcut.shapes.turned.wanted import profile

    targets, turning = values["targets"], read_turning(values)
    diameters = [diameter for _, diameter in targets]
    if min(diameters) < 0 or max(diameters) == min(diameters):
        rule = "must have two diameters or more, none of them negative"
        raise BadValue("targets", None, rule, "Check the diameters.")
    if max(diameters[_upright(targets) :]) == min(diameters[_upright(targets) :]):
        rule = "must have two diameters or more behind the upright face where they begin"
        raise BadValue("targets", None, rule, "Face it to length, and give the line that is left to cut.")
    corners = turning.cutter.kind == "square"
    if corners and turning.width is None:
        _no_waist(values, diameters)
    elif corners:
        corners = not _waisted(diameters)
    if targets[0][0] < 0:
        raise BadValue(
            "targets row 1",
            values.size(targets[0][0]),
            "must not be negative",
            "Places count from the face into the work.",
        )
    target = {"targets": [[float(z), float(d)] for z, d in targets]}
    return solve(profile(targets, corners), turning, machine, "profile", target)


def _upright(targets: list[tuple[Fraction, Fraction]]) -> int:
    """Return the row where the upright face ends that targets may begin with."""
    return sum(z == targets[0][0] for z, _ in targets) - 1


def _waisted(diameters: list[Fraction]) -> bool:
    """Whether the diameter grows again after it fell."""
    falls = False
    for a, b in itertools.pairwise(diameters):
        if falls and b > a:
            return True
        falls = falls or b < a
    return False


def _no_waist(values: Values, diameters: list[Fraction]) -> None:
    """Refuse a waist for a square tool, whose other corner would cut the far side away."""
    falls = False
    for number, (a, b) in enumerate(itertools.pairwise(diameters), 2):
        falls = falls or b < a
        if falls and b > a:
            rule = f"grows again behind a waist ({values.size(a)}), which no corner of a square tool reaches into"
            nose = "1/32in" if values.unit == "in" else "0.8mm"
            wide = "1/8in" if values.unit == "in" else "3mm"
            way = (
                f"Take a round nose: tool = round {nose}; or a parting tool that goes straight in: tool-width = {wide}."
            )
            raise BadValue(f"targets row {number}", values.size(b), rule, way)
