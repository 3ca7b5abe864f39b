"""What one unit is worth that the plain grammar of numbers does not know; the only module that asks pint.

Pint is given one unit name, never the user's text, and is loaded only when it is asked.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache

PREFIXED = ("meter", "newton", "radian")  # the units that people write with milli, micro, kilo


@cache
def _registry(small: bool) -> object:
    from importlib.resources import files

    import pint

    if small:
        lines = files("stepcut").joinpath("data/units.txt").read_text("utf-8").splitlines()
        registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
        registry.load_definitions(lines)
        return registry
    return pint.UnitRegistry(non_int_type=Fraction)


def factor_of(unit: str, kind: str, base: str) -> Fraction | None:
    """Return how many mm, degrees or newtons one such unit is; None when pint does not know it as that kind."""
    import pint

    for small in (True, False):  # the whole registry is loaded only for a unit that the small file lacks
        registry = _registry(small)
        assert isinstance(registry, pint.UnitRegistry)  # noqa: S101  # for the type checker; cached as object
        try:
            readings = registry.parse_unit_name(unit, case_sensitive=True)
            if not readings:
                continue
            prefix, stem, _plural = readings[0]
            if prefix and stem not in PREFIXED:  # 5 min is no milli-inch
                return None
            factor, root = registry.get_root_units(unit)
            if kind == "angle" and str(root) != "radian":  # pint would turn 5 percent into an angle
                return None
            factor = registry.Quantity(Fraction(1), unit).to(base).magnitude
        except (pint.PintError, ValueError, TypeError, AttributeError, ZeroDivisionError, ArithmeticError):
            return None
        return Fraction(factor) if math.isfinite(factor) and factor > 0 else None
    return None
