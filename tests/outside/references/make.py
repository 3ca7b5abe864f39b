"""Write TABLE.md: every published value, what the program says, and the verdict.

python -m tests.outside.references.make
"""

from __future__ import annotations

from pathlib import Path

from tests.outside.references import elsewhere, indexing, motions, screws, tapers
from tests.outside.references.values import Value

TABLE = Path(__file__).parent / "TABLE.md"
CHAPTERS: dict[str, tuple[Value, ...]] = {
    "Tapers": tapers.TAPERS,
    "Indexing and leads": indexing.INDEXING,
    "Motions": motions.MOTIONS,
    "Ridges": motions.RIDGES,
    "Screws and locking": screws.SCREWS,
    "Circles": motions.CIRCLES,
    "Fits": elsewhere.FITS,
    "Threads": elsewhere.THREADS,
    "Speeds": elsewhere.SPEEDS,
    "Measuring": elsewhere.MEASURING,
}
VALUES = [value for rows in CHAPTERS.values() for value in rows]


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("*", "\\*")


def _row(value: Value) -> str:
    found = value.found
    says = f"{found:.7g}" if found is not None else value.why_not
    source = value.source + (" (from memory)" if value.known == "MEMORY" and "MEMORY" not in value.source else "")
    cells = (
        value.what, value.inputs, f"{value.expected:.8g} {value.unit}".strip(), f"{value.within:.2g}", says, value.verdict,
        source.replace("(MEMORY)", "(from memory)"),
    )  # fmt: skip
    return "| " + " | ".join(_cell(cell) for cell in cells) + " |"


def table() -> str:
    """The whole table as Markdown."""
    verdicts = [value.verdict for value in VALUES]
    counts = ", ".join(f"{verdicts.count(word)} {word}" for word in ("agrees", "DIFFERS", "not printed"))
    lines = [
        "# Published values and what the program says",
        "",
        f"Made by `python -m tests.outside.references.make`; not edited by hand. {len(VALUES)} values: {counts}.",
    ]
    for chapter, rows in CHAPTERS.items():
        lines += ["", f"## {chapter}", ""]
        lines += [
            "| quantity | from | published | within | program | verdict | source |",
            "|---|---|---|---|---|---|---|",
        ]
        lines += [_row(value) for value in rows]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TABLE.write_text(table(), "utf-8")
