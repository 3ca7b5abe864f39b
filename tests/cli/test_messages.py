"""What the commands at the machine and of the log say when they refuse, as full texts."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from stepcut import cli, recipes
from stepcut.cli import card as card_command
from stepcut.cli import show
from stepcut.errors import BadValue, FileTrouble
from stepcut.log import care, schema
from stepcut.log.session import Session
from stepcut.log.steps import steps
from stepcut.log.store import Store, default_path
from stepcut.machine.files import shipped_path
from stepcut.shapes import SHAPES
from tests.shops import used_log

COPY = "Save it again from the page, or copy the text whole."
REVISION = "056151e2"  # put in below: that of the example as it is
TAPERS = "38dbcf3e"


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return used_log(tmp_path_factory.mktemp("log") / "log.sqlite3")


@pytest.fixture
def bench(filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with that log as the user's own, and files that are no recipes."""
    monkeypatch.chdir(tmp_path)
    default_path().parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(filled, default_path())
    (tmp_path / "folder").mkdir()
    (tmp_path / "latin.toml").write_bytes(b'title = "\xe9"')
    texts = {
        "bad.toml": "shape = = 2\n",
        "table.toml": 'stepcut = 1\nshape = "divide"\ndivide = 3\n',
        "shape.toml": 'stepcut = 1\nshape = "gear"\n',
        "unit.toml": 'stepcut = 1\nshape = "radius"\nunit = "cm"\n[radius]\nform = "ball"\nradius = "5mm"\n',
        "words.txt": "hello",
        "schema.txt": '{"stepcut": "read-back", "schema": 9}',
        "unit.txt": _back(unit="cm"),
        "other.txt": _back(title="Nothing"),
        "acts.txt": _back(acts=[{"acts": [1, 2, 3], "at": "2026-01-01T10:00:00+00:00"}]),
    }
    mill = shipped_path("inch").read_text("utf-8")
    (depth,) = re.findall(r"(?ms)^\[depth\].*?^\[", mill)
    texts |= {
        "mill.toml": mill.replace(depth, re.sub(r"(?m)^error.*\n", "", depth)),
        "slack.toml": mill.replace(depth, depth.replace("0.004in", "0.3in")),
        "turn.toml": mill.replace('backlash = "6\'"', 'backlash = "5deg"'),
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text, "utf-8")
    with closing(sqlite3.connect(tmp_path / "things.sqlite3")) as db:
        db.execute("CREATE TABLE things (a)")
    return tmp_path


def _back(**changed: object) -> str:
    content = {"stepcut": "read-back", "schema": 1, "unit": "in", "title": "Sluice clamp ring", "part": "A", "piece": "1",
               "revision": revision("sluice-clamp-ramp"), "acts": [], "notes": [], "readings": [], "off": [], "measured": []}  # fmt: skip
    return json.dumps({**content, **changed})


def revision(name: str) -> str:
    return recipes.job(recipes.load(name)).revision


@pytest.mark.parametrize(
    ("command", "status", "message"),
    [
        (["log", "rename", "1", " "], 2, "title = '': must be a title of 1 to 200 characters. Write a short one."),
        (["log", "export", "log.xls"], 2, "out = log.xls: is no kind of file that the log can be written as. Use .csv, .json or .md."),
        (["log", "delete", "3"], 2, "job = 3: is in the bin already. Take it out with stepcut log keep, or empty the bin."),
        (["log", "keep", "1"], 2, "job = 1: is not in the bin. See stepcut log list --bin."),
        (["log", "merge", "1", "1"], 2, "other = 1: is the same job. Name two jobs."),
        (["log", "merge", "1", "2"], 2,
         "other = 2: was cut from other values than job 1, so its cuts are other cuts. Merge jobs of one revision; see stepcut log show."),
        (["log", "merge", "1", "3"], 2, "other = 3: is another part than job 1. Merge jobs of one part; see stepcut log show."),
        (["log", "show", "77"], 2, "job = 77: is not in the log. See stepcut log list."),
        (["log", "note", "1", " "], 2, "note = '': is empty. Write a few words."),
        (["log", "reading", "1", "99", "1in"], 2, "cut = 99: is past the last cut, 28. Give the number of a cut."),
        (["log", "reading", "1", "1", "9in"], 2, "found = 9in: is far from what cut 1 wants. Check the number and its unit."),
        (["log", "empty"], 2, "bin: holds 1 job. See stepcut log list --bin; then give --yes."),
        (["log", "read-back", "words.txt"], 2, f"file = words.txt: is not the text of a phone card. {COPY}"),
        (["log", "read-back", "schema.txt"], 2,
         "file = schema.txt: is of schema 9, and this program reads 1. Use the program that made the card."),
        (["log", "read-back", "unit.txt"], 2, f"file = unit.txt: has no sound unit. {COPY}"),
        (["log", "read-back", "other.txt"], 2,
         f"recipe: is wanted: the log has no job of Nothing, part A, revision {REVISION}, piece 1. Name its recipe behind the file."),
        (["log", "read-back", "other.txt", "bollard-pin-taper"], 2,
         f"recipe = bollard-pin-taper: is revision {TAPERS}, and the phone's card is Nothing, part A, revision {REVISION}, piece 1. "
         "Give the recipe, sizes and machine that the card was made of."),
        (["log", "read-back", "acts.txt"], 2,
         "file = acts.txt: has other acts than the card has in this program. Use the program that made it; nothing was written."),
        (["log", "restore", "things.sqlite3"], 3, "things.sqlite3: is no log of stepcut. Name a file that stepcut log backup wrote."),
        (["log", "restore", "none"], 3, "none: there is no such file. Check the name and the folder."),
        (["log", "restore", "folder"], 3, "folder: is a folder. Name a file in it."),
        (["where", "sluice-clamp-ramp"], 2, "table: or depth is wanted. Give --table 70deg, --depth 0.036in, or both; on the lathe --z and --x."),
        (["blue", "60%", "sluice-clamp-ramp"], 2, "recipe = 60%: is a share. Name the recipe first: stepcut blue NAME 60%."),
        (["where", "--table", "9deg"], 2, "recipe: or a job is wanted. Name a recipe, or give --job with its number."),
        (["blue", "paddle-socket-bore", "30%"], 2,
         "recipe = paddle-socket-bore: has no contact curve. Blue is for shapes that are filed from steps."),
        (["blue", "sluice-clamp-ramp", "30%", "--cuts", "1"], 2,
         "share = 30%: and --cuts do not go together. Give 60%, or --cuts 1,2,5."),
        (["blue", "sluice-clamp-ramp", "30%", "--minutes", "0"], 2,
         "minutes = 0: must be above 0. Give the minutes filed since the last check."),
        (["blue", "sluice-clamp-ramp", "--at", "large"], 2,
         "at = large: is for tapers, and this is a ramp. Give the share that shows blue."),
        (["blue", "sluice-clamp-ramp", "30%", "--for", "x"], 2, "for = x: is not one of the choices. Use clamp, dog or lift."),
        (["recover", "sluice-clamp-ramp"], 2,
         "from: or another mistake is wanted, one of the six. Give --from 9 --cutter 0.498in, --cut 7 --found 0.055in, --lost 7, --slipped 7, "
         "--wrong-way 3 or --off zero."),
        (["recover", "sluice-clamp-ramp", "--off", "x"], 2, "off = x: is not one of the choices. Use zero, slip, scale or deflection."),
        (["recover", "sluice-clamp-ramp", "--off", "zero"], 2,
         "off = zero: fits no reading of this job. Measure a few cuts: m in stepcut tick, or stepcut log reading."),
        (["recover", "sluice-clamp-ramp", "--slipped", "7"], 2, "reads: is missing. Go back to cut 7 and give what the rim reads there now."),
        (["recover", "sluice-clamp-ramp", "--slipped", "7", "--reads", "70deg"], 2,
         "reads = 70deg: is what cut 7 reads on the card. Nothing has slipped; see --lost when the depth did."),
        (["recover", "sluice-clamp-ramp", "--slipped", "7", "--reads", "70mm"], 2,
         "reads = 70mm: mm is a unit of length, and an angle is wanted. Give an angle such as 10deg or 12°30'."),
        (["recover", "bollard-pin-taper", "--wrong-way", "3"], 2, "length: is missing. Give --length, the distance between the two faces of the part."),
        (["recover", "paddle-quadrant-arc-slot", "--wrong-way", "3", "--length", "20mm"], 2,
         "recipe: is for points, and what cuts beside their places take is not worked out there. They stay where they are: your drawing says whether they may. Find the zero again by --lost, then make each at the card's readings."),
        (["recover", "sluice-clamp-ramp", "--from", "99", "--cutter", "1in"], 2,
         "from = 99: is past the last cut, 28. Give the number of a cut."),
        (["recover", "sluice-clamp-ramp", "--cut", "9"], 2, "found: is missing. Give the depth that was measured, such as 0.055in."),
        (["recover", "sluice-clamp-ramp", "--from", "9"], 2, "cutter: is missing. Give the measured size of the new cutter."),
        (["tick"], 2, "recipe: or a job is wanted, one of the two. Name a recipe, or give --job alone."),
        (["tick", "--job", "77"], 2, "job = 77: is not in the log. See stepcut log list."),
        (["again", "77"], 2, "job = 77: is not in the log. See stepcut log list."),
        (["card", "sluice-clamp-ramp", "lever-ball-knob", "--out", "a.pdf"], 2,
         "out = a.pdf: is one file for 2 recipes. Name a folder, such as cards/."),
        (["card", "sluice-clamp-ramp", "sluice-clamp-ramp", "--out", "folder"], 2,
         "out = folder/sluice-clamp-ramp.pdf: would be written by two recipes, sluice-clamp-ramp and sluice-clamp-ramp. "
         "Write them one by one, with a name for each."),
        (["card", "sluice-clamp-ramp", "--out", "a.xyz"], 2,
         "out = a.xyz: is no kind of card that is known here. Use one of pdf, png, svg, html, csv, json, txt."),
        (["card", "sluice-clamp-ramp", "--set", "rise"], 2, "set = rise: is not a key and a value. Write it like --set outside=2.25in."),
        (["card", "folder"], 3, "folder: is a folder. Name a file in it."),
        (["card", "none.toml"], 3, "none.toml: there is no such file. Check the name and the folder."),
        (["card", "bad.toml"], 2,
         "bad.toml: file: is not TOML: Invalid value (at line 1, column 9). Mend that line; a value stands in quotes, like "
         'rise = "0.090in".'),
        (["tick", "sluice-clamp-ramp", "--set", "span=178deg"], 1,
         "recipe = sluice-clamp-ramp: DO NOT CUT: The cutter overlaps the next ramp by 30.4°. No standard cutter clears. With this 3/8 in "
         "cutter 14 of 18 cuts fit, the last at 140°; a span of 147°36' fits whole. For a tooth with an upright face tilt the head 3.7°, "
         "or take a single-angle cutter of 86.3° or less. Mend the recipe first."),
        (["card", "sluice-clamp-ramp", "--out", f"{'x' * 300}.pdf"], 3,
         f"{'x' * 300}.pdf: file name too long. Check the name, the folder and the space left."),
        (["log", "errors", "--machine", "inch", "--accept"], 2,
         "machine = inch: ships with the program and is not changed. Make your own with stepcut machine new NAME --like inch."),
        (["log", "errors", "--machine", "./mill.toml", "--accept"], 2,
         "machine = ./mill.toml: has no line error = ... in its [depth]. Add one by hand."),
        (["card", "sluice-clamp-ramp", "--machine", "./slack.toml"], 2,
         "slack.toml, line 24, depth.backlash: backlash = 0.3 in: must be less than one turn of its handle, 0.1 in. Measure it again: "
         "forward until it moves, then back."),
        (["card", "sluice-clamp-ramp", "--machine", "./turn.toml"], 2,
         "turn.toml, line 16, table.backlash: backlash = 5 deg: must be less than one turn of its handle, 4 deg. Measure it again: "
         "forward until it moves, then back."),
        (["card", "latin.toml"], 2, "file = latin.toml: is not UTF-8 text. Save it as UTF-8 in your editor."),
        (["card", "table.toml"], 2, "table.toml, line 3, divide: divide = 3: must be a table. Begin it with a line [divide]."),
        (["card", "unit.toml"], 2, "unit.toml, line 3, unit: unit = cm: is not one of the choices. Use in or mm."),
        (["card", "shape.toml"], 2,
         "shape.toml, line 2, shape: shape = gear: is missing or not known. Give one of "
         f"{', '.join(SHAPES)}."),
        (["card", "a\0b"], 2, "argument = a[U+0000]b: holds a null character. Type it anew."),
        (["card", "a\udc80"], 2, "argument = a\\x80: is not UTF-8 text. Type it anew, or give the file another name."),
        (["card", "sluice-clamp-ramp", "--out", "/proc/none/x.pdf"], 3,
         "/proc/none/x.pdf: cannot be written (no such file or directory). Check the folder and the space left."),
        (["ramp", "--save", "a*b"], 2, "name = a*b: cannot be the name of a recipe. Use letters, digits, dashes and spaces."),
        (["recipe", "copy", "sluice-clamp-ramp", "latin.toml"], 3,
         "latin.toml: stands already. Choose another name, or add --force to replace it."),
        (["machine", "show", "nowhere"], 2,
         "machine = nowhere: there is no machine of that name. Use one of inch, metric, or the path of a file."),
    ],
    ids=lambda value: " ".join(value).encode("ascii", "backslashreplace").decode().replace("\0", "0") if isinstance(value, list) else "",
)  # fmt: skip
def test_a_refusal_says_name_value_rule_and_what_to_do(
    bench: Path, command: list[str], status: int, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    ring = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.09in", "--cutter", "3/8in", "--span", "140deg"]
    line = [*command[:1], *ring, *command[1:]] if command[0] == "ramp" else command
    before = default_path().read_bytes()
    assert cli.run(line) == status
    said = capsys.readouterr()
    wanted = message.replace(REVISION, revision("sluice-clamp-ramp")).replace(TAPERS, revision("bollard-pin-taper"))
    assert said.err.splitlines()[0] == wanted
    assert said.out == "" or command[0] == "ramp"
    assert default_path().read_bytes() == before  # and nothing was written


def test_closing_twice_is_said(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert (cli.run(["log", "close", "1"]), cli.run(["log", "close", "1"])) == (0, 2)
    assert capsys.readouterr().err == "job = 1: is closed already. See stepcut log list.\n"


def test_the_log_itself_is_no_copy_of_it(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for command, message in (
        ("restore", f"file = {_short(default_path())}: is the log itself. Name a copy; see stepcut log check.\n"),
        ("backup", f"out = {_short(default_path())}: is the log itself. Name another file.\n"),
    ):
        assert cli.run(["log", command, str(default_path())]) == 2
        assert capsys.readouterr().err == message


def _short(path: Path) -> str:
    text = str(path)
    return text if len(text) <= 40 else f"{text[:37]}..."


def test_what_a_session_refuses(bench: Path) -> None:
    with Store(default_path()) as store:
        job = recipes.job(recipes.load("sluice-clamp-ramp").resized({"rise": "0.08in"}))
        session = Session(store, store.job(2), steps(show.whole(job)))
        cases = (
            (lambda: session.last_cut, "measured: nothing is cut yet. Make a cut first."),
            (
                session.cut,
                "cut = 1: is not what comes next (first Cutter, flat, measured ________: Done). Do what is shown.",
            ),
            (lambda: session.jump("x"), "jump = x: is no cut from 1 to 28. Give the number of a cut."),
            (lambda: session.note(" "), "note = '': is empty. Write a few words."),
        )
        for act, message in cases:
            with pytest.raises(BadValue) as refused:
                act()
            assert str(refused.value) == message
        session.past_set_up()
        with pytest.raises(BadValue) as refused:
            session.past_set_up()
        assert str(refused.value) == "set-up: is past. Do what is shown."
        session.jump("5")
        session.do()
        session.do()
        with pytest.raises(BadValue) as refused:
            session.do()
        assert str(refused.value) == "confirm = Both right: is to be confirmed. Look first; then k."
        while session.step is not None:
            if session.step.what == "measured":
                with pytest.raises(BadValue) as refused:
                    session.found(" ")
                assert str(refused.value) == "measured = '': is empty. Write what you found."
            session.do(confirmed=True)
        with pytest.raises(BadValue) as refused:
            session.do()
        assert str(refused.value) == "job = 2: has nothing left to do. End with q."


def test_what_the_file_of_the_log_refuses(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = default_path()
    monkeypatch.setattr(schema, "stamp", lambda: "now")
    for number in range(1, 101):
        path.with_name(f"{path.name}.why-now" + (f"-{number}" if number > 1 else "")).touch()
    with pytest.raises(FileTrouble) as trouble:
        schema.put_aside(path, b"", "why")
    assert str(trouble.value) == f"{path}: has a hundred copies of this second beside it. Move them away."
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 99")
        db.commit()
    for reading in (False, True):
        with pytest.raises(FileTrouble) as trouble:
            Store(path, reading)
        assert str(trouble.value) == (
            f"{path}: was written by a newer stepcut (schema 99; this one knows {schema.VERSION}). Use the newer program. "
            "The job can go on with the paper card."
        )

    def refused(*_: object) -> Path:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(FileTrouble) as trouble:
        care.set_aside(path, "why")
    assert str(trouble.value) == f"{path}: cannot be moved (permission denied). Check who may write in its folder."
    (bench / "a file").touch()
    with pytest.raises(FileTrouble) as trouble:
        Store(bench / "a file" / "log.sqlite3")
    assert str(trouble.value) == (
        f"{bench / 'a file' / 'log.sqlite3'}: cannot be used (file exists). Check the folder and who may write in it. "
        "The job can go on with the paper card."
    )


def test_every_trouble_of_sqlite_has_its_sentence() -> None:
    paper = "The job can go on with the paper card."
    for text, rule, way in (
        ("database is locked", "is in use by another program", "Close the other window, or wait, and try again."),
        ("attempt to write a readonly database", "cannot be written", "Check who may write in its folder."),
        ("unable to open database file", "cannot be written", "Check who may write in its folder."),
        ("database or disk is full", "cannot be written: the disk is full or failing", "Make room and try again."),
        ("disk I/O error", "cannot be written: the disk is full or failing", "Make room and try again."),
        ("database disk image is malformed", "is damaged",
         "stepcut log repair saves what can be read and begins a new log with it; the damaged file is kept."),
        ("no such table: ticks", "is damaged",
         "stepcut log repair saves what can be read and begins a new log with it; the damaged file is kept."),
    ):  # fmt: skip
        assert schema.said(sqlite3.OperationalError(text)) == (rule, f"{way} {paper}")
    assert schema.said(sqlite3.OperationalError("something else")) == ("cannot be used (something else)", paper)


def test_a_log_of_which_nothing_can_be_read_is_left_where_it_is(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = default_path()
    path.write_bytes(b"no database at all" * 300)
    with pytest.raises(FileTrouble) as trouble:
        care.repair(path)
    assert str(trouble.value) == (
        f"{path}: is damaged so that no job in it can be read. Move it away to begin a new log. The job can go on with the paper card."
    )
    (path.with_name(f"{path.name}.before-schema-4")).write_bytes(b"")
    with pytest.raises(FileTrouble) as trouble:
        care.repair(path)
    assert str(trouble.value) == (
        f"{path}: is damaged so that no job in it can be read. Put a copy back with stepcut log restore (log.sqlite3.before-schema-4 "
        "beside it). The job can go on with the paper card."
    )
    assert path.read_bytes().startswith(b"no database at all")


def test_a_log_whose_jobs_say_nothing_is_damaged(bench: Path) -> None:
    path = default_path()
    with closing(sqlite3.connect(path)) as db:
        db.executescript("PRAGMA foreign_keys = OFF; DROP TABLE jobs; CREATE TABLE jobs (a);")
    assert schema.said(TypeError("it has no jobs"))[0] == "is damaged"
    with pytest.raises(FileTrouble, match="is damaged"), Store(path, reading=True) as store:
        store.jobs()


def test_a_card_of_too_many_pages_is_refused(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """No plan of today's most cuts has a thousand pages: the limit is lowered here."""
    monkeypatch.setattr(card_command, "MOST_PAGES", 1)
    assert cli.run(["card", "sluice-clamp-ramp", "--out", "a.pdf"]) == 2
    assert capsys.readouterr().err == (
        "out = sluice-clamp-ramp: would have about 2 pages (28 cuts). Take larger steps, or write it as csv.\n"
    )
    assert not (bench / "a.pdf").exists()


def test_a_reading_of_no_cut_is_kept_as_a_note(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = "2026-01-01T10:00:00+00:00"
    (bench / "reading.txt").write_text(_back(readings=[{"cut": 99, "found": "0.01in", "at": at}]), "utf-8")
    assert cli.run(["log", "read-back", "reading.txt"]) == 0
    assert "1 note, 0 readings taken in" in " ".join(capsys.readouterr().err.split())
    with Store(default_path()) as store:
        assert [words for *_, words, _ in store.notes(1)] == ["found 0.01in, which is no reading of this cut"]
