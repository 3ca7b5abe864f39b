"""The whole part after a plan's cuts, from its JSON alone; ``python -m tests.outside.whole_part [--fast] FILE.json``.

``-`` for FILE reads standard input, so ``stepcut ramp ... --json | python -m tests.outside.whole_part -`` works.
``python -m tests.outside.whole_part --random ramp 200 [--first SEED] [--sharp]`` looks for disagreements in random jobs.
Printed figures of the plan stand beside what the model sees, and by how much the model may be off.
"""

from __future__ import annotations

import importlib
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.outside.seen import Seen

MODELS = {
    "ramp": "whole_ramp", "taper": "whole_turned", "radius": "whole_turned", "profile": "whole_turned", "cam": "whole_cam",
    "helix": "whole_helix", "points": "whole_face", "groove": "whole_face", "divide": "whole_face", "scroll": "whole_scroll",
}  # fmt: skip


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """What the model of the plan's shape sees."""
    target, cutter = plan["target"], plan["cutter"]
    own = (
        "width" in target
        or "cross" in target
        or (plan["shape"] == "helix" and (plan["leave"] or cutter["kind"] == "vee"))
    )
    model = "helix_sections" if own and plan["shape"] == "helix" else MODELS[plan["shape"]]
    module = importlib.import_module(f"tests.outside.{model}")
    found: Seen = module.see(plan, fast)
    return found


def report(plan: Mapping[str, Any], fast: bool = False) -> str:
    """Lines: figure, printed, true, how far the model may be off."""
    found = see(plan, fast)
    result = plan["result"]
    spoils = "; says DO NOT CUT" if any(remark["spoils"] for remark in plan["remarks"]) else ""
    lines = [f"gouge {found.gouge:.6f} mm at {found.where}{spoils}"]
    for name, value in found.figures().items():
        if name != "gouge":
            off = found.errors.get(name)
            lines.append(
                f"{name:10} printed {result[name]:12.6f}  true {value:12.6f}"
                + (f"  +- {off:.1e}" if off is not None else "")
            )
    lines += [f"{name:10} {value}" for name, value in found.more.items()]
    return "\n".join(lines)


def main(arguments: list[str]) -> None:
    if "--random" in arguments:
        from tests.outside.compared import hunted

        at = arguments.index("--random")
        first = int(arguments[arguments.index("--first") + 1]) if "--first" in arguments else 0
        hunted(arguments[at + 1], int(arguments[at + 2]), first, "--sharp" not in arguments)
        return
    fast = "--fast" in arguments
    for name in (argument for argument in arguments if argument != "--fast"):
        text = sys.stdin.read() if name == "-" else Path(name).read_text("utf-8")
        print(report(json.loads(text), fast))


if __name__ == "__main__":
    main(sys.argv[1:])
