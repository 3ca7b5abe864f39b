"""``stepcut log check``: whether the log is whole, where it stands, and how to copy it."""

from __future__ import annotations


def body() -> int:
    """Say whether the log is whole, where it stands and what copies there are."""
    from stepcut import gate
    from stepcut.cli.screen import show_folded
    from stepcut.log.care import BY_HAND, copies, look
    from stepcut.log.opening import unbegun
    from stepcut.log.store import default_path

    path = default_path()
    if not path.exists():
        show_folded(f"There is no log yet; it will be {gate.line(str(path))}.")
        return 0
    found = look(path)
    if unbegun(path):
        show_folded(f"{gate.line(str(path))}: empty, a new log; stepcut tick begins the first job in it.")
        return 0
    counts = ", ".join(f"{count} {table}" for table, count in found.counts.items())
    lines = [f"{gate.line(str(path))}: {'DAMAGED' if found.faults else 'whole'}; {counts}."]
    lines += [f"  {gate.line(fault)}" for fault in found.faults]
    if found.faults:
        lines.append("Save what can be read with stepcut log repair; the damaged file is kept.")
    lines += [f"Copy beside it: {gate.line(each.name)}" for each in copies(path)]
    lines.append(BY_HAND.format(gate.line(path.name)))
    show_folded("\n".join(lines))
    return 3 if found.faults else 0
