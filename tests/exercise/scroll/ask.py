"""What may be asked of a face scroll."""

from __future__ import annotations

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.ramp.ask import CUTTER, read_cutter

FIELDS = (
    Field("begin", "length", "Radius where the groove begins.", needed=True),
    Field("end", "length", "Radius where it ends.", needed=True),
    Field("pitch", "length", "How much farther out it is one turn on.", needed=True),
    Field("depth", "length", "Depth of the groove.", needed=True),
    CUTTER,
    Field("step", "angle", "Degrees from cut to cut.", needed=True, group="steps"),
)


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a face scroll."""
    from tests.exercise.scroll.task import solve
    from tests.exercise.scroll.wanted import Scroll

    cutter = read_cutter(values)
    if not cutter.diameter / 2 < values["begin"] < values["end"]:
        raise BadValue(
            "begin", values.said("begin"), "must be below end and past the cutter's radius", "Check both radii."
        )
    if values["pitch"] <= cutter.diameter:
        raise BadValue("pitch", values.said("pitch"), "leaves no land between the turns", "Take a smaller cutter.")
    return solve(
        Scroll(values["begin"], values["end"], values["pitch"], values["depth"]), cutter, values["step"], machine
    )
