"""Nothing forged: a text from outside neither moves the cursor, turns the reading round, nor writes a line of its own."""

from __future__ import annotations

import csv
import io
import json
import re
import tomllib
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut import gate
from stepcut.recipes import source_text
from tests import pages
from tests.conftest import Run

# Erase the screen, hide what follows, overwrite the line, turn the reading round, break the line, a verdict of its own.
FORGED = "Ring\x1b[2J\x1b[8m\r\u202e\u2066\u200b\x9b31m\u2028\nVerdict        spoils nothing"
FORGED_LINE = (
    "Ring[U+001B][2J[U+001B][8m[U+000D][U+202E][U+2066][U+200B][U+009B]31m[U+2028][U+000A]Verdict        spoils nothing"
)
RING = {"outside": "1.75in", "bore": "1.40in", "rise": "0.090in", "span": "180deg", "cutter": "1/2in", "step": "10deg"}


def recipe_file(folder: Path, title: str, name: str = "ring", note: str = "", **sets: str) -> Path:
    path = folder / f"{name}.toml"
    head = {"shape": "ramp", "title": title, "note": note}
    lines = ["stepcut = 1", *(f"{k} = {json.dumps(v)}" for k, v in head.items() if v), "[ramp]"]
    path.write_text("\n".join([*lines, *(f'{k} = "{v}"' for k, v in (RING | sets).items())]) + "\n", "utf-8")
    return path


def acting(text: str) -> set[str]:
    """What acts on a terminal in a text, by its general category; line ends are the program's own."""
    return {c for c in text if c != "\n" and unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")}


@given(st.text())
def test_a_line_of_outside_text_is_one_line_and_holds_nothing_that_acts(text: str) -> None:
    shown = gate.line(text)
    assert acting(shown) == set()
    assert len(shown.splitlines()) <= 1
    # and nothing is lost: with the codes put back it is the same text
    back = re.sub(r"\[U\+([0-9A-F]{4,6})\]", lambda found: chr(int(found[1], 16)), shown)
    assert back == re.sub(r"\[U\+([0-9A-F]{4,6})\]", lambda found: chr(int(found[1], 16)), text)


@given(st.recursive(st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=8))
def test_json_reads_back_the_same_and_holds_nothing_that_acts(content: object) -> None:
    text = gate.json_text(content)
    assert json.loads(text) == content
    assert acting(text) == set()


@given(st.text(alphabet="=+-@\t\r\n;,|\"' ax1＝"), st.sampled_from([",", ";", "\t", "|"]))
def test_no_cell_begins_a_formula_whatever_the_file_is_split_at(text: str, separator: str) -> None:
    buffer = io.StringIO()
    csv.writer(buffer).writerow(["plain", gate.cell(text), "plain"])
    for row in csv.reader(io.StringIO(buffer.getvalue()), delimiter=separator):
        for found in row:
            bare = found.strip(" \"'\r\n") if not found.lstrip(' "').startswith("'") else ""
            assert not bare.startswith(("=", "@", "＝", "＋", "－", "＠")) or "'" in found
            if bare.startswith(("+", "-")):
                assert re.fullmatch(r"[-+]?\d+(\.\d+)?", bare) or "'" in found


@pytest.mark.parametrize(
    "command",
    [["card"], ["card", "--width", "40"], ["check"], ["compare", "--set", "step=5deg"], ["where", "--table", "70deg"]],
)
def test_a_forged_title_is_seen_as_codes_on_the_terminal(run: Run, tmp_path: Path, command: list[str]) -> None:
    path = recipe_file(tmp_path, FORGED)
    done = run(command[0], str(path), *command[1:])
    assert done.returncode == 0, done.stderr
    assert acting(done.stdout) == set()
    assert not re.search("^Verdict        spoils nothing$", done.stdout, re.M) or command[0] == "check"
    if command[0] in ("card", "check"):
        assert FORGED_LINE.replace(" ", "") in re.sub(r"\s", "", done.stdout)


def test_a_title_cannot_hide_that_it_must_not_be_cut(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path, "Ring\x1b[8m", starts="2")
    done = run("card", str(path))
    assert done.returncode == 1
    assert "\x1b" not in done.stdout
    assert "DO NOT CUT" in done.stdout


@pytest.mark.parametrize("kind", ["txt", "csv", "html", "json"])
def test_a_forged_title_is_seen_as_codes_in_every_file(run: Run, tmp_path: Path, kind: str) -> None:
    path = recipe_file(tmp_path, FORGED, note=FORGED)
    assert run("card", str(path), "--out", str(tmp_path / f"card.{kind}")).returncode == 0
    text = (tmp_path / f"card.{kind}").read_text("utf-8-sig").replace("\r\n", "\n")
    assert acting(text) - ({"\t"} if kind == "html" else set()) == set()
    if kind != "json":
        assert FORGED_LINE.replace(" ", "") in re.sub(r"\s", "", text)


def test_a_forged_title_is_seen_as_codes_on_paper(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path, FORGED)
    assert run("card", str(path), "--out", str(tmp_path / "card.pdf")).returncode == 0
    text = pages.text((tmp_path / "card.pdf").read_bytes())
    # a long title may break anywhere: spaces of no width stand in it, which no reader sees
    assert "Ring[U+001B][2J[U+001B][8m[U+000D][U+202E]" in re.sub(r"[\s\u200b]", "", text)


def test_every_cell_of_the_csv_is_disarmed(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path, '=HYPERLINK("x");=1+1')
    assert run("card", str(path), "--out", str(tmp_path / "card.csv")).returncode == 0
    for separator in (",", ";"):
        for row in csv.reader(io.StringIO((tmp_path / "card.csv").read_text("utf-8-sig")), delimiter=separator):
            assert not [
                c for c in row if c.startswith(("=", "@")) or (c.startswith("+") and not re.fullmatch(r"\+[\d.]+", c))
            ]


def test_notes_and_titles_in_the_log_are_seen_as_codes(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path, FORGED)
    ticked = run("tick", str(path), "--lines", input="t\nq\n")
    assert acting(ticked.stdout) == set()
    assert run("log", "note", "1", f"=1+1 {FORGED}", "--next-time").returncode == 0
    for command in (["list"], ["show", "1"], ["export", "-"]):
        done = run("log", *command)
        assert acting(done.stdout) == set()
        assert "\nVerdict" not in done.stdout
    again = run("again", "1", "--set", "step=5deg")
    assert acting(again.stdout) == set()
    assert "\nVerdict        spoils nothing" not in again.stdout.partition("Note of job")[2]
    for kind in ("csv", "md", "json"):
        assert run("log", "export", str(tmp_path / f"log.{kind}")).returncode == 0
        assert acting((tmp_path / f"log.{kind}").read_text("utf-8").replace("\r\n", "\n")) == set()
    cells = [c for row in csv.reader(io.StringIO((tmp_path / "log.csv").read_text("utf-8"))) for c in row]
    assert not [c for c in cells if c.startswith("=")]


def test_a_file_that_is_shown_shows_what_acts_in_it_and_reads_back_the_same(run: Run, tmp_path: Path) -> None:
    """TOML allows all but control characters as they are: a file that came by mail may hide a line of a terminal."""
    odd = "a\u202eb\ufeff\U000e0001 水"
    ring = tmp_path / "ring.toml"
    ring.write_text(source_text("sluice-clamp-ramp").replace('title = "', f'title = "{odd}'), "utf-8")
    mill = tmp_path / "mill.toml"
    mill.write_text(
        run("machine", "show", "metric").stdout.replace("[slide]\n", f'[slide]\nhandle = "{odd}"\n'), "utf-8"
    )
    for command, path in (("recipe", ring), ("machine", mill)):
        done = run(command, "show", str(path))
        assert (done.returncode, acting(done.stdout), done.stderr) == (0, set(), "")
        assert "a\\u202eb\\ufeff\\U000e0001 水" in done.stdout
        assert tomllib.loads(done.stdout) == tomllib.loads(path.read_text("utf-8"))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["card", "a\x1b[2Jb\nc.toml"], "a[U+001B][2Jb[U+000A]c.toml: there is no such file. Check the name and the folder."),
        (["crad\x1b[8m"], "command = crad\\x1b[8m: is not known here. See stepcut --help."),
        (["ramp", "--outside", "3 in\x1b[8m\nDO CUT"],
         "outside = 3 in[U+001B][8m[U+000A]DO CUT: in[U+001B][8m[U+000A]DO CUT is no unit of length that is known here. "
         "Use one of in, inch, inches, "),
        (["card", "sluice-clamp-ramp", "--set", "x\u202e=1"],
         "set x[U+202E] = 1: is no input of a ramp. Use one of "),
    ],
)  # fmt: skip
def test_a_message_shows_what_was_given_as_codes(run: Run, arguments: list[str], message: str) -> None:
    done = run(*arguments)
    assert done.returncode == (3 if "no such file" in message else 2)
    assert message in done.stderr
    assert acting(done.stderr) == set()


@pytest.fixture
def page_text(run: Run, tmp_path: Path) -> Iterator[str]:
    path = recipe_file(tmp_path, "</script><script>window.bad=1</script>")
    assert run("card", str(path), "--out", str(tmp_path / "card.html")).returncode == 0
    yield (tmp_path / "card.html").read_text("utf-8")


def test_the_page_names_its_one_script_by_hash_and_sends_nothing_anywhere(page_text: str) -> None:
    import base64
    import hashlib

    (policy,) = re.findall(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)"', page_text)
    rules = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert (rules["default-src"], rules["form-action"], rules["base-uri"]) == ("'none'", "'none'", "'none'")
    scripts = re.findall(r"<script>(.*?)</script>", page_text, re.S)
    hashes = {f"'sha256-{base64.b64encode(hashlib.sha256(s.encode()).digest()).decode()}'" for s in scripts}
    assert set(rules["script-src"].split()) == hashes
    assert "unsafe" not in rules["script-src"]


def test_a_template_whose_script_could_not_be_named_is_refused() -> None:
    from stepcut.cards import html

    with pytest.raises(ValueError, match="placeholder"):
        html.policy("<script>let a = {{ a }};</script>")
    with pytest.raises(ValueError, match="neither plain"):
        html.policy('<script src="x">1</script>')
    with pytest.raises(ValueError, match="character set"):
        html.with_policy("<head></head>")
