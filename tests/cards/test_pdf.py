"""The paper card: PDFium reads back what the card says, no line is lost, the same card is the same file."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepcut import recipes
from stepcut.acts import Card, Heading
from stepcut.cards import csv_card, pdf
from stepcut.cards.paper_table import SMALL, short_turns
from stepcut.cards.verdict_text import judged
from stepcut.cli import show
from stepcut.machine import Cutter, Scale
from stepcut.plan import Plan
from stepcut.routine import card as made
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from tests import pages
from tests.cards.seen_acts import in_json, on_paper
from tests.cards.sheets import ACROSS, BOTH, PAPERS, one, printed, rows, shipped
from tests.conftest import Run
from tests.shops import INCH, each_kind, example_ring, inch_machine, thinned


def lowest(content: bytes) -> list[tuple[float, float]]:
    """How far down the ink of each sheet goes in its left and its right half, as a share of the sheet's height.

    What is said at the very foot is left out: the last word, which stands lower than anything else may.
    """
    document, found = pypdfium2.PdfDocument(content), []
    for page in document:
        grey = page.render(scale=0.5, grayscale=True).to_numpy()
        grey = grey.reshape(grey.shape[0], -1)[: int(grey.shape[0] * (1 - 9 / 297))]
        halves = (grey[:, : grey.shape[1] // 2], grey[:, grey.shape[1] // 2 :])
        found.append(tuple((half < 200).any(axis=1).nonzero()[0].max(initial=0) / grey.shape[0] for half in halves))
    document.close()
    return found


def trial(stops: int) -> Plan:
    """A ramp of so many cuts: the example ring with a fine readout."""
    machine = replace(inch_machine(), depth=Scale("readout", INCH / 10000))
    cutting = Cutting("across", "edge", Cutter("flat", INCH / 4))
    return solve(example_ring(span=Fraction(min(200, 10 * stops))), cutting, Stepping(stops=stops), machine)


def lines_in(read: list[pages.Page]) -> list[tuple[int, str, str]]:
    """Every (number, first, second) that stands on the sheets."""
    return [(int(number.text), first, second) for page in read for number, first, second in rows(page)]


def wanted(card: Card) -> list[tuple[int, str, str]]:
    return [(line.n, line.first.reads.text, line.second.reads.text) for line in card.lines]


def running(read: list[pages.Page]) -> str:
    """All words with no space between them: a line may have been broken anywhere."""
    return (
        "".join(word.text for page in read for word in page.words if word.size < ACROSS)
        .replace("\u200b", "")
        .replace("\x02", "-")
    )  # a hyphen at the end of a line


def tight(text: str) -> str:
    return "".join(pdf.printable(text).split())


@pytest.mark.parametrize("name", thinned(each_kind()))
@pytest.mark.parametrize("paper", BOTH)
def test_the_pages_say_the_card_once_and_in_order(name: str, paper: pdf.Paper) -> None:
    card, content = shipped(name, paper)
    read = pages.pages(content)
    assert sorted(lines_in(read)) == wanted(card)
    text, at = running(read), 0
    for item in card.set_up:
        at = text.index(tight(item.what), at)
    assert text.count("CHECKafter") == len(card.groups)
    for group in card.groups:
        if group.change:
            assert f"{tight(group.change.clear)},THEN{tight(group.change.title)}" in text
        assert text.count(tight(f"{group.check.title}: {group.check.text}")) == 1
    for words in (*(item.what for item in card.after), *card.words.cautions, card.off, card.too_deep, card.lost):
        assert not card.lines or text.count(tight(words)) >= 1
    assert [f"{n} of {len(read)}" in page.text for n, page in enumerate(read, 1)] == [True] * len(read)


@pytest.mark.parametrize("paper", BOTH)
@pytest.mark.parametrize("name", thinned(each_kind()))
def test_the_sheets_show_the_acts_that_json_has(name: str, paper: pdf.Paper) -> None:
    card, content = shipped(name, paper)
    assert on_paper(card, content) == in_json(card)


def checks_in(read: list[pages.Page]) -> list[str]:
    """Every check's words, without spaces, as far as they stand on one line with its first word, in its half of the sheet."""
    found = []
    for page in read:
        for first in page.words:
            if first.text != "CHECK" or first.size > SMALL + 0.1:
                continue
            end = page.width / 2 if first.left < page.width / 2 else page.width
            row = [word for word in page.words if abs(word.bottom - first.bottom) < 4 and first.left <= word.left < end]
            found.append("".join(word.text for word in sorted(row, key=lambda word: word.left)))
    return found


@pytest.mark.parametrize("name", each_kind())
@pytest.mark.parametrize("paper", BOTH)
def test_every_check_is_one_line(name: str, paper: pdf.Paper) -> None:
    card, content = shipped(name, paper)
    if not pdf.content(card, paper)["table"] or not pdf.content(card, paper)["table"]["narrow"]:
        return  # a line as wide as the sheet has room for all
    told = [tight(f"{group.check.title}: {group.check.text}") for group in card.groups]
    seen = checks_in(pages.pages(content))
    assert [each for each in told if not any(line.startswith(each) for line in seen)] == []


@pytest.mark.long
def test_a_check_of_long_numbers_is_one_line_too() -> None:
    """A taper longer than any that this lathe takes: more than a hundred cuts, sizes of six figures."""
    sets = {"large": "388.88mm", "length": "640mm", "taper": "1:12", "scallop": "", "step": "5mm", "blank": "390mm"}
    sets |= {"bores": "", "leave": "", "cut-depth": "9mm"}
    card = one("bollard-pin-taper", **sets)
    told = [group.check for group in card.groups]
    longest = max(len(f"{check.title}: {check.text}") for check in told)
    for paper in PAPERS:
        seen = checks_in(printed(card, paper))
        for check in told:
            short = check.title.replace("after ", "")
            assert any(
                line.startswith((tight(f"{check.title}: {check.text}"), tight(f"{short}: {check.text}")))
                for line in seen
            )
    assert longest >= 49


@pytest.mark.parametrize("name", each_kind())
@pytest.mark.parametrize("paper", BOTH)
def test_no_sheet_is_more_than_a_third_empty_while_there_is_another_one(name: str, paper: pdf.Paper) -> None:
    """By ink; and the last sheet is not all room to write: words of the card stand on a third of it, or nearly so."""
    _, content = shipped(name, paper)
    sheets = lowest(content)
    if len(sheets) == 1:
        return
    assert min(sum(halves) / 2 for halves in sheets) >= 2 / 3
    last = pages.pages(content)[-1]
    words = [w for w in last.words if w.bottom < last.height - 25 and w.text not in ("notes", "sketch:")]
    ends = [max(w.bottom for w in words if (w.left < last.width / 2) is left) for left in (True, False)]
    assert sum(ends) / 2 / last.height >= 0.3


@pytest.mark.parametrize("paper", thinned(PAPERS))
def test_the_verdict_stands_first_and_last(paper: pdf.Paper) -> None:
    card = judged(one("sluice-clamp-ramp", leave="0.0004in"))
    assert card.word == "LOOK AGAIN"
    read = printed(card, paper)
    for reason in card.judged:
        assert tight(reason) in running(read[:1])
    assert running(read[:1]).index("LOOKAGAIN") < running(read[:1]).index("SETUP")
    assert all("LOOK AGAIN" in page.text for page in read)
    assert f"LOOK AGAIN: {len(card.judged)} reason" in read[-1].text
    _, content = shipped("sluice-clamp-ramp", paper)
    good = pages.pages(content)
    assert "CUT IT" in good[0].text
    assert "CUT IT: 28 cuts" in good[-1].text


@pytest.mark.parametrize(
    "name", thinned(["sluice-clamp-ramp", "lever-ball-knob", "oil-groove-helix", "tension-release-cam"])
)
def test_what_to_do_in_trouble_stands_on_the_front_or_its_page_does(name: str) -> None:
    card, content = shipped(name, "us-letter")
    read = pages.pages(content)
    texts = (card.overshot, card.off, card.too_deep, card.lost)
    elsewhere = [text for text in texts if tight(text) not in running(read[:1])]
    if elsewhere:
        said = re.search(r"too deep, lost: page (\d+)", read[0].text)
        assert said
        assert all(tight(text) in running(read[int(said[1]) - 1 :]) for text in elsewhere)


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", "lever-ball-knob", "oil-groove-helix", "tension-release-cam"])
def test_lines_follow_each_other_in_the_order_of_cutting(name: str) -> None:
    """Down one column, then down the next; where ramps stand side by side each of them goes down its own."""
    for page in pages.pages(shipped(name, "us-letter")[1]):
        numbers = [number for number, _, _ in rows(page)]
        for left in (True, False):
            column = [int(w.text) for w in sorted(numbers, key=lambda w: w.top) if (w.left < page.width / 2) == left]
            assert column == sorted(column)


@given(stops=st.integers(1, 150), paper=st.sampled_from(PAPERS))
@settings(max_examples=3, deadline=None)
@example(stops=1, paper="a4")
def test_no_line_is_lost_or_doubled(stops: int, paper: pdf.Paper) -> None:
    every_line_stands_once(stops, paper)


@pytest.mark.long
@pytest.mark.parametrize(("stops", "paper"), [(400, "us-letter"), (300, "a4")])
def test_no_line_of_hundreds_is_lost_or_doubled(stops: int, paper: pdf.Paper) -> None:
    every_line_stands_once(stops, paper)


def every_line_stands_once(stops: int, paper: pdf.Paper) -> None:
    card = made(trial(stops), Heading("Trial", date="2026-01-01"))
    assert sorted(lines_in(printed(card, paper))) == wanted(card)


def test_the_same_recipe_and_date_are_the_same_file() -> None:
    card, content = shipped("sluice-clamp-ramp", "us-letter")
    assert pdf.render(card, "us-letter")[0] == content
    assert pdf.render(replace(card, date="2026-01-02")) != pdf.render(card)


@pytest.mark.parametrize(
    ("title", "shown"),
    [
        ("Шлюзовой зажим", "Шлюзовой зажим"), ("#sys.inputs *bold* $x$ [red]", "#sys.inputs *bold* $x$ [red]"),
        ("水门夹环左边第一件" * 4, "[U+6C34][U+95E8]"),
        *(pytest.param(title, shown, marks=pytest.mark.long) for title, shown in [
            ("Unbroken" * 40, "Unbroken"), ("Σφιγκτήρας", "Σφιγκτήρας"), ("水门夹", "[U+6C34][U+95E8][U+5939]"), ("<b>&amp;</b>", "<b>&amp;</b>"),
            ("a\u202eb", "a[U+202E]b"), ("حلقة قفل البوابة", "[U+062D][U+0644]"), ("Long name " * 30, "Long name"),
        ]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("paper", BOTH)
def test_titles_of_any_length_and_script_stay_on_the_sheet(title: str, shown: str, paper: pdf.Paper) -> None:
    card = one("sluice-clamp-ramp", title=title)
    read = printed(card, paper)
    assert tight(shown) in running(read)
    assert tight(card.title) in running(read)  # the whole of it, at the head of the first sheet
    for page in read:
        for word in page.words:
            assert word.left >= 0
            assert word.right <= page.width
            assert word.top >= 0
            assert word.bottom <= page.height
    if "[U+" in shown and not title.isascii() and "\u202e" not in title:
        text = running(read)
        assert text.index(f"{card.part}·{card.revision}[U+") < text.index("SETUP")  # part and revision lead
        assert "lettersthatthefontherelacks.Titlebyhand:" in text[: text.index("SETUP")]


def test_the_title_is_the_largest_after_the_numbers() -> None:
    for name in ("sluice-clamp-ramp", "lever-ball-knob", "oil-groove-helix"):
        card, content = shipped(name, "us-letter")
        words = pages.pages(content)[0].words
        title = min(word.size for word in words if word.text in card.title.split() and word.size > 12)
        numbers = {cell for line in wanted(card) for cell in line[1:]}
        assert title == max(word.size for word in words if word.text not in numbers)


def test_only_the_named_font_is_used() -> None:
    names = {word.font for page in printed(one("sluice-clamp-ramp")) for word in page.words}
    assert names == {"DejaVuSansMono", "DejaVuSansMono-Bold"}


def test_the_example_ring_is_one_sheet_and_its_back() -> None:
    """28 cuts on the front of one sheet, like depths side by side; the back is not more than a third empty."""
    for paper in PAPERS:
        card, content = shipped("sluice-clamp-ramp", paper)
        read = pages.pages(content)
        assert len(card.lines) == 28
        assert len(read) == 2
        assert sorted(lines_in(read[:1])) == wanted(card)
        depths = [word for word in read[0].words if word.size > 19 and word.text.startswith("0.")]
        for depth in {word.text for word in depths}:
            left, right = (word for word in depths if word.text == depth)
            assert left.middle == pytest.approx(right.middle, abs=0.5)


def test_a_short_card_is_one_sheet() -> None:
    plan = solve(
        example_ring(span=Fraction(50)),
        Cutting("across", "edge", Cutter("flat", INCH / 4)),
        Stepping(step=Fraction(10)),
        inch_machine(),
    )
    assert len(printed(made(plan, Heading("Short", date="2026-01-01")))) <= 2  # its front and its back


@pytest.mark.parametrize("sets", [{"cutter": "5/8in"}, {"cutter": "5/8in", "order": "by-depth"}])
def test_a_spoiling_plan_says_do_not_cut_across_every_sheet(sets: dict[str, str]) -> None:
    card = one("sluice-clamp-ramp", **sets)
    read = printed(card)
    assert card.verdict
    assert tight(card.verdict) in running(read)
    for page in read:
        assert "".join(word.text for word in page.words if word.size > ACROSS) == "DONOTCUT"
        assert "DO NOT CUT" in " ".join(word.text for word in page.words if word.size < ACROSS)
    assert not [word for page in printed(one("sluice-clamp-ramp")) for word in page.words if word.size > ACROSS]


@pytest.mark.parametrize("name", each_kind())
def test_sizes_of_what_is_read(name: str) -> None:
    """Readings 20 points or more, dials and turns of the handle 14, nothing under 9.

    Type of 14 to 20 points in reasonable light and none under 9: common practice for sheets that are read at a machine,
    no source.
    """
    card, content = shipped(name, "us-letter")
    words = [word for page in pages.pages(content) for word in page.words]
    assert min(word.size for word in words) >= 9 - 1e-3
    for line in card.lines:
        for move in (line.first, line.second):
            assert max(word.size for word in words if word.text == move.reads.text) >= 20
    moves = [move for line in card.lines for move in (line.first, line.second)]
    moves += [place.first for item in card.after for place in item.places]  # what is cut last
    shown, dials = {short_turns(move.turns) for move in moves}, {move.dial for move in moves} - {""}
    for word in words:
        if 12.5 < word.size < 15.5 and re.match(r"[\d½¼¾]", word.text):
            assert word.size >= 14 - 1e-3
            assert word.text in shown | dials


@pytest.mark.long
def test_a_long_job_with_a_wide_table_stands_on_fewer_sheets_held_across() -> None:
    """Both handles' turns and dials leave a third of an upright sheet blank; across, two columns of them stand side by side."""
    for name, across in (("valve-lift-plate", True), ("tower-clock-rack-snail", False), ("sluice-clamp-ramp", False)):
        for paper in ("a4", "us-letter"):
            card, content = shipped(name, paper)  # type: ignore[arg-type]  # one of the two papers
            read = pages.pages(content)
            assert all((page.width > page.height) is across for page in read)
            assert sorted(lines_in(read)) == wanted(card)
            if across:
                rights = [word for page in read for word, _, _ in rows(page) if word.left > page.width / 2]
                assert len(rights) > len(card.lines) / 4
                upright = pdf.content(card, paper)  # type: ignore[arg-type]  # one of the two papers
                assert upright["width"] < upright["height"] and not upright["table"]["narrow"]


def test_digits_are_high_enough_to_be_read_from_90_cm() -> None:
    """At least 20 minutes of arc at 900 mm.

    References
    ----------
    NUREG-0700 rev. 2, 1.3.1-4: characters of at least 16, preferably 20 to 22 minutes of arc; height = 6.283 x distance x
    minutes / 21600.
    """
    (content,) = pdf.render(one("sluice-clamp-ramp"))
    document = pypdfium2.PdfDocument(content)
    sheet = document[0].get_textpage()
    heights = []
    for n in range(sheet.count_chars()):
        if sheet.get_text_range(n, 1) not in "0123456789" or pypdfium2.raw.FPDFText_GetFontSize(sheet, n) < 19:
            continue
        _, low, _, high = sheet.get_charbox(n)
        heights.append((high - low) * 25.4 / 72)
    document.close()
    assert len(heights) >= 28 * 6
    assert min(heights) >= 6.283 * 900 * 20 / 21600


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


def test_a_title_that_the_font_lacks_is_said(run: Run, tmp_path: Path) -> None:
    out = str(tmp_path / "card.pdf")
    done = run("card", "sluice-clamp-ramp", "--set", "title=水门夹", "--out", out)
    assert "The paper card's font lacks 水门夹: they stand as codes behind part and revision" in done.stderr
    done = run("card", "sluice-clamp-ramp", "--set", "title=Шлюз", "--out", out, "--force")
    assert done.stderr == f"Wrote {out}.\n"


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
    assert rows[2] == ["# material mild steel, cutter of high-speed steel"], rows[2]
    assert rows[3][7] == "depth (inches)"
    assert [row[0] for row in rows[4:]] == [str(act.n) for act in made.acts]
    assert [row[7] for row in rows[4:] if row[7]] == [line.second.reads.text for line in made.lines]
    assert {len(row) for row in rows[3:]} == {10}


@pytest.mark.long
def test_lines_across_the_whole_sheet_leave_room_to_write_behind_their_boxes() -> None:
    """On A4 a ramp on edge has one column of lines, and a third of the sheet was blank beside it; two columns fill a sheet of letter."""
    wide = pages.pages(shipped("gauge-board-ramp-on-edge", "a4")[1])
    heads = [(word, page) for page in wide[:3] for word in page.words if word.text == "notes" and word.size < 10]
    assert len(heads) >= 4  # on top of each sheet and of the second ramp
    for word, page in heads[:4]:
        row = [other for other in page.words if abs(other.middle - word.middle) < 3]
        assert [other.text for other in row if other.left < word.left][-2:] == ["turned", "cut"]
        assert page.width - word.left > page.width / 3
    narrow = pages.pages(shipped("gauge-board-ramp-on-edge", "us-letter")[1])
    assert not any(word.text == "notes" for word in narrow[0].words)
