"""How the program ends: one status for one kind of end, one message, and never a traceback."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from stepcut import cli, files
from stepcut.cli import ending
from stepcut.log.store import Store, default_path
from tests.conftest import ROOT, Run

RING = [
    "--outside",
    "1.75in",
    "--bore",
    "1.40in",
    "--rise",
    "0.090in",
    "--span",
    "180deg",
    "--cutter",
    "1/2in",
    "--step",
    "10deg",
]
PROGRAM = [sys.executable, "-m", "stepcut"]


@pytest.fixture(autouse=True)
def ctrl_c_is_heard() -> Iterator[None]:
    """A shell starts what runs in the background with Ctrl-C ignored, and every program below it would ignore it too."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def shell(words: str, *arguments: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    """Run the program through a shell that closes or redirects its streams."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    line = ["sh", "-c", f'exec "$@" {words}', "sh", *PROGRAM, *arguments]
    return subprocess.run(line, capture_output=True, env=environment, timeout=60, **more)  # type: ignore[call-overload, no-any-return]


# --- 1 is DO NOT CUT and nothing else ---------------------------------------------------------------------------------


def test_ticking_a_plan_that_would_spoil_ends_with_1(run: Run) -> None:
    done = run("tick", "sluice-clamp-ramp", "--set", "span=180deg", "--lines", input="q\n")
    assert done.returncode == 1
    assert done.stderr.startswith("recipe = sluice-clamp-ramp: DO NOT CUT: ")
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("arguments", "status", "message"),
    [
        (["lock", "--angle", "59deg", "--radius", "20mm", "--friction", "0.9"], 0, ""),
        (["ramp", "--outside", "1.75in", "--bore", "1.40in", "--rise", "0.5in", "--span", "1deg", "--cutter", "1/16in",
          "--step", "1deg"], 0, ""),
        (["log", "show", "9" * 30], 2, f"job = {'9' * 30}: is not in the log. See stepcut log list.\n"),
        (["again", "9" * 30], 2, f"job = {'9' * 30}: is not in the log. See stepcut log list.\n"),
        (["cam", "--segments", "", "--base", "1in", "--cutter", "1/4in", "--step", "5deg"], 2,
         "segments: is missing. Give --segments, such as 'rise 0.100in in 60deg; dwell 30deg; fall 0.100in in 60deg', or --table, or --sectors.\n"),
        (["ramp", *RING, "--leave", "1e-99mm"], 2,
         "leave = 1e-99mm: is smaller than anything on a machine (0.000001 mm). Check the number and its unit.\n"),
        (["index", "--circles", "15", "--angle", "1e-99deg"], 2,
         "angle = 1e-99deg: is smaller than anything on a machine (0.000001 degree). Check the number and its unit.\n"),
        (["lock", "--angle", "3deg", "--radius", "20mm", "--friction", "1e-99"], 2,
         "friction = 1e-99: is no number that has a use here. Check the number.\n"),
    ],
)  # fmt: skip
def test_what_ended_in_a_traceback_ends_in_a_sentence(
    run: Run, arguments: list[str], status: int, message: str
) -> None:
    done = run(*arguments)
    assert (done.returncode, done.stderr) == (status, message)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("rise = 0x" + "f" * 4000, "{0}, line 3: ramp.rise: a number of more than 18 digits. Write fewer digits.\n"),
        ("[" + "a." * 3000 + "a]", "{0}, line 3: file: is nested deeper than 32 keys. Mend it.\n"),
        ("a." * 3000 + "a = 1", "{0}, line 3: file: is nested deeper than 32 keys. Mend it.\n"),
        ("rise = " + "[" * 3000 + "]" * 3000, "{0}, line 3: file: is nested deeper than 32 keys. Mend it.\n"),
        ("rise = " + "{a=" * 3000 + "1" + "}" * 3000, "{0}, line 3: file: is nested deeper than 32 keys. Mend it.\n"),
    ],
)
def test_a_file_that_is_too_deep_is_refused_with_its_line(run: Run, tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "r.toml"
    path.write_text(f"stepcut = 1\n[ramp]\n{text}\n", "utf-8")
    done = run("card", str(path))
    assert (done.returncode, done.stderr) == (2, message.format(path))


# --- streams ----------------------------------------------------------------------------------------------------------


def test_a_closed_or_full_output_is_said_and_ends_with_3() -> None:
    for words, reason in ((">&-", "is closed"), ("> /dev/full", "no space left on device")):
        done = shell(words, "card", "sluice-clamp-ramp")
        said = f"standard output: {reason}. What was printed may not be whole; see that it can be written.\n"
        assert (done.returncode, done.stderr.decode()) == (3, said)


def test_a_reader_that_goes_away_is_no_trouble() -> None:
    done = shell("| head -1; exit 0", "card", "sluice-clamp-ramp", "--set", "step=1deg")
    assert done.stderr == b""


def test_closed_input_and_error_streams_change_nothing_of_the_card() -> None:
    whole = shell("", "card", "sluice-clamp-ramp")
    for words in ("<&-", "2>&-", "<&- 2>&-"):
        done = shell(words, "card", "sluice-clamp-ramp")
        assert (done.returncode, done.stdout) == (0, whole.stdout)


def test_a_log_opened_with_every_stream_closed_is_no_place_for_messages(tmp_path: Path) -> None:
    shell("", "tick", "sluice-clamp-ramp", "--lines", input=b"s\nt\nq\n")
    for _ in range(2):
        assert shell("<&- >&- 2>&-", "log", "note", "1", "words").returncode in (0, 3)
    shown = shell("", "log", "show", "1")
    assert shown.returncode == 0
    assert b"words" in shown.stdout


def test_bytes_that_are_no_text_are_said() -> None:
    done = shell("", "card", os.fsdecode(b"caf\xe9.toml"))
    assert (done.returncode, done.stderr) == (
        2, rb"argument = caf\xe9.toml: is not UTF-8 text. Type it anew, or give the file another name." + b"\n")  # fmt: skip
    ticked = shell("", "tick", "sluice-clamp-ramp", "--lines", input=b"n cutter \xff dull\nq\n")
    assert (ticked.returncode, ticked.stderr) == (0, b"")
    assert rb"cutter \xff dull" in shell("", "log", "export", "-").stdout.replace(b"\\\\", b"\\")


def test_without_a_home_the_card_prints_and_the_log_says_why_not(tmp_path: Path) -> None:
    code = (
        "import os, pwd, sys\n"
        "def unknown(_): raise KeyError\n"
        "pwd.getpwuid = unknown\n"
        "for name in ('HOME', 'XDG_DATA_HOME', 'XDG_CONFIG_HOME'): os.environ.pop(name, None)\n"
        "from stepcut.__main__ import main; sys.argv = ['stepcut', *sys.argv[1:]]; main()"
    )

    def homeless(*arguments: str) -> subprocess.CompletedProcess[str]:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
        return subprocess.run(
            [sys.executable, "-c", code, *arguments], cwd=tmp_path, env=environment, capture_output=True, text=True
        )

    assert homeless("card", "sluice-clamp-ramp").returncode == 0
    assert homeless("machine", "list").returncode == 0
    for command in (["log", "list"], ["tick", "sluice-clamp-ramp", "--lines"]):
        done = homeless(*command)
        said = "home folder: is not known to the system. Set HOME, or XDG_DATA_HOME, to a folder of your own.\n"
        assert (done.returncode, done.stderr) == (3, said)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_of_ones_own_that_is_no_whole_path_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", "data")
    assert cli.run(["log", "list"]) == 3
    assert capsys.readouterr().err == (
        "data: of XDG_DATA_HOME is no whole path, and would be another folder wherever you stand. Set it to one from the root on, or "
        "unset it.\n"
    )


# --- a fault of the program -------------------------------------------------------------------------------------------


def test_a_fault_is_reported_in_a_file_and_ends_with_4(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, own_home: Path
) -> None:
    def broken(_: object) -> None:
        raise KeyError("a fault\x1b[2J of our own")

    monkeypatch.setattr("stepcut.cli.show.load", broken)
    assert cli.run(["card", "sluice-clamp-ramp", "--set", "title=What I typed"]) == 4
    said = capsys.readouterr().err
    (report,) = (own_home / "stepcut" / "faults").iterdir()
    assert said == (
        "This is a fault of stepcut itself (KeyError: 'a fault\\x1b[2J of our own'). Files that stood, and what was ticked, are as "
        f"they were.\nThe report is in {report}; it holds what you typed. Send it to the makers.\n"
    )
    text = report.read_text("utf-8")
    assert "title=What I typed" in text
    assert "Traceback" in text
    assert "Traceback" not in said


def test_a_fault_that_ctrl_c_became_is_no_fault(capsys: pytest.CaptureFixture[str]) -> None:
    class Stopping:
        def __set_name__(self, *_: object) -> None:
            raise KeyboardInterrupt  # Python 3.11 makes a RuntimeError of it

    def body() -> None:
        try:
            type("Thing", (), {"field": Stopping()})
        except KeyboardInterrupt as stop:  # Python 3.12 and later
            raise RuntimeError("wrapped") from stop

    assert ending.ended(body, ["card", "x"], []) == 130
    assert capsys.readouterr() == ("", "Stopped.\n")


def test_a_report_that_cannot_be_kept_is_printed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(ending, "_kept", lambda report: None)

    def body() -> None:
        raise RecursionError("deep")

    assert ending.ended(body, ["card", "x"], []) == 4
    assert "The report could not be written to a file; it follows." in capsys.readouterr().err


# --- Ctrl-C -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("moments", [8, pytest.param(48, marks=pytest.mark.long)])
def test_ctrl_c_at_any_moment_prints_one_line_and_leaves_nothing(tmp_path: Path, moments: int) -> None:
    # From the program's first line on, libraries not loaded yet; what Python does before that is out of its hands.
    code = "from stepcut.__main__ import main; print('begun', flush=True); main()"
    out = tmp_path / "cards"
    seen = set()
    for moment in range(moments):
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        process = subprocess.Popen(
            [sys.executable, "-c", code, "card", "sluice-clamp-ramp", "--set", "step=1deg", "--out", f"{out}/c{moment}.txt"],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment,
        )  # fmt: skip
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(0.004 + 0.3 * moment / moments)
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=30)
        seen.add(process.returncode)
        assert (process.returncode, said) == (130, "Stopped.\n") or (
            process.returncode == 0 and re.fullmatch(r"Wrote .*c\d+\.txt\.\n", said)
        ), (moment, process.returncode, said)
    assert 130 in seen
    if out.exists():
        assert [path.name for path in out.iterdir() if path.name.startswith(".")] == []


def test_ctrl_c_while_a_library_makes_a_class_is_a_stop(tmp_path: Path) -> None:
    # Python 3.11 wraps what is raised there into a RuntimeError; here the first library loaded does it every time.
    (tmp_path / "typer.py").write_text(
        "import os, signal\n"
        "class Field:\n"
        "    def __set_name__(self, *_):\n"
        "        os.kill(os.getpid(), signal.SIGINT)\n"
        "        for _ in range(1000): pass\n"
        "class Thing:\n"
        "    field = Field()\n"
    )
    environment = {**os.environ, "PYTHONPATH": f"{tmp_path}{os.pathsep}{ROOT}"}
    done = subprocess.run(
        [sys.executable, "-m", "stepcut", "--version"], capture_output=True, text=True, env=environment, timeout=30
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "Stopped.\n")


LATE = [
    (["card", "sluice-clamp-ramp", "--out", "card.txt"], "Wrote card.txt.\n"),
    (["card", "lever-ball-knob", "sluice-clamp-ramp", "--as", "txt", "--out", "."], "2 of 2: sluice-clamp-ramp.txt\n"),
    (["ramp", *RING, "--save", "ring.toml"], "Saved ring.toml.\n"),
    (["recipe", "copy", "sluice-clamp-ramp", "ring.toml"], "Wrote ring.toml.\n"),
    (["machine", "new", "bench", "--unasked"], "Wrote "),
    (["machine", "use", "metric"], "Cards are made for metric from now on.\n"),
    (["log", "export", "log.csv"], "Wrote log.csv.\n"),
    (["log", "backup", "copy.db"], "Wrote copy.db. Put it back with stepcut log restore copy.db.\n"),
]


def _interrupted(monkeypatch: pytest.MonkeyPatch, when: Callable[[Path], bool]) -> list[Path]:
    """Have Ctrl-C come the moment that a file got its name, and return the files that got one."""
    named: list[Path] = []

    def then_ctrl_c(act: Callable[..., object]) -> Callable[..., object]:
        def both(temporary: Path, target: Path) -> object:
            result = act(temporary, target)
            named.append(target)
            if when(target):
                signal.raise_signal(signal.SIGINT)
            return result

        return both

    monkeypatch.setattr(files, "_put_new", then_ctrl_c(files._put_new))
    monkeypatch.setattr(Path, "replace", then_ctrl_c(Path.replace))
    return named


@pytest.mark.parametrize(("arguments", "said"), LATE, ids=[" ".join(words[:2]) for words, _ in LATE])
def test_ctrl_c_after_the_last_file_stands_does_not_call_the_work_stopped(
    arguments: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    before = signal.getsignal(signal.SIGINT)
    Store(default_path()).close()  # a log to copy
    named = _interrupted(monkeypatch, lambda path: path.name != "lever-ball-knob.txt")
    assert cli.run(arguments) == 0
    out, err = capsys.readouterr()
    assert said in out + err
    assert "Stopped." not in out + err
    assert named
    assert all(path.exists() for path in named)
    assert signal.getsignal(signal.SIGINT) is before  # the caller's Ctrl-C is what it was


def test_ctrl_c_between_two_files_stops_before_the_second(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    named = _interrupted(monkeypatch, lambda _: True)
    assert cli.run(["card", "sluice-clamp-ramp", "lever-ball-knob", "--as", "txt", "--out", str(tmp_path)]) == 130
    assert capsys.readouterr().err == "Stopped.\n"
    assert [path.name for path in tmp_path.iterdir()] == [path.name for path in named] == ["sluice-clamp-ramp.txt"]


def test_ctrl_c_after_the_last_word_changes_nothing_of_the_end() -> None:
    code = (
        "import atexit, signal; from stepcut.__main__ import main\n"
        "atexit.register(signal.raise_signal, signal.SIGINT); main()"
    )
    for arguments, status, said in ((["--version"], 0, ""), (["card", "no-such"], 3, "no-such: ")):
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, env=environment)
        assert (done.returncode, done.stderr[: len(said)], done.stderr.count("\n")) == (status, said, int(bool(said)))


def test_saying_that_it_stopped_loads_nothing() -> None:
    # What Ctrl-C cut short while it was loaded would be loaded a second time, and some libraries complain of that.
    code = (
        "import sys; from stepcut.cli import ending\n"
        "def body(): global before; before = set(sys.modules); raise KeyboardInterrupt\n"
        "assert ending.ended(body, [], []) == 130\n"
        "print(sorted(set(sys.modules) - before))"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment)
    assert (done.stdout, done.stderr) == ("[]\n", "Stopped.\n")


def test_ctrl_c_while_python_clears_an_object_away_stops_all_the_same() -> None:
    # Python cannot raise anything there: it would print a traceback of its own and go on.
    code = (
        "import signal, sys, weakref; import stepcut.files as files; from stepcut.__main__ import main\n"
        "class Thing: pass\n"
        "def read(path):\n"
        "    thing = Thing(); seen = weakref.ref(thing, lambda _: signal.raise_signal(signal.SIGINT)); del thing\n"
        "    return as_it_is(path)\n"
        "as_it_is, files.read_text = files.read_text, read\n"
        "main()"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-c", code, "card", "sluice-clamp-ramp"]
    done = subprocess.run(words, capture_output=True, text=True, env=environment)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "Stopped.\n")


def test_a_command_in_another_thread_leaves_ctrl_c_alone(tmp_path: Path) -> None:
    before = signal.getsignal(signal.SIGINT)
    with ThreadPoolExecutor(1) as pool:
        assert pool.submit(cli.run, ["recipe", "copy", "sluice-clamp-ramp", str(tmp_path)]).result() == 0
    assert signal.getsignal(signal.SIGINT) is before
