"""What is asked of the straight scales: quill, knee and readout, the mill's slide, the lathe's slides and its compound.

Of each: its smallest mark, the handle that moves it and the way that turns, whether its reading grows inward, its slack, how
far it goes, and how far out a reading may be, with how each is found out at the machine.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from stepcut.errors import BadValue, StepcutError
from stepcut.machine.asked.question import (
    GOES,
    NONE,
    WAYS,
    Answers,
    Found,
    Question,
    angle,
    given,
    length,
    numbers,
    unit_of,
    word,
)
from stepcut.quantity import Unit, parse_length

DEPTHS = ("readout", "knee", "quill")


def depths_of(text: str) -> list[str]:
    """Return the depth scales that an answer names, the trusted one first.

    Examples
    --------
    >>> depths_of("readout, quill"), depths_of("Knee")
    (['readout', 'quill'], ['knee'])
    """
    words = [each for each in re.split(r"[\s,;/+]+|\band\b", text.lower()) if each]
    found = ["readout" if each in ("dro", "readout", "digital") else each for each in words]
    if not found or any(each not in DEPTHS for each in found):
        raise BadValue("depth", text, "is no depth scale that is known here", "Write quill, knee or readout; several with the one you trust first.")  # fmt: skip
    return list(dict.fromkeys(found))


def section_of(number: int) -> str:
    """Return the section of the machine file for a depth scale, from 0."""
    return "depth" if number == 0 else f"depth-{number + 1}"


def _depths(text: str, answers: Answers) -> tuple[Found, str]:
    found = depths_of(text)
    names: Found = {f"{section_of(n)}.name": name for n, name in enumerate(found)}
    more = f", beside it the {' and the '.join(found[1:])}" if found[1:] else ""
    return names, f"Depth is read on the {found[0]}, which is trusted{more}."


def _depth(answers: Answers, number: int) -> str:
    """Return which depth scale has a number, from 0; empty where there is none."""
    try:
        found = depths_of(answers.get("depths", ""))
    except BadValue:
        return ""
    return found[number] if number < len(found) else ""


# --- one scale -----------------------------------------------------------------------------------------------

STAND = {
    "depth": "Stand an indicator on the table, its plunger against the spindle's nose.",
    "slide": "Stand an indicator on the spindle and a block on the table, the plunger against the block.",
    "cross-slide": "Stand an indicator on the ways of the lathe, its plunger against the cross-slide.",
    "carriage": "Stand an indicator on the ways of the lathe, its plunger against the carriage.",
    "compound": "Stand an indicator on the cross-slide, its plunger against the compound's slide.",
}
INWARD = {
    "depth": "Take the cutter DEEPER by its handle",
    "carriage": "Move the carriage toward the HEADSTOCK",
    "cross-slide": "Move the cross-slide toward the AXIS of the lathe",
    "compound": "Move the compound into the WORK",
}
HANDLES = {
    "depth": "knee crank",
    "slide": "table crank, X handle",
    "carriage": "carriage handwheel",
    "cross-slide": "cross-slide handle",
    "compound": "compound handle",
}


def _handle(section: str) -> Callable[[str, Answers], tuple[Found, str]]:
    """Return the reader of a handle's name with the way that it turns, when that is said behind it."""

    def read(text: str, answers: Answers) -> tuple[Found, str]:
        words = text.split()
        way = WAYS.get(words[-1].lower()) if words else None
        name = " ".join(words[:-1] if way else words)
        if _is_length(name, unit_of(answers)):
            raise BadValue("handle", text, "must be a name and no measure", "Write what it is called, such as knee crank, and cw or ccw.")  # fmt: skip
        if len(name) > 40:
            raise BadValue("handle", text, "must be no longer than 40 letters", "Write its name, such as knee crank, and cw or ccw.")  # fmt: skip
        found: Found = {f"{section}.handle": name} if name else {}
        said = f"The {name} moves it" if name else "Its handle moves it"
        if way:
            found[f"{section}.handle-turns"] = way
            said += f" and turns {way.upper()}, seen facing it, while the reading grows"
        return found, f"{said}."

    return read


def _is_length(text: str, unit: Unit) -> bool:
    """Whether an answer that should be a name is one to the question after it, typed too early."""
    try:
        parse_length(text, "handle", unit)
    except StepcutError:
        return False
    return True


MARK = (
    "Divide what one turn of its handle moves by the marks of its dial; of a readout it is the step of the last digit.",
)
SPEEDS = (
    "They stand on the plate at its levers or belts; write all of them. The card then names the nearest one below what suits the cutter.",
)
# An indicator sees the slide move; the dial counts twice that where it shows the diameter.
TWICE = "Where the dial shows the DIAMETER, give twice what an indicator shows."


def _of_scale(section: str, scale: str, there: Callable[[Answers], bool]) -> tuple[Question, ...]:
    """Return what is asked of a scale after its smallest mark; ``scale`` is what the words call it."""
    kind = section.partition("-")[0] if section.startswith("depth") else section
    stand, turn = STAND[kind], f"{section}.per-turn"
    twice = (TWICE,) if kind == "cross-slide" else ()
    handle = Question(
        f"{section}.handle",
        f"{scale}: which handle moves it, and which way does that turn while the reading grows? ({HANDLES[kind]} cw; empty: its name is enough)",
        ("Face the handle, turn it, and look whether the reading grows: cw turns like the hands of a clock.",),
        _handle(section), "The card calls the handle by the scale's own name.", there)  # fmt: skip
    per_turn = Question(
        turn, f"{scale}: how far does one turn of its handle go? Empty if it has no dial.",
        ("Turn it once round, always the same way, and read the difference off the scale or an indicator.", *twice),
        length(turn, "One turn of its handle is"), "It has no dial that a card speaks of.", there)  # fmt: skip
    slack = Question(
        f"{section}.backlash", f"{scale}: slack of its handle? Empty if you do not know.",
        (f"1. {stand}", "2. Wind one way until the indicator moves, and note the dial.",
         "3. Wind back until it moves again, and note the dial: the difference is the slack."),
        length(f"{section}.backlash", "Its slack is", True, turn), "Not known: the card still takes it up, a quarter turn or more.",
        there)  # fmt: skip
    travel = Question(
        f"{section}.travel", f"{scale}: how far can it move, from stop to stop? Empty if it is always enough.",
        ("Wind it to one end and to the other, and measure how far it went: the card says when a job needs more.",),
        length(f"{section}.travel", "It can move"), "Not known: no card looks whether it is enough.", there)  # fmt: skip
    error = Question(
        f"{section}.error", f"{scale}: how far out may one reading be? Empty for one mark.",
        (f"1. {stand}", "2. Come up to the same reading five times, always the same way, and note the indicator.",
         "3. The largest difference is the answer.", *(f"4. {words}" for words in twice)),
        length(f"{section}.error", "One reading may be out by", True), "Not known: the file says one mark until you measure it.",
        there)  # fmt: skip
    return (handle, per_turn, *_ways(section, kind, scale, there), slack, travel, error)


def _ways(section: str, kind: str, scale: str, there: Callable[[Answers], bool]) -> tuple[Question, ...]:
    """Return which way a reading grows; of the slide, which is used both ways, how a reading is come up to."""

    def turns(answers: Answers) -> bool:
        return there(answers) and given(f"{section}.per-turn")(answers)

    if kind == "slide":
        said = {goes: f"Readings are come up to with the reading {goes.removesuffix('s')}ing; that takes the slack up." for goes in ("grows", "falls")}  # fmt: skip
        return (Question(f"{section}.comes-up", f"{scale}: which way do you come up to a reading, so that its slack is out? (growing, falling; empty for growing)",
                         ("Slack is taken up one way only: cut and set always coming from the same side.",),
                         word(f"{section}.comes-up", GOES, said, "growing or falling"), "Readings are come up to growing.", turns),)  # fmt: skip
    said = {
        "grows": "Its dial counts with the cut; the card comes up to it inward, which takes the slack up.",
        "falls": "Its dial counts BACKWARD as the cut goes in, and the card's dial readings do so too.",
    }
    return (Question(f"{section}.inward", f"{scale}. {INWARD[kind]}: does its dial grow or fall? (grows, falls; empty if you do not know)",
                     ("Move it inward by its handle and watch the numbers of its dial.",),
                     word(f"{section}.inward", GOES, said, "grows or falls"), "Not known: the card takes it that the dial counts up with its readings.", turns),)  # fmt: skip


# --- all of them ---------------------------------------------------------------------------------------------


def _depth_questions(number: int) -> tuple[Question, ...]:
    section = section_of(number)

    def there(answers: Answers) -> bool:
        return bool(_depth(answers, number))

    scale = f"Depth, {'{' + section + '}'}"  # the name is put in when it is asked
    mark = Question(
        f"{section}.division", f"{scale}: its smallest digit or mark?", MARK, length(f"{section}.division", "It shows"), when=there
    )  # fmt: skip
    return (mark, *_of_scale(section, scale, there))


def worded(question: Question, answers: Answers) -> str:
    """Return the words of a question, with the depth scale that it is about by name, and examples in the shop's unit."""
    words = question.words
    if unit_of(answers) == "mm":
        words = words.replace("3/8in, 1/2in, 1/4in ball", "10mm, 12mm, 6mm ball")
    for number in range(3):
        name = _depth(answers, number)
        if name == "quill" and question.key == f"{section_of(number)}.handle":
            words = words.replace(HANDLES["depth"], "quill handwheel")
        words = words.replace(f"{{{section_of(number)}}}", f"the {name}")
    return words


_SAYS: Mapping[str, str] = {way: f"The cross-slide dial shows the {way.upper()}." for way in ("diameter", "radius")}
_STANDS: Mapping[str, str] = {way: f"At its 0 the compound travels {way.upper()} the ways." for way in ("along", "across")}  # fmt: skip
LATHE, ZERO = given("cross-slide.division"), given("zero")

QUESTIONS = (
    Question("depths", "What tells you the depth on the mill? (quill, knee, readout; several with the one you trust first; empty for no mill)",
             ("The scale or screen that you read while the cutter goes deeper.",), _depths, NONE),
    *(question for number in range(3) for question in _depth_questions(number)),
    Question("slide.division", "The mill's table slide: its smallest digit or mark? Empty for none.", MARK, length("slide.division", "The slide shows"), NONE),
    *_of_scale("slide", "Table slide", given("slide.division")),
    Question("cross-slide.division", "Your lathe's cross-slide: its smallest mark? Empty for no lathe.", (*MARK, "What the DIAL says, whether it counts the diameter or the radius: that is asked next."),
             length("cross-slide.division", "The cross-slide shows"), NONE),
    Question("reads", "Wind the cross-slide in by 10 marks and cut: does the DIAMETER shrink by 10 marks, or by 20? (diameter for 10, radius for 20)",
             ("Turn a light cut and measure it; wind in 10 marks, turn it again, and measure how much smaller it came out.",),
             word("cross-slide.reads", {"diameter": "diameter", "d": "diameter", "10": "diameter", "radius": "radius", "r": "radius", "20": "radius"},
                      _SAYS, "diameter or radius"), when=LATHE),
    *_of_scale("cross-slide", "Cross-slide", LATHE),
    Question("carriage.division", "The carriage: its smallest mark or digit?", MARK, length("carriage.division", "The carriage shows"), when=LATHE),
    *_of_scale("carriage", "Carriage", LATHE),
    Question("zero", "The compound at its 0: does it travel along the ways or across them? (along, across; empty for none)", ("Set its degree scale to 0, wind its handle, and look which way the tool goes.",),
             word("compound.zero", {"along": "along", "across": "across"}, _STANDS, "along or across"), NONE, LATHE),
    Question("compound.degrees-division", "Compound: smallest mark of its degree scale? (1, 0.5)", ("The degrees from one line of the scale on its base to the next.",),
             angle("compound.degrees-division", "You set it to", zero=False), when=ZERO),
    Question("compound.division", "Compound: smallest mark of its feed dial?", MARK, length("compound.division", "It shows"), when=ZERO),
    *(question if question.key != "compound.travel" else
      Question(question.key, "Compound: how far can it move, from stop to stop?", question.how, question.read, when=ZERO)
      for question in _of_scale("compound", "Compound", ZERO)),
    Question("speeds", "Spindle speeds of the mill, in turns a minute? Empty if you do not care.", SPEEDS, numbers("speeds", "speeds", 100_000), NONE, given("depths")),
    Question("lathe-speeds", "Spindle speeds of the lathe, in turns a minute? Empty if you do not care.", SPEEDS,
             numbers("lathe-speeds", "speeds", 100_000), NONE, LATHE),
)  # fmt: skip
