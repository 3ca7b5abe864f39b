"""The card as one web page: no network, ticks kept in the browser under the recipe's revision.

The page may run the one script that the template holds and nothing else: the script is named in the page's policy by its
hash, and the plan goes in beside it as data.  Every text has been through the gate.
"""

from __future__ import annotations

import base64
import re
from hashlib import sha256
from importlib.resources import files as resources
from typing import Any

from stepcut import gate
from stepcut.cards.drawing import drawings
from stepcut.cards.sheet import Sheet
from stepcut.plan import Plan

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


def render(sheet: Sheet, plan: Plan) -> str:
    """Return the page; every text is escaped, the plan goes in as JSON that cannot end its element."""
    import jinja2

    environment = jinja2.Environment(
        autoescape=True, finalize=_gated, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    source = (resources("stepcut") / "cards" / "card.html.j2").read_text("utf-8")
    template = environment.from_string(with_policy(source))
    many = len({row.start for row in sheet.rows}) > 1
    names = ("n", "start", "first", "crank", "second", "change", "check", "note")
    data = {
        "revision": sheet.revision,
        "part": sheet.part,
        "many": many,
        "rows": [{name: getattr(row, name) for name in names} for row in sheet.rows],
    }
    return template.render(sheet=sheet, drawings=drawings(plan), many=many, data=gate.everywhere(data))
