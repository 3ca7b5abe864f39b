"""Describing a machine by questions in shop words: what is asked, what an answer means, and the file that it makes.

Pure: questions and answers, no terminal.  Answers are kept as they were typed, so that a draft can be taken up again and any
answer taken back; what each was understood as is said by :func:`understood`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.phrases import parse_cutter
from stepcut.quantity import Unit, angle_text, exact_text, near_text, parse_angle, parse_length, plain_marks

Answers = Mapping[str, str]


@dataclass(frozen=True)
class Question:
    """One thing that is asked: its key, the words, how to find the answer, and how an answer is read.

    ``read`` returns the texts of the file by key, and a sentence that repeats the answer as it was understood.
    """

    key: str
    words: str
    how: tuple[str, ...]
    read: Callable[[str, Answers], tuple[dict[str, str | list[str]], str]]
    may_be_empty: bool = False
    when: Callable[[Answers], bool] = lambda answers: True


def unit_of(answers: Answers) -> Unit:
    """Return the unit of the machine's cards."""
    return "mm" if answers.get("unit", "in").strip().lower() in ("mm", "metric", "millimetres", "millimeters") else "in"


# --- reading answers -----------------------------------------------------------------------------------------


def _unit(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    word = text.strip().lower().rstrip(".")
    if word in ("in", "inch", "inches", "imperial", '"'):
        return {"unit": "in"}, "Cards are in inches."
    if word in ("mm", "metric", "millimetres", "millimeters"):
        return {"unit": "mm"}, "Cards are in millimetres."
    raise BadValue("unit", text, "is neither inches nor millimetres", "Write in or mm.")


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
    if ratio and int(ratio[1]) > 0:
        return Fraction(360, int(ratio[1]))
    degrees = parse_angle(raw, "table", "deg")
    if not 0 < degrees <= 360:
        raise BadValue(
            "table", text, "is no table", "Write its ratio, such as 72:1, or degrees for one turn, such as 5."
        )
    return degrees


def _table(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    degrees = crank_of(text)
    ratio = 360 / degrees
    said = f"One turn of the handle turns the table {float(degrees):g} degrees"
    said += f" ({ratio}:1)." if ratio.denominator == 1 else "."
    return {"table.degrees-per-turn": exact_text(degrees, "angle")}, said


def _circles(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    words = [word for word in re.split(r"[\s,;]+", text.strip()) if word]
    if not all(word.isascii() and word.isdigit() and 0 < int(word) < 1000 for word in words):
        raise BadValue("hole circles", text, "are not whole numbers", "Write them like 15 16 17 18 19 20.")
    circles = sorted({int(word) for word in words})
    return {
        "table.hole-circles": [str(n) for n in circles]
    }, f"{len(circles)} hole circles: {', '.join(map(str, circles))}."


def _mark(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    angle = parse_angle(text, "mark", "deg")
    if not 0 < angle <= 10:
        raise BadValue("mark", text, "is no mark of a dial", "Write it like 0.1, 1', 5 min or 10 sec.")
    minutes = re.search(r"['\"]|min|sec", plain_marks(text).lower()) is not None
    said = angle_text(angle, "minutes", seconds=True) if minutes else f"{float(angle):g}°"
    dial = "minutes" if minutes else "decimal"
    kind = "degrees and minutes" if minutes else "decimal degrees"
    return {"table.division": exact_text(angle, "angle"), "table.dial": dial}, f"You read {said}, in {kind}."


_WAYS = {
    "cw": "clockwise", "clockwise": "clockwise", "right": "clockwise", "ccw": "anticlockwise", "acw": "anticlockwise",
    "anticlockwise": "anticlockwise", "counterclockwise": "anticlockwise", "counter-clockwise": "anticlockwise", "left": "anticlockwise",
}  # fmt: skip


def _grows(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    way = _WAYS.get(text.strip().lower())
    if way is None:
        raise BadValue("way", text, "is no way to turn", "Write cw or ccw, seen from above.")
    return {"table.counts-up": way}, f"While its reading grows the table turns {way.upper()}, seen from above."


def _angle(key: str, words: str) -> Callable[[str, Answers], tuple[dict[str, str | list[str]], str]]:
    def read(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
        angle = parse_angle(text, key.split(".")[1], "deg")
        if not 0 <= angle < 20:
            raise BadValue(key.split(".")[1], text, "is not believable", "Write it like 5 min or 0.1.")
        return {key: exact_text(angle, "angle")}, f"{words} {angle_text(angle, 'minutes')}."

    return read


def _length(
    key: str, words: str, zero: bool = False
) -> Callable[[str, Answers], tuple[dict[str, str | list[str]], str]]:
    def read(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
        unit = unit_of(answers)
        size = parse_length(text, key.split(".")[-1], unit)
        if size < 0 or (size == 0 and not zero):
            raise BadValue(key.split(".")[-1], text, "must be greater than 0", "Write it like 0.001in or 0.02mm.")
        return {key: exact_text(size, "length", unit)}, f"{words} {near_text(size, unit)}."

    return read


DEPTHS = ("readout", "knee", "quill")


def depths_of(text: str) -> list[str]:
    """Return the depth scales that an answer names, the trusted one first.

    Examples
    --------
    >>> depths_of("readout, quill"), depths_of("Knee")
    (['readout', 'quill'], ['knee'])
    """
    words = [word for word in re.split(r"[\s,;/+]+|\band\b", text.lower()) if word]
    found = ["readout" if word in ("dro", "readout", "digital") else word for word in words]
    wrong = [word for word in found if word not in DEPTHS]
    if wrong or not found:
        raise BadValue("depth", text, "is no depth scale that is known here", "Write quill, knee or readout; several with the one you trust first.")  # fmt: skip
    return list(dict.fromkeys(found))


def _depths(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    found = depths_of(text)
    names: dict[str, str | list[str]] = {f"{_section(n)}.name": name for n, name in enumerate(found)}
    more = f", beside it {' and '.join(found[1:])}" if found[1:] else ""
    return names, f"Depth is read on the {found[0]}, which is trusted{more}."


def _section(number: int) -> str:
    return "depth" if number == 0 else f"depth-{number + 1}"


def _reads(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    word = text.strip().lower()
    if word not in ("diameter", "radius", "d", "r"):
        raise BadValue("dial", text, "is neither diameter nor radius", "Write diameter or radius.")
    which = "diameter" if word.startswith("d") else "radius"
    return {"cross-slide.reads": which}, f"The cross-slide dial shows the {which.upper()}."


def _zero(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    word = text.strip().lower()
    if word not in ("along", "across"):
        raise BadValue("zero", text, "is neither along nor across", "Write along or across.")
    return {"compound.zero": word}, f"At its 0 the compound travels {word.upper()} the ways."


def _cutters(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    for part in parts:
        parse_cutter(part, "cutters", unit_of(answers))
    unit = unit_of(answers)
    plain = [part if re.search(r"[a-z\"]", plain_marks(part)) else f"{part}{unit}" for part in parts]
    return {"cutters": plain}, f"{len(plain)} cutter{'' if len(plain) == 1 else 's'}: {', '.join(plain)}."


def _numbers(key: str, words: str, most: int) -> Callable[[str, Answers], tuple[dict[str, str | list[str]], str]]:
    def read(text: str, answers: Answers) -> tuple[dict[str, str | list[str]], str]:
        found = [word for word in re.split(r"[\s,;]+", text.strip()) if word]
        if not all(word.isascii() and word.isdigit() and 0 < int(word) <= most for word in found):
            raise BadValue(key, text, "are not whole numbers", "Write them with spaces or commas between.")
        return {key: found}, f"{len(found)} {words}: {', '.join(found)}."

    return read


# --- the questions -------------------------------------------------------------------------------------------


def _given(key: str) -> Callable[[Answers], bool]:
    return lambda answers: bool(answers.get(key, "").strip())


SEEN_AT = {
    "slide": (
        "the slide",
        "Stand an indicator on the spindle and a block on the table, the plunger against the block.",
    ),
    "cross-slide": (
        "the cross-slide",
        "Stand an indicator on the ways of the lathe, its plunger against the cross-slide.",
    ),
    "carriage": ("the carriage", "Stand an indicator on the ways of the lathe, its plunger against the carriage."),
}


def _slack_and_error(section: str) -> tuple[Question, Question]:
    """Return what is asked of the slack and the error of a scale, and how each is measured in two minutes."""
    name, stand = SEEN_AT[section]
    there = _given(f"{section}.division")
    return (
        Question(f"{section}.backlash", f"Slack of {name}'s handle, as its dial counts it? Empty if you do not know.",
                 (f"1. {stand}", "2. Wind one way until the indicator moves, and note the dial.",
                  "3. Wind back until it moves again, and note the dial: the difference is the slack."),
                 _length(f"{section}.backlash", "Its slack is", True), True, there),
        Question(f"{section}.error", f"How far out may one reading of {name} be? Empty for one mark.",
                 (f"1. {stand}", "2. Come up to the same reading five times, always the same way, and note the indicator.",
                  "3. The largest difference is the answer."),
                 _length(f"{section}.error", "One reading may be out by", True), True, there),
    )  # fmt: skip


def _depth_questions(number: int) -> list[Question]:
    section = _section(number)

    def there(answers: Answers) -> bool:
        try:
            return len(depths_of(answers.get("depths", ""))) > number
        except BadValue:
            return False

    which = ("the scale you trust", "your second scale", "your third scale")[number]
    questions = [
        Question(f"{section}.division", f"Depth, {which}: its smallest digit or mark?", (), _length(f"{section}.division", "It shows"), when=there),
        Question(f"{section}.per-turn", f"Depth, {which}: how far does one turn of its handle go? Empty if it has none.", (),
                 _length(f"{section}.per-turn", "One turn of its handle is"), True, there),
    ]  # fmt: skip
    if number == 0:
        questions += [
            Question("depth.backlash", "Slack of the depth handle? Empty if you do not know.",
                     ("1. Put an indicator under the spindle and wind the handle one way until it moves.",
                      "2. Note the dial, wind back until the indicator moves again: the difference is the slack."),
                     _length("depth.backlash", "Its slack is", True), True, there),
            Question("depth.error", "How far out may one depth reading be? Empty for one mark.",
                     ("1. Go to the same reading five times, always the same way, and note the indicator.",
                      "2. The largest difference is the answer."),
                     _length("depth.error", "One reading may be out by", True), True, there),
        ]  # fmt: skip
    return questions


QUESTIONS: tuple[Question, ...] = (
    Question("unit", "Do you work in inches or millimetres? (in, mm)", (), _unit),
    Question("table", "Your rotary table: its ratio, or degrees for one turn of its handle? (72:1, 5, 40:1 with plates; empty for none)",
             ("Turn the handle once and see how far the rim moves.",), _table, True),
    Question("circles", "Hole circles of its plates? (15 16 17 18 19 20; empty for none)", (), _circles, True, _given("table")),
    Question("mark", "The smallest mark of the table that you can read? (0.1, 1', 10 sec)", (), _mark, when=_given("table")),
    Question("grows", "Turn the handle so that the reading grows. Which way does the table turn, seen from above? (cw, ccw)", (), _grows, when=_given("table")),
    Question("table.backlash", "Slack of the table's handle? Empty if you do not know.",
             ("1. Clamp a bar on the table and put an indicator against its end.",
              "2. Turn one way until the indicator moves, note the dial, turn back until it moves again: the difference is the slack."),
             _angle("table.backlash", "Its slack is"), True, _given("table")),
    Question("table.error", "How far out may a table reading be? Empty for one mark.",
             ("1. Turn the table to 0, 90, 180, 270 and 0 again against a square or four marks, always the same way.",
              "2. The largest miss is the answer."),
             _angle("table.error", "A reading may be out by"), True, _given("table")),
    Question("depths", "What tells you the depth on the mill? (quill, knee, readout; several with the one you trust first; empty for no mill)", (), _depths, True),
    *(question for number in range(3) for question in _depth_questions(number)),
    Question("slide.division", "The mill's table slide: its smallest digit or mark? Empty for none.", (), _length("slide.division", "The slide shows"), True),
    Question("slide.per-turn", "One turn of the slide's handle goes how far? Empty if you do not use it.", (),
             _length("slide.per-turn", "One turn is"), True, _given("slide.division")),
    *_slack_and_error("slide"),
    Question("cross-slide.division", "Your lathe's cross-slide: its smallest mark? Empty for no lathe.", (), _length("cross-slide.division", "The cross-slide shows"), True),
    Question("reads", "Wind the cross-slide in by 10 marks and cut: does the DIAMETER shrink by 10 marks, or by 20? (diameter for 10, radius for 20)",
             (), _reads, when=_given("cross-slide.division")),
    Question("cross-slide.per-turn", "One turn of its handle, as the dial counts it? Empty if you do not know.", (),
             _length("cross-slide.per-turn", "One turn is"), True, _given("cross-slide.division")),
    *_slack_and_error("cross-slide"),
    Question("carriage.division", "The carriage: its smallest mark or digit?", (), _length("carriage.division", "The carriage shows"), when=_given("cross-slide.division")),
    *_slack_and_error("carriage"),
    Question("zero", "The compound at its 0: does it travel along the ways or across them? (along, across; empty for none)", (), _zero, True, _given("cross-slide.division")),
    Question("compound.degrees-division", "Smallest mark of its degree scale? (1, 0.5)", (), _angle("compound.degrees-division", "You set it to"), when=_given("zero")),
    Question("compound.travel", "How far does it travel?", (), _length("compound.travel", "It travels"), when=_given("zero")),
    Question("compound.division", "Smallest mark of its feed dial?", (), _length("compound.division", "It shows"), when=_given("zero")),
    Question("speeds", "Spindle speeds of the mill, in turns a minute? Empty if you do not care.", (), _numbers("speeds", "speeds", 100_000), True, _given("depths")),
    Question("cutters", "Cutters on hand? (3/8in, 1/2in, 1/4in ball; empty for none)", (), _cutters, True),
    Question("gears", "Change gears on hand, by teeth? Empty for none.", (), _numbers("gears", "gears", 1000), True),
)  # fmt: skip


def next_question(answers: Answers) -> Question | None:
    """Return the first question that still needs an answer; None when everything is said."""
    return next((q for q in QUESTIONS if q.key not in answers and q.when(answers)), None)


# What an empty answer means, where it is not plainly none.
EMPTY = {
    "error": "Not known: the file says one mark until you measure it.",
    "backlash": "Not known: the card still takes it up, a quarter turn or more.",
}


def understood(question: Question, text: str, answers: Answers) -> str:
    """Return an answer as it was understood, in a sentence.

    Raises
    ------
    BadValue
        When it cannot be read; the message says how to write it.
    """
    if not text.strip():
        if question.may_be_empty:
            return EMPTY.get(question.key.rpartition(".")[2], "None.")
        raise BadValue(question.key, None, "needs an answer", "Write one, or back to change the one before.")
    return question.read(text, answers)[1]


# --- what comes of it ----------------------------------------------------------------------------------------


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
    minutes = re.search(r"['\"]|min|sec", plain_marks(answers["mark"]).lower()) is not None
    said = angle_text(mark, "minutes", seconds=True) if minutes else f"{float(mark):g}°"
    lines = [f"one turn of the handle = {float(degrees):g}°, {count} marks of {said}"]
    if degrees.denominator == 1 and degrees <= 10:
        whole = int(degrees)
        lines.append("".join(f"{n:<10}" for n in range(whole)) + "0")
        lines.append("|....|...." * whole + "|")
    return "\n".join(lines)


def machine_text(name: str, answers: Answers) -> str:
    """Return the machine's file; what was left empty stands at one mark where the file wants a figure, and says so."""
    found: dict[str, str | list[str]] = {}
    for question in QUESTIONS:
        text = answers.get(question.key, "")
        if text.strip() and question.when(answers):
            found.update(question.read(text, answers)[0])
    for key, division in list(found.items()):
        if key.endswith(".division"):
            found.setdefault(f"{key.removesuffix('division')}error", division)
    lines = [
        f"# The machine {name}, as it was described; edit it freely.",
        "stepcut-machine = 1",
        f"name = {_toml(name)}",
    ]
    lines += [f"{key} = {_toml(value)}" for key, value in found.items() if "." not in key]
    sections = dict.fromkeys(key.split(".")[0] for key in found if "." in key)
    for section in sections:
        lines += ["", f"[{section}]"]
        for key, value in found.items():
            if key.startswith(f"{section}."):
                guessed = key.endswith(".error") and not answers.get(key, "").strip()
                lines.append(
                    f"{key.partition('.')[2]} = {_toml(value)}{'  # one mark: not measured yet' if guessed else ''}"
                )
    return "\n".join(lines) + "\n"


def _toml(value: str | list[str]) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(item if item.isdigit() else json.dumps(item, ensure_ascii=False) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)
