"""What may be asked of a face scroll."""

from __future__ import annotations

import itertools
from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.ramp.ask import CUTTER, TURNINGS, read_cutter

EXAMPLES = (
    "scroll --begin 15mm --end 31mm --pitch 8mm --depth 2.5mm --cutter 5mm --step 4deg --machine metric",
    "scroll --begin 5/8in --end 1-3/8in --pitch 3/8in --depth 0.08in --cutter '3/16in ball' --scallop 3thou --winds clockwise",
)
SIZES = ("begin", "end", "pitch")  # they tell one part from another
TOGETHER = (("pitch", "cutter"), ("begin", "end"))  # usually change together; common practice, no source
FIELDS = (
    Field("begin", "length", "Radius of the middle of the groove where it begins.", needed=True, example="5/8in or 16mm"),
    Field("end", "length", "Radius where it ends, farther out.", needed=True, example="1-3/8in or 37mm"),
    Field("pitch", "length", "How much farther out it is one turn on.", needed=True, example="3/8in or 9mm"),
    Field("depth", "length", "Depth of the groove at its middle.", needed=True, example="0.080in or 2mm"),
    Field("starts", "count", "Number of equal grooves.", default="1", most=60),
    Field("winds", "choice", "The way it runs outward, seen facing it.", default="anticlockwise", choices=TURNINGS),
    CUTTER,
    Field("leave", "length", "Stock to leave on the floor for the file, the walls are the cutter's; auto takes it from the machine's errors.",
        default="0", rule="not-negative", words={"auto": "auto"}, group="cutter"),
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("cuts", "count", "Number of cuts of one groove.", most=12_000, group="steps"),
    Field("scallop", "length", "Largest ridge to leave: the fewest cuts that keep to it, closer together farther out.", group="steps"),
)  # fmt: skip


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a face scroll.

    Raises
    ------
    BadValue
        When values contradict each other, the groove reaches the centre, or no land is left between its turns.
    """
    from stepcut.shapes.scroll.task import Spacing, bench_of, land_of, solve
    from stepcut.shapes.scroll.wanted import Scroll

    given = [key for key in ("step", "cuts") if values[key] is not None]
    for a, b in itertools.pairwise(given):
        raise BadValue(b, values.said(b), f"does not go with {a}", "Leave one of them out.")
    if values["end"] <= values["begin"]:
        rule = f"must be more than begin = {values.said('begin')}"
        raise BadValue("end", values.said("end"), rule, "A scroll runs outward; give radii, not diameters.")
    cutter = read_cutter(values)
    if cutter.kind == "bull":
        raise BadValue(
            "cutter", values.said("cutter"), "a bull nose is not offered for a scroll", "Use a flat or a ball end."
        )
    if values["begin"] <= cutter.radius:
        rule = f"is within the radius of the cutter, {values.size(cutter.radius)}"
        raise BadValue("begin", values.said("begin"), rule, "Begin farther out, or take a smaller cutter.")
    scroll = Scroll(values["begin"], values["end"], values["pitch"], values["depth"], values["starts"], values["winds"])
    leave: Fraction | str = values["leave"]
    if isinstance(leave, str):  # auto: nothing is left where nothing is said, for a groove is seldom filed
        leave = Fraction(0) if machine.depth is None else machine.depth.up(machine.depth.error) * machine.depth.division
    bench = bench_of(scroll, cutter, leave, machine)
    land = land_of(scroll, bench.row([0]))
    if land <= 0:
        rule = f"leaves no land between the turns: they overlap by {values.size(-land)}"
        raise BadValue("pitch", values.said("pitch"), rule, "Take a smaller cutter, a larger pitch or fewer starts.")
    return solve(scroll, cutter, leave, Spacing(values["step"], values["cuts"], values["scallop"]), machine)
