"""After a mistake at a taper by whole cones, in words: how its zeros are found again from the cone that stands."""

from __future__ import annotations

from stepcut.shapes.standing import PAPER, Standing
from stepcut.shapes.turned import mishap_words


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a pass gives back the zeros; by steps it is as any turned shape.

    The slide moves along the cone: where along it the tool touches is all one, so that a zero beside a point may be found by eye.
    """
    plan = at.plan
    if not plan.coned:
        return mishap_words.refind(at)
    stays = "The tailstock stays as it is set." if plan.approach == "set-over" else "The angle stays as it is locked."
    bore = plan.target.get("side") == "bore"
    face = float(plan.second.value(plan.stops[at.n - 1].second))
    along = (
        f"{at.first}: the tool's tip against the face{' beside the hole' if bore else ''}, spindle stopped, paper between, coming up the way the "
        f"passes go; then by the paper ({at.voice.length(PAPER)}, measure yours): set {at.first} 0 there. {stays}"
        if bore or face >= mishap_words.CORNER
        else f"{at.first}: little of the face is left. The tool's tip beside the end of the cone, by eye: set {at.first} 0 there; along the cone all is alike. {stays}"
    )
    return (
        along,
        f"{at.second}: the cone of cut {at.n} inked, {at.first} between 0 and {at.where}, work turned by hand, the tool in until it just scrapes "
        f"the ink: set {at.second} {at.deep}.",
    )
