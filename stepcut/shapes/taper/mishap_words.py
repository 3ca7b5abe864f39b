"""After a mistake at a taper by whole cones, in words: how its zeros are found again from the cone that stands."""

from __future__ import annotations

from stepcut.shapes.standing import PAPER, Standing


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a pass gives back the zeros; none for a taper by steps, which has shoulders as any turned shape."""
    if not at.plan.coned:
        return ()
    tilted = at.plan.approach == "set-over"
    stays, beside = (
        ("The tailstock stays as it is set.", "")
        if tilted
        else ("The angle stays as it is locked.", "the compound at 0 and ")
    )
    paper = at.voice.length(PAPER)
    return (
        f"{at.first}: the tool's tip against the face, spindle stopped, paper between, coming up the way the passes go; then by the paper "
        f"({paper}, measure yours): set {at.first} 0 there. {stays}",
        f"{at.second}: {beside}the tool beside the edge of the face, work turned by hand, paper between it and the cone of cut "
        f"{at.n}; then by the paper: set {at.second} {at.deep}.",
    )
