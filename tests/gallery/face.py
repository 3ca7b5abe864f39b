"""Make the picture of a paper card that the README shows, and the mark by which a test sees that it is of today.

python tests/gallery/face.py
"""

from __future__ import annotations

import json
import struct
import sys
import zlib
from hashlib import sha256
from importlib.resources import files as resources
from pathlib import Path

import pypdfium2

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from stepcut import recipes  # noqa: E402  # the checkout comes first on the path
from stepcut.acts import Card  # noqa: E402  # the same
from stepcut.cards import pdf  # noqa: E402  # the same
from stepcut.cli import show  # noqa: E402  # the same

PICTURE = Path(__file__).parent / "paper-card.png"
MARK = PICTURE.with_suffix(".sha256")


def card() -> Card:
    """Return the card that is shown."""
    return show.whole(recipes.job(recipes.load(str(ROOT / "recipes" / "sluice-clamp-ramp.toml"))), "2026-01-01")


def mark(picture: bytes) -> str:
    """Return the hashes of the picture, and of all that it was drawn from: the card's texts, drawings and template."""
    template = (resources("stepcut") / "cards" / "card.typ").read_bytes()
    source = json.dumps(pdf.content(card(), "us-letter"), sort_keys=True).encode()
    return f"{sha256(picture).hexdigest()} {sha256(source + template).hexdigest()}\n"


def small(content: bytes, ppi: float = 84.0) -> bytes:
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


if __name__ == "__main__":
    made = small(pdf.render(card(), "us-letter")[0])
    PICTURE.write_bytes(made)
    MARK.write_text(mark(made), "utf-8")
