"""Plans that this process has solved before.

Most tests ask for the plans of the same thirty examples; a plan is a pure value of what was wanted on which machine, so that each
process of the tests solves it once.  A test that counts the work of a solve, or changes the solver, asks for the fixture ``afresh``.
"""

from __future__ import annotations

import os
from functools import cached_property

from stepcut.job import Job
from stepcut.plan import Plan

SOLVE = Job.plan.func  # type: ignore[attr-defined]  # a cached_property, which mypy takes for its value
MOST = 200  # plans kept; the oldest goes first
LARGEST = 2000  # cuts of a plan that is kept
KEPT: dict[str, Plan] = {}


def _solved(job: Job) -> Plan:
    key = repr((job.recipe.shape, job.values, job.values.texts, job.values.unit, job.values.units, job.machine))
    if (kept := KEPT.get(key)) is not None:
        return kept
    plan: Plan = SOLVE(job)
    if len(plan.stops) <= LARGEST:
        if len(KEPT) >= MOST:
            del KEPT[next(iter(KEPT))]
        KEPT[key] = plan
    return plan


def keep_plans() -> None:
    """Let every job of this process take a plan that was solved before; unless each test is to solve its own."""
    if os.environ.get("STEPCUT_SOLVE_EACH"):
        return
    kept = cached_property(_solved)
    kept.__set_name__(Job, "plan")
    Job.plan = kept  # type: ignore[method-assign, assignment]
