"""Freezing a plan and its card into text, and thawing them: what was begun is kept whole, numbers exact.

Only the program's own records, exact fractions, plain numbers, texts and their lists and mappings are kept; whatever
else hangs on a plan, such as a function, is left out and comes back as None.  A text that another version of the program wrote,
whose classes have changed since, does not thaw; the caller then has to do without.  A part that was added since, with a value of its
own, is no such change.
"""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Callable, Mapping
from fractions import Fraction
from importlib import import_module
from typing import Any

from msgspec import Struct

SCHEMA = 1
LARGEST = 500_000_000  # bytes, unpacked
_OWN = "stepcut."
Make = Callable[[str, dict[str, Any]], Any]


class Thawless(Exception):
    """A frozen text that this program cannot thaw; what it lacks is told by its argument."""


def freeze(value: Any) -> str:
    """Return a value as text: JSON, packed, for a card of a hundred cuts is 200 kB of it."""
    text = json.dumps({"schema": SCHEMA, "kept": _kept(value, {})}, ensure_ascii=False, separators=(",", ":"))
    return base64.b85encode(zlib.compress(text.encode("utf-8", "surrogatepass"), 6)).decode("ascii")


def thaw(text: str, as_far: bool = False) -> Any:
    """Return the value of a frozen text.

    Parameters
    ----------
    as_far : bool
        As far as it goes: a record that this program does not know comes back as None, and a part that a record has no more is
        left out.  Whoever asks for that must look whether enough of it is there.

    Raises
    ------
    Thawless
        When it is damaged, or its classes are not those of this program.

    Examples
    --------
    >>> thaw(freeze({"depth": (Fraction(1, 3), 2.5)}))
    {'depth': (Fraction(1, 3), 2.5)}
    """
    try:
        content = json.loads(_unpacked(text))
        if content["schema"] != SCHEMA:
            raise Thawless(content["schema"])
        return _thawed(content["kept"], [], _object_or_none if as_far else _object)
    except (ValueError, TypeError, LookupError, AttributeError, ImportError, RecursionError, zlib.error) as error:
        raise Thawless(str(error)) from None


def _unpacked(text: str) -> bytes:
    """Return what was packed, no more than any plan is: a damaged or made-up text must not fill the memory."""
    packer = zlib.decompressobj()
    data = packer.decompress(base64.b85decode(text), LARGEST)
    if packer.unconsumed_tail or not packer.eof:
        raise Thawless("is not whole")
    return data


def _kept(value: Any, seen: dict[int, int]) -> Any:
    """Return a value as plain data; an object that stands in several places is kept once, and named by its number after that."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, Fraction):
        return {"": "fraction", "of": str(value)}
    if isinstance(value, tuple):
        return {"": "tuple", "items": [_kept(item, seen) for item in value]}
    if isinstance(value, list):
        return [_kept(item, seen) for item in value]
    if isinstance(value, frozenset | set):
        return {"": "set", "items": [_kept(item, seen) for item in sorted(value)]}
    if isinstance(value, Mapping):
        return {"": "map", "items": [[_kept(key, seen), _kept(item, seen)] for key, item in value.items()]}
    kind = type(value)
    if isinstance(value, Struct) and kind.__module__.startswith(_OWN):
        if id(value) in seen:
            return {"": "same", "as": seen[id(value)]}
        parts = {name: _kept(getattr(value, name), seen) for name in kind.__struct_fields__}
        seen[id(value)] = len(seen)
        return {"": "object", "of": f"{kind.__module__}:{kind.__qualname__}", "parts": parts}
    return None  # a function, or another thing of the moment


def _thawed(kept: Any, made: list[Any], make: Make) -> Any:
    if isinstance(kept, list):
        return [_thawed(item, made, make) for item in kept]
    if not isinstance(kept, dict):
        return kept
    what = kept[""]
    if what == "fraction":
        return Fraction(kept["of"])
    if what == "tuple":
        return tuple(_thawed(item, made, make) for item in kept["items"])
    if what == "set":
        return frozenset(_thawed(item, made, make) for item in kept["items"])
    if what == "map":
        return {_thawed(key, made, make): _thawed(item, made, make) for key, item in kept["items"]}
    if what == "same":
        return made[kept["as"]]
    parts = {name: _thawed(part, made, make) for name, part in kept["parts"].items()}
    thing = make(kept["of"], parts)
    made.append(thing)
    return thing


def _object_or_none(name: str, parts: dict[str, Any]) -> Any:
    """Return one of the program's own records with the parts that it still has; None when it cannot be made of them."""
    try:
        return _kind(name)(**{part: value for part, value in parts.items() if part in _kind(name).__struct_fields__})
    except (Thawless, TypeError, ImportError, AttributeError):
        return None


def _object(name: str, parts: dict[str, Any]) -> Any:
    """Return one of the program's own records."""
    return _kind(name)(**parts)  # a TypeError when it has other parts in this program


def _kind(name: str) -> type[Struct]:
    """Return the class of one of the program's own records; nothing else is ever made from a text.

    A record that stands in another module since is still found under its old name, where that module hands it on.
    """
    module, _, path = name.partition(":")
    if not module.startswith(_OWN) or "." in path:
        raise Thawless(name)
    kind = getattr(import_module(module), path)
    if not (isinstance(kind, type) and issubclass(kind, Struct) and kind.__module__.startswith(_OWN)):
        raise Thawless(name)
    return kind
