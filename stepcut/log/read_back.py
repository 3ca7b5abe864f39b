"""What the phone's page gives back of a job: ticks with their times, notes, and what was found.

Owns the reading of the text; whose job it is and what its acts are, the caller knows.  Nothing in the text is believed unseen:
it went through a phone, a mail and a hand.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from stepcut.errors import BadValue

MARK, SCHEMA = "read-back", 1
MOST = 10**6  # acts and cuts
LONGEST = 10_000  # characters of one text
_WAY = "Save it again from the page, or copy the text whole."


class Done(Struct, frozen=True):
    """The acts that one press said were done, by their numbers, and when."""

    acts: tuple[int, ...]
    at: str


class Said(Struct, frozen=True):
    """A note, or a reading as text, at a cut (None: not at one)."""

    at: str
    cut: int | None
    text: str
    next_time: bool = False


class ReadBack(Struct, frozen=True):
    """Everything that came back; ``troubles`` and ``measured`` are told in words."""

    title: str
    part: str
    revision: str
    piece: str
    unit: str
    done: tuple[Done, ...]
    notes: tuple[Said, ...]
    readings: tuple[Said, ...]
    troubles: tuple[Said, ...]
    measured: tuple[Said, ...]


def parse(text: str, source: str) -> ReadBack:
    """Return what a text of the page says.

    Raises
    ------
    BadValue
        When it is not one, or is not whole.
    """
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        raise BadValue("file", source, "is not the text of a phone card", _WAY) from None
    if not isinstance(content, dict) or content.get("stepcut") != MARK:
        raise BadValue("file", source, "is not the text of a phone card", _WAY)
    if content.get("schema") != SCHEMA:
        rule = f"is of schema {str(content.get('schema'))[:20]}, and this program reads {SCHEMA}"
        raise BadValue("file", source, rule, "Use the program that made the card.")
    reader = _Reader(source)
    unit = reader.text(content, "unit")
    if unit not in ("in", "mm"):
        raise reader.wrong("unit")
    return ReadBack(
        title=reader.text(content, "title"),
        part=reader.text(content, "part"),
        revision=reader.text(content, "revision"),
        piece=reader.text(content, "piece"),
        unit=unit,
        done=tuple(Done(reader.acts(each), reader.time(each)) for each in reader.items(content, "acts")),
        notes=tuple(reader.said(each, "words") for each in reader.items(content, "notes")),
        readings=tuple(reader.said(each, "found") for each in reader.items(content, "readings")),
        troubles=tuple(reader.trouble(each) for each in reader.items(content, "off")),
        measured=tuple(reader.measured(each) for each in reader.items(content, "measured")),
    )


class _Reader(Struct, frozen=True):
    """Takes values out of the text, each of the kind it must be."""

    source: str

    def wrong(self, name: str) -> BadValue:
        return BadValue("file", self.source, f"has no sound {name}", _WAY)

    def items(self, content: Mapping[str, Any], name: str) -> list[Mapping[str, Any]]:
        found = content.get(name)
        if not isinstance(found, list) or not all(isinstance(each, dict) for each in found):
            raise self.wrong(name)
        return found

    def text(self, content: Mapping[str, Any], name: str) -> str:
        found = content.get(name)
        if not isinstance(found, str) or len(found) > LONGEST:
            raise self.wrong(name)
        return found

    def acts(self, content: Mapping[str, Any]) -> tuple[int, ...]:
        found = content.get("acts")
        if not isinstance(found, list) or not found or not all(type(n) is int and 0 < n <= MOST for n in found):
            raise self.wrong("acts")
        return tuple(found)

    def time(self, content: Mapping[str, Any]) -> str:
        try:
            return dt.datetime.fromisoformat(self.text(content, "at")).astimezone().isoformat(timespec="seconds")
        except (ValueError, OverflowError):
            raise self.wrong("time") from None

    def cut(self, content: Mapping[str, Any]) -> int | None:
        found = content.get("cut")
        if found is not None and not (type(found) is int and 0 < found <= MOST):
            raise self.wrong("cut")
        return found

    def said(self, content: Mapping[str, Any], name: str) -> Said:
        words = self.text(content, name).strip()
        if not words:
            raise self.wrong(name)
        return Said(self.time(content), self.cut(content), words, content.get("next_time") is True)

    def measured(self, content: Mapping[str, Any]) -> Said:
        what, found, expect = (self.text(content, name) for name in ("what", "found", "expect"))
        return Said(self.time(content), None, f"{what}: found {found}, expected {expect}")

    def trouble(self, content: Mapping[str, Any]) -> Said:
        found = content.get("found")
        if not isinstance(found, dict):
            raise self.wrong("found")
        read = ", ".join(f"{label} {self.text(found, label)}" for label in found if found[label])
        return Said(self.time(content), self.cut(content), f"stopped, something was off; found {read or 'nothing'}")
