"""The web card in a real browser: ticks kept under the revision, text stays text, storage refused is said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from stepcut import recipes
from stepcut.cards import html
from stepcut.cli import show
from tests import needs
from tests.browser import NAMES, chromium


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium(needs.found(*NAMES)) as found:
        yield found


def page_file(folder: Path, name: str = "card.html", **sets: str) -> str:
    job = recipes.job(recipes.load("sluice-clamp-ramp").resized(sets))
    path = folder / name
    path.write_text(html.render(show.sheet(job, "2026-01-01"), show.solved(job)), "utf-8")
    return path.as_uri()


def kept(page: Page) -> list[str]:
    return page.eval_on_selector_all("input:checked", "boxes => boxes.map(box => box.dataset.key)")


def test_ticks_are_kept_under_the_revision_and_not_under_another(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(page_file(tmp_path))
    assert page.inner_text("#place") == "Stop 1 of 28, ramp 1"
    assert page.inner_text("#first") == "10°"
    page.click("#turned")
    page.click("#cut")
    assert page.inner_text("#first") == "20°"
    page.click("#turned")
    page.reload()
    assert kept(page) == ["turned-1", "cut-1", "turned-2"]
    assert page.inner_text("#place") == "Stop 2 of 28, ramp 1"
    page.check("[data-key=check-5]")
    page.reload()
    assert "check-5" in kept(page)
    page.goto(page_file(tmp_path, "other.html", outside="1.8in"))
    assert kept(page) == []
    page.goto(page_file(tmp_path, "mate.html", part="B"))
    assert kept(page) == []
    page.goto(page_file(tmp_path))
    assert "turned-2" in kept(page)
    context.close()


def test_back_and_on_go_through_the_stops(browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page()
    page.goto(page_file(tmp_path))
    page.click("#on")
    page.click("#on")
    page.click("#back")
    assert page.inner_text("#place").startswith("Stop 2 of")
    page.close()


BAD = '</script><script>window.bad=1</script><img src=x onerror="window.bad=1">{{7*7}}${7*7}\u2028'


def test_injection_in_every_text_stays_text(browser: Browser, tmp_path: Path) -> None:
    job = recipes.job(recipes.load("sluice-clamp-ramp"))
    sheet = show.sheet(job, "2026-01-01")
    rows = tuple(replace(row, note=BAD, crank=BAD, check=BAD if row.check else "") for row in sheet.rows)
    sheet = replace(
        sheet, title=BAD, part=BAD, revision=BAD, date=BAD, facts=((BAD, BAD),), zero=(BAD,), before=(BAD,), after=((BAD, BAD),),
        remarks=(BAD,), cautions=(BAD,), next_time=(BAD,), mate=BAD, verdict=BAD, rows=rows, titles=(BAD,) * 5, ticks=(BAD, BAD),
    )  # fmt: skip
    path = tmp_path / "bad.html"
    path.write_text(html.render(sheet, show.solved(job)), "utf-8")
    page = browser.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.goto(path.as_uri())
    page.click("#turned")
    page.click("#on")
    assert page.evaluate("window.bad") is None
    assert page.locator("img").count() == 0
    assert page.inner_text("h1").replace("\n", " ").startswith("</script><script>window.bad=1</script>")
    assert "{{7*7}}" in page.inner_text("h1")
    assert troubles == []
    page.close()


def test_it_says_so_when_it_cannot_save(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context()
    context.add_init_script("Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } });")
    page = context.new_page()
    page.goto(page_file(tmp_path))
    assert "cannot save ticks" in page.inner_text("#trouble")
    page.click("#turned")
    assert kept(page) == ["turned-1"]
    context.close()


def test_it_asks_nothing_of_the_network(browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(page_file(tmp_path))
    assert [url for url in asked if not url.startswith("file:")] == []
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_contrast_and_labels_pass_and_nothing_runs_off_the_screen(
    browser: Browser, tmp_path: Path, width: int, scheme: str
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme, bypass_csp=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(page_file(tmp_path))
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for name in ("back", "turned", "cut", "on"):
        box = page.locator(f"#{name}").bounding_box()
        assert box is not None
        assert box["height"] >= 44
        assert box["width"] >= 44
    context.close()


def test_a_spoiling_plan_warns_first(browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page()
    page.goto(page_file(tmp_path, "spoil.html", cutter="5/8in"))
    assert page.inner_text("main p.warn:not([hidden])").startswith("DO NOT CUT.")
    page.close()
