"""Every published value agrees with what the program works out, and the table says so."""

from __future__ import annotations

import pytest

from tests.outside.references.make import CHAPTERS, TABLE, VALUES, table
from tests.outside.references.values import Value


@pytest.mark.parametrize(
    "value",
    [
        pytest.param(value, id=f"{chapter}-{n}")
        for chapter, rows in CHAPTERS.items()
        for n, value in enumerate(rows)
        if value.by is not None
    ],
)
def test_the_program_agrees_with_what_is_published(value: Value) -> None:
    assert value.found == pytest.approx(value.expected, abs=value.within, rel=0), f"{value.what}: {value.source}"


def test_what_is_not_printed_has_a_reason() -> None:
    assert [value.what for value in VALUES if (value.by is None) != bool(value.why_not)] == []


def test_the_table_is_up_to_date() -> None:
    assert TABLE.read_text("utf-8") == table(), "look at it, then run: python -m tests.outside.references.make"


def test_no_verdict_differs() -> None:
    assert "DIFFERS" not in {value.verdict for value in VALUES}
