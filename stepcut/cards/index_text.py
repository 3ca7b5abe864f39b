"""Indexing settings and gear trains as text."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stepcut.machine import RotaryTable
from stepcut.shop.gears import Train, near
from stepcut.shop.index import Setting
from stepcut.voice import Voice
from stepcut.written import angle_text


def index_text(
    turns: Fraction, ratio: Fraction, found: Sequence[Setting], divisions: int | None, angle: Fraction | None
) -> str:
    """Return what to set: whole turns, spaces and holes, and plainly the error when none is exact."""
    wanted = f"{divisions} divisions" if divisions is not None else f"{angle_text(angle or 0, places=4)} a move"
    lines = [f"{wanted} at {ratio}:1 is {_turns(turns)} of the crank ({angle_text(turns * 360 / ratio, places=4)})."]
    exact = all(setting.error == 0 for setting in found)
    if not exact:
        lines.append("IMPOSSIBLE to do exactly with these circles. The nearest:")
    for setting in found if exact else found[:3]:
        lines.append(f"  {_setting(setting)}")
        if not exact:
            lines.append(
                f"      each move {_off(setting.error)}"
                + (f"; after {divisions} moves {_off(setting.error * divisions)}" if divisions else "")
            )
    lines.append("Sector arms: count SPACES from the pin; the arms show one HOLE more than spaces.")
    return "\n".join(lines)


SHOWN = 24  # places that are listed; more are a job to tick


def rim_text(
    turns: Fraction, ratio: Fraction, table: RotaryTable, divisions: int | None, angle: Fraction | None, unit: str
) -> str:
    """Return the rim readings of a table without plates, each rounded for itself, and how far the worst is off."""
    move = turns * 360 / ratio
    count = divisions or int(360 / move) + ((360 / move).denominator != 1)
    places = [k * move for k in range(count)]
    marks = [table.rim.nearest(place) for place in places]
    off = [table.rim.value(mark) - place for mark, place in zip(marks, places, strict=True)]
    worst = max(range(count), key=lambda k: abs(off[k]))
    wanted = f"{divisions} divisions" if divisions is not None else f"{angle_text(angle or 0, places=4)} a move"
    lines = [
        f"{wanted} at {ratio}:1 is {_turns(turns)} of the crank ({angle_text(move, places=4)}).",
        "Each reading is rounded for itself, so nothing builds up: "
        + (f"the worst, place {worst + 1}, is {_off(off[worst])}." if off[worst] else "every place is exact."),
        "place  turns    dial         rim",
    ]
    for k in range(min(count, SHOWN)):
        at = table.rim.value(marks[k])
        whole, dial = divmod(at, table.degrees_per_turn)
        rim, shown = (angle_text(each, table.dial) for each in (at % 360, dial))
        lines.append(f"{k + 1:5}  {whole:5}  {shown:>8}  {rim:>10}")
    if count > SHOWN:
        lines.append(f"and so on to place {count}.")
    number = f"--divisions {divisions}" if divisions is not None else f"--every {float(move):g}deg"
    depth, line = ("3/16in", "1/8in") if unit == "in" else ("5mm", "3mm")
    lines.append(f"To tick them off: stepcut divide {number} --depth {depth}, or --make lines --line {line}.")
    return "\n".join(lines)


def _turns(turns: Fraction) -> str:
    whole, rest = divmod(turns, 1)
    text = " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
    return f"{text} turn{'s' if turns > 1 else ''}"


def _setting(setting: Setting) -> str:
    if setting.circle == 0 or setting.spaces == 0:
        return f"{setting.turns} whole turn{'s' if setting.turns != 1 else ''}, no holes"
    return f"{setting.turns} turn{'s' if setting.turns != 1 else ''} + {setting.spaces} spaces in the {setting.circle}-hole circle ({setting.holes} holes between the arms)"


def _off(error: Fraction) -> str:
    minutes = float(abs(error)) * 60
    return f"{minutes:.3f}' too {'far' if error > 0 else 'short'}"


def _turned_off(length: Fraction, lead: Fraction, wanted: Fraction) -> str:
    """Return how far a groove of another lead turns, against the one that is wanted; a longer lead turns less."""
    degrees = f"{float(abs(length / lead - length / wanted)) * 360:.3f}° too"
    return f"{degrees} {'little' if lead > wanted else 'far'}" if lead != wanted else "as wanted"


def gears_text(lead: Fraction, own: Fraction, found: Sequence[Train], length: Fraction | None, voice: Voice) -> str:
    """Return gear trains, best first, with every gear named by its place."""
    lines = [
        f"Lead wanted {voice.length(lead)}; with equal gears the machine gives {voice.length(own)}.",
        "Lead = machine lead x DRIVEN / DRIVERS.",
    ]
    if not found:
        return "\n".join([*lines, "NO TRAIN: none of these gears can be mounted together."])
    if not near(found[0], lead):
        off = abs(float(found[0].lead / lead - 1))
        lines.append(f"NO MATCH: the nearest that can be mounted is {100 * off:.0f} % off. It takes other gears.")
    for number, train in enumerate(found, 1):
        off = float(train.lead - lead)
        text = f"{number}. lead {voice.length(train.lead, 4)}, off {voice.length(off, 4) if off else 'nothing'}"
        if length is not None:
            text += f"; over {voice.length(length)} it turns {_turned_off(length, train.lead, lead)}"
        lines.append(text)
        if len(train.drivers) == 1:
            lines.append(f"   DRIVER on the screw {train.drivers[0]}, DRIVEN on the worm {train.driven[0]}, any idlers")
        else:
            lines.append(
                f"   DRIVERS: on the screw {train.drivers[0]}, second on the stud {train.drivers[1]}; "
                f"DRIVEN: first on the stud {train.driven[0]}, on the worm {train.driven[1]}"
            )
    return "\n".join(lines)
