"""The picture of the house: imports point one way, and starting costs no library that is not used."""

from __future__ import annotations

import ast
import subprocess
import sys
from fnmatch import fnmatch
from pathlib import Path

import stepcut
from tests.conftest import ROOT

# From the bottom up: a module may import from its own layer and from those below.
LAYERS = [
    ["gate", "errors"],
    ["quantity", "rare_units", "written", "machine"],
    ["kernel"],
    ["plan", "files", "folders", "shop"],
    ["one_act", "cut_lines", "acts", "voice"],
    ["phrases"],
    ["fields", "measured"],
    [
        "machine.files",
        "machine.chosen",
        "machine.said",
        "machine.asked",
        "machine.interview",
        "machine.mending",
        "recipes",
        "shapes",
        "cards.wording",
        "log",
        "shop.recover",
        "shop.astray",
    ],
    ["routine", "job", "shapes.*.cycle", "shapes.*.last"],
    ["guided", "part_recipe"],
    ["cards", "shapes.*.drawing"],
    ["door"],
    ["cli"],
]
CORE = {"machine.model", "kernel", "plan", "shop"}


def layer(module: str) -> int:
    """Level of the longest listed name that the module lies under."""
    name = module.removeprefix("stepcut.")
    fitting = [
        (len(known), level)
        for level, names in enumerate(LAYERS)
        for known in names
        if name == known or name.startswith(f"{known}.") or fnmatch(name, known)
    ]
    return max(fitting)[1]


def imports() -> list[tuple[str, str]]:
    pairs = []
    package = Path(stepcut.__file__).parent  # the installed one, where there is no checkout
    for path in sorted(package.rglob("*.py")):
        module = ".".join(path.relative_to(package.parent).with_suffix("").parts).removesuffix(".__init__")
        if module in ("stepcut", "stepcut.__main__"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("stepcut"):
                names = [f"stepcut.{alias.name}" for alias in node.names] if node.module == "stepcut" else [node.module]
                pairs += [(module, name) for name in names]
    return pairs


def test_imports_point_one_way() -> None:
    wrong = [(a, b) for a, b in imports() if b != "stepcut.__version__" and layer(b) > layer(a)]
    assert wrong == []


def test_the_core_knows_no_text_terminal_or_file() -> None:
    forbidden = (
        "quantity",
        "rare_units",
        "written",
        "files",
        "recipes",
        "machine.files",
        "fields",
        "cards",
        "cli",
        "log",
    )
    wrong = [
        (a, b)
        for a, b in imports()
        if any(a == f"stepcut.{core}" or a.startswith(f"stepcut.{core}.") for core in CORE)
        and any(b == f"stepcut.{word}" or b.startswith(f"stepcut.{word}.") for word in forbidden)
    ]
    assert wrong == []


def test_a_card_that_is_piped_loads_no_heavy_library() -> None:
    heavy = {"pint", "typst", "jinja2", "textual", "rich", "sqlite3", "platformdirs", "pydantic", "numpy", "tomlkit"}
    code = (
        "import sys, io, contextlib\n"
        "from stepcut.cli import run\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        "    run(['card', 'sluice-clamp-ramp'])\n"
        "print(*sys.modules)"
    )
    loaded = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert heavy & set(loaded.split()) == set()
