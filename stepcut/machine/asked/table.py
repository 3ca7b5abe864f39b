"""What is asked of the rotary table: its crank, plates, marks, the way it turns, slack and error; and its dial drawn."""

from __future__ import annotations

import re
from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.machine.asked.question import NONE, WAYS, Answers, Found, Question, angle, given, in_minutes, numbers, word
from stepcut.quantity import Dial, parse_angle, plain_marks
from stepcut.written import exact_text, spoken_angle


def crank_of(text: str) -> Fraction:
    """Return the degrees for one turn of the handle from ``72:1``, ``5``, ``5 deg`` or ``40:1 with plates``.

    A bare number of at most 36 is degrees for one turn, a larger one the ratio: no table turns 40 degrees a turn.

    Examples
    --------
    >>> crank_of("72:1"), crank_of("5"), crank_of("90"), crank_of("40:1 with plates")
    (Fraction(5, 1), Fraction(5, 1), Fraction(4, 1), Fraction(9, 1))
    """
    raw = re.sub(r"\s*(?:,|with|and)?\s*plates?\b.*", "", plain_marks(text).strip().lower())
    raw = re.sub(r"\s*(?:per|a|each)\s+turn$", "", raw)
    ratio = re.fullmatch(r"(\d{1,4})\s*(?::|to)\s*1", raw)
    if ratio is None and re.fullmatch(r"\d{1,4}", raw) and int(raw) > 36:
        ratio = re.fullmatch(r"(\d{1,4})", raw)
    way = "Write its ratio, such as 72:1, or degrees for one turn, such as 5."
    if ratio:
        if not 0 < int(ratio[1]) <= 1000:
            raise BadValue("table", text, "must be a ratio from 1 to 1000", way)
        return Fraction(360, int(ratio[1]))
    degrees = parse_angle(raw, "table", "deg")
    if not 0 < degrees <= 360:
        raise BadValue("table", text, "must be more than 0 and at most 360 degrees for one turn", way)
    return degrees


def _table(text: str, answers: Answers) -> tuple[Found, str]:
    degrees = crank_of(text)
    ratio = 360 / degrees
    said = f"One turn of the handle turns the table {float(degrees):g} degrees"
    said += f" ({ratio}:1)." if ratio.denominator == 1 else "."
    return {"table.degrees-per-turn": exact_text(degrees, "angle")}, said


def _circles(text: str, answers: Answers) -> tuple[Found, str]:
    found, _ = numbers("hole circles", "hole circles", 1000)(text, answers)
    circles = sorted({int(each) for each in found["hole circles"]})
    count = f"{len(circles)} hole circle{'' if len(circles) == 1 else 's'}"
    return {"table.hole-circles": [str(n) for n in circles]}, f"{count}: {', '.join(map(str, circles))}."


def _mark(text: str, answers: Answers) -> tuple[Found, str]:
    degrees = parse_angle(text, "mark", "deg")
    if not 0 < degrees <= 10:
        raise BadValue("mark", text, "must be more than 0 and at most 10 degrees", "Write it like 0.1, 1', 5 min or 10 sec.")  # fmt: skip
    dial: Dial = "minutes" if in_minutes(text) else "decimal"
    kind = "degrees and minutes" if dial == "minutes" else "decimal degrees"
    return {
        "table.division": exact_text(degrees, "angle"),
        "table.dial": dial,
    }, f"You read {spoken_angle(degrees, dial)}, in {kind}."


def _slack(text: str, answers: Answers) -> tuple[Found, str]:
    found, said = angle("table.backlash", "Its slack is")(text, answers)
    turn = crank_of(answers["table"]) if answers.get("table", "").strip() else Fraction(360)
    if parse_angle(text, "backlash", "deg") >= turn:
        rule = f"must be less than one turn of its handle, {float(turn):g} degrees"
        raise BadValue("backlash", text, rule, "Measure it again: forward until it moves, then back.")
    return found, said


QUESTIONS = (
    Question("table", "Your rotary table: its ratio, or degrees for one turn of its handle? (72:1, 5, 40:1 with plates; empty for none)",
             ("Turn the handle once and see how far the rim moves.",), _table, NONE),
    Question("circles", "Hole circles of its plates? (15 16 17 18 19 20; empty for none)",
             ("The number of holes stands beside each circle of the plate; count them where it does not.",), _circles, NONE, given("table")),
    Question("crank-dial", "Has its crank a dial with marks too, besides the plates? (yes, no)",
             ("A sleeve with lines behind the handle is a dial; sector arms over a plate of holes are none.",),
             word("table.crank-dial", {"yes": "yes", "y": "yes", "no": "no", "n": "no", "none": "no"},
                  {"yes": "Beside the plates its dial is read.", "no": "It has plates and no dial: where no hole serves, the rim is read."}, "yes or no"),
             when=given("circles")),
    Question("mark", "The smallest mark of the table that you can read? (0.1, 1', 10 sec)",
             ("Count the marks of the handle's dial: the degrees of one turn, divided by their number. A vernier divides them again.",),
             _mark, when=given("table")),
    Question("grows", "Turn the handle so that the reading grows. Which way does the table turn, seen from above? (cw, ccw)", ("Turn the handle so that the degrees at the pointer get more, and look down on the table: cw turns as a clock's hands.",),
             word("table.counts-up", WAYS, {way: f"While its reading grows the table turns {way.upper()}, seen from above."
                                            for way in ("clockwise", "anticlockwise")}, "cw or ccw, seen from above"),
             when=given("table")),
    Question("table.backlash", "Slack of the table's handle? Empty if you do not know.",
             ("1. Clamp a bar on the table and put an indicator against its end.",
              "2. Turn one way until the indicator moves, note the dial, turn back until it moves again: the difference is the slack."),
             _slack, "Not known: the card still takes it up, a quarter turn or more.", given("table")),
    Question("table.error", "How far out may a table reading be? Empty for one mark.",
             ("1. Turn the table to 0, 90, 180, 270 and 0 again against a square or four marks, always the same way.",
              "2. The largest miss is the answer."),
             angle("table.error", "A reading may be out by"), "Not known: the file says one mark until you measure it.", given("table")),
)  # fmt: skip


def dial_drawing(answers: Answers) -> str:
    """Return the dial of the table's handle as it is now known: one turn, its degrees and marks; empty without a table.

    Examples
    --------
    >>> print(dial_drawing({"table": "72:1", "mark": "0.5"}))
    one turn of the handle = 5°, 10 marks of 0.5°
    0         1         2         3         4         0
    |....|....|....|....|....|....|....|....|....|....|
    """
    if not answers.get("table", "").strip() or "mark" not in answers:
        return ""
    degrees, mark = crank_of(answers["table"]), parse_angle(answers["mark"], "mark", "deg")
    marks = degrees / mark
    count = str(marks) if marks.denominator == 1 else f"about {float(marks):.1f}"
    said = spoken_angle(mark, "minutes" if in_minutes(answers["mark"]) else "decimal")
    lines = [f"one turn of the handle = {float(degrees):g}°, {count} marks of {said}"]
    if degrees.denominator == 1 and degrees <= 10:
        whole = int(degrees)
        wide = 10 if whole <= 7 else 6  # within a narrow window
        lines.append("".join(f"{n:<{wide}}" for n in range(whole)) + "0")
        lines.append(("|....|...." if wide == 10 else "|.....") * whole + "|")
    return "\n".join(lines)
