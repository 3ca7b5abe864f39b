"""The one-screen brief of a plan, and two plans side by side: label and text, for the terminal."""

from __future__ import annotations

from textwrap import wrap

from stepcut.acts import Card, Fact
from stepcut.cards.lock_text import contact_plot
from stepcut.cards.verdict_text import chance_line, judge, judged_as, of_plan, use_line
from stepcut.plan import Plan
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.voice import Voice, volume_text


def _labelled(label: str, text: str, width: int, label_width: int = 15) -> list[str]:
    return wrap(
        text,
        width,
        initial_indent=f"{label:<{label_width}}",
        subsequent_indent=" " * label_width,
        break_on_hyphens=False,
    ) or [label]


def brief(
    card: Card, voice: Voice, width: int, use: Use | None = None, gap: float | None = None, read: Errors | None = None
) -> str:
    """Return everything worth knowing before the first cut: the verdict first and last."""
    plan = card.plan
    first, last = of_plan(plan, use, voice, width, read, card.acts)
    lines = [*first, *wrap(f"{card.title}, part {card.part}, revision {card.revision}", width, break_on_hyphens=False)]
    for label, text in head(card):
        lines += _labelled(label, text, width)
    lines += _labelled("Cuts", _cuts(card), width)
    errors = errors_line(plan, voice)
    if errors:
        lines += _labelled("Errors", errors, width)
    for label, text in (
        ("Chance", chance_line(plan, voice, read)),
        ("In use", use_line(plan, use, voice, gap)),
        ("Judged as", judged_as(plan, use)),
    ):
        lines += _labelled(label, text, width) if text else []
    for remark in card.remarks:
        lines += _labelled("Remark", remark, width)
    return "\n".join([*lines, last])


def errors_line(plan: Plan, voice: Voice) -> str:
    """Return what the machine's errors can do to the depth, as a short sum; empty where the shape has none."""
    parts = getattr(plan.details, "leave_parts", None)
    if parts is None:
        return ""
    return (
        f"table {voice.length(parts[0])}, depth {voice.length(parts[1])}: "
        f"together {voice.length(sum(parts[:2]))}; leave is {voice.length(plan.leave)}"
    )


def blue(plan: Plan, share: float, voice: Voice, width: int) -> str:
    """Return what a share of blue means on this plan's own contact curve, and what 80 % would mean."""
    if plan.contact is None:
        return "This shape has no contact curve."
    lines = []
    for wanted in dict.fromkeys((share, 0.8)):
        height, volume = plan.at_blue(wanted)
        lines += wrap(
            f"Blue on {100 * wanted:.0f} % of the ramp: it still stands {voice.length(height)} over the wanted surface; "
            f"{volume_text(plan, voice, volume)} is left to file down to it.",
            width,
        )
    return "\n".join([*lines, "", contact_plot(plan.contact, voice, width)])


SIDE_BY_SIDE = 72  # columns of a window from which two texts stand beside each other


def compared(a: Card, b: Card, width: int, everything: bool = False) -> str:
    """Return what differs between two jobs, and how many lines are alike; with ``everything`` those too.

    Beside each other where the window is wide enough, else below each other.
    """
    left, right = facts(a), facts(b)
    labels = list(dict.fromkeys([*left, *right]))
    differ = [label for label in labels if left.get(label, "-") != right.get(label, "-")]
    alike = len(labels) - len(differ)
    lines = []
    for label in labels if everything else differ:
        lines += _pair(label, (left.get(label, "-"), right.get(label, "-")), width, everything)
    if not differ:
        lines.append("Nothing differs.")
    names = [f"{card.title}, part {card.part}, revision {card.revision}" for card in (a, b)]
    titles = _pair("", (names[0], names[1]), width, everything)
    end = "* differs" if everything else counted(alike)
    return "\n".join([*titles, *lines, *([end] if end else [])])


def counted(alike: int) -> str:
    """Return how many lines are alike, and how to see them; empty when none is."""
    return (
        f"{alike} line{' is' if alike == 1 else 's are'} alike; --all shows {'it' if alike == 1 else 'them'}."
        if alike
        else ""
    )


def _pair(label: str, texts: tuple[str, str], width: int, marked: bool) -> list[str]:
    """Return two texts under a label: in two columns, or in a narrow window below each other."""
    mark = "*" if marked and label and texts[0] != texts[1] else " "
    if width < SIDE_BY_SIDE:
        head = [f"{label} {mark}".rstrip()] if label else []
        return head + [
            line
            for word, text in zip(("1", "2"), texts, strict=True)
            for line in wrap(text, width, initial_indent=f"  {word} ", subsequent_indent="    ", break_on_hyphens=False)
        ]
    column = (width - LABEL - 4) // 2
    one, two = (wrap(text, column, break_on_hyphens=False) or [""] for text in texts)
    return [
        f"{f'{label:<{LABEL}}{mark} ' if k == 0 else ' ' * (LABEL + 2)}{one[k] if k < len(one) else '':<{column}}  {two[k] if k < len(two) else ''}".rstrip()
        for k in range(max(len(one), len(two)))
    ]


LABEL = 15  # columns


def head(card: Card) -> tuple[Fact, ...]:
    """Return what a card says at its head and for the desk, by label."""
    note = (("Note", card.note),) if card.note else ()
    return (*card.words.head, ("Machine", card.machine_line), *card.words.desk, *note)


def facts(card: Card) -> dict[str, str]:
    """Return what a card says of its plan, by label."""
    found = {"Verdict": f"DO NOT CUT. {card.verdict}" if card.verdict else judge(card.plan, done=card.acts).word}
    found.update(head(card))
    found["Cuts"] = _cuts(card)
    return found


def _cuts(card: Card) -> str:
    last = card.lines[-1]
    first, second = card.words.names
    return f"{len(card.lines)}, the last at {first} {last.first.reads.text}, {second} {last.second.reads.text}"
