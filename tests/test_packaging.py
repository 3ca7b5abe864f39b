"""The package runs from wherever it was put: a folder of its own and one zip file, with what ships inside it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipapp
from pathlib import Path

import pytest

import stepcut
from stepcut import recipes
from tests.conftest import ROOT


@pytest.fixture(scope="module")
def zipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package as one file that Python runs, as `python -m zipapp` makes it; its libraries are those of this Python."""
    top = tmp_path_factory.mktemp("zip")
    folder = top / "what goes in"
    shutil.copytree(Path(stepcut.__file__).parent, folder / "stepcut", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(recipes.shipped_folder(), folder / "stepcut" / "data" / "recipes", dirs_exist_ok=True)
    zipapp.create_archive(folder, top / "stepcut.pyz", main="stepcut.__main__:main")
    return top / "stepcut.pyz"


def ran(folder: Path, *command: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command where no checkout is near."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | {
        "PYTHONIOENCODING": "utf-8"
    }
    return subprocess.run([sys.executable, "-I", *command], cwd=folder, env=environment, capture_output=True)


@pytest.mark.parametrize(
    "words",
    [
        ("card", "sluice-clamp-ramp", "--date", "2026-01-01"),
        pytest.param(
            ("card", "sluice-clamp-ramp", "--machine", "metric", "--date", "2026-01-01", "--out", "-", "--as", "html"),
            marks=pytest.mark.long,
        ),
        ("card", "lever-ball-knob", "--date", "2026-01-01", "--out", "-", "--as", "pdf"),
        pytest.param(("check", "tension-release-cam"), marks=pytest.mark.long),
        pytest.param(("recipe", "list"), marks=pytest.mark.long),
        pytest.param(("machine", "show", "metric"), marks=pytest.mark.long),
        pytest.param(("index", "42", "--circles", "20,21"), marks=pytest.mark.long),
        pytest.param(  # dm: read by pint and its unit file
            ("lock", "--angle", "2deg", "--radius", "2 dm", "--clamp", "500N"), marks=pytest.mark.long
        ),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_one_zip_file_says_what_the_folder_says(zipped: Path, words: tuple[str, ...], tmp_path: Path) -> None:
    package = str(Path(stepcut.__file__).parent.parent)
    code = f"import sys; sys.path.insert(0, {package!r}); from stepcut.__main__ import main; main()"
    folder, file = ran(tmp_path, "-c", code, *words), ran(tmp_path, str(zipped), *words)
    assert (file.stderr.decode(), file.returncode) == (folder.stderr.decode(), 0)
    assert file.stdout == folder.stdout
    assert file.stdout


def test_every_library_that_is_asked_for_is_listed_with_its_licence() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    groups = [line for lines in project["dependency-groups"].values() for line in lines if isinstance(line, str)]
    asked = {re.split(r"[<>=]", line)[0] for line in [*project["project"]["dependencies"], *groups]}
    chapter = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## Libraries and their licences")[1].split("\n## ")[0]
    rows = [line.split("|")[1] for line in chapter.splitlines() if line.startswith("| ")][1:]
    listed = {name for row in rows for name in row.replace(" ", "").split(",")}
    assert listed == asked
