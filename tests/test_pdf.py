"""The paper card: poppler reads back what the plan says, no line is lost, the same card is the same file."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.cards import csv_card, pdf
from stepcut.cards.sheet import Heading, Sheet, build
from stepcut.cli import show
from stepcut.machine import Cutter, Scale
from stepcut.plan import Plan
from stepcut.shapes.ramp.task import Cutting, Stepping, solve
from tests.conftest import Run
from tests.shops import INCH, example_ring, inch_machine


def text_of(content: bytes, folder: Path) -> str:
    if shutil.which("pdftotext") is None:
        raise RuntimeError("poppler is missing: apt-get install poppler-utils, or run .ci/run as root")
    path = folder / "card.pdf"
    path.write_bytes(content)
    return subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True, check=True).stdout


def one(name: str, **sets: str) -> tuple[Sheet, Plan]:
    job = recipes.job(recipes.load(name).resized(sets))
    return show.sheet(job, "2026-01-01"), show.solved(job)


def lines_in(content: bytes, folder: Path) -> list[tuple[int, str, str]]:
    """Every (number, first, second) that stands on the pages: poppler's words with their places; two lines may stand side by side."""
    path = folder / "lines.pdf"
    path.write_bytes(content)
    boxes = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True).stdout
    found: list[tuple[int, str, str]] = []
    for page in boxes.split("<page ")[1:]:
        words = [
            (float(x), float(y), float(bottom), word)
            for x, y, bottom, word in re.findall(
                r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)<', page
            )
        ]
        big = sorted((round(y), x, y, word) for x, y, bottom, word in words if bottom - y > 14 and word != "DO")
        rows: dict[tuple[int, bool], list[tuple[float, str]]] = {}
        for _, x, y, word in big:
            key = next((k for k in rows if abs(k[0] - y) < 4 and k[1] == (x > 300)), (round(y), x > 300))
            rows.setdefault(key, []).append((x, word))
        for (y, right), cells in rows.items():
            cells.sort()
            numbers = [
                word for x, top, bottom, word in words
                if bottom - top < 14 and abs((top + bottom) / 2 - y - 9) < 6 and re.fullmatch(r"\d+(/\d+)?", word)
                and (x > 300) == right and x < cells[0][0]
            ]  # fmt: skip
            assert len(cells) == 2, cells
            found.append(
                (int(numbers[0].split("/")[0]), cells[0][1].replace("&apos;", "'").replace("&#39;", "'"), cells[1][1])
            )
    return sorted(found)


@pytest.mark.parametrize("path", recipes.shipped(), ids=lambda path: path.stem)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_poppler_reads_the_plan_line_by_line(path: Path, paper: str, tmp_path: Path) -> None:
    sheet, plan = one(path.stem)
    (content,) = pdf.render(sheet, plan, paper)  # type: ignore[arg-type]
    text = text_of(content, tmp_path)
    assert lines_in(content, tmp_path) == [(row.n, row.first, row.second) for row in sheet.rows]
    for row in sheet.rows:
        if row.check:
            words = " ".join(text.split())
            assert row.check.split(",")[0] in words or row.first in words
    pages = text.count("\f")
    assert [f"{n} of {pages}" in text for n in range(1, pages + 1)] == [True] * pages


@given(stops=st.integers(1, 400), paper=st.sampled_from(["a4", "us-letter"]))
@settings(max_examples=12)
@example(stops=1, paper="a4")
@example(stops=400, paper="us-letter")
def test_no_line_is_lost_or_doubled(tmp_path_factory: pytest.TempPathFactory, stops: int, paper: str) -> None:
    machine = replace(inch_machine(), depth=Scale("readout", INCH / 10000))
    cutting = Cutting("across", "edge", Cutter("flat", INCH / 4))
    plan = solve(example_ring(span=Fraction(min(200, 10 * stops))), cutting, Stepping(stops=stops), machine)
    sheet = build(plan, Heading("Trial", date="2026-01-01"))
    (content,) = pdf.render(sheet, plan, paper)  # type: ignore[arg-type]
    found = lines_in(content, tmp_path_factory.mktemp("pdf"))
    assert found == [(row.n, row.first, row.second) for row in sheet.rows]


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
def test_titles_print_as_typed_or_fall_back_visibly(title: str, printed: str, tmp_path: Path) -> None:
    sheet, plan = one("sluice-clamp-ramp", title=title)
    (content,) = pdf.render(sheet, plan)
    assert printed in text_of(content, tmp_path)


def test_only_the_named_font_is_used(tmp_path: Path) -> None:
    sheet, plan = one("sluice-clamp-ramp")
    path = tmp_path / "card.pdf"
    path.write_bytes(pdf.render(sheet, plan)[0])
    fonts = subprocess.run(["pdffonts", str(path)], capture_output=True, text=True, check=True).stdout
    names = {line.split()[0].split("+")[-1] for line in fonts.splitlines()[2:]}
    assert names <= {"DejaVuSansMono", "DejaVuSansMono-Bold"}


def test_a_short_card_is_one_page(tmp_path: Path) -> None:
    plan = solve(
        example_ring(span=Fraction(50)),
        Cutting("across", "edge", Cutter("flat", INCH / 4)),
        Stepping(step=Fraction(10)),
        inch_machine(),
    )
    sheet = build(plan, Heading("Short", date="2026-01-01"))
    assert text_of(pdf.render(sheet, plan)[0], tmp_path).count("\f") == 1


def test_a_spoiling_plan_says_do_not_cut(tmp_path: Path) -> None:
    sheet, plan = one("sluice-clamp-ramp", cutter="5/8in")
    assert "DO NOT CUT" in text_of(pdf.render(sheet, plan)[0], tmp_path)


def test_the_readings_are_16_points_or_more(tmp_path: Path) -> None:
    sheet, plan = one("sluice-clamp-ramp")
    path = tmp_path / "card.pdf"
    path.write_bytes(pdf.render(sheet, plan)[0])
    boxes = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True).stdout
    tall = re.search(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">0\.0060<', boxes)
    assert tall is not None
    assert float(tall[2]) - float(tall[1]) >= 15.5


def test_cards_are_written_whole_to_files_and_folders(run: Run, tmp_path: Path) -> None:
    done = run("card", "sluice-clamp-ramp", "lever-ball-knob", "--out", f"{tmp_path}/cards/", "--date", "2026-01-01")
    assert done.returncode == 0
    assert done.stderr.splitlines() == [
        f"1 of 2: {tmp_path}/cards/sluice-clamp-ramp.pdf",
        f"2 of 2: {tmp_path}/cards/lever-ball-knob.pdf",
    ]
    again = run("card", "sluice-clamp-ramp", "--out", f"{tmp_path}/cards/", "--date", "2026-01-01")
    assert again.returncode == 3
    for kind, start in (("html", b"<!doctype html>"), ("csv", b"\xef\xbb\xbf"), ("json", b"{"), ("txt", b"==")):
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
    from stepcut.cli.card import paper_of

    for place, paper in (("en_US.UTF-8", "us-letter"), ("de_DE.UTF-8", "a4"), ("C", "a4")):
        monkeypatch.setenv("LC_ALL", place)
        assert paper_of(None) == paper


def test_csv_opens_in_a_spreadsheet() -> None:
    import csv
    import io

    sheet, plan = one("sluice-clamp-ramp", title="=HYPERLINK(1)")
    rows = list(csv.reader(io.StringIO(csv_card.render(sheet))))
    assert rows[0][0].startswith("# '=HYPERLINK(1), part A, revision")
    assert rows[1][4] == "depth (inches)"
    assert [row[0] for row in rows[2:]] == [str(stop.n) for stop in plan.stops]
    assert {len(row) for row in rows[1:]} == {9}
