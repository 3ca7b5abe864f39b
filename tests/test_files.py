"""Files are written whole or not at all, over nothing but a file that is to be replaced."""

from __future__ import annotations

import os
import stat
import time
from pathlib import Path

import pytest

from stepcut import files
from stepcut.errors import FileTrouble
from tests.conftest import Run


def test_a_forced_write_keeps_the_permissions_and_the_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_text("old")
    real.chmod(0o640)
    link.symlink_to(real)
    files.write_whole(link, "new", force=True)
    assert link.is_symlink()
    assert real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_new_file_has_the_permissions_of_any_other(tmp_path: Path) -> None:
    files.write_whole(tmp_path / "a", "x")
    (tmp_path / "b").write_text("x")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


@pytest.mark.parametrize("force", [False, True])
def test_only_a_file_is_replaced(tmp_path: Path, force: bool) -> None:
    fifo, folder = tmp_path / "fifo", tmp_path / "folder"
    os.mkfifo(fifo)
    folder.mkdir()
    for path, rule in (
        (fifo, "is no regular file"),
        (folder, "is a folder"),
        (Path("/dev/null"), "is no regular file"),
    ):
        with pytest.raises(FileTrouble) as trouble:
            files.write_whole(path, "x", force)
        assert str(trouble.value) == (
            f"{path}: {rule}, and only a file is replaced. Choose another name."
            if force
            else f"{path}: stands already. Choose another name, or add --force to replace it."
        )
    assert stat.S_ISFIFO(fifo.stat().st_mode)


def test_a_link_to_nothing_is_something_that_stands(tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "nothing")
    with pytest.raises(FileTrouble, match="stands already"):
        files.write_whole(link, "x")
    files.write_whole(link, "x", force=True)
    assert link.is_symlink()
    assert (tmp_path / "nothing").read_text() == "x"


def test_what_a_killed_program_left_is_swept_and_a_running_one_is_let_be(tmp_path: Path) -> None:
    old, young = tmp_path / f"{files.PART_PREFIX}old", tmp_path / f"{files.PART_PREFIX}young"
    old.write_text("half")
    young.write_text("half")
    os.utime(old, (time.time() - 3600, time.time() - 3600))
    files.write_whole(tmp_path / "card.txt", "x")
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"{files.PART_PREFIX}young", "card.txt"]


def test_a_write_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileTrouble) as trouble:
        files.write_whole(tmp_path / "card.txt", "x")
    assert (
        str(trouble.value)
        == f"{tmp_path}/card.txt: cannot be written (no space left on device). Check the folder and the space left."
    )
    assert list(tmp_path.iterdir()) == []


def test_two_recipes_that_would_write_one_file_are_refused_before_anything_is_written(run: Run, tmp_path: Path) -> None:
    for folder, name in (("a", "ring.toml"), ("b", "RING.toml")):
        (tmp_path / folder).mkdir()
        assert run("recipe", "copy", "sluice-clamp-ramp", str(tmp_path / folder / name)).returncode == 0
    out = tmp_path / "out"
    done = run("card", str(tmp_path / "a/ring.toml"), str(tmp_path / "b/RING.toml"), "--out", f"{out}/", "--as", "txt")
    assert done.returncode == 2
    assert "would be written by two recipes" in done.stderr
    assert not out.exists()


@pytest.mark.parametrize("name", [".", "", "..", "cards/"])
def test_a_name_that_names_no_file_is_refused(run: Run, tmp_path: Path, name: str) -> None:
    done = run("ramp", "--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in",
               "--step", "10deg", "--save", name, cwd=tmp_path, env={"PYTHONPATH": str(Path(__file__).parent.parent)})  # fmt: skip
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"save = {name or repr(name)}: names no file. Give a file name, such as ring.toml.\n"
    assert list(tmp_path.iterdir()) == []


# --- nothing hangs ----------------------------------------------------------------------------------------------------


def test_a_pipe_or_a_device_is_refused_at_once(run: Run, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path in (str(pipe), "/dev/zero", "/dev/random"):
        done = run("card", path)
        assert done.returncode == 3
        assert done.stderr == f"{path}: is no regular file. Name a file, or - for standard input.\n"


def test_a_terminal_that_is_not_there_is_refused(program: Run) -> None:
    done = program("card", "/dev/tty", start_new_session=True)  # a process with no terminal, wherever the tests are run
    assert (done.returncode, done.stderr) == (
        3, "/dev/tty: no such device or address. Check the name and who may read it.\n"
    )  # fmt: skip


def test_standard_input_is_read_as_a_recipe_and_bounded(run: Run) -> None:
    text = run("recipe", "show", "sluice-clamp-ramp").stdout
    assert run("card", "-", input=text).stdout == run("card", "sluice-clamp-ramp").stdout
    done = run("card", "-", input="#" * 2_000_000)
    assert (done.returncode, done.stderr) == (
        2,
        "file = -: is larger than 1000000 bytes. Name a recipe or machine file.\n",
    )


@pytest.mark.parametrize(
    "text",
    [
        "a." * 480_000 + "a = 1",
        '"a".' * 240_000 + "a = 1",
        "a = " + "[" * 900_000,
        "a = {" * 190_000,
        "\n".join(f"k{n} = 1" for n in range(80_000)),
        pytest.param("\n".join(f"[k{n}]" for n in range(80_000)), id="[k0] [k1]...", marks=pytest.mark.long),
        pytest.param(
            "[ramp]\n" + "\n".join(f"k{n} = 1" for n in range(80_000)), id="[ramp] k0...", marks=pytest.mark.long
        ),
        pytest.param("a = '''" + "'\"" * 450_000, marks=pytest.mark.long),
        '"' * 900_000,
        "a" * 900_000 + " = 1",
    ],
    ids=lambda text: f"{text[:8]}...".replace("\n", " "),
)
def test_a_file_of_a_million_bytes_is_judged_in_seconds(text: str) -> None:
    from stepcut import recipes
    from stepcut.errors import StepcutError

    begun = time.process_time()
    with pytest.raises(StepcutError) as trouble:
        recipes.from_content(files.parse_toml(f'stepcut = 1\nshape = "ramp"\n{text}', "r.toml"), text, "r.toml")
    assert len(str(trouble.value)) < 10_000
    # Quadratic work on these takes minutes to hours; the bound is far above what a slow machine needs for linear work.
    assert time.process_time() - begun < 20


def test_many_pages_are_not_written_unasked(run: Run, tmp_path: Path) -> None:
    many = ["--set", "step=0.02deg", "--set", "rise=1in", "--set", "cutter=1/16in"]
    done = run("card", "sluice-clamp-ramp", *many, "--out", str(tmp_path / "card.pdf"))
    assert done.returncode == 2
    assert done.stderr.startswith("out = sluice-clamp-ramp: would have about 90 pages (")
    assert done.stderr.endswith(" cuts). Take larger steps, or add --pages 90.\n")
    assert list(tmp_path.iterdir()) == []
