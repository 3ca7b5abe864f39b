"""What may be asked of a turned profile: a list of places and diameters."""

from __future__ import annotations

import itertools

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning

FIELDS = (
    Field("targets", "targets", "Pairs of place from the face and DIAMETER there, growing: '0mm 20mm, 10mm 24mm', or a file with one pair a line.", needed=True, along="length"),
    *TURNED_FIELDS,
)  # fmt: skip


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a profile."""
    from stepcut.shapes.turned.task import solve
    from stepcut.shapes.turned.wanted import profile

    targets = values["targets"]
    for number, ((_, a), (_, b)) in enumerate(itertools.pairwise(targets), 2):
        if b < a:
            way = "Diameters grow away from the face; split the profile at its widest place."
            rule = f"is smaller than the row before ({values.size(a)})"
            raise BadValue(f"targets row {number}", values.size(b), rule, way)
    if targets[0][1] < 0 or targets[-1][1] <= targets[0][1]:
        raise BadValue("targets", None, "must grow from a diameter that is not negative", "Check the diameters.")
    if targets[0][0] < 0:
        raise BadValue(
            "targets row 1",
            values.size(targets[0][0]),
            "must not be negative",
            "Places count from the face into the work.",
        )
    target = {"targets": [[float(z), float(d)] for z, d in targets]}
    return solve(profile(targets), read_turning(values), machine, "profile", target)
