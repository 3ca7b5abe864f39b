"""What stands on the pages of a PDF, read back with PDFium: a wheel from the package index, no program on the machine."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import pypdfium2
from pypdfium2 import raw


@dataclass(frozen=True)
class Word:
    """A word and its place in points: x to the right, y down from the top of the sheet; `size` is as printed."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    size: float
    font: str

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


@dataclass(frozen=True)
class Page:
    """One sheet: its size in points and its words in the order in which they were set."""

    width: float
    height: float
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """Words joined by one space, in the order in which they were set."""
        return " ".join(word.text for word in self.words)


def pages(content: bytes) -> list[Page]:
    """Read every page of a PDF."""
    return list(_pages(content))


# several tests look at the same sheets, and reading them letter by letter takes as long as laying them out
@lru_cache(128)
def _pages(content: bytes) -> tuple[Page, ...]:
    document = pypdfium2.PdfDocument(content)
    try:
        return tuple(_page(document[n]) for n in range(len(document)))
    finally:
        document.close()


def text(content: bytes) -> str:
    """All words of all pages, one space between words and a new line between pages."""
    return "\n".join(page.text for page in pages(content))


def _page(page: pypdfium2.PdfPage) -> Page:
    width, height = page.get_size()
    return Page(width, height, tuple(_words(page.get_textpage(), height)))


def _words(sheet: pypdfium2.PdfTextPage, height: float) -> Iterator[Word]:
    """Join characters that touch on one line; a space, a gap, another line or another size ends a word."""
    held: list[Word] = []
    for n in range(sheet.count_chars()):
        letter = chr(raw.FPDFText_GetUnicode(sheet, n))
        if letter.isspace() or raw.FPDFText_IsGenerated(sheet, n) == 1:
            new = None
        else:
            left, bottom, right, top = sheet.get_charbox(n, loose=True)
            size = _size(sheet, n)
            new = Word(letter, left, height - top, right, height - bottom, size, _font(sheet, n))
        apart = new is None or not held or abs(new.left - held[-1].right) > new.size / 4 or new.size != held[-1].size
        if held and (apart or new is None or abs(new.top - held[-1].top) > 1):
            yield _joined(held)
            held = []
        if new is not None:
            held.append(new)
    if held:
        yield _joined(held)


def _joined(letters: list[Word]) -> Word:
    first = letters[0]
    return Word(
        "".join(letter.text for letter in letters),
        first.left, min(letter.top for letter in letters), letters[-1].right, max(letter.bottom for letter in letters),
        first.size, first.font,
    )  # fmt: skip


def _size(sheet: pypdfium2.PdfTextPage, n: int) -> float:
    """Size of a character as it is printed, points: its font's, times what a drawing that it stands in is scaled by."""
    matrix = raw.FS_MATRIX()
    raw.FPDFText_GetMatrix(sheet, n, ctypes.byref(matrix))
    return round(raw.FPDFText_GetFontSize(sheet, n) * math.hypot(matrix.c, matrix.d), 3)


def _font(sheet: pypdfium2.PdfTextPage, n: int) -> str:
    """Name of the font of a character, without the six letters that mark a subset."""
    name, flags = ctypes.create_string_buffer(200), ctypes.c_int()
    raw.FPDFText_GetFontInfo(sheet, n, name, len(name), ctypes.byref(flags))
    return name.value.decode().split("+")[-1]
