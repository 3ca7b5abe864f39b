"""The drawing of a taper by the compound, and what its card says first."""

from __future__ import annotations

import re
from typing import Any

import pytest

from stepcut import recipes
from stepcut.cli import show
from stepcut.shapes.taper.drawing import part

PIN = {"large": "27mm", "length": "45mm", "taper": "1:20", "blank": "28mm"}
SOCKET = {"large": "29mm", "included": "12deg", "length": "37mm", "side": "bore"}


def job_of(values: dict[str, Any]) -> recipes.Job:
    return recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "taper": values}))


@pytest.mark.parametrize("values", [PIN, SOCKET])
def test_all_lies_on_the_paper_and_you_stand_in_front_of_its_middle(values: dict[str, Any]) -> None:
    drawn = part(job_of({**values, "by": "compound"}).plan)
    places = [pair.split(",") for row in re.findall(r'points="([^"]+)"', drawn.svg) for pair in row.split()]
    texts = {
        text: (float(x), float(y)) for x, y, text in re.findall(r'<text x="(\S+)" y="(\S+)"[^>]*>([^<]+)<', drawn.svg)
    }
    assert all(0 <= float(x) <= drawn.width and 0 <= float(y) <= drawn.height for x, y in [*places, *texts.values()])
    letter = 3.2 * 0.6  # a letter of this fixed-width face is 0.6 of its size wide
    assert texts["YOU"][0] + 3 * letter / 2 == pytest.approx(drawn.width / 2, abs=0.1)
    assert texts["YOU"][1] > max(float(y) for _, y in places)  # the lathe is seen from above: you stand below


def test_by_the_set_over_tailstock_too_the_card_begins_with_its_size() -> None:
    """1:20 on the diameter over 45 mm is 2.25 mm."""
    words = show.whole(job_of({**PIN, "by": "set-over", "work-length": "90mm"}), "2026-01-01").words
    assert {"27 mm", "24.75 mm"} & set(re.findall(r"[\d.]+ mm", words.size))


def lines_of(svg: str) -> list[list[tuple[float, float]]]:
    """The points of every line and area of a drawing."""
    return [
        [(float(x), float(y)) for x, y in (pair.split(",") for pair in row.split())]
        for row in re.findall(r'points="([^"]+)"', svg)
    ]


def test_a_socket_is_drawn_in_metal_that_goes_on_round_its_mouth() -> None:
    drawn = part(job_of({**SOCKET, "by": "compound"}).plan).svg
    areas = [
        area for area in lines_of(" ".join(re.findall(r"<polygon [^>]*>", drawn))) if len(area) > 3
    ]  # no arrowhead
    assert len(areas) == 2  # both walls
    for area in areas:
        face = [y for x, y in area if x == max(x for x, _ in area)]
        assert max(face) - min(face) > 2  # mm of paper


@pytest.mark.parametrize("values", [PIN, SOCKET])
def test_the_face_is_marked_as_far_beyond_the_part_on_either_side(values: dict[str, Any]) -> None:
    drawn = part(job_of({**values, "by": "compound"}).plan).svg
    lines = lines_of(drawn)
    (face,) = [line for line in lines if len(line) == 2 and line[0][0] == line[1][0]]
    (middle,) = [
        line for line in lines if len(line) == 2 and line[0][1] == line[1][1] and abs(line[0][0] - line[1][0]) > 50
    ]
    (_, top), (_, low) = sorted(face, key=lambda point: point[1])
    assert middle[0][1] - top == pytest.approx(low - middle[0][1], abs=0.01)
