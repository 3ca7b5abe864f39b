"""A real Chromium for the tests of the web card, driven by playwright."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome")


@contextmanager
def chromium(path: str) -> Iterator[Browser]:
    """Start the system's Chromium, which stands at `path`, without a network."""
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
