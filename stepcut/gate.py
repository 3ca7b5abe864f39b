"""The gate: how a text that came from outside may look on any output.

Recipes, machine files, the log, arguments and file names can hold characters that move the cursor, turn the direction of
reading or show nothing at all; printed as they are they could hide a verdict or forge one.  Here each of them becomes
a code that can be seen, such as ``[U+001B]``.  Nothing is dropped, and nothing that can be seen is changed.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from typing import Any, TypeVar

T = TypeVar("T")

# Classes of characters that are not letters or signs: control, format (bidi among them), lone surrogates, private ones,
# unassigned ones, separators of lines and paragraphs (Unicode Standard, section 4.5, general category).
_UNSEEN = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))
# Letters and marks by their class that print as nothing: fillers of Hangul, the grapheme joiner, blank braille,
# Khmer and Mongolian signs without a shape (Unicode Standard, DerivedCoreProperties, Default_Ignorable_Code_Point).
_BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180f\u2800\u3164\uffa0")
# What a spreadsheet takes for the beginning of a formula, full-width signs included.
_FORMULA = r"(^|[;,|\t\r\n])(?=[\s\"']*[=+\-@\t\r＝＋－＠])"
_NUMBER = r"[-+]?\d+(?:\.\d+)?"
# Spaces that are wider, narrower or unbreakable stay; they can be seen as spaces.


def code(character: str) -> str:
    """Return the visible code of a character.

    Examples
    --------
    >>> code("水")
    '[U+6C34]'
    """
    return f"[U+{ord(character):04X}]"


def hidden(character: str) -> bool:
    """Whether a character acts on the print, or does not show in it."""
    return character in _BLANK or unicodedata.category(character) in _UNSEEN


def line(text: str) -> str:
    r"""Return text as it may stand in one line: line ends and tabs are codes too.

    Examples
    --------
    >>> line("Clamp\nDO NOT CUT"), line("a\u202eb\x1b[8m"), line("Шлюз 水 12°30'")
    ('Clamp[U+000A]DO NOT CUT', 'a[U+202E]b[U+001B][8m', "Шлюз 水 12°30'")
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(code(c) if hidden(c) else c for c in text)


def lines(text: str) -> str:
    r"""Return text of several lines: line ends and tabs stay, everything else that acts becomes a code.

    Examples
    --------
    >>> lines("one\ttwo\n\x1b[2J")
    'one\ttwo\n[U+001B][2J'
    """
    return "".join(c if c in "\n\t" else line(c) for c in text) if _acts(text) else text


def prose(text: str) -> str:
    r"""Return a note as one flowing line: its line ends and tabs are spaces, as in print.

    Examples
    --------
    >>> prose("dull cutter:\n  take less\x07")
    'dull cutter: take less[U+0007]'
    """
    return line(" ".join(text.split()))


def _acts(text: str) -> bool:
    return not (text.isascii() and text.replace("\n", "").replace("\t", "").isprintable())


def everywhere(value: T) -> T:
    """Return a value with every text in it as one line: in lists, mappings and records, however deep.

    Keys of mappings are the program's own and stay.
    """
    found: Any = value
    if isinstance(value, str):
        found = line(value)
    elif isinstance(value, tuple) and hasattr(value, "_fields"):
        found = type(value)(*(everywhere(item) for item in value))
    elif isinstance(value, list | tuple) and value and isinstance(value[0], float):
        found = value  # a line of a drawing: no text, and many points
    elif isinstance(value, list | tuple):
        found = type(value)(everywhere(item) for item in value)
    elif isinstance(value, Mapping):
        found = {key: everywhere(item) for key, item in value.items()}
    elif not isinstance(value, type) and (names := getattr(found, "__struct_fields__", ())):
        from msgspec.structs import replace

        changed = {name: new for name in names if (new := everywhere(old := getattr(value, name))) != old}
        found = replace(found, **changed) if changed else value
    same: T = found
    return same


def cell(value: object) -> str:
    r"""Return a cell of a table that no spreadsheet takes for a formula, whatever it splits lines at.

    A file with commas may be opened as one with semicolons or tabs, so a formula sign is disarmed behind those too.
    A plain number with its sign is a number and stays one.

    Examples
    --------
    >>> cell("=1+1"), cell("-0.0050"), cell("a;=1+1"), cell(" @x"), cell("plain, text")
    ("'=1+1", '-0.0050', "a;'=1+1", "' @x", 'plain, text')
    """
    text = line(str(value))
    return text if re.fullmatch(_NUMBER, text) else re.sub(_FORMULA, r"\1'", text)


def markdown(text: str) -> str:
    """Return text for one line of Markdown: what could be a tag, a link, a picture, a heading or a column is escaped.

    Examples
    --------
    >>> markdown("# a|b <img> [x](y) 1_2")
    '\\\\# a\\\\|b \\\\<img> \\\\[x\\\\](y) 1_2'
    """
    return re.sub(r"(^\s*[#>+-]|[\\`*\[\]<|])", lambda found: "\\" + found[0], line(text))


def json_text(content: object, indent: int | None = 2) -> str:
    r"""Return content as JSON in which characters that act stand as JSON's own escapes, so that it reads back the same.

    Examples
    --------
    >>> json_text({"title": "a\u202eb 水"}, None)
    '{"title": "a\\u202eb 水"}'
    """
    text = json.dumps(content, indent=indent, ensure_ascii=False)
    return text if not _acts(text) else "".join(_escaped(c) if c != "\n" and hidden(c) else c for c in text)


def toml_text(text: str) -> str:
    r"""Return the text of a TOML file in which characters that act stand as TOML's own escapes; in a quoted text they read back the same.

    Examples
    --------
    >>> toml_text('title = "a\u202eb \U000e0001 水"\n')
    'title = "a\\u202eb \\U000e0001 水"\n'

    References
    ----------
    TOML v1.0.0, "String": ``\uXXXX`` and ``\UXXXXXXXX``.
    """
    text = text.replace("\r\n", "\n")
    if not _acts(text):
        return text
    return "".join((f"\\u{ord(c):04x}" if ord(c) < 0x10000 else f"\\U{ord(c):08x}") if c not in "\n\t" and hidden(c) else c for c in text)  # fmt: skip


def _escaped(character: str) -> str:
    return (
        json.dumps(character)[1:-1] if ord(character) > 0x7E and ord(character) != 0x7F else f"\\u{ord(character):04x}"
    )
