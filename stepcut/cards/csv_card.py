"""The acts as CSV that opens in a spreadsheet: one act a row in the order of doing, readings as the scales show them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from stepcut.acts import UNIT_WORDS, Act, Card, Line
from stepcut.gate import cell


def render(card: Card) -> str:
    """Return the acts with their numbers, and an empty column to tick."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")

    def write(cells: list[object]) -> None:
        writer.writerow([cell(each) for each in cells])

    unit = UNIT_WORDS[card.unit]
    first, second = card.words.names
    angular = card.plan.first.angular
    write([f"# {cell(card.title)}, part {card.part}, revision {card.revision}, {card.date}"])
    write([f"# machine {card.machine}"])
    write(
        [
            f"# material {card.plan.material.replace('-', ' ') or 'not said'}, cutter of {'carbide' if card.plan.carbide else 'high-speed steel'}"
        ]
    )
    if card.verdict:
        write([f"# DO NOT CUT: {card.verdict}"])
    elif card.judged:
        write([f"# LOOK AGAIN: {' '.join(card.judged)}"])
    title = f"{first} ({'as the rim reads' if angular else unit})"
    write(["no.", "act", "cut", "of", "turns", "dial", title, f"{second} ({unit})", "text", "done"])
    readings = {act.n: found for line in card.lines for act, found in _readings(line)}
    for act in card.acts:
        numbers = readings.get(act.n, ("", "", "", ""))
        write([act.n, act.kind, act.stop or "", act.start or "", *numbers, act.text, ""])
    return buffer.getvalue()


def _readings(line: Line) -> Iterator[tuple[Act, tuple[str, str, str, str]]]:
    """Yield turns, dial, first and second reading beside the acts of a line that end at them."""
    first, second = line.first, line.second
    moves = [act for act in line.acts if act.way == "working"]
    turn = next((act for act in moves if act.axis in ("table", "z")), None)
    at = next((act for act in reversed(moves) if act.axis in ("depth", "x", "radius")), None)
    if turn is not None:
        yield turn, (first.turns, first.dial, first.reads.text, "")
    if at is not None and at is not turn:
        yield at, (second.turns, second.dial, "", second.reads.text)
