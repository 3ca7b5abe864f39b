"""The paper card: PDFium reads back what the plan says, no line is lost, the same card is the same file."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards import csv_card, pdf
from stepcut.cards.sheet import Sheet, build
from stepcut.cli import show
from stepcut.machine import Cutter, Scale
from stepcut.plan import Plan
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from tests import pages
from tests.conftest import Run
from tests.shops import INCH, example_ring, inch_machine


def one(name: str, **sets: str) -> tuple[Sheet, Plan]:
    job = recipes.job(recipes.load(name).resized(sets))
    return show.sheet(job, "2026-01-01"), show.solved(job)


def lines_in(content: bytes) -> list[tuple[int, str, str]]:
    """Every (number, first, second) that stands on the pages; two lines may stand side by side."""
    found: list[tuple[int, str, str]] = []
    for page in pages.pages(content):
        big = [word for word in page.words if word.size > 14 and word.text != "DO"]
        small = [word for word in page.words if word.size < 14 and re.fullmatch(r"\d+(/\d+)?", word.text)]
        rows: dict[tuple[int, bool], list[pages.Word]] = {}
        for word in sorted(big, key=lambda word: (round(word.middle), word.left)):
            right = word.left > page.width / 2
            key = next((k for k in rows if abs(k[0] - word.middle) < 4 and k[1] == right), (round(word.middle), right))
            rows.setdefault(key, []).append(word)
        for (middle, right), cells in rows.items():
            first, second = sorted(cells, key=lambda word: word.left)
            numbers = [
                word.text for word in small
                if abs(word.middle - middle) < 6 and (word.left > page.width / 2) == right and word.left < first.left
            ]  # fmt: skip
            found.append((int(numbers[0].split("/")[0]), first.text, second.text))
    return sorted(found)


@pytest.mark.parametrize("path", recipes.shipped(), ids=lambda path: path.stem)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_pages_say_the_plan_line_by_line(path: Path, paper: str) -> None:
    sheet, plan = one(path.stem)
    (content,) = pdf.render(sheet, plan, paper)  # type: ignore[arg-type]
    read = pages.pages(content)
    assert lines_in(content) == [(row.n, row.first, row.second) for row in sheet.rows]
    for row in sheet.rows:
        if row.check:
            assert any(row.check.split(",")[0] in page.text for page in read)
    assert [f"{n} of {len(read)}" in page.text for n, page in enumerate(read, 1)] == [True] * len(read)


@given(stops=st.integers(1, 400), paper=st.sampled_from(["a4", "us-letter"]))
@settings(max_examples=12)
@example(stops=1, paper="a4")
@example(stops=400, paper="us-letter")
def test_no_line_is_lost_or_doubled(stops: int, paper: str) -> None:
    machine = replace(inch_machine(), depth=Scale("readout", INCH / 10000))
    cutting = Cutting("across", "edge", Cutter("flat", INCH / 4))
    plan = solve(example_ring(span=Fraction(min(200, 10 * stops))), cutting, Stepping(stops=stops), machine)
    sheet = build(plan, Heading("Trial", date="2026-01-01"))
    (content,) = pdf.render(sheet, plan, paper)  # type: ignore[arg-type]
    assert lines_in(content) == [(row.n, row.first, row.second) for row in sheet.rows]


def test_the_same_recipe_and_date_are_the_same_file() -> None:
    sheet, plan = one("sluice-clamp-ramp")
    assert pdf.render(sheet, plan) == pdf.render(sheet, plan)
    later = replace(sheet, date="2026-01-02")
    assert pdf.render(later, plan) != pdf.render(sheet, plan)


@pytest.mark.parametrize(
    ("title", "printed"),
    [
        ("Шлюзовой зажим", "Шлюзовой зажим"), ("Σφιγκτήρας", "Σφιγκτήρας"), ("水门夹", "[U+6C34][U+95E8][U+5939]"),
        ("#sys.inputs *bold* $x$ [red]", "#sys.inputs *bold* $x$ [red]"), ("<b>&amp;</b>", "<b>&amp;</b>"), ("a\u202eb", "a[U+202E]b"),
    ],
)  # fmt: skip
def test_titles_print_as_typed_or_fall_back_visibly(title: str, printed: str) -> None:
    sheet, plan = one("sluice-clamp-ramp", title=title)
    (content,) = pdf.render(sheet, plan)
    assert printed in pages.text(content)


def test_only_the_named_font_is_used() -> None:
    sheet, plan = one("sluice-clamp-ramp")
    names = {word.font for page in pages.pages(pdf.render(sheet, plan)[0]) for word in page.words}
    assert names == {"DejaVuSansMono", "DejaVuSansMono-Bold"}


def test_a_short_card_is_one_sheet() -> None:
    plan = solve(
        example_ring(span=Fraction(50)),
        Cutting("across", "edge", Cutter("flat", INCH / 4)),
        Stepping(step=Fraction(10)),
        inch_machine(),
    )
    sheet = build(plan, Heading("Short", date="2026-01-01"))
    assert len(pages.pages(pdf.render(sheet, plan)[0])) <= 2  # its front and its back


def test_a_spoiling_plan_says_do_not_cut() -> None:
    sheet, plan = one("sluice-clamp-ramp", cutter="5/8in")
    assert "DO NOT CUT" in pages.text(pdf.render(sheet, plan)[0])


def test_the_readings_are_16_points_or_more() -> None:
    sheet, plan = one("sluice-clamp-ramp")
    words = [word for page in pages.pages(pdf.render(sheet, plan)[0]) for word in page.words]
    for row in sheet.rows:
        for reading in (row.first, row.second):
            assert max(word.size for word in words if word.text == reading) >= 16


def test_cards_are_written_whole_to_files_and_folders(run: Run, tmp_path: Path) -> None:
    done = run("card", "sluice-clamp-ramp", "lever-ball-knob", "--out", f"{tmp_path}/cards/", "--date", "2026-01-01")
    assert done.returncode == 0
    assert done.stderr.splitlines() == [
        f"1 of 2: {tmp_path}/cards/sluice-clamp-ramp.pdf",
        f"2 of 2: {tmp_path}/cards/lever-ball-knob.pdf",
    ]
    again = run("card", "sluice-clamp-ramp", "--out", f"{tmp_path}/cards/", "--date", "2026-01-01")
    assert again.returncode == 3
    for kind, start in (("html", b"<!doctype html>"), ("csv", b"\xef\xbb\xbf"), ("json", b"{"), ("txt", b" Sluice")):
        path = tmp_path / f"card.{kind}"
        assert run("card", "sluice-clamp-ramp", "--out", str(path)).returncode == 0
        assert path.read_bytes().startswith(start)
    assert run("card", "sluice-clamp-ramp", "--out", str(tmp_path / "card.svg")).returncode == 0
    assert (tmp_path / "card-1.svg").read_text("utf-8").startswith("<svg")
    assert run("card", "sluice-clamp-ramp", "--out", str(tmp_path / "card.png"), "--paper", "letter").returncode == 0
    assert (tmp_path / "card-1.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--out", "card.doc"], "out = card.doc: is no kind of card that is known here. Use one of pdf, png, svg, html, csv, json, txt."),
        (["--out", "x.pdf", "--paper", "b5"], "paper = b5: is not one of the choices. Use letter or a4."),
        (["--open"], "open: needs a file. Give --out card.pdf."),
        (["--date", "soon"], "date = soon: is not a date. Write it like 2026-05-31."),
    ],
)  # fmt: skip
def test_wrong_wishes_are_refused(run: Run, tmp_path: Path, arguments: list[str], message: str) -> None:
    done = run("card", "sluice-clamp-ramp", *arguments, cwd=tmp_path)
    assert (done.returncode, done.stderr.strip()) == (2, message)
    assert list(tmp_path.iterdir()) == []


def test_paper_follows_the_locale(monkeypatch: pytest.MonkeyPatch) -> None:
    from stepcut.cards.formats import paper_of

    for place, paper in (("en_US.UTF-8", "us-letter"), ("de_DE.UTF-8", "a4"), ("C", "a4")):
        monkeypatch.setenv("LC_ALL", place)
        assert paper_of(None) == paper


def test_csv_opens_in_a_spreadsheet() -> None:
    import csv
    import io

    made = show.whole(recipes.job(recipes.load("sluice-clamp-ramp").resized({"title": "=HYPERLINK(1)"})), "2026-01-01")
    rows = list(csv.reader(io.StringIO(csv_card.render(made))))
    assert rows[0][0].startswith("# '=HYPERLINK(1), part A, revision")
    assert rows[1] == [f"# machine {made.machine}"]
    assert rows[2][7] == "depth (inches)"
    assert [row[0] for row in rows[3:]] == [str(act.n) for act in made.acts]
    assert [row[7] for row in rows[3:] if row[7]] == [line.second.reads.text for line in made.lines]
    assert {len(row) for row in rows[2:]} == {10}
