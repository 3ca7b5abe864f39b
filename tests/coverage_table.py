"""Print branch coverage by part of the package, and every line and branch of the core that no test reaches.

python tests/coverage_table.py coverage.json      (coverage.json: written by pytest-cov)

Ends with 1 when the core has more such lines without a reason than coverage_reasons.toml says under "open", a number which only
goes down.  A line with a reason is known by its text, so that it stays the same when lines are added above it.
"""

from __future__ import annotations

import json
import sys
import tomllib
from collections import defaultdict
from pathlib import Path
from typing import Any

# No text, file or terminal in them: nothing there is hard to reach.
CORE = ("quantity", "written", "machine/model", "kernel", "shop", "shapes", "routine", "plan")
REASONS = Path(__file__).with_name("coverage_reasons.toml")


def part(name: str) -> str:
    """The part of the package that a file belongs to: .../stepcut/kernel/line.py to kernel."""
    inside = name.split("stepcut/")[-1].removesuffix(".py")
    return inside.split("/")[0]


def share(rows: list[dict[str, Any]]) -> float:
    """Lines and branches that were reached, per cent."""
    reached = sum(row["covered_lines"] + row.get("covered_branches", 0) for row in rows)
    there = sum(row["num_statements"] + row.get("num_branches", 0) for row in rows)
    return 100 * reached / there if there else 100.0


def gaps(found: dict[str, Any]) -> list[tuple[int, str]]:
    """Line and name of everything that was not reached: "12" a line, "12->15" a way from one line to another."""
    ways = [(begin, f"{begin}->{end}") for begin, end in found.get("missing_branches", [])]
    return [*((line, str(line)) for line in found["missing_lines"]), *ways]


def unexplained(inside: str, found: dict[str, Any], text: list[str], reasons: dict[str, dict[str, str]]) -> list[str]:
    """What was not reached of a file and has no reason."""
    known = reasons.get(inside, {})
    return [f"{name}: {text[line - 1].strip()}" for line, name in gaps(found) if text[line - 1].strip() not in known]


def main(path: str) -> int:
    files = json.loads(Path(path).read_text("utf-8"))["files"]
    reasons = tomllib.loads(REASONS.read_text("utf-8"))
    still_open: int = reasons.pop("open")
    parts: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for name, found in files.items():
        parts[part(name)].append(found["summary"])
    print("part         lines and branches reached")
    for name, rows in sorted(parts.items()):
        print(f"{name:<12} {share(rows):6.1f} %")
    print("\nnot reached in the core, and no reason in coverage_reasons.toml:")
    without = 0
    for name, found in sorted(files.items()):
        inside = name.split("stepcut/")[-1]
        if inside.startswith(CORE) and gaps(found):
            left = unexplained(inside, found, Path(name).read_text("utf-8").splitlines(), reasons)
            print(*(f"{inside} {each}" for each in left), sep="\n", end="\n" if left else "")
            without += len(left)
    print(f"\n{without} without a reason; {still_open} are known")
    if without > still_open:
        print("More than are known: test them, or say in coverage_reasons.toml why not.")
    return int(without > still_open)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
