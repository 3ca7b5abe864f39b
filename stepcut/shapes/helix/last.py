"""What is cut last of a helix, with another cutter: the pits at the ends of its grooves."""

from __future__ import annotations

import math

from stepcut.routine import bite
from stepcut.routine.hands import Hands
from stepcut.shapes.helix.pits import Pit
from stepcut.shop.turning import turning_at


def acts(hands: Hands, row: int) -> None:
    """Write the acts of a row that is measured at the end: of pits with a cutter of their own the change of cutter, and each plunge."""
    pits: tuple[Pit, ...] = hands.plan.details.pits
    if row >= len(pits):
        return
    pit = pits[row]
    cutter = pit.cutter
    if cutter is None:
        return
    clear, scale = -hands.clearance("depth"), hands.scale("depth")
    back = f"depth back to {hands.reading('depth', clear)}"
    hands.clear("depth", clear, f"CUTTER CLEAR: {back}. Spindle stopped.", confirm=True)
    size = f"{hands.voice.size(cutter.diameter)}{'' if cutter.kind == 'flat' else f' {cutter.kind}'}"
    where = "beginning" if pit.end == "begin" else "end"
    hands.write(
        "change",
        f"PIT, {where}: {size} cutter, cutting to its centre, or drill in, {turning_at(hands.plan, cutter.diameter)}; touch off on the cylinder, "
        f"{hands.names['depth']} 0 there. Every place at {hands.names['x']} {hands.reading('x', hands.plan.second.value(pit.places[0].second))}.",
        confirm=True,
    )
    bottom = scale.value(scale.down(pit.depth))
    between = bite.levels(bottom, math.ceil(bottom / (cutter.diameter * bite.PLUNGE)), scale.division)
    for place in sorted(pit.places, key=lambda place: place.first):
        hands.turn(hands.plan.first.value(place.first))
        hands.set("x", hands.plan.second.value(place.second))
        hands.lock("Lock the table and the slide.")
        for depth in (*between, bottom):
            hands.feed("depth", depth, f"PIT: feed down slowly to {hands.feed_text('depth', depth)}.")
            hands.clear("depth", clear, f"Cutter up clear: {back}.")
