"""``stepcut gears``: change gears for a continuous helix."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Text
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.machine import Machine

MOST = 30  # gears that trains are made of; more would be tried for minutes


def _body(
    lead: Annotated[str, typer.Option("--lead", help="Lead of the helix.")],
    gears: Annotated[
        Text, typer.Option("--gears", help="Gears on hand, such as 24,24,28,32; the machine's own if left out.")
    ] = None,
    pitch: Annotated[
        Text, typer.Option("--pitch", help="Pitch of the table screw; the machine's own if left out.")
    ] = None,
    ratio: Annotated[Text, typer.Option("--ratio", help="Turns of the crank for one turn of the table.")] = None,
    length: Annotated[Text, typer.Option("--length", help="Length of the groove, to say the error over it.")] = None,
    machine: Annotated[Text, typer.Option("--machine", help="Machine whose table and gears are used.")] = None,
) -> int:
    """Find the change gears for a lead from the gears on hand, best first; status 2 when none comes near."""
    from stepcut.cards.index_text import gears_text
    from stepcut.cli.index import ratio_of
    from stepcut.cli.screen import show_folded
    from stepcut.machine import chosen
    from stepcut.machine import files as machines
    from stepcut.machine.said import headline
    from stepcut.quantity import parse_length
    from stepcut.shop.gears import machine_lead, near, trains
    from stepcut.voice import voice_of

    own = machines.find(chosen.which(machine))
    wanted = _length("lead", lead)
    hand = _on_hand(own, gears)
    base = machine_lead(ratio_of(own.table, ratio), _screw(own, pitch))
    run = parse_length(length, "length") if length is not None else None
    found = trains(wanted, base, hand)
    if not (gears and ratio and pitch):
        show_folded(headline(own))
    show_folded(gears_text(wanted, base, found, run, voice_of(own)))
    return 0 if found and near(found[0], wanted) else 2


def _length(name: str, text: str) -> Fraction:
    from stepcut.fields import Field, Units, read_one

    return Fraction(read_one(Field(name, "length", ""), text, Units()))


def _on_hand(own: Machine, gears: Text) -> Sequence[int]:
    """Return the gears that are given, or the machine's own: enough for a train, and not too many to try."""
    from stepcut.fields import Field, Units, read_one

    hand: Sequence[int] = read_one(Field("gears", "counts", "", most=500), gears, Units()) if gears else own.gears
    if not hand:
        raise BadValue(
            "gears",
            None,
            f"are missing: machine {own.name} has none",
            "Give them like --gears 24,28,32,40, or put gears = [...] into its file.",
        )
    if len(hand) < 2:
        raise BadValue(
            "gears", hand[0], "is one gear, and a train takes two or more", "Give them like --gears 24,28,32,40."
        )
    if len(hand) > MOST:
        raise BadValue("gears", f"{len(hand)} gears", f"are more than {MOST}", "Give only those that fit the quadrant.")
    return hand


def _screw(own: Machine, pitch: Text) -> Fraction:
    """Return the pitch of the table screw that is given, or the machine's own, mm."""
    if pitch is not None:
        return _length("pitch", pitch)
    if own.slide is None or own.slide.per_turn is None:
        raise BadValue("pitch", None, "is missing", "Give --pitch 0.2in, or per-turn of [slide] in the machine's file.")
    return own.slide.per_turn


def command() -> TyperCommand:
    """Return the command."""
    return one("gears", _body)
