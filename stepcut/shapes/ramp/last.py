"""What is cut last of a ramp, with another cutter: the seats for pins at its ends."""

from __future__ import annotations

from fractions import Fraction

from stepcut.acts import Axis
from stepcut.routine.hands import Hands
from stepcut.shapes.ramp.seats import Seat

PASS = Fraction(1, 4)  # of the cutter's diameter in one pass; common practice, no source


def acts(hands: Hands, row: int) -> None:
    """Write the acts of a row that is measured at the end: of a seat the change of cutter, and a cut in every ramp."""
    seats: tuple[Seat, ...] = hands.plan.details.seats
    if row < len(seats):
        _seat(hands, seats[row])


def _seat(hands: Hands, seat: Seat) -> None:
    """Write the acts of one seat in every ramp."""
    plan, axis = hands.plan, hands.axes[1]
    side = plan.approach == "side"
    hands.clear(axis, -hands.clearance(axis), f"CUTTER CLEAR: {_back(hands, axis)}. Spindle stopped.", confirm=True)
    kind = "" if side else " ball"
    hands.write(
        "change",
        f"SEAT, {seat.end} end: {hands.voice.size(seat.pin)}{kind} cutter in; its axis on the centre line, Y 0, locked; touch off on the face, "
        f"{hands.names[axis]} 0 there.",
        confirm=True,
    )
    for mark in seat.marks:
        hands.turn(plan.first.value(mark))
        hands.lock()
        for depth in _passes(hands, seat):
            if side:
                hands.feed(axis, depth, f"Feed the side in to {hands.feed_text(axis, depth)}.")
            else:
                hands.set(axis, depth)
                hands.across("Feed in across the whole wall, into the bore; feed back out clear of the ring.")
        hands.clear(axis, -hands.clearance(axis), f"Cutter clear: {_back(hands, axis)}.")


def _back(hands: Hands, axis: Axis) -> str:
    return f"{hands.names[axis]} back to {hands.reading(axis, -hands.clearance(axis))}, above the face"


def _passes(hands: Hands, seat: Seat) -> tuple[Fraction, ...]:
    """Return the depths of the passes of one seat, from the end of the ramp down, in whole divisions."""
    scale = hands.plan.second
    bottom = scale.value(seat.depth)
    count = max(1, -(-seat.deep // (seat.pin * PASS)))
    return tuple(scale.value(scale.down(bottom - seat.deep * (count - k) / count)) for k in range(1, int(count) + 1))
