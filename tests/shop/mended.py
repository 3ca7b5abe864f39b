"""Parts as they were really cut after a mistake: every cut of a plan where it stood, on the models of the whole part.

The models (`tests/outside`) know a plan's JSON alone and share no formula with the program.  Here they are given cuts that stand
elsewhere, deeper, or made with two cutters, and say how much stands over the wanted surface at many points of the part: less
than nothing where the part has lost something.  Lengths are mm, angles degrees.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stepcut.cards.json_card import content
from stepcut.plan import Plan
from stepcut.voice import voice_of
from tests.outside import whole_cam, whole_face, whole_ramp, whole_turned

Array = NDArray[np.float64]
Json = dict[str, Any]
Cutting = tuple[Json, Sequence[Mapping[str, Any]]]  # the plan whose cutter made them, and cuts as the JSON has them
WALLS = 9  # radii of a ramp's wall that are looked at


def told(plan: Plan) -> Json:
    """The JSON of a plan, as a file has it."""
    found: Json = json.loads(json.dumps(content(plan, voice_of(plan.machine))))
    return found


def moved(stop: Mapping[str, Any], by: float = 0.0, deeper: float = 0.0, mirror: float | None = None) -> Json:
    """A cut that stands so far on, so much deeper, or mirrored (about a table's nought, or end for end in such a length)."""
    first = next(key for key in ("table", "z", "compound") if key in stop)
    second = next(key for key in ("depth", "radius", "x") if key in stop and key != first)
    found = dict(stop)
    if mirror is not None:
        found[first] = mirror - stop[first]
    found[first] += by
    found[second] += deeper if second == "depth" else -deeper
    return found


def stock(part: Json, *cuttings: Cutting, flipped: bool = False, lower: float = 0.0) -> Array:
    """What stands over the wanted surface of a part after cuts, by places; of one whose surface is lowered, or of the other hand."""
    found: Array = {"ramp": _ramp, "cam": _cam, "groove": _groove}.get(part["shape"], _turned)(part, cuttings, flipped)
    return found + lower


def _rows(plan: Json, cuts: Sequence[Mapping[str, Any]], upright: str) -> Array:
    """Cuts as angles and depths, and the sweeps of a plan between two of them that stand at their places."""
    rows = [(cut["table"], cut["table"], cut[upright]) for cut in cuts]
    meant = {stop["n"]: stop for stop in plan["stops"]}
    there = {cut["n"]: cut for cut in cuts if meant.get(cut["n"]) == cut}
    for sweep in plan.get("sweeps", ()):
        if sweep["from"] in there and sweep["to"] in there:
            begin, end = there[sweep["from"]], there[sweep["to"]]
            rows.append((*sorted((begin["table"], end["table"])), begin[upright]))
    return np.array(rows).reshape(-1, 3)


def wall(part: Json, cuttings: Sequence[Cutting] = ()) -> tuple[Array, Array]:
    """Radii of a ramp's wall, and angles of one ramp, at which it is looked at: beside the edges of cuts too."""
    target = part["target"]
    radii = np.linspace(target["inside_diameter"] / 2, target["outside_diameter"] / 2, WALLS)
    span = target["span"]
    kinks = np.array(whole_ramp.Wanted(target).kinks)
    sector = 360 / target["starts"]
    edges = [
        (cut["table"] + edge) % sector
        for plan, cuts in cuttings
        for cut in cuts[:60]
        for ends in whole_ramp.tool_of(plan).edges(radii[[0, -1]])
        for edge in np.nan_to_num(ends)
    ]
    near = np.array([*kinks, *edges])
    phi = np.concatenate([np.linspace(0, span, 1501), near - 1e-3, near + 1e-3])
    return radii, np.unique(np.clip(phi, 1e-3, span - 1e-3))


def _ramp(part: Json, cuttings: Sequence[Cutting], flipped: bool) -> Array:
    """Rows: ramp and radius; columns: angle of the ramp.  A riser's very edge belongs to both depths and is left out."""
    radii, phi = wall(part, cuttings)
    wanted = whole_ramp.Wanted(part["target"])
    r, at = (each.ravel() for each in np.meshgrid(radii, phi, indexing="ij"))
    found = []
    for origin in whole_ramp.origins(part):
        cut = np.zeros_like(at)
        for plan, cuts in cuttings:
            rows = _rows(plan, cuts, "depth")
            if flipped:
                rows = rows * (-1, -1, 1)
                rows[:, :2] = rows[:, 1::-1]
            turned = np.c_[
                (rows[:, 0] - origin) % 360, (rows[:, 0] - origin) % 360 + rows[:, 1] - rows[:, 0], rows[:, 2]
            ]
            tool = whole_ramp.tool_of(plan)
            if flipped:  # the cutter stands on the other side of the line
                tool = whole_ramp.Tool(tool.approach, tool.radius, tool.corner, -tool.over, tool.middle)
            ring = whole_ramp.Ring(tool, wanted, 0.0, turned, float(radii[0]))
            ring.cuts = np.concatenate([turned + np.array([turn, turn, 0]) for turn in (-360.0, 0.0, 360.0)])
            cut = np.maximum(cut, ring.cut(r, at))
        found.append((wanted.depth(at) - cut).reshape(len(radii), len(phi)))
    return np.concatenate(found)


def _cam(part: Json, cuttings: Sequence[Cutting], flipped: bool) -> Array:
    left = []
    for plan, cuts in cuttings:
        rows = _rows(plan, cuts, "radius")
        cam = _seen_by(plan, cuts)
        again = np.concatenate([rows + np.array([turn, turn, 0.0]) for turn in (-720.0, -360.0, 0.0, 360.0)])
        cam.cuts = again[(again[:, 1] > -95) & (again[:, 0] < 455)]
        cam.reach = cam._reach(cam.cuts[:, 2])
        phi = np.linspace(0.01, cam.rim.span - 0.01, 20_000)
        left.append(cam.cut(360.0 - phi if flipped else phi))
    return np.asarray(np.min(left, axis=0) - _seen_by(part, part["stops"]).rim.radius(phi))


CAMS: dict[str, whole_cam.Cam] = {}


def _seen_by(plan: Json, cuts: Sequence[Mapping[str, Any]]) -> whole_cam.Cam:
    """The model of a cam, made once for a rim and a cutter: a follower's rim takes it long."""
    key = json.dumps([plan["target"], plan["cutter"], plan["approach"], plan["leave"]])
    if key not in CAMS:
        CAMS[key] = whole_cam.Cam({**plan, "stops": list(cuts), "sweeps": []})
    return CAMS[key]


def _turned(part: Json, cuttings: Sequence[Cutting], flipped: bool) -> Array:
    assert not flipped
    shape = whole_turned.part_of(part)
    first, last = shape.ends
    z = np.linspace(first + 1e-6, last - 1e-6, 40_001)
    sign = -1.0 if shape.bore else 1.0
    left = [sign * whole_turned.Turned({**plan, "stops": list(cuts)}).cut(z) for plan, cuts in cuttings]
    return np.asarray(np.min(left, axis=0) - sign * shape.radius(z))


def _groove(part: Json, cuttings: Sequence[Cutting], flipped: bool) -> Array:
    line = whole_face._Round(part)
    span = part["target"]["span"]
    phi = np.linspace(0, span, 4001)
    way = -1 if flipped else 1
    found = []
    for origin in np.arange(part["target"]["starts"]) * 360.0 / part["target"]["starts"]:
        deep = np.zeros_like(phi)
        for plan, cuts in cuttings:
            own = whole_face._Round(plan)
            turned = [
                ((way * cut["table"] - origin - span / 2 + 180) % 360 - 180 + span / 2, cut["depth"]) for cut in cuts
            ]
            own.cuts = [(at, depth) for at, depth in turned if -60 < at < span + 60]
            deep = np.maximum(deep, own.cut(phi))
        found.append(line.wanted(phi) - deep)
    return np.array(found)
