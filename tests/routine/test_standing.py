"""A check of a round nose's cut names what a micrometer and a depth gauge find: looked for on metal cut by tools drawn with shapely."""

from __future__ import annotations

import re
from typing import Any

import pytest
from shapely import Point, box, unary_union
from shapely.affinity import scale, translate

from stepcut.routine import acts
from tests.shops import plan_of

CHECK = re.compile(r"measured (?:diameter (?P<size>\d+\.\d+), )?step at z (?P<step>\d+\.\d+)")
JOBS = {
    "front of a ball": "form=ball radius=9mm nose=1.5mm scallop=0.1mm cut_depth=1mm",
    "front and back, rough and finish": "form=ball radius=10mm to_angle=150deg nose=1mm scallop=0.1mm blank=26mm cut_depth=0.9mm finish=0.3mm",
    "an edge rounded off": "form=corner radius=5mm diameter=27mm nose=1.5mm scallop=0.06mm",
    "straight in": "form=waist diameter=27mm small=19mm length=50mm at=10mm nose=3mm scallop=0.2mm",
    "in a hole": "form=seat radius=11mm diameter=21mm blank=9mm nose=1mm scallop=0.06mm",
}


def inside(plan: Any) -> bool:
    return plan.details.cuts[0].flank.side == "bore"


def cut(plan: Any, blank: float) -> Any:
    """Yield at each check its words, the last cut, the metal that the cut took, and the metal that stands."""
    nose = float(plan.cutter.radius)
    tip = Point(-nose, nose).buffer(nose, quad_segs=90)
    tool = unary_union([tip, translate(tip, 0, 60)]).convex_hull
    metal, at = box(0, 0, 80, blank / 2), {"z": -1.0, "x": blank}
    if inside(plan):
        tool, metal, at["x"] = scale(tool, 1, -1, origin=(0, 0)), box(0, blank / 2, 80, 60), 0.0
    took: dict[int, Any] = {}
    for act in acts(plan):
        if act.kind == "check":
            n = max(k for k, piece in took.items() if piece.area > 1e-7)  # a cut may find nothing left to take
            yield act.text, plan.stops[n - 1], took[n], metal
        if act.axis not in ("z", "x") or act.to is None:
            continue
        before = dict(at)
        at[act.axis] = float(act.to)
        swept = unary_union([translate(tool, each["z"], each["x"]) for each in (before, at)]).convex_hull
        if act.stop is not None:
            took[act.stop] = unary_union([took.get(act.stop, Point()), metal.intersection(swept)])
        metal = metal.difference(swept)


@pytest.mark.parametrize("name", JOBS)
def test_a_check_names_the_edge_and_the_diameter_that_stand(name: str) -> None:
    plan = plan_of("radius", tool="round", **dict(pair.split("=") for pair in JOBS[name].split()))
    blank = float(plan.details.blank or 2 * max(each.flank.radius_high for each in plan.details.cuts))
    seen = set()
    for text, stop, took, metal in cut(plan, blank):
        said = CHECK.search(text)
        assert said, text
        back = plan.details.flanks[stop.start - 1] == "to-face"
        edge = took.bounds[0 if back else 2]
        assert float(said["step"]) == pytest.approx(edge, abs=float(plan.first.division) * 0.6), text
        middle, x = (
            float(plan.first.value(stop.first)) - float(plan.cutter.radius),
            float(plan.second.value(stop.second)),
        )
        hair = -2e-3 if inside(plan) else 2e-3
        stands = (
            x > 0
            and middle > 0
            and metal.contains(Point(middle, x - hair))
            and not metal.contains(Point(middle, x + hair))
        )
        assert stands == (said["size"] is not None), text
        if stands:
            assert float(said["size"]) == pytest.approx(2 * x), text
        seen.add(stands)
    assert True in seen
