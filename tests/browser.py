"""A real Chromium for the tests of the web card, driven by playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the system's Chromium without a network."""
    path = next(
        (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None
    )
    if path is None:
        raise RuntimeError("Chromium is missing: apt-get install chromium, or run .ci/run as root")
    arguments = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
    ]
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=arguments)
        try:
            yield browser
        finally:
            browser.close()
