"""Print branch coverage by part of the package, and every line and branch of the core that no test reaches.

python tests/coverage_table.py coverage.json      (coverage.json: written by pytest-cov)
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from pathlib import Path
from typing import Any

# No text, file or terminal in them: nothing there is hard to reach.
CORE = ("quantity", "machine/model", "kernel", "shop", "shapes", "routine", "plan")


def part(name: str) -> str:
    """The part of the package that a file belongs to: .../stepcut/kernel/line.py to kernel."""
    inside = name.split("stepcut/")[-1].removesuffix(".py")
    return inside.split("/")[0]


def share(rows: list[dict[str, Any]]) -> float:
    """Lines and branches that were reached, per cent."""
    reached = sum(row["covered_lines"] + row.get("covered_branches", 0) for row in rows)
    there = sum(row["num_statements"] + row.get("num_branches", 0) for row in rows)
    return 100 * reached / there if there else 100.0


def main(path: str) -> None:
    files = json.loads(Path(path).read_text("utf-8"))["files"]
    parts: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for name, found in files.items():
        parts[part(name)].append(found["summary"])
    print("part         lines and branches reached")
    for name, rows in sorted(parts.items()):
        print(f"{name:<12} {share(rows):6.1f} %")
    print("\nnot reached in the core:")
    for name, found in sorted(files.items()):
        inside = name.split("stepcut/")[-1]
        gaps = [str(n) for n in found["missing_lines"]] + [f"{a}->{b}" for a, b in found.get("missing_branches", [])]
        if gaps and inside.startswith(CORE):
            print(f"{inside}: {', '.join(gaps)}")


if __name__ == "__main__":
    main(sys.argv[1])
