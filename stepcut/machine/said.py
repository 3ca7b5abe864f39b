"""A machine in a few words: its figures by name, its headline, and how two machines differ."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from stepcut.machine.model import Machine, Scale
from stepcut.quantity import Unit
from stepcut.written import exact_text


def figures(machine: Machine) -> dict[str, str]:
    """Return the figures that positions depend on, by name, as texts that read back exactly.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from stepcut.machine.model import RotaryTable
    >>> figures(Machine("bench", "in", RotaryTable(Scale("rim", Fraction(1, 60), Fraction(5), angular=True))))
    {'crank': '5deg a turn', 'rim': "1'", 'rim reading grows': 'clockwise'}
    """
    found: dict[str, str] = {}
    if machine.table is not None:
        bare = "" if machine.table.crank_dial else ", without a dial"
        found["crank"] = f"{_angle(machine.table.degrees_per_turn)} a turn{bare}"
        found["rim"] = _angle(machine.table.rim.division)
        found["rim reading grows"] = machine.table.counts_up
        if machine.table.hole_circles:
            found["hole circles"] = ", ".join(map(str, machine.table.hole_circles))
    for name, scale in (("depth", machine.depth), ("slide", machine.slide), ("carriage", machine.carriage)):
        if scale is not None:
            found[name] = _scale(scale, machine.unit)
            if scale.inward is not None:
                found[f"{name} dial inward"] = scale.inward
    if machine.cross is not None:
        shown = 2 if machine.cross.doubled else 1
        found["cross-slide"] = (
            f"{exact_text(machine.cross.division * shown, 'length', machine.unit)}, reads "
            f"{'diameter' if machine.cross.doubled else 'radius'}"
        )
        if machine.cross.inward is not None:
            found["cross-slide dial inward"] = machine.cross.inward
    if machine.compound is not None:
        found["compound zero"] = machine.compound.zero
    return found


def moved(machine: Machine, scales: Collection[str], deepens: bool) -> frozenset[str]:
    """Return the names of the figures that belong to some of a machine's scales, given by their own names.

    ``deepens`` tells that a cut also goes down by the depth scale, whether or not a stop reads it.

    Examples
    --------
    >>> from stepcut.machine.model import RotaryTable
    >>> bench = Machine("bench", "in", RotaryTable(Scale("rim", Fraction(1, 60), Fraction(5), angular=True)))
    >>> sorted(moved(bench, {"rim"}, False))
    ['crank', 'hole circles', 'rim', 'rim reading grows']
    """
    found: set[str] = set()
    if "rim" in scales:
        found |= {"crank", "rim", "rim reading grows", "hole circles"}
    for name, scale in (("slide", machine.slide), ("carriage", machine.carriage), ("cross-slide", machine.cross)):
        if scale is not None and scale.name in scales:
            found |= {name, f"{name} dial inward"}
    if machine.compound is not None and machine.compound.scale.name in scales:
        found.add("compound zero")
    if deepens or (machine.depth is not None and machine.depth.name in scales):
        found |= {"depth", "depth dial inward"}
    return frozenset(found)


def _angle(degrees: Fraction) -> str:
    minutes = degrees * 60
    return f"{minutes}'" if degrees < 1 and minutes.denominator == 1 else exact_text(degrees, "angle")


def _scale(scale: Scale, unit: Unit) -> str:
    turn = f", {exact_text(scale.per_turn, 'length', unit)} a turn" if scale.per_turn else ""
    return f"{exact_text(scale.division, 'length', unit)}{turn}"


def headline(machine: Machine) -> str:
    """Return one line that names a machine and the scales that matter, and says when it is only an example.

    Examples
    --------
    >>> headline(Machine("bench", "mm", depth=Scale("readout", __import__("fractions").Fraction(1, 200))))
    'Machine bench: depth 0.005mm.'
    """
    parts = [f"{name} {text}" for name, text in figures(machine).items() if name in ("crank", "rim", "depth")]
    name = machine.called if machine.example else f"Machine {machine.called}"
    line = f"{name}{': ' if parts else ''}{', '.join(parts)}."
    return f"{line} Make your own: stepcut machine new." if machine.example else line


def differences(was: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """Return what differs between two machines' figures, each as ``crank was 4deg a turn, is 5deg a turn``.

    Examples
    --------
    >>> differences({}, {"slide": "0.001in", "depth dial inward": "grows"})
    ['slide was none, is 0.001in', 'depth dial inward was not told, is grows']
    """
    lines = []
    for name in dict.fromkeys((*was, *now)):
        before, after = was.get(name), now.get(name)
        if name == "machine" or before == after:
            continue
        absent = "not told" if name.endswith(" inward") else "none"  # a dial grows or falls whether told or not
        lines.append(f"{name} was {before or absent}, is {after or absent}")
    return lines
