"""What is said of a leave: that it was taken from the machine, or that it is less than the machine's errors."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stepcut.kernel.task import Task
from stepcut.plan import Remark
from stepcut.shop.clearing import safe_leave


def leaving(task: Task, given: Fraction | None, leave: Fraction) -> Iterator[Remark]:
    """Yield what must be said of a leave; ``given`` is None where it was taken from the machine's errors."""
    parts = safe_leave(task)
    names = ("table", "depth") if task.first.angular else (task.first.name, task.second.name)
    if given is None:
        yield Remark("leave-auto", {"leave": leave, "parts": parts, "names": names})
    elif float(leave) < sum(parts) - 1e-9:
        yield Remark("leave-small", {"leave": leave, "safe": sum(parts), "parts": parts, "names": names})
