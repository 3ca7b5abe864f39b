"""The one-screen brief of a plan, and two plans side by side: label and text, for the terminal."""

from __future__ import annotations

from textwrap import wrap

from stepcut.cards.lock_text import contact_plot
from stepcut.cards.sheet import Sheet
from stepcut.cards.verdict_text import chance_line, of_plan, use_line
from stepcut.plan import Plan
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.shop.verdict import verdict
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
    plan: Plan, sheet: Sheet, voice: Voice, width: int, use: Use | None = None, gap: float | None = None,
    read: Errors | None = None,
) -> str:  # fmt: skip
    """Return everything worth knowing before the first cut: the verdict first and last."""
    first, last = of_plan(plan, use, voice, width, read)
    lines = [*first, f"{sheet.title}, part {sheet.part}, revision {sheet.revision}"]
    for label, text in sheet.facts:
        lines += _labelled(label, text, width)
    lines += _labelled("Stops", _stops(plan, sheet), width)
    errors = errors_line(plan, voice)
    if errors:
        lines += _labelled("Errors", errors, width)
    for label, text in (("Chance", chance_line(plan, voice, read)), ("In use", use_line(plan, use, voice, gap))):
        lines += _labelled(label, text, width) if text else []
    for remark in sheet.remarks:
        lines += _labelled("Remark", remark, width)
    return "\n".join([*lines, last])


def errors_line(plan: Plan, voice: Voice) -> str:
    """Return what the machine's errors can do to the depth, as a short sum; empty where the shape has none."""
    parts = getattr(plan.details, "leave_parts", None)
    if parts is None:
        return ""
    table, depth, uneven = parts
    return (
        f"table {voice.length(table)}, depth {voice.length(depth)}, dish or twist {voice.length(uneven)}: "
        f"together {voice.length(sum(parts))}; leave is {voice.length(plan.leave)}"
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


def side_by_side(a: Sheet, b: Sheet, plans: tuple[Plan, Plan], width: int) -> str:
    """Return two jobs in two columns, with a mark where they differ."""
    left, right = facts(a, plans[0]), facts(b, plans[1])
    label_width = 15
    column = max(14, (width - label_width - 4) // 2)
    lines = [
        f"{'':<{label_width}}  {a.revision + ' ' + a.title:<{column}.{column}}  {b.revision + ' ' + b.title:.{column}}"
    ]
    for label in dict.fromkeys([*left, *right]):
        first, second = left.get(label, "-"), right.get(label, "-")
        mark = " " if first == second else "*"
        one, two = (
            wrap(first, column, break_on_hyphens=False) or [""],
            wrap(second, column, break_on_hyphens=False) or [""],
        )
        for k in range(max(len(one), len(two))):
            head = f"{label:<{label_width}}{mark} " if k == 0 else " " * (label_width + 2)
            lines.append(f"{head}{one[k] if k < len(one) else '':<{column}}  {two[k] if k < len(two) else ''}".rstrip())
    lines.append("* differs")
    return "\n".join(lines)


def facts(sheet: Sheet, plan: Plan) -> dict[str, str]:
    """Return what a sheet says of its plan, by label."""
    found = {"Verdict": f"DO NOT CUT. {sheet.verdict}" if plan.spoils else verdict(plan).word}
    found.update(sheet.facts)
    found["Stops"] = _stops(plan, sheet)
    return found


def _stops(plan: Plan, sheet: Sheet) -> str:
    if not sheet.rows:
        return "none, cut by its set-up"
    return f"{len(plan.stops)}, the last at {sheet.rows[-1].first}, {sheet.rows[-1].second}"
