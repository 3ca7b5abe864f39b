"""The screens of a card as steps to tick: each with the number and the word that stand for it in the log.

A step of a cut is known by the cut's number and a word that is its own among the steps of that cut; ``turned`` is the first of
them and ``cut`` the one that ends the cut.  So a log tells what was done without its card, and one that ticks nothing but
turned, cut and checked reads alike.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from stepcut.acts import Card, Screen

WORDS = {"SET": "set", "CUT": "fed", "It is clear": "clear", "TURNED": "moved"}


class Step(Struct, frozen=True):
    """One screen to do.

    Parameters
    ----------
    what : str
        prepared, changed, turned, cut, checked, measured, or another step of a cut; ``last-3`` of what is cut after them all.
    n : int
        Number of the cut; of the box for what is prepared and measured.
    place : int
        Number of the cut that is next while this is to do.
    screen : Screen
        What is shown.
    """

    what: str
    n: int
    place: int
    screen: Screen

    @property
    def of_a_cut(self) -> bool:
        """Whether it belongs to a cut of the plan: no box of the set-up, nothing that comes after the last cut."""
        return self.screen.last is None and self.what not in ("prepared", "measured")

    @property
    def ends(self) -> bool:
        """Whether it comes after the last cut of the plan: measured, or cut then with another cutter."""
        return self.screen.last is not None or self.what == "measured"

    @property
    def key(self) -> tuple[int, str]:
        """Its tick."""
        return self.n, self.what

    @property
    def mark(self) -> str:
        """Its name in the log as the step to do next."""
        return f"{self.what} {self.n}"


def steps(card: Card) -> tuple[Step, ...]:
    """Return the steps of a card, in order."""
    found: list[Step] = []
    total = len(card.lines)
    count = {"prepare": 0, "measure": 0}
    line: list[Screen] = []
    for screen in card.screens:
        kind = screen.kind
        if line and (screen.n != line[0].n or kind == "check"):
            found += _of_a_cut(line)
            line = []
        if kind in count:
            count[kind] += 1
            place = 1 if kind == "prepare" else total
            found.append(Step(f"{kind}d", count[kind], place, screen))
        elif kind == "check":
            n = int(screen.n or 0)
            found.append(Step("checked", n, min(n + 1, total), screen))
        elif screen.last is not None:
            of = sum(step.n == screen.last and step.screen.last is not None for step in found)
            found.append(Step(f"last-{of + 1}", screen.last, total, screen))
        elif screen.n is None:
            n = 1 + max((step.n for step in found if step.what == "cut"), default=0)
            found.append(Step("changed", n, n, screen))
        else:
            line.append(screen)
    return (*found, *_of_a_cut(line))


def _of_a_cut(screens: Sequence[Screen]) -> list[Step]:
    """Return the steps of one cut, each with a word of its own."""
    if not screens:
        return []
    feeds = [k for k, screen in enumerate(screens) if any(act.kind == "cut" for act in screen.acts)]
    last = feeds[-1] if feeds else len(screens) - 1
    found: list[Step] = []
    seen: dict[str, int] = {}
    for k, screen in enumerate(screens):
        word = "cut" if k == last else "turned" if k == 0 else WORDS.get(screen.button, "done")
        seen[word] = seen.get(word, 0) + 1
        n = int(screen.n or 0)
        found.append(Step(word if seen[word] == 1 else f"{word}-{seen[word]}", n, n, screen))
    return found


__all__ = ["Step", "steps"]
