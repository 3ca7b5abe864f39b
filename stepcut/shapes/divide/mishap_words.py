"""After a mistake at divided places, in words."""

from __future__ import annotations

from stepcut.plan import Plan


def as_wide(plan: Plan) -> str | None:
    """Return what is as wide as the cutter; None of lines."""
    return {"holes": "hole", "slots": "slot"}.get(plan.target.get("make", ""))
