"""Inputs that were called something else once: old recipes are still read, and the new word is said.

Nothing else in the program knows an old word.  A pair may go when no recipe with it is left.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field


class Renamed(Struct, frozen=True):
    """One input and its old name.

    Parameters
    ----------
    old, new : str
        The two names.
    shapes : tuple of str
        The shapes that had it; all when empty.
    values : mapping
        Words of a choice that changed too.
    form : str
        How the new text is made from the old one, ``{}``.
    joins : bool
        Whether the old text is now said behind the new input's own, as in ``1/2in ball``.
    """

    old: str
    new: str
    shapes: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    form: str = "{}"
    joins: bool = False


RENAMED = (
    Renamed("starts", "ramps", ("ramp",)),
    Renamed("law", "motion", ("ramp",)),
    Renamed("lead-in", "dwell-high", ("ramp",)),
    Renamed("lead-out", "dwell-low", ("ramp",)),
    Renamed("approach", "cut-with", ("ramp", "cam"), {"across": "end"}),
    Renamed("on-line", "on-centre", ("ramp",), {"centre": "axis"}),
    Renamed("stops", "cuts", ("ramp", "taper", "radius", "profile")),
    Renamed("kind", "cutter", ("ramp", "helix", "cam"), joins=True),
    Renamed("corner", "cutter", ("ramp", "helix", "cam"), joins=True),
    Renamed("ratio", "taper", ("taper",)),
    Renamed("per-foot", "taper", ("taper",), form="{}/ft"),
    Renamed("standard", "taper", ("taper",)),
)


def of_shape(shape: str) -> tuple[Renamed, ...]:
    """Return the renamed inputs of a shape."""
    return tuple(each for each in RENAMED if not each.shapes or shape in each.shapes)


def modern(shape: str, values: Mapping[str, Any]) -> tuple[dict[str, Any], tuple[tuple[str, str, str], ...]]:
    """Return values under today's names, and what was renamed: old name, new name, new text.

    Examples
    --------
    >>> modern("ramp", {"starts": 2, "cutter": "1/2in", "kind": "ball"})[0]
    {'cutter': '1/2in ball', 'ramps': 2}
    """
    found = _tool_and_nose(values)
    said: list[tuple[str, str, str]] = []
    for each in of_shape(shape):
        key = each.old if each.old in found else each.old.replace("-", "_")
        if key not in found or isinstance(found[key], list | dict | bool):
            continue
        text = found[key]
        if each.joins:
            if each.new not in found:
                continue
            text = f"{found[each.new]} {text}"
        elif each.new in found:
            continue  # two words for one thing: the old one is then not known
        elif each.form != "{}":
            text = each.form.format(text)
        elif isinstance(text, str):
            text = each.values.get(text.strip().lower(), text)
        del found[key]
        found[each.new] = text
        said.append((each.old, each.new, str(text)))
    return found, tuple(said)


def _tool_and_nose(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return values with a lathe tool that is said in one phrase, ``round 1/16in`` or ``1/16in round``, as tool and nose."""
    found = dict(values)
    text = found.get("tool")
    if not isinstance(text, str) or "nose" in found:
        return found
    words = re.sub(r",|\b(?:nosed?|tool|radius|r)\b", " ", text, flags=re.I)
    match = re.fullmatch(r"\s*(?:round\s+(?P<after>\S.*?)|(?P<before>\S.*?)\s+round)\s*", words, re.I | re.S)
    if match:
        found["tool"], found["nose"] = "round", match["after"] or match["before"]
    return found


def new_name(key: str) -> str:
    """Return today's name of an input; the same when it never had another."""
    return next((each.new for each in RENAMED if each.old == key), key)
