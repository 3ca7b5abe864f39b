"""The card as one web page for a phone: no network, one act a screen, ticks kept in the browser under revision and piece.

The page may run the one script that the template holds and nothing else: the script is named in the page's policy by its
hash, and the card goes in beside it as data.  Every text has been through the gate.  Where scripts do not run, and on
paper, the same page is a plain list of the acts.
"""

from __future__ import annotations

import base64
import re
from hashlib import sha256
from importlib.resources import files as resources
from typing import Any

from stepcut import gate
from stepcut.acts import Card, Group, Screen
from stepcut.cards.drawing import drawings
from stepcut.cards.off_text import ALSO, anew_text, texts_of
from stepcut.shop.off import MOST_TURNED, TURNS, causes, limits

# A script of the template: one that a browser runs, so no data island.
_SCRIPT = re.compile(r"<script>(.*?)</script>", re.DOTALL)
_HEAD = re.compile(r'(<meta charset="utf-8">\n)(?:<meta http-equiv="Content-Security-Policy"[^>]*>\n)?')


def policy(template: str) -> str:
    """Return the content security policy of a page made from a template: its own scripts by hash, nothing from anywhere.

    The hashes are taken from the template, where no text of a user's has come in yet; a script that holds a placeholder
    could not be named by its hash.

    References
    ----------
    W3C, Content Security Policy Level 3, 2.3.1 (source lists, hash-source), 6.3.1 (base-uri), 6.4.1 (form-action).
    """
    scripts = _SCRIPT.findall(template)
    if template.count("<script") != len(scripts) + template.count('<script type="application/json"'):
        raise ValueError("a script of the template is neither plain <script> nor data")
    if any(mark in script for script in scripts for mark in ("{{", "{%", "{#")):
        raise ValueError("a script of the template holds a placeholder; its data belong into the data island")
    hashes = " ".join(f"'sha256-{base64.b64encode(sha256(s.encode()).digest()).decode()}'" for s in scripts)
    return (
        f"default-src 'none'; script-src {hashes}; style-src 'unsafe-inline'; img-src data:; form-action 'none'; "
        "base-uri 'none'"
    )


def with_policy(template: str) -> str:
    """Return the template with its policy behind the first line of its head."""
    line = f'<meta http-equiv="Content-Security-Policy" content="{policy(template)}">\n'
    found, count = _HEAD.subn(lambda head: head[1] + line, template, count=1)
    if count != 1:
        raise ValueError("the template's head does not begin with its character set")
    return found


def _gated(value: Any) -> Any:
    """Hold a text at the gate as it goes into the page; what is marked as safe is the program's own."""
    return gate.line(value) if isinstance(value, str) and not hasattr(value, "__html__") else value


def data_of(card: Card) -> dict[str, Any]:
    """Return what the page's script reads: the screens in order, the cuts between two changes, what to do in trouble.

    ``screens`` hold the numbers of their acts; nothing in it is a sum of this module's.  A card that must not be cut has none.
    """
    blocks: list[int] = []
    for group in card.groups:
        if group.change or not blocks:
            blocks.append(0)
        blocks[-1] += len(group.lines)
    screens = () if card.verdict else card.screens
    return {
        "title": card.title,
        "revision": card.revision,
        "part": card.part,
        "unit": card.unit,
        "depth": card.words.names[1],
        "blocks": blocks,
        "lost": card.lost,
        "off": card.off,
        "looks": _looks(card),
        "screens": [_screen(screen) for screen in screens],
    }


def _looks(card: Card) -> dict[str, Any] | None:
    """Return what tells faults apart by what checks read: errors in the card's unit, how causes act at each cut that is checked, and
    sentences too shallow and too deep.

    None where the second scale tells no cause.
    """
    scale, about = card.plan.second, causes(card.plan)
    if about is None:
        return None
    one = (25.4 if card.unit == "in" else 1.0) / (2 if scale.doubled else 1)
    allowed, slack = limits(card.plan)
    texts = {deep: texts_of(about, card.words.names[1], "{by}", "{since}", deep) for deep in (False, True)}
    reads = {stop.n: float(scale.value(stop.second)) for stop in card.plan.stops}
    checked = {screen.n for screen in card.screens if screen.kind == "check"}
    return {
        "kind": about.kind,
        "inward": about.inward,
        "cuts": {
            n: [at.infeed / one, at.along, at.way, reads[n] / one] for n, at in about.cuts.items() if n in checked
        },
        "label": _measured(card),
        "rim": [[at, value / one] for at, value in about.rim],
        "turns": [TURNS, MOST_TURNED],
        "allowed": allowed / one,
        "slack": slack / one,
        "digits": 4 if card.unit == "in" else 3,
        "on": " on the diameter" if scale.doubled else "",
        "also": ALSO,
        "anew": anew_text(about.kind),
        "texts": {code: [" ".join(texts[False][code]), " ".join(texts[True][code])] for code in texts[True]},
    }


def _measured(card: Card) -> str:
    """Return which number of a check tells how deep the cut is: what the second scale reads, or the diameter that is measured."""
    labels = [reading.label for screen in card.screens if screen.kind == "check" for reading in screen.readings]
    name = card.words.names[1]
    return name if name in labels else next((label for label in labels if label.lower().startswith("diameter")), name)


def _screen(screen: Screen) -> dict[str, Any]:
    return {
        "acts": [act.n for act in screen.acts],
        "kind": screen.kind,
        "place": screen.place,
        "ask": screen.ask,
        "readings": [[reading.label, reading.text, reading.alike] for reading in screen.readings],
        "says": screen.says,
        "button": screen.button,
        "black": screen.black or any(act.confirm for act in screen.acts),
        "cut": screen.n,
    }


def _first_screens(card: Card) -> dict[int, int]:
    """Return at which screen each cut begins, by its number."""
    found: dict[int, int] = {}
    for at, screen in enumerate(card.screens):
        if screen.n is not None:
            found.setdefault(screen.n, at)
    return found


def _ends(group: Group) -> int:
    return group.lines[-1].n


def render(card: Card) -> str:
    """Return the page; every text is escaped, the card goes in as JSON that cannot end its element."""
    import jinja2

    environment = jinja2.Environment(
        autoescape=True, finalize=_gated, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    source = (resources("stepcut") / "cards" / "card.html.j2").read_text("utf-8")
    template = environment.from_string(with_policy(source))
    return template.render(
        card=card,
        drawings=drawings(card.plan),
        begins=_first_screens(card),
        ends=_ends,
        data=gate.everywhere(data_of(card)),
    )
