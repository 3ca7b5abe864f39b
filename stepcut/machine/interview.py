"""Describing a machine by questions in shop words: which comes next, what an answer means, and the file that it makes.

Pure: questions and answers, no terminal.  Answers are kept as they were typed, so that a draft can be taken up again and any
answer taken back.  What is asked of each part of the machine stands in :mod:`stepcut.machine.asked`.
"""

from __future__ import annotations

import json

from stepcut.errors import BadValue
from stepcut.machine.asked import scales, shop, table
from stepcut.machine.asked.question import Answers, Question
from stepcut.machine.asked.scales import worded
from stepcut.machine.asked.table import dial_drawing

QUESTIONS: tuple[Question, ...] = (shop.UNIT, *table.QUESTIONS, *scales.QUESTIONS, *shop.ON_HAND)

__all__ = ["QUESTIONS", "Answers", "Question", "dial_drawing", "machine_text", "next_question", "understood", "worded"]


def next_question(answers: Answers) -> Question | None:
    """Return the first question that still needs an answer; None when everything is said."""
    return next((q for q in QUESTIONS if q.key not in answers and q.when(answers)), None)


def understood(question: Question, text: str, answers: Answers) -> str:
    """Return an answer as it was understood, in a sentence.

    Raises
    ------
    BadValue
        When it cannot be read; the message says how to write it.
    """
    if text.strip():
        return question.read(text, answers)[1]
    if question.empty:
        return question.empty
    raise BadValue(
        question.key.rpartition(".")[2], None, "needs an answer", "Write one, or back to change the one before."
    )


def machine_text(name: str, answers: Answers) -> str:
    """Return the machine's file; what was left empty stands at one mark where the file wants a figure, and says so."""
    found: dict[str, str | list[str]] = {}
    for question in QUESTIONS:
        text = answers.get(question.key, "")
        if text.strip() and question.when(answers):
            found.update(question.read(text, answers)[0])
    for key, division in list(found.items()):
        if key.endswith(".division"):
            found.setdefault(f"{key.removesuffix('division')}error", division)
    lines = [
        f"# The machine {name}, as it was described; edit it freely.",
        "stepcut-machine = 1",
        f"name = {_toml(name)}",
    ]
    lines += [f"{key} = {_toml(value)}" for key, value in found.items() if "." not in key]
    sections = dict.fromkeys(key.split(".")[0] for key in found if "." in key)
    for section in sections:
        lines += ["", f"[{section}]"]
        for key, value in found.items():
            if key.startswith(f"{section}."):
                guessed = key.endswith(".error") and not answers.get(key, "").strip()
                lines.append(
                    f"{key.partition('.')[2]} = {_toml(value)}{'  # one mark: not measured yet' if guessed else ''}"
                )
    return "\n".join(lines) + "\n"


def _toml(value: str | list[str]) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(item if item.isdigit() else json.dumps(item, ensure_ascii=False) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)
