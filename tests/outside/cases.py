"""Random jobs of every shape, as a user would write them; the same seed gives the same job."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.outside.front import deg, mm
from tests.outside.published_motions import ACCELERATIONS

MOTIONS = ["uniform", *ACCELERATIONS]
LEAVES = ["0mm", "0mm", "0.05mm", "0.2mm"]


def ramp(draw: Random, approach: str | None = None, kind: str | None = None) -> dict[str, Any]:
    """A ring of one to four ramps by any way of cutting."""
    starts = draw.choice([1, 1, 2, 3, 4])
    bore = draw.uniform(12, 60)
    wall = draw.uniform(1, bore / 4)
    rise = draw.uniform(0.2, 4)
    approach = approach or draw.choice(["across", "across", "plunge", "side"])
    kind = kind or (draw.choice(["flat", "flat", "ball", "bull"]) if approach != "side" else "flat")
    cutter = draw.uniform(wall * 1.1, bore / 2.2) if approach == "plunge" else draw.uniform(2, bore / 2.2)
    values: dict[str, Any] = {
        "outside": mm(bore + 2 * wall), "bore": mm(bore), "starts": str(starts), "cutter": mm(cutter), "kind": kind,
        "approach": approach, "leave": draw.choice(LEAVES), "start-depth": draw.choice(["0mm", "0.3mm", "1mm"]),
    }  # fmt: skip
    if kind == "bull":
        values["corner"] = mm(cutter * draw.uniform(0.05, 0.45))
    if approach == "across":
        values["on-line"] = draw.choice(["edge", "edge", "centre"])
    if draw.random() < 0.3:
        values["order"] = "by-depth"
    span = draw.uniform(0.3, 0.8) * 360 / starts if draw.random() < 0.7 else 0.0  # or the largest that fits
    if span and draw.random() < 0.3:
        start = float(values.pop("start-depth")[:-2])
        places = sorted({round(draw.uniform(0.05, 0.95), 2) for _ in range(draw.randint(1, 3))})
        drops = sorted(draw.choice([0.0, draw.random(), draw.random()]) for _ in places)
        pairs = [
            (0.0, start),
            *((span * p, start + rise * d) for p, d in zip(places, drops, strict=True)),
            (span, start + rise),
        ]
        values["targets"] = [[deg(at), mm(depth)] for at, depth in pairs]
    else:
        values |= {"rise": mm(rise), "law": draw.choice(MOTIONS)}
        if span:
            values["span"] = deg(span)
        if draw.random() < 0.3:
            values |= {"lead-in": deg(draw.uniform(1, 15)), "lead-out": deg(draw.uniform(0, 10))}
    values |= draw.choice(
        [
            {"step": deg(draw.choice([1, 2, 3, 5, 7.5, 10]))}, {"stops": str(draw.randint(3, 40))},
            {"drop": mm(rise / draw.uniform(3, 30))}, {"scallop": mm(rise / draw.uniform(4, 40))},
        ]
    )  # fmt: skip
    return values


def _tool(draw: Random, tool: str | None, nose: float) -> dict[str, Any]:
    tool = tool or draw.choice(["square", "round"])
    return {"tool": tool, "nose": mm(draw.uniform(0.05, 1.0) * nose)} if tool == "round" else {"tool": tool}


def _spacing(draw: Random, length: float, height: float) -> dict[str, Any]:
    return draw.choice(
        [
            {"step": mm(length / draw.uniform(4, 60))}, {"stops": str(draw.randint(3, 40))},
            {"scallop": mm(height / draw.uniform(10, 100))},
        ]
    )  # fmt: skip


def _blank(draw: Random, largest: float, bore: bool = False) -> dict[str, Any]:
    """A blank larger than the part, or a smaller hole; often roughed before it is finished."""
    if draw.random() < 0.5:
        return {}
    over = draw.choice([0.01, 0.3, 2.0, largest / 3]) * draw.uniform(0.5, 1.5)
    values = {"blank": mm(max(largest / 4, largest - over) if bore else largest + over)}
    return values | draw.choice([{}, {"finish": mm(draw.uniform(0.05, 0.5))}])


def taper(draw: Random, tool: str | None = None, side: str | None = None) -> dict[str, Any]:
    """A cone, slender or blunt, outside or in a bore."""
    large, length = draw.uniform(12, 60), draw.uniform(5, 90)
    small = large - min(large * 0.8, 2 * length * draw.choice([draw.uniform(0.01, 0.1), draw.uniform(0.1, 2.0)]))
    side = side or draw.choice(["outside", "bore"])
    return {
        "large": mm(large), "small": mm(small), "length": mm(length), "side": side, "leave": draw.choice(LEAVES),
        **_tool(draw, tool, 4.0), **_spacing(draw, length, (large - small) / 2), **_blank(draw, small if side == "bore" else large, side == "bore"),
    }  # fmt: skip


def radius(draw: Random, tool: str | None = None, form: str | None = None) -> dict[str, Any]:
    """A ball, a fillet or a cove, whole or in part."""
    form = form or draw.choice(["ball", "fillet", "cove"])
    size = draw.uniform(2, 20)
    values: dict[str, Any] = {"form": form, "radius": mm(size)}
    if form == "ball":
        values["to-angle"] = deg(draw.choice([90, draw.uniform(40, 90), draw.uniform(91, 170)]))
    else:
        values["diameter"] = mm(draw.uniform(5, 40) + (2 * size if form == "cove" else 0))
        values["to-angle"] = deg(draw.choice([90, 90, draw.uniform(40, 90)]))
        if draw.random() < 0.3:
            values["from-angle"] = deg(draw.uniform(1, 35))
        if form == "fillet":
            values["at"] = mm(draw.uniform(0, 50))
    values |= {"leave": draw.choice(LEAVES)} | _tool(draw, tool, size * 0.6) | _spacing(draw, size, size / 3)
    largest = 2 * size if form == "ball" else float(values["diameter"][:-2]) + (2 * size if form == "fillet" else 0.0)
    return values | _blank(draw, largest)


def profile(draw: Random, tool: str | None = None) -> dict[str, Any]:
    """A line of up to seven places, with level stretches, inner and outer corners."""
    z, d = draw.choice([0.0, 0.0, draw.uniform(0, 10)]), draw.choice([0.0, draw.uniform(5, 30)])
    pairs = [(z, d)]
    for _ in range(draw.randint(1, 6)):
        z += draw.uniform(0.5, 10)
        d += draw.choice([0.0, draw.uniform(0, 2), draw.uniform(0, 12)])
        pairs.append((z, d))
    pairs[-1] = (z, pairs[-1][1] + 1)
    targets = [[mm(at), mm(across)] for at, across in pairs]
    height = (pairs[-1][1] - pairs[0][1]) / 2
    return {
        "targets": targets,
        "leave": draw.choice(LEAVES),
        **_tool(draw, tool, 2.0),
        **_spacing(draw, z - pairs[0][0], height),
        **_blank(draw, pairs[-1][1]),
    }


def cam(draw: Random, approach: str | None = None, closed: bool | None = None) -> dict[str, Any]:
    """A rim cam that comes round, or one with a gap."""
    approach = approach or draw.choice(["end", "side"])
    closed = draw.random() < 0.5 if closed is None else closed
    base = draw.uniform(8, 40)
    lift = min(base * draw.uniform(0.02, 0.4), 8)
    if closed and draw.random() < 0.25:
        segments = [f"eccentric {mm(lift)} in 360deg"]
    elif closed:
        parts = [draw.uniform(40, 120) for _ in range(4)]
        up, high, down, low = (round(part * 360 / sum(parts)) for part in parts)
        low = 360 - up - high - down
        segments = [
            draw.choice([f"rise {mm(lift)} in {up}deg {draw.choice(MOTIONS)}", f"spiral {mm(lift)} in {up}deg"]),
            f"dwell {high}deg", f"fall {mm(lift)} in {down}deg {draw.choice(MOTIONS)}", f"dwell {low}deg",
        ]  # fmt: skip
    else:
        span = draw.uniform(60, 350)
        segments = [
            draw.choice([f"rise {mm(lift)} in {deg(span)} {draw.choice(MOTIONS)}", f"spiral {mm(lift)} in {deg(span)}"])
        ]
        if draw.random() < 0.4:
            more = draw.uniform(5, 355 - span)
            segments.append(
                draw.choice([f"dwell {deg(more)}", f"fall {mm(lift * draw.uniform(0.2, 1))} in {deg(more)} harmonic"])
            )
    values: dict[str, Any] = {
        "base": mm(base), "segments": segments, "approach": approach, "leave": draw.choice(LEAVES),
        "cutter": mm(draw.uniform(4, 25)),
    }  # fmt: skip
    if draw.random() < 0.4:
        values["blank"] = mm(2 * (base + (2 if "eccentric" in segments[0] else 1) * lift) + 2 * draw.uniform(0.3, 3))
    values |= draw.choice([{"step": deg(draw.choice([1, 2, 4, 5, 10]))}, {"scallop": mm(draw.uniform(0.01, 0.2))}, {}])
    return values


def helix(draw: Random, kind: str | None = None, shallow: bool | None = None) -> dict[str, Any]:
    """One to four grooves, deep or shallow, steep or nearly round the cylinder."""
    kind = kind or draw.choice(["flat", "ball"])
    shallow = draw.random() < 0.3 if shallow is None else shallow
    diameter = draw.uniform(12, 60)
    cutter = draw.uniform(2, min(12, diameter / 2))
    starts = draw.choice([1, 1, 2, 3, 4])
    lead = draw.choice([draw.uniform(1.0, 6) * cutter * starts, draw.uniform(20, 300)])
    depth = cutter * (draw.uniform(0.02, 0.4) if shallow else draw.uniform(0.5, 0.8))
    values: dict[str, Any] = {
        "diameter": mm(diameter), "lead": mm(lead), "length": mm(lead * draw.uniform(0.15, 1.2)), "cutter": mm(cutter), "kind": kind,
        "depth": mm(min(depth, diameter / 3)), "starts": str(starts), "hand": draw.choice(["right", "left"]),
    }  # fmt: skip
    values |= draw.choice([{"step": deg(draw.choice([1, 2, 2.5, 4, 8]))}, {"scallop": mm(draw.uniform(0.02, 0.2))}])
    return values


def points(draw: Random, side: str | None = None) -> dict[str, Any]:
    """A circle or an arc, the cutter on either side of it or on it."""
    radius = draw.uniform(12, 70)
    side = side or draw.choice(["inside", "outside", "on"])
    values: dict[str, Any] = {
        "radius": mm(radius), "side": side, "cutter": mm(draw.uniform(3, radius / 1.5)), "depth": "5mm",
        "centre-x": mm(draw.uniform(-30, 30)), "centre-y": mm(draw.uniform(-30, 30)),
    }  # fmt: skip
    if side != "on":
        values["leave"] = draw.choice(LEAVES)
    if draw.random() < 0.4:
        values |= {"begin": deg(draw.uniform(0, 300)), "span": deg(draw.uniform(30, 200))}
    values |= draw.choice(
        [{"points": str(draw.randint(20, 150))}, {"step": deg(draw.uniform(1, 8))}, {"scallop": mm(draw.uniform(0.03, 0.5))}]
    )  # fmt: skip
    return values


def groove(draw: Random, kind: str | None = None) -> dict[str, Any]:
    """One to four grooves along a circle, down all the way or down and up again."""
    kind = kind or draw.choice(["flat", "ball"])
    circle, grooves = draw.uniform(24, 90), draw.randint(1, 4)
    cutter = draw.uniform(3, circle / 5)
    span = draw.uniform(0.2, 0.45) * 360 / grooves
    begin, deep = draw.uniform(0.05, 0.2) * cutter, draw.uniform(0.25, 0.5) * cutter
    values: dict[str, Any] = {
        "circle": mm(circle), "grooves": str(grooves), "cutter": f"{mm(cutter)} ball" if kind == "ball" else mm(cutter),
        "leave": draw.choice(LEAVES),
    }  # fmt: skip
    if draw.random() < 0.4:
        places = [(0.0, begin), (span * draw.uniform(0.3, 0.7), deep), (span, begin)]
        values["targets"] = [[deg(at), mm(depth)] for at, depth in places]
    else:
        values |= {"span": deg(span), "begin-depth": mm(begin), "end-depth": mm(deep), "motion": draw.choice(MOTIONS)}
    values |= draw.choice(
        [
            {"step": deg(draw.choice([1, 2, 3]))},
            {"cuts": str(draw.randint(12, 60))},
            {"scallop": mm(draw.uniform(0.02, 0.2))},
        ]
    )
    return values


def divide(draw: Random) -> dict[str, Any]:
    """Holes all round, by the rim, or by whichever circle of a plate."""
    count = draw.randint(2, 200)
    values: dict[str, Any] = {"divisions": str(count), "make": "holes", "depth": "4mm"}
    if draw.random() < 0.5:
        values["start"] = deg(draw.uniform(0, 90))
    if count > 6 and draw.random() < 0.4:
        values["skip"] = f"{draw.randint(2, count // 2)},{draw.randint(count // 2 + 1, count - 1)}"
    kind = draw.choice(["rim", "plate", "direct", "angles", "vernier"])
    if kind == "plate":
        values |= {"by": "plate", "circles": ",".join(str(holes) for holes in sorted(draw.sample(range(15, 67), 4)))}
    elif kind == "direct":
        holes = draw.choice([24, 36, 60])
        count = draw.choice([n for n in range(2, holes + 1) if holes % n == 0])
        values = {"divisions": str(count), "make": "holes", "depth": "4mm", "direct": str(holes)}
    elif kind == "angles":
        angles = sorted({round(draw.uniform(0, 359), 3) for _ in range(draw.randint(2, 9))})
        values = {"angles": ", ".join(deg(angle) for angle in angles), "make": "holes", "depth": "4mm"}
    elif kind == "vernier":
        count = draw.choice([5, 6, 10, 12, 30])
        over = str(count * draw.choice([1, 2]) - draw.choice([1, -1]))
        values = {
            "vernier": str(count),
            "main": draw.choice(["1deg", "0.5deg", "2deg"]),
            "over": over,
            "make": "lines",
            "line": "4mm",
        }
    return values


def rule(draw: Random) -> dict[str, Any]:
    """A straight scale with lines of three lengths, or a vernier, begun anywhere."""
    values: dict[str, Any] = {"line": "3mm", "fifth": "4.5mm", "tenth": "6mm", "start": mm(draw.uniform(-9, 9))}
    if draw.random() < 0.3:
        count = draw.choice([10, 20, 25, 50])
        return values | {
            "vernier": str(count),
            "main": draw.choice(["1mm", "0.5mm", "2mm"]),
            "over": str(count * draw.choice([1, 2]) - 1),
        }
    count = draw.randint(1, 150)
    if count > 6 and draw.random() < 0.4:
        values["skip"] = f"{draw.randint(2, count // 2)},{draw.randint(count // 2 + 1, count)}"
    return values | {"pitch": mm(draw.uniform(0.3, 7)), "divisions": str(count)}


def job(shape: str, seed: int, **fixed: Any) -> dict[str, Any]:
    """The values of the random job of a seed."""
    values: dict[str, Any] = globals()[shape](Random(f"{shape} {seed}"), **fixed)  # noqa: S311  # cases, no secrets
    return values
