"""What only a groove on a circle remarks, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice

REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "walls-stand": lambda f, v: (
        f"The cuts lie so far apart that its walls stand up to {v.length(f['stands'])} between them, though the ridge along the middle is low. "
        f"Take a step of {f['step']:.1f}° or less; where the floor is nearly level, feed the table on to the next cut with the cutter in, then down."
    ),
}
