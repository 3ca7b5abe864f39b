"""Make the pictures that the README shows, and the marks by which a test sees that they are of today.

python tests/gallery/face.py

A paper card, the first screen on a terminal, and four screens of the phone; for these Chromium is needed, and without it
they stay as they are.  A mark is the hash of a picture and of all that it was drawn from.
"""

from __future__ import annotations

import json
import shutil
import struct
import sys
import tempfile
import zlib
from collections.abc import Callable
from hashlib import sha256
from importlib.resources import files as resources
from pathlib import Path

import pypdfium2
import typst

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from rich.text import Text  # noqa: E402  # the checkout comes first on the path

from stepcut import recipes  # noqa: E402  # the same
from stepcut.acts import Card  # noqa: E402  # the same
from stepcut.cards import first_screen, html, pdf  # noqa: E402  # the same
from stepcut.cli import show  # noqa: E402  # the same
from tests.browser import NAMES, chromium  # noqa: E402  # the same

HERE = Path(__file__).parent
SHOWN = ("RAMP 1 · 9 of", "DEPTH", "CHECK after 10", "CUTTER UP CLEAR")  # on the screens of the phone, in this order


def card() -> Card:
    """Return the card that is shown."""
    return show.whole(recipes.job(recipes.load(str(ROOT / "recipes" / "sluice-clamp-ramp.toml"))), "2026-01-01")


# --- what each picture is drawn from ---------------------------------------------------------------------------------


def paper_source() -> str:
    """Return texts, drawings and template of the paper card."""
    template = (resources("stepcut") / "cards" / "card.typ").read_text("utf-8")
    return json.dumps(pdf.content(card(), "us-letter"), sort_keys=True) + template


def terminal_source() -> str:
    """Return the first screen of a terminal of 80 columns, with its colours."""
    return first_screen.render(card(), 80, colour=True)


def phone_source() -> str:
    """Return the page of the phone."""
    return html.render(card())


# --- the pictures ----------------------------------------------------------------------------------------------------


def paper() -> bytes:
    """Return the front of the paper card."""
    return small(pdf.render(card(), "us-letter")[0], 84)


def terminal() -> bytes:
    """Return the first screen as a window without a frame: light on dark, reversed print reversed, bold print bold."""
    lines = [_spans(Text.from_ansi(line)) for line in terminal_source().splitlines()]
    return small(_typst(_WINDOW, json.dumps(lines)), 72)


def phone() -> bytes | None:
    """Return screens of the phone side by side; None without Chromium."""
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        return None
    shots = []
    with chromium(path) as browser, tempfile.TemporaryDirectory() as folder:
        page = browser.new_context(viewport={"width": 360, "height": 640}).new_page()
        page.add_init_script("{ let t = 0; performance.now = () => (t += 1000); }")  # no press is asleep
        address = Path(folder) / "card.html"
        address.write_text(phone_source(), "utf-8")
        page.goto(address.as_uri())
        for words in SHOWN:
            while words not in page.inner_text("#act h1") + page.inner_text("#ask"):
                page.click("#do")
            page.evaluate("document.querySelectorAll('.asleep').forEach((each) => each.classList.remove('asleep'))")
            shots.append(list(page.screenshot()))
    return small(_typst(_PHONES, json.dumps(shots)), 72)


_WINDOW = """
#let lines = json(bytes(sys.inputs.data))
#set page(width: 512pt, height: auto, margin: 8pt, fill: rgb("#1e1e1e"))
#set text(font: "DejaVu Sans Mono", size: 10pt, fill: rgb("#f0f0f0"), fallback: false)
#set par(leading: 0pt)
#for line in lines {
  block(above: 0pt, below: 0pt, height: 12.6pt, width: 100%, for (words, bold, turned) in line {
    box(height: 12.6pt, fill: if turned { rgb("#f0f0f0") } else { none }, outset: (y: 0.2pt), align(horizon, text(
      weight: if bold { "bold" } else { "regular" }, fill: if turned { rgb("#111111") } else { rgb("#f0f0f0") }, words,
    )))
  })
}
"""
_PHONES = """
#let shots = json(bytes(sys.inputs.data))
#set page(width: auto, height: auto, margin: 8pt, fill: rgb("#888888"))
#grid(columns: shots.len(), column-gutter: 10pt, ..shots.map(each => image(bytes(each), width: 200pt)))
"""


def _spans(line: Text) -> list[tuple[str, bool, bool]]:
    """Return a line's words with whether they are bold and whether they are reversed; spaces that no line end may eat."""
    styles = [span.style for span in line.spans]
    bold = any("bold" in str(style) for style in styles)
    turned = any("reverse" in str(style) for style in styles)
    return [(line.plain.replace(" ", "\u00a0"), bold, turned)]


def _typst(template: str, data: str) -> bytes:
    made: bytes = typst.compile(template.encode(), sys_inputs={"data": data}, ignore_system_fonts=True)
    return made


def small(content: bytes, ppi: float) -> bytes:
    """Return the first sheet of a PDF as a PNG of 16 greys (PNG specification, ISO/IEC 15948, colour type 0, 4 bits)."""
    document = pypdfium2.PdfDocument(content)
    grey = document[0].render(scale=ppi / 72, grayscale=True).to_numpy()
    document.close()
    grey = grey.reshape(grey.shape[0], -1)
    grey = grey[:, : grey.shape[1] // 2 * 2] >> 4
    rows = b"".join(b"\0" + (line[0::2] << 4 | line[1::2]).tobytes() for line in grey)

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", grey.shape[1], grey.shape[0], 4, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b"")


PICTURES: dict[str, tuple[Callable[[], str], Callable[[], bytes | None]]] = {
    "paper-card": (paper_source, paper),
    "terminal": (terminal_source, terminal),
    "phone": (phone_source, phone),
}


def mark(name: str, picture: bytes) -> str:
    """Return the hashes of a picture and of what it was drawn from."""
    source, _ = PICTURES[name]
    return f"{sha256(picture).hexdigest()} {sha256(source().encode()).hexdigest()}\n"


if __name__ == "__main__":
    for name, (_, draw) in PICTURES.items():
        made = draw()
        if made is None:
            print(f"{name}: left as it is, for Chromium is missing: apt-get install chromium")
            continue
        (HERE / f"{name}.png").write_bytes(made)
        (HERE / f"{name}.sha256").write_text(mark(name, made), "utf-8")
