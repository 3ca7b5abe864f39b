"""What a plan prints against what the model of the whole part sees.

How well the two agree, beyond what the model says that it may be off itself (the difference of its two resolutions), in some
hundred random jobs looked at sharply: scallop, largest stock and volume of tapers, profiles, cams and ramps to 7e-9 mm and a
share of 1e-8, so there the model is the limit.  Known to be wider: the volume of ramps plunged with a ball, a share of 6e-6 (radii
that the program weighs; 1.3e-4 until it weighed twice as many); the smallest stock under a round cutter, 1e-5 mm below the true
one (where the program gives up looking for the place that the cutter touches); the ridge of a cam, 7e-6 mm (square to the rim at
the place of the stock, or at the nearest one).  A ball's pole and a fillet's wall stand square to the depth, where the model looks
a hair beside them: heights along the depth there to 8e-5 mm, the mean to a share of 5e-4; volume and ridges to 7e-9.  Grooves:
ridges to 3e-7 mm, and a share of 5e-4 of the volume, 2.6e-3 where it is small (fine cuts, a deep groove: rows that the program weighs).  Points and grooves along a circle: heights to 1e-6 mm and a share of 1e-5.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Mapping
from typing import Any

from stepcut.errors import StepcutError
from stepcut.quantity import parse_length
from tests.outside import cases, front, whole_part
from tests.outside.seen import Seen
from tests.outside.whole_face import misplaced, misruled

BELOW = 2e-5  # mm; the JSON carries whole divisions, so a true gouge is far larger than this
SHARP, SHARE = 2e-4, 2e-3  # mm and share of the figure: how well figures must agree with the sharp model
ROOM = {
    "ramp": (2e-6, 2e-5),
    "taper": (1e-6, 1e-6),
    "profile": (1e-6, 1e-6),
    "cam": (1.2e-5, 1e-5),
    "radius": (1e-6, 1e-6),
    "helix": (2e-6, 2e-5),
    "points": (1e-6, 1e-5),
    "groove": (1e-5, 1e-4),
}
SMALLEST = 1.5e-5  # mm, of a ramp or a cam: the program may say less
WEIGHED = {"helix": 2e-4}  # share of the volume: rows and places that the program weighs
SQUARE = {
    "stock_min": (1e-3, 0.0),
    "stock_max": (1e-3, 0.0),
    "stock_mean": (0.0, 2e-3),
}  # of a radius, whose ends may be square
COARSE, COARSE_SHARE = 2e-3, 1.5e-2  # the same with the fast one


def disagreements(plan: Mapping[str, Any], seen: Seen, fast: bool = False) -> list[str]:
    """What is printed wrong, in words with both numbers; empty when the plan tells the truth.

    A plan that says DO NOT CUT may spoil the part, and its other figures are not looked at.
    """
    if any(remark["spoils"] for remark in plan["remarks"]):
        return []
    wide = (COARSE, COARSE_SHARE) if fast else (SHARP, SHARE)
    found = []
    if seen.gouge > BELOW + seen.errors.get("gouge", 0.0):
        width = f", {seen.more['gouge_width']:.4f} mm wide" if "gouge_width" in seen.more else ""
        found.append(f"gouge {seen.gouge:.5f} mm at {seen.where}{width}")
    for name, true in seen.figures().items():
        if name == "gouge" or name in seen.more.get("left_open", ()):
            continue
        printed = plan["result"][name]
        least, share = wide if fast else ROOM.get(plan["shape"], wide)
        if not fast and plan["shape"] == "radius":
            least, share = SQUARE.get(name, (least, share))
        if name == "stock_min" and not fast and plan["shape"] in ("ramp", "cam"):
            least = SMALLEST
        if name == "volume" and not fast:
            share = WEIGHED.get(plan["shape"], share)
        scale = seen.more["area"] / 4 if name == "volume" else 1.0
        room = max(least * scale, share * max(abs(true), abs(printed))) + seen.errors.get(name, 0.0)
        # Where the wanted line has a kink, "square to it" can be read two ways.
        low = seen.more.get("scallop_low", true) if name == "scallop" else true
        others = [value for key, value in seen.more.items() if key.startswith("mean_")] if name == "stock_mean" else []
        if any(abs(printed - other) <= room for other in others):
            continue  # a mean along the axis or over the skin: the contract leaves it open
        if not min(low, true) - room <= printed <= true + room:
            found.append(f"{name} printed {printed:.5f}, true {true:.5f}")
    for name in ("wall_ridge", "floor_ridge"):  # of a helix or a scroll
        if name in plan["result"] and name in seen.more:
            printed, true = plan["result"][name], seen.more[name]
            least, share = wide if fast else ROOM["helix"]
            room = max(least, share * max(abs(true), abs(printed))) + seen.errors.get("scallop", 0.0)
            if abs(printed - true) > room:
                found.append(f"{name} printed {printed:.5f}, true {true:.5f}")
    return found


def over_the_limit(plan: Mapping[str, Any], seen: Seen, values: Mapping[str, Any]) -> list[str]:
    """A ridge higher than the limit that was asked, when no remark says so."""
    if values.get("scallop") is None:
        return []
    limit = float(parse_length(values["scallop"], "scallop"))
    said = any(word in remark["code"] for remark in plan["remarks"] for word in ("scallop", "ridge", "limit", "corner"))
    low = min(seen.scallop, seen.more.get("scallop_low", seen.scallop))
    if said or low <= limit * 1.005 + SHARP + seen.errors.get("scallop", 0.0):
        return []
    return [
        f"scallop {limit:.5f} asked, {low:.5f} stands, and no remark says so: {[r['code'] for r in plan['remarks']]}"
    ]


def told_wrong(plan: Mapping[str, Any], values: Mapping[str, Any], fast: bool = False) -> list[str]:
    """All that a plan tells wrong; the fast model is asked first and the sharp one where it finds something."""
    if not plan["stops"]:
        return []
    if plan["shape"] in ("divide", "rule"):
        return (misplaced if plan["shape"] == "divide" else misruled)(plan, values)
    if fast:
        seen = whole_part.see(plan, True)
        if not disagreements(plan, seen, True) and not over_the_limit(plan, seen, values):
            return []
    seen = whole_part.see(plan)
    return disagreements(plan, seen) + over_the_limit(plan, seen, values)


def written(shape: str, values: Mapping[str, Any], machine: str = "metric") -> str:
    """The command line of a job."""
    words = [f"stepcut {shape} --machine {machine}"]
    for key, value in values.items():
        if isinstance(value, list):
            join = "; " if key == "segments" else ", "
            value = join.join(" ".join(map(str, item)) if isinstance(item, list) else str(item) for item in value)
        words.append(f"--{key} '{value}'" if " " in str(value) else f"--{key} {value}")
    return " ".join(words)


def hunted(shape: str, count: int, first: int = 0, fast: bool = True, **fixed: Any) -> None:
    """Look for disagreements in random jobs and print them."""
    kinds: Counter[str] = Counter()
    for seed in range(first, first + count):
        values = cases.job(shape, seed, **fixed)
        try:
            plan = front.solved(shape, **values)
        except StepcutError as refused:
            kinds["refused: " + str(refused).partition(":")[0]] += 1
            continue
        if not plan["stops"]:
            kinds["no stops"] += 1
            continue
        wrong = told_wrong(plan, values, fast)
        kinds["agree" if not wrong else "DISAGREE"] += 1
        if any(remark["spoils"] for remark in plan["remarks"]):
            kinds["spoils, and says so"] += 1
        if wrong:
            print(f"seed {seed}: {written(shape, values)}\n    " + "\n    ".join(wrong), flush=True)
    print(dict(kinds), file=sys.stderr)
