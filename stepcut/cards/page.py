"""Lines of text for a terminal: wrapped, led by dots, bold or reversed where that is wanted, plain where nothing else prints."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

from msgspec import Struct, field

# Of a terminal, ECMA-48 "Control Functions for Coded Character Sets", 8.3.117, select graphic rendition.
SGR = {"bold": "1", "reverse": "7", "red": "31"}

# What a terminal that cannot print a character gets instead.
PLAIN = {
    "°": "d",
    "³": "^3",
    "×": "x",
    "·": ".",
    "█": "#",
    "▓": "%",
    "▒": ":",
    "░": ".",
    "▀": '"',
    "▄": "_",
    "–": "-",
    "−": "-",
    "…": "...",
    "²": "^2",
    "≥": ">=",
}


def plain(text: str, encoding: str | None) -> str:
    """Return text in characters that an encoding has; unknown ones become a question mark.

    Examples
    --------
    >>> plain("12°30'", "ascii"), plain("12°30'", "utf-8")
    ("12d30'", "12°30'")
    """
    encoding = encoding or "ascii"
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        text = text.translate({ord(c): PLAIN.get(c, c) for c in set(text) if not _has(c, encoding)})
        try:
            return text.encode(encoding, "replace").decode(encoding)
        except LookupError:
            return text.encode("ascii", "replace").decode("ascii")
    return text


def _has(character: str, encoding: str) -> bool:
    try:
        character.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


class Page(Struct):
    """Lines of a card as they are put together, each with a style: empty, bold, reverse, or reverse red."""

    width: int
    lines: list[tuple[str, str]] = field(default_factory=list)

    def add(self, text: str, style: str = "", indent: str = "", first: str | None = None) -> None:
        """Add text, wrapped, with an indent; ``first`` stands before its first line."""
        begin = indent if first is None else first
        found = wrap(text, self.width, initial_indent=begin, subsequent_indent=indent, break_on_hyphens=False)
        self.lines += [(line, style) for line in found or [begin]]

    def as_is(self, text: str, style: str = "") -> None:
        """Add lines that are laid out already."""
        self.lines += [(line, style) for line in text.splitlines()]

    def heading(self, title: str, rule: str = "-") -> None:
        """Add a ruled heading."""
        self.lines.append((f"{rule * 2} {title} ".ljust(self.width, rule)[: self.width], "bold"))

    def bar(self, left: str, right: str, style: str = "reverse") -> None:
        """Add a bar over the whole width; the left words give way to the right ones."""
        room = max(4, self.width - len(right) - 2)
        left = left if len(left) <= room else f"{left[: room - 3]}..."
        text = f"{left}{' ' * (self.width - len(left) - len(right))}{right}"
        self.lines.append((text if len(text) <= self.width else text[: self.width], style))

    def pairs(self, pairs: Iterable[tuple[str, str]], label_width: int) -> None:
        """Add labels with their text beside them."""
        for label, text in pairs:
            self.add(text, indent=" " * (label_width + 1), first=f"{label:<{label_width}} ")

    def led(self, mark: str, what: str, answer: str) -> None:
        """Add a thing to do behind its box, with dots that lead to its answer."""
        self.lines += [(line, "") for line in leaders(what, answer, self.width, mark)]

    def boxes(self, lines: Iterable[str], mark: str) -> None:
        """Add lines behind a mark."""
        for line in lines:
            self.add(line, indent=" " * len(mark), first=mark)

    def printed(self, colour: bool) -> str:
        """Return the lines, styled where that is wanted; plain ones without the blanks at their ends."""
        lines = ((line if colour and "reverse" in style else line.rstrip(), style) for line, style in self.lines)
        return "".join(f"{styled(line, style) if colour else line}\n" for line, style in lines)


def styled(text: str, style: str) -> str:
    """Return text as a terminal shows it in a style: words of ``SGR``, none for plain text.

    Examples
    --------
    >>> styled("DO NOT CUT", "bold red")
    '\\x1b[1;31mDO NOT CUT\\x1b[0m'
    """
    codes = ";".join(SGR[word] for word in style.split())
    return f"\x1b[{codes}m{text}\x1b[0m" if codes and text else text


def leaders(what: str, answer: str, width: int, mark: str = "") -> list[str]:
    """Return what and answer on lines of a width, dots between them on the last one.

    Examples
    --------
    >>> leaders("Cutter, flat", "3/8 in", 30)
    ['Cutter, flat .......... 3/8 in']
    """
    indent = " " * len(mark)
    lines = wrap(what, width, initial_indent=mark, subsequent_indent=indent, break_on_hyphens=False) or [mark]
    if len(answer) + len(indent) + 4 > width:
        return [*lines, *wrap(answer, width, initial_indent=f"{indent}  ", subsequent_indent=f"{indent}  ")]
    if len(lines[-1]) + len(answer) + 4 > width:
        lines.append(indent)
    dots = width - len(lines[-1]) - len(answer) - 2
    gap = " " if lines[-1].strip() else ""
    lines[-1] = f"{lines[-1]}{gap}{'.' * (dots + (0 if gap else 1))} {answer}"
    return lines
