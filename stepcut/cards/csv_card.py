"""The lines of the card as CSV that opens in a spreadsheet: units in the header, the revision in a note line."""

from __future__ import annotations

import csv
import io

from stepcut.acts import UNIT_WORDS
from stepcut.cards.sheet import Sheet
from stepcut.gate import cell


def render(sheet: Sheet) -> str:
    """Return the table, numbers as the scales show them; two empty columns to tick."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")

    def write(cells: list[object]) -> None:
        writer.writerow([cell(each) for each in cells])

    unit = UNIT_WORDS[sheet.unit]
    first, crank, second, change, _ = sheet.titles
    angular = any("°" in row.first for row in sheet.rows)
    write([f"# {cell(sheet.title)}, part {sheet.part}, revision {sheet.revision}, {sheet.date}"])
    if sheet.verdict:
        write([f"# DO NOT CUT: {sheet.verdict}"])
    write(
        [
            "stop",
            "of",
            f"{first} ({'as the rim reads' if angular else unit})",
            crank,
            f"{second} ({unit})",
            f"{change} ({unit})",
            *sheet.ticks,
            "note",
        ]
    )
    for row in sheet.rows:
        note = "; ".join(part for part in (row.note, f"check: {row.check}" if row.check else "") if part)
        write([row.n, row.start, row.first, row.crank, row.second, row.change, "", "", note])
    return buffer.getvalue()
