"""An old job in another size: what differs, old above new, and the sizes that were kept where a partner changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import Any

from stepcut import gate
from stepcut.acts import Card
from stepcut.cards.brief import compared, counted, facts


def again_text(cards: tuple[Card, Card], width: int, everything: bool) -> str:
    """Return what differs, the old above the new, and how much is alike; with ``everything`` the two jobs after it."""
    old, new = facts(cards[0]), facts(cards[1])
    labels = list(dict.fromkeys([*new, *old]))
    differ = [label for label in labels if old.get(label, "-") != new.get(label, "-")]
    lines = [] if differ else ["Nothing differs."]
    for label in differ:
        lines += [label, *_said("was", old.get(label, "-"), width), *_said("is", new.get(label, "-"), width)]
    if everything:
        lines += ["", compared(*cards, width, everything=True)]
    elif said := counted(len(labels) - len(differ)):
        lines.append(said)
    return "\n".join(lines)


def _said(word: str, text: str, width: int) -> list[str]:
    return wrap(text, width, initial_indent=f"  {word:<4}", subsequent_indent=" " * 6, break_on_hyphens=False)


def kept_text(
    pairs: Sequence[tuple[str, str]], old: Mapping[str, Any], new: Mapping[str, Any], width: int
) -> list[str]:
    """Return a warning for every size that was kept while its partner changed."""
    lines = []
    for changed, kept in pairs:
        was, now, stays = (
            gate.line(str(values.get(key, "-"))) for values, key in ((old, changed), (new, changed), (new, kept))
        )
        text = f"KEPT: {kept} stays {stays} while {changed} goes from {was} to {now}. If that is not meant, add --set {kept}=..."
        lines += wrap(text, width, subsequent_indent="  ")
    return lines
