"""What is said of a leave: that it was taken from the machine, that it is less than the machine's errors, or that the depth's marks add to it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stepcut.kernel.task import Task
from stepcut.machine import Scale
from stepcut.plan import Remark
from stepcut.shop.clearing import safe_leave

UNFELT = Fraction(1, 40)  # mm; a thou of floor that stands is felt across its edge: common practice, no source


def before_mark(depth: Fraction, scale: Scale) -> Iterator[Remark]:
    """Yield what a floor of one depth is left higher than wanted, mm, where that depth is no mark of its scale."""
    over = depth - scale.value(scale.down(depth))
    if over > UNFELT:
        yield Remark("before-mark", {"depth": depth, "set": depth - over, "over": over, "scale": scale.name}, look=True)


def leaving(task: Task, given: Fraction | None, leave: Fraction) -> Iterator[Remark]:
    """Yield what must be said of a leave; ``given`` is None where it was taken from the machine's errors."""
    parts = safe_leave(task)
    names = ("table", "depth") if task.first.angular else (task.first.name, task.second.name)
    if given is None:
        yield Remark("leave-auto", {"leave": leave, "parts": parts, "names": names})
    elif float(leave) < sum(parts) - 1e-9:
        yield Remark("leave-small", {"leave": leave, "safe": sum(parts), "parts": parts, "names": names})
