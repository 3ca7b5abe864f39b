"""After a mistake at a straight scale, in words."""

from __future__ import annotations

from stepcut.shapes.standing import Standing


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a line gives back the zeros of both slides."""
    return (
        f"{at.first}: the tool's point over line {at.n}, under a glass. Back past the slack, and come up as {at.first} grows until the point "
        f"stands in the line: set {at.first} {at.where}.",
        "Y: the tool at the edge of the part, where every line begins: set 0 there.",
    )
