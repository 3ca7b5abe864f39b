"""The drawing of a face scroll: circles of the groove's width where the cuts stand, rim 0 at 3 o'clock."""

from __future__ import annotations

import math
import re

import pytest

from stepcut import recipes
from stepcut.shapes.scroll.drawing import part

PLATE = {"begin": "15mm", "end": "21mm", "pitch": "8mm", "depth": "2.5mm", "cutter": "4mm", "step": "9deg"}


@pytest.mark.parametrize(("winds", "way"), [("clockwise", 1), ("anticlockwise", -1)])
def test_its_cuts_lie_on_the_spiral_about_the_centre_mark(winds: str, way: int) -> None:
    content = {"stepcut": 1, "machine": "metric", "title": "case", "scroll": {**PLATE, "winds": winds}}
    drawn = part(recipes.job(recipes.from_content(content)).plan).svg
    circles = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="(\S+)" cy="(\S+)"', drawn)]
    lines = [row.split() for row in re.findall(r'<polyline points="([^"]+)"', drawn)]
    crosses = [[tuple(map(float, end.split(","))) for end in row] for row in lines if len(row) == 2]
    (x, y), *_ = [((a[0] + b[0]) / 2, a[1]) for a, b in crosses if a[1] == b[1] and abs(b[0] - a[0]) < 4]
    assert circles[0] == circles[-1]  # the cutter stands at the first
    out = [math.hypot(cx - x, cy - y) for cx, cy in circles[:-1]]
    scale = out[0] / 15
    assert circles[0][1] == pytest.approx(y)  # at 3 o'clock
    assert circles[0][0] > x
    for k, (far, (cx, cy)) in enumerate(zip(out, circles[:-1], strict=True)):
        assert far == pytest.approx((15 + 8 * 9 * k / 360) * scale, abs=0.02)
        turned = math.degrees(math.atan2(cy - y, cx - x)) * way
        assert (turned - 9 * k + 180) % 360 - 180 == pytest.approx(0, abs=0.1)


def test_a_line_from_the_middle_to_the_right_out_of_the_groove_is_rim_0() -> None:
    """Its name stands below it, and that of the slide's way above it."""
    content = {"stepcut": 1, "machine": "metric", "title": "case", "scroll": PLATE}
    drawn = part(recipes.job(recipes.from_content(content)).plan).svg
    circles = [tuple(map(float, row)) for row in re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="(\S+)"', drawn)]
    level = circles[0][1]  # the first cut is at rim 0
    lines = [
        [tuple(map(float, end.split(","))) for end in row.split()] for row in re.findall(r'points="([^"]+)"', drawn)
    ]
    out = max(cx + r for cx, _, r in circles)
    assert [row for row in lines if len(row) == 2 and {y for _, y in row} == {level} and max(row)[0] > out]
    names = {text: float(y) for y, text in re.findall(r'<text x="\S+" y="(\S+)"[^>]*>([^<]+)<', drawn)}
    assert names["x →"] < level < names["rim 0"] - 2  # letters stand on their y


def test_a_large_scroll_is_drawn_smaller_by_the_scale_that_is_said_its_groove_as_its_turns() -> None:
    content = {
        "stepcut": 1,
        "machine": "metric",
        "title": "case",
        "scroll": {**PLATE, "begin": "60mm", "end": "66mm", "step": "2deg"},
    }
    made = part(recipes.job(recipes.from_content(content)).plan)
    said = re.match(r"scale 1:([\d.]+)", made.says)
    assert said is not None
    circles = [tuple(map(float, row)) for row in re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="(\S+)"', made.svg)]
    half_way = min(circles[:-1], key=lambda row: row[0])  # 9 o'clock, 64 mm out
    assert circles[0][0] - half_way[0] == pytest.approx((60 + 64) / float(said[1]), abs=0.1)
    assert circles[0][2] == pytest.approx(2 / float(said[1]), abs=0.02)
