"""Where the dials stand, in words."""

from __future__ import annotations

from fractions import Fraction

from stepcut.cards.sheet import Sheet
from stepcut.plan import Plan
from stepcut.shop.finding import Place
from stepcut.shop.recover import too_deep
from stepcut.voice import Voice


def place_text(place: Place, plan: Plan, sheet: Sheet, depth: Fraction | None, voice: Voice) -> str:
    """Return which stop it is, turned or cut, and what to do next."""
    n, total = place.stop.n, len(plan.stops)
    row = sheet.rows[n - 1]
    first, second = sheet.titles[0], sheet.titles[2]
    after = (
        f"Then stop {n + 1}: {first} {sheet.rows[n].first}, {second} {sheet.rows[n].second}."
        if n < total
        else "It is the last stop."
    )
    lines: list[str]
    if place.state == "at":
        lines = [
            f"Stop {n} of {total}: {sheet.ticks[0]}, and {second} is set.",
            f"Cut it if it is not cut yet. {after}",
        ]
    elif place.state == "moved":
        lines = [
            f"Stop {n} of {total}: {sheet.ticks[0]}, not cut; {second} still stands at the stop before.",
            f"Set {second} {row.second}, then cut. {after}",
        ]
    elif place.state == "set":
        lines = [f"Between stops {n - 1} and {n}: {second} is set for stop {n}, {first} still stands at stop {n - 1}.",
                 f"Do not cut here. Go to {first} {row.first} first, then cut stop {n}."]  # fmt: skip
        lines += _one_low(place, plan, depth, voice)
    elif place.state == "first-only":
        lines = [
            f"{first} is that of stop {n} of {total}; {second} must read {row.second}.",
            f"Cut it if it is not cut yet. {after}",
        ]
    elif place.state == "second-only":
        lines = [f"{second} is that of stop {n} of {total}; {first} must read {row.first}."]
    else:
        before = place.before.n if place.before is not None else n
        where = (
            f"Between stops {before} and {n}: the readings fit no stop."
            if before != n
            else f"The readings fit no stop; the nearest is {n}."
        )
        lines = [where,
                 f"Next is stop {n}: {first} {row.first}, {second} {row.second}. Cutter clear before you move."]  # fmt: skip
    if place.others:
        lines.append(
            f"The same readings also stand at stop {', '.join(map(str, place.others[:6]))}{' and more' if len(place.others) > 6 else ''}."
        )
    return "\n".join(lines)


def _one_low(place: Place, plan: Plan, depth: Fraction | None, voice: Voice) -> list[str]:
    """Say what it would mean, or means, if this was cut: one step low."""
    if plan.shape != "ramp" or place.before is None or depth is None or place.before.start != place.stop.start:
        return []
    damage = too_deep(plan, place.before.n, depth)
    if damage.covered:
        return [f"If it was cut here: one step low by {voice.length(damage.over)}; the leave covers it, go on."]
    return [
        f"If it was cut here: one step low by {voice.length(damage.over)}; the leave does not cover it, by {voice.length(damage.below)}.",
        f"See stepcut recover --stop {place.before.n} --found {voice.length(depth)}.",
    ]
