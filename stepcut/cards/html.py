"""The card as one web page: no network, ticks kept in the browser under the recipe's revision."""

from __future__ import annotations

from importlib.resources import files as resources

from stepcut.cards.drawing import drawings
from stepcut.cards.sheet import Sheet
from stepcut.plan import Plan


def render(sheet: Sheet, plan: Plan) -> str:
    """Return the page; every text is escaped, the data of the script goes in as JSON that cannot end the script."""
    import jinja2

    environment = jinja2.Environment(
        autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    template = environment.from_string((resources("stepcut") / "cards" / "card.html.j2").read_text("utf-8"))
    many = len({row.start for row in sheet.rows}) > 1
    names = ("n", "start", "first", "crank", "second", "change", "check", "note")
    data = {
        "revision": sheet.revision,
        "part": sheet.part,
        "many": many,
        "rows": [{name: getattr(row, name) for name in names} for row in sheet.rows],
    }
    return template.render(sheet=sheet, drawings=drawings(plan), many=many, data=data)
