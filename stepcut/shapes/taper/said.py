"""What only a taper remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.shapes.turned import said as turned
from stepcut.voice import Voice

REMARKS = turned.REMARKS
REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
    **turned.REFUSALS,
    "no-compound": lambda f, v: (f["machine"], "has no compound slide", "Name a machine that has one, or add [compound] to its file."),
}  # fmt: skip
