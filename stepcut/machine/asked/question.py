"""One question of the interview, and answers that several subjects read alike: lengths, angles, words, whole numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import BadValue
from stepcut.machine.model import LARGEST_SLACK
from stepcut.quantity import Unit, parse_angle, parse_length, plain_marks
from stepcut.written import exact_text, near_text, spoken_angle

Answers = Mapping[str, str]
Found = dict[str, str | list[str]]  # texts of the machine file, by key
Reader = Callable[[str, Answers], tuple[Found, str]]


class Question(Struct, frozen=True):
    """One thing that is asked: its key, the words, how to find the answer, and how an answer is read.

    ``read`` returns the texts of the file by key, and a sentence that repeats the answer as it was understood.  ``empty`` is
    what an empty answer means; where it is empty itself, there must be an answer.
    """

    key: str
    words: str
    how: tuple[str, ...]
    read: Reader
    empty: str = ""
    when: Callable[[Answers], bool] = lambda answers: True


NONE = "None."
LARGEST_ERROR = Fraction(
    254, 100
)  # mm; a scale that is a tenth of an inch out is read wrong: common practice, no source


def given(key: str) -> Callable[[Answers], bool]:
    """Return whether a question was answered with more than an empty line."""
    return lambda answers: bool(answers.get(key, "").strip())


METRIC = ("mm", "metric", "millimetre", "millimetres", "millimeter", "millimeters")
INCHES = ("in", "inch", "inches", "imperial", '"')


def unit_of(answers: Answers) -> Unit:
    """Return the unit of the machine's cards."""
    return "mm" if answers.get("unit", "in").strip().lower().rstrip(".") in METRIC else "in"


def in_minutes(text: str) -> bool:
    """Whether an angle was given in minutes or seconds."""
    return re.search(r"['\"]|min|sec", plain_marks(text).lower()) is not None


def angle(key: str, words: str, zero: bool = True) -> Reader:
    """Return the reader of an angle of a few degrees at most."""
    name = key.split(".")[1]

    def read(text: str, answers: Answers) -> tuple[Found, str]:
        degrees = parse_angle(text, name, "deg")
        if not 0 <= degrees < 20 or (degrees == 0 and not zero):
            rule = f"must be {'from' if zero else 'more than'} 0 and less than 20 degrees"
            raise BadValue(name, text, rule, "Write it like 5 min or 0.1.")
        return {
            key: exact_text(degrees, "angle")
        }, f"{words} {spoken_angle(degrees, 'minutes' if in_minutes(text) else 'decimal')}."

    return read


def length(key: str, words: str, zero: bool = False, below: str = "") -> Reader:
    """Return the reader of a length; ``below`` is the key of an answer that it must stay under.

    A mark is small, a turn of the handle at least a mark, and a slack less than a turn.
    """
    name = key.split(".")[-1]

    def read(text: str, answers: Answers) -> tuple[Found, str]:
        unit = unit_of(answers)
        size = parse_length(text, name, unit)
        if size < 0 or (size == 0 and not zero):
            rule = "must not be negative" if zero else "must be greater than 0"
            raise BadValue(name, text, rule, f"Write it like {'0.02mm' if unit == 'mm' else '0.001in'}.")
        if name == "error" and size >= LARGEST_ERROR:
            rule = f"must be less than {near_text(LARGEST_ERROR, unit)}"
            raise BadValue(
                name, text, rule, "Give the largest difference of five readings, not how far the scale goes."
            )
        if name == "division" and size >= LARGEST_ERROR:
            rule = f"must be less than {near_text(LARGEST_ERROR, unit)}"
            raise BadValue("mark", text, rule, "Give what one mark or digit is, not a turn and not how far it goes.")
        mark = answers.get(f"{key.partition('.')[0]}.division", "")
        if name == "per-turn" and mark.strip() and size < parse_length(mark, name, unit):
            rule = f"must be at least one mark, {near_text(parse_length(mark, name, unit), unit)}"
            raise BadValue("turn", text, rule, "Turn the handle once round, or go back to the mark.")
        most = answers.get(below, "")
        if name == "backlash" and not most.strip() and size >= LARGEST_SLACK:
            rule = f"must be less than {near_text(LARGEST_SLACK, unit)}"
            raise BadValue(name, text, rule, "Measure it again: forward until it moves, then back.")
        if most.strip() and size >= parse_length(most, name, unit):
            rule = f"must be less than one turn of its handle, {near_text(parse_length(most, name, unit), unit)}"
            raise BadValue(name, text, rule, "Measure it again: forward until it moves, then back.")
        return {key: exact_text(size, "length", unit)}, f"{words} {near_text(size, unit)}."

    return read


def word(key: str, words: Mapping[str, str], said: Mapping[str, str], choices: str) -> Reader:
    """Return the reader of one of a few words: what may be typed for each, and what is said of it."""
    name = key.split(".")[-1]

    def read(text: str, answers: Answers) -> tuple[Found, str]:
        found = words.get(" ".join(text.lower().split()))
        if found is None:
            raise BadValue(name, text, "is not one of the answers", f"Write {choices}.")
        return {key: found}, said[found]

    return read


def numbers(key: str, words: str, most: int) -> Reader:
    """Return the reader of whole numbers."""

    def read(text: str, answers: Answers) -> tuple[Found, str]:
        found = [each for each in re.split(r"[\s,;]+", text.strip()) if each]
        if not all(each.isascii() and each.isdigit() and 0 < int(each) <= most for each in found):
            raise BadValue(key, text, f"must be whole numbers from 1 to {most}", "Write them with spaces or commas between.")  # fmt: skip
        return {key: found}, f"{len(found)} {words if len(found) > 1 else words.removesuffix('s')}: {', '.join(found)}."

    return read


WAYS = {
    "cw": "clockwise", "clockwise": "clockwise", "right": "clockwise", "ccw": "anticlockwise", "acw": "anticlockwise",
    "anticlockwise": "anticlockwise", "counterclockwise": "anticlockwise", "counter-clockwise": "anticlockwise",
    "anti-clockwise": "anticlockwise", "left": "anticlockwise",
}  # fmt: skip
GOES = {
    "grows": "grows", "grow": "grows", "growing": "grows", "up": "grows", "falls": "falls", "fall": "falls",
    "falling": "falls", "down": "falls",
}  # fmt: skip
