"""What came of the mutants: kept for each seed in results.json, shown by file in RESULTS.md."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from pathlib import Path

from tests.mutation.mutants import Mutant

HERE = Path(__file__).parent
KEPT = HERE / "results.json"
TABLE = HERE / "RESULTS.md"
DEAD = ("killed", "timeout")
ALIVE = ("survived", "not reached")


def _share(counts: Counter[str]) -> str:
    settled = sum(counts[word] for word in (*DEAD, "equivalent"))
    return f"{100 * settled / counts.total():.0f} %"


def summary(outcomes: dict[Mutant, str]) -> str:
    """A line for the terminal, then the names of those that no test noticed."""
    counts = Counter(outcomes.values())
    alive = [mutant.name for mutant, outcome in outcomes.items() if outcome in ALIVE]
    words = ", ".join(f"{count} {word}" for word, count in counts.most_common())
    return "\n".join([f"{_share(counts) if counts else '-'} dead or explained: {words}", *sorted(alive)])


def keep(seed: int, files: list[str], outcomes: dict[Mutant, str]) -> None:
    """Add one run to what is kept, and write the table anew; the same seed and files again take the old run's place."""
    runs = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else []
    runs = [run for run in runs if (run["seed"], run["files"]) != (seed, files)]
    by_file: dict[str, Counter[str]] = defaultdict(Counter)
    for mutant, outcome in outcomes.items():
        by_file[mutant.module][outcome] += 1
    alive = sorted(mutant.name for mutant, outcome in outcomes.items() if outcome in ALIVE)
    runs.append({"seed": seed, "files": files, "by_file": dict(sorted(by_file.items())), "alive": alive})
    KEPT.write_text(json.dumps(runs, indent=1, ensure_ascii=False) + "\n", "utf-8")
    TABLE.write_text(table(runs), "utf-8")


def not_noticed(seed: int, files: list[str]) -> set[str]:
    """Names of the mutants of a run that no test noticed."""
    runs = json.loads(KEPT.read_text("utf-8"))
    return {name for run in runs if (run["seed"], run["files"]) == (seed, files) for name in run["alive"]}


def mend(seed: int, files: list[str], outcomes: dict[Mutant, str]) -> None:
    """Put what came of those that were tried again into their run; what it was before is kept beside it."""
    runs = json.loads(KEPT.read_text("utf-8"))
    for run in runs:
        if (run["seed"], run["files"]) != (seed, files):
            continue
        run.setdefault("first", json.loads(json.dumps(run["by_file"])))
        for mutant, outcome in outcomes.items():
            if mutant.name in run["alive"] and outcome not in ALIVE:
                counts = Counter(run["by_file"][mutant.module])
                counts["survived" if counts["survived"] else "not reached"] -= 1
                counts[outcome] += 1
                run["by_file"][mutant.module] = counts
                run["alive"].remove(mutant.name)
    KEPT.write_text(json.dumps(runs, indent=1, ensure_ascii=False) + "\n", "utf-8")
    TABLE.write_text(table(runs), "utf-8")


def table(runs: list[dict]) -> str:  # type: ignore[type-arg]  # as it is in the JSON file
    """Every run by file."""
    lines = [
        "# Mutants by file",
        "",
        "Made by `python -m tests.mutation.run`; a run again with the same seed and files takes the place of the old one.",
        "Explained as equivalent: named in `equivalents.toml`.",
    ]
    for run in runs:
        counts = {name: Counter(found) for name, found in run["by_file"].items()}
        lines += ["", f"## Seed {run['seed']}: {' '.join(run['files'])}", ""]
        before = {name: Counter(found) for name, found in run.get("first", {}).items()}
        lines += [
            "| file | mutants | dead | equivalent | not noticed | dead or explained |"
            + " as first tried |" * bool(before),
            "|---|---|---|---|---|---|" + "---|" * bool(before),
        ]
        if before:
            before["all"] = sum(before.values(), Counter())
        for name, found in [*counts.items(), ("all", sum(counts.values(), Counter()))]:
            dead, alive = (sum(found[word] for word in words) for words in (DEAD, ALIVE))
            lines.append(
                f"| {name} | {found.total()} | {dead} | {found['equivalent']} | {alive} | {_share(found)} |"
                + (f" {_share(before[name])} |" if before else "")
            )
        if run["alive"]:
            lines += ["", "Not noticed:", "", *(f"- `{name}`" for name in run["alive"])]
    return "\n".join(lines) + "\n"
