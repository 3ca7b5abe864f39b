"""A recipe of a part that was read from its measured places, with the roundest sizes that the readings allow."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stepcut.errors import BadValue
from stepcut.recipes import Recipe
from stepcut.shop.round_sizes import dwells, nominal, spanning
from stepcut.written import exact_text

if TYPE_CHECKING:
    from stepcut.measured import Measured
    from stepcut.quantity import Unit
    from stepcut.shop.found_shape import Found

Sizes = dict[str, str | None]


def recipe_of(found: Found, given: Measured, sizes: Sizes, machine: str | None) -> Recipe:
    """Return a recipe of what was found.

    Parameters
    ----------
    found : Found
        The shape and its figures.
    given : Measured
        The readings; the recipe is in their unit.
    sizes : dict
        What no reading tells: outside and bore of a ring, and the cutter; None where it was not said.
    machine : str or None
        The machine of the recipe.

    Raises
    ------
    BadValue
        When a size that cannot be read from depths is missing, or the readings leave the number of ramps open.
    """
    shape, values = _values(found, sizes, given.unit)
    note = f"read from a part: {len(given.rows)} readings"
    return Recipe(shape, values, "From a part", machine=machine or "", unit=given.unit, note=note)


def _values(found: Found, sizes: Sizes, unit: Unit) -> tuple[str, dict[str, Any]]:
    """Return the shape that cuts what was found, and its values."""
    if found.shape == "ramp":
        _told(found, sizes)
    _closely(found, unit)
    if found.shape == "ramp":
        return "ramp", _ramp(found, sizes, unit)
    if found.shape == "cam":
        return "cam", _cam(found, sizes["cutter"], unit)
    if found.shape == "taper":
        return "taper", _sizes(found, unit, "large", "small", "length")
    if found.shape == "fillet":
        return "radius", {"form": "fillet", **_sizes(found, unit, "diameter", "radius", "at")}
    if not found.hollow and found.figures["axis"].low <= 0 <= found.figures["axis"].high:
        return found.shape, {"form": "ball", **_sizes(found, unit, "radius")}
    raise BadValue("save", None, "an arc may be a fillet or a cove, and the readings do not say which",
                   "Use stepcut radius with the figures above.")  # fmt: skip


def _sizes(found: Found, unit: Unit, *names: str) -> dict[str, str]:
    return {name: exact_text(nominal(found.figures[name], unit), "length", unit) for name in names}


def _ramp(found: Found, sizes: Sizes, unit: Unit) -> dict[str, Any]:
    """Return a ramp whose span holds the dwell of its high end; the low end is level past it as it is."""
    figures = found.figures
    rise = nominal(figures["rise"], unit)
    dwell = nominal(figures["dwell-high"], "deg") if figures["dwell-high"].low > 0 else Fraction(0)
    values = {
        **sizes,
        "rise": exact_text(rise, "length", unit),
        "span": exact_text(nominal(spanning(rise, figures), "deg") + dwell, "angle"),
        "ramps": str(found.ramps[0]),
        "motion": found.motions[0],
        "rises": found.rises,
    }
    if figures["start"].low > 0:
        values["start-depth"] = exact_text(nominal(figures["start"], unit), "length", unit)
    if dwell:
        values["dwell-high"] = exact_text(dwell, "angle")
    return values


# Figures that no recipe is made of: where the part was held, and what is told by others.
PLACED = ("high", "centre", "rise-begin", "fall-end", "dwell-low", "slope", "length")


def _closely(found: Found, unit: Unit) -> None:
    """Refuse a part of which the readings bound a size and do not tell it: any one number would be made up."""
    unsure = [name for name in found.unsure if name not in PLACED]
    if not unsure:
        return
    name = unsure[0]
    figure, angular = found.figures[name], "span" in name or "dwell" in name
    low, high = (
        exact_text(Fraction(round(value * 100), 100), "angle") if angular
        else exact_text(Fraction(round(value / _one(unit) * 10_000), 10_000) * Fraction(_one(unit)), "length", unit)
        for value in (figure.low, figure.high)
    )  # fmt: skip
    raise BadValue(
        name, None, f"is somewhere between {low} and {high} by these readings", FURTHER.get(found.shape, CLOSER)
    )


def _one(unit: Unit) -> float:
    return 25.4 if unit == "in" else 1.0


CLOSER = "Measure more places, or over a longer stretch, and read again."
FURTHER = {"ramp": "Measure on, past both ends of the ramp as far as the level or the next riser, and read again."}


def _told(found: Found, sizes: Sizes) -> None:
    """Refuse a ramp of which something is not known that no reading tells."""
    missing = [key for key, text in sizes.items() if text is None]
    if missing:
        raise BadValue(
            missing[0], None, "is missing to save a ramp", f"Give {', '.join('--' + key for key in missing)}."
        )
    if len(found.ramps) > 1:
        numbers = " or ".join(map(str, found.ramps))
        raise BadValue(
            "ramps", None, f"may be {numbers} by these readings", "Say which with --ramps, or measure the others."
        )


def _cam(found: Found, cutter: str | None, unit: Unit) -> dict[str, Any]:
    """Return a cam that begins where its rise does."""
    if cutter is None:
        raise BadValue("cutter", None, "is missing to save a cam", "Give --cutter.")
    figures = found.figures
    lift = exact_text(nominal(figures["lift"], unit), "length", unit)
    up, down = (nominal(figures[f"{way}-span"], "deg") for way in ("rise", "fall"))
    top, rest = dwells(figures, up, down)
    segments = [f"rise {lift} in {exact_text(up, 'angle')} {found.motions[0]}"]
    segments += [f"dwell {exact_text(top, 'angle')}"] if top else []
    segments += [f"fall {lift} in {exact_text(down, 'angle')} {found.falls[0]}"]
    segments += [f"dwell {exact_text(rest, 'angle')}"] if rest > 0 else []
    return {"base": exact_text(nominal(figures["base"], unit), "length", unit), "segments": segments, "cutter": cutter}
