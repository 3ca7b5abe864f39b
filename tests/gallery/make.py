"""Make the gallery: pictures of the cards, by this script and never by hand.

python tests/gallery/make.py [folder]     (default: tests/gallery/pictures, which git ignores)

The page gallery.html in the folder shows every paper card, and the web card at three widths.
"""

from __future__ import annotations

import html
import shutil
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from stepcut import recipes  # noqa: E402  # the checkout comes first on the path
from stepcut.cards import html as web  # noqa: E402  # the same
from stepcut.cards import pdf  # noqa: E402  # the same
from stepcut.cards.terminal import render  # noqa: E402  # the same
from stepcut.cli import show  # noqa: E402  # the same
from tests.browser import NAMES, chromium  # noqa: E402  # the same


def main(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    parts = [
        "<!doctype html><meta charset=utf-8><title>stepcut cards</title><h1>Cards of the example recipes (an invented shop)</h1>"
    ]
    for path in recipes.shipped():
        job = recipes.job(recipes.load(path))
        card = show.whole(job, "2026-01-01")
        parts.append(f"<h2>{html.escape(card.title)}</h2>")
        for n, page in enumerate(pdf.render(card, "a4", "png"), 1):
            name = f"{path.stem}-{n}.png"
            (folder / name).write_bytes(page)
            parts.append(f'<img src="{name}" width="420" alt="{html.escape(card.title)}, page {n}">')
        parts.append(f"<details><summary>terminal</summary><pre>{html.escape(render(card, 80))}</pre></details>")
        (folder / f"{path.stem}.html").write_text(web.render(card), "utf-8")
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        sys.exit("Chromium is missing: apt-get install chromium")
    with chromium(path) as browser:
        for width in (360, 768, 1280):
            page = browser.new_page(viewport={"width": width, "height": 800})
            page.goto((folder / "sluice-clamp-ramp.html").resolve().as_uri())
            page.screenshot(path=folder / f"web-{width}.png")
            parts.append(f'<img src="web-{width}.png" alt="web card at {width} pixels">')
    (folder / "gallery.html").write_text("\n".join(parts), "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "pictures")
