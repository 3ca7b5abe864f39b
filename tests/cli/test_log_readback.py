"""What the phone's page gives back is in the log once, with its own times, or not at all."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import FileTrouble
from stepcut.log.read_back import Said
from stepcut.log.store import Store
from tests import needs
from tests.browser import NAMES, chromium
from tests.conftest import Run
from tests.shops import thinned

NAME = "sluice-clamp-ramp"
QUICK = "{ let t = 0; performance.now = () => (t += 1000); }"  # no waiting after each press


@pytest.fixture(scope="module")
def phone() -> Iterator[Page]:
    with chromium(needs.found(*NAMES)) as browser:
        page = browser.new_page(viewport={"width": 360, "height": 640})
        page.add_init_script(QUICK)
        yield page


def content(**more: Any) -> dict[str, Any]:
    """A text as the page gives it, by hand: cut 1 turned and cut, one note, one reading."""
    card = show.whole(recipes.job(recipes.load(NAME)))
    one = [[act.n for act in screen.acts] for screen in card.screens if screen.n == 1]
    at = "2026-03-02T10:15:00+01:00"
    return {
        "stepcut": "read-back", "schema": 1, "title": card.title, "part": card.part, "revision": card.revision, "piece": "1",
        "unit": "in", "acts": [{"acts": acts, "at": at} for acts in one],
        "notes": [{"at": at, "cut": 1, "words": "chatter", "next_time": True}],
        "readings": [{"at": at, "cut": 1, "found": "0.0065"}],
        "off": [{"at": at, "cut": 1, "found": {"rim": "10", "depth": "0.0065"}}],
        "measured": [{"at": at, "what": "Floor", "expect": "0.0900 in", "found": "0.0905"}],
        **more,
    }  # fmt: skip


def put(folder: Path, what: object) -> str:
    path = folder / "phone.json"
    path.write_text(what if isinstance(what, str) else json.dumps(what), "utf-8")
    return str(path)


def test_what_the_page_saved_is_in_the_log_with_its_times(run: Run, phone: Page, tmp_path: Path) -> None:
    made = run("card", NAME, "--out", str(tmp_path / "card.html"))
    assert made.returncode == 0, made.stderr
    phone.goto((tmp_path / "card.html").as_uri())
    while phone.inner_text("#place") != "CHECK after 5":
        phone.click("#do")
    phone.click("#note-or-off")
    phone.fill("#off-1", "0.0335")
    phone.click("#set-right")
    phone.click("#do")
    phone.click("#note-or-off")
    phone.fill("#words", "dull cutter")
    phone.check("#next-time")
    phone.click("#keep-note")
    phone.click("#to-list")
    phone.click("#list-end")
    with phone.expect_download() as saving:
        phone.click("#save")
    saving.value.save_as(tmp_path / "phone.json")
    text = json.loads((tmp_path / "phone.json").read_text("utf-8"))

    done = run("log", "read-back", str(tmp_path / "phone.json"), NAME)
    assert done.returncode == 0, done.stderr
    assert "2 notes, 1 reading taken in" in done.stderr + done.stdout
    assert "23 of 28 cuts are not ticked." in done.stderr + done.stdout
    shown = run("log", "show", "1").stdout
    assert "5 of 28 cut" in shown
    assert "dull cutter" in shown
    assert run("log", "export", str(tmp_path / "all.json")).returncode == 0
    assert text["acts"][-1]["at"] in (tmp_path / "all.json").read_text("utf-8"), "a tick has the time of the phone"
    again = run("log", "read-back", str(tmp_path / "phone.json"))
    assert "0 ticks, 0 notes, 0 readings taken in; all of it stood there already" in again.stderr + again.stdout
    assert run("log", "show", "1").stdout == shown
    assert run("card", NAME).stdout.count("dull cutter") == 1, "a note for next time is on the next card"


def test_a_text_by_hand_goes_in_from_standard_input(run: Run) -> None:
    done = run("log", "read-back", "-", NAME, input=json.dumps(content()))
    assert done.returncode == 0, done.stderr
    assert "2 ticks, 3 notes, 1 reading taken in" in done.stderr + done.stdout


def test_a_reading_that_is_none_is_kept_as_a_note(run: Run, tmp_path: Path) -> None:
    odd = content(readings=[{"at": "2026-03-02T10:15:00Z", "cut": 1, "found": "9 furlongs"}])
    done = run("log", "read-back", put(tmp_path, odd), NAME)
    assert done.returncode == 0, done.stderr
    assert "found 9 furlongs, which is no reading of this cut" in run("log", "show", "1").stdout


def bad_ones() -> list[tuple[str, object]]:
    return [
        ("no json", "{"),
        ("another json", {"schema": 1}),
        ("a list", []),
        ("deep", "[" * 200_000),
        ("later schema", {"stepcut": "read-back", "schema": 2}),
        ("no acts", {"acts": None}),
        ("acts of another card", {"acts": [{"acts": [1, 2, 3], "at": "2026-03-02T10:15:00Z"}]}),
        ("act nought", {"acts": [{"acts": [0], "at": "2026-03-02T10:15:00Z"}]}),
        ("act true", {"acts": [{"acts": [True], "at": "2026-03-02T10:15:00Z"}]}),
        ("no time", {"acts": [{"acts": [1], "at": "yesterday"}]}),
        ("time past the end of time", {"acts": [{"acts": [1], "at": "9999-12-31T23:59:59-23:00"}]}),
        ("cut 1e9", {"notes": [{"at": "2026-03-02T10:15:00Z", "cut": 10**9, "words": "x"}]}),
        ("empty note", {"notes": [{"at": "2026-03-02T10:15:00Z", "cut": 1, "words": " "}]}),
        ("no unit", {"unit": "furlong"}),
        ("found is a number", {"off": [{"at": "2026-03-02T10:15:00Z", "cut": 1, "found": {"rim": 4}}]}),
        ("another revision", {"revision": "00000000"}),
    ]


@pytest.mark.parametrize(
    ("why", "what"),
    thinned(pytest.param(*bad, id=bad[0]) for bad in bad_ones()),
)
def test_a_bad_text_is_refused_and_nothing_of_it_written(run: Run, tmp_path: Path, why: str, what: object) -> None:
    whole = content(**what) if isinstance(what, dict) and "stepcut" not in what and why != "another json" else what
    done = run("log", "read-back", put(tmp_path, whole), NAME)
    assert done.returncode == 2, (why, done.stderr)
    assert "Traceback" not in done.stderr
    shown = run("log", "list").stdout
    assert "1 of 28 cut" not in shown


@pytest.mark.long
def test_taking_in_is_all_or_nothing(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        row = store.begin("r", "A", "t", "ramp", "", "{}", 3, "m")
        done, spoilt = [(1, "cut", "2026-03-02T10:15:00Z")], [Said("2026-03-02T10:15:00Z", 1, None)]  # type: ignore[arg-type]  # on purpose
        with pytest.raises(FileTrouble):
            store.take_in(row.id, done, spoilt, [])
        assert store.ticks(row.id) == set()
        assert store.take_in(row.id, done, [], []) == (1, 0, 0)
        assert store.job(row.id).place == 2
