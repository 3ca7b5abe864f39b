"""From blue to file: strokes, what is enough, tapers, and the first touch of two stairs against a model of their surfaces."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from stepcut import recipes
from stepcut.cards.blue_text import blue_text
from stepcut.cards.drawing import file_map
from stepcut.cards.wording import Voice
from stepcut.shapes.ramp.words import BLUE
from stepcut.shop.blueing import (
    TOOLS,
    _at,
    enough,
    first_touch,
    no_better,
    spread,
    strokes,
    taper_advice,
    tools_of,
    upper_part,
)
from tests.conftest import Run


def test_strokes_are_the_working_numbers_of_the_trade() -> None:
    # Common practice, no source: bastard 1 to 2 thou in 5 strokes, second cut 1 thou in 10, smooth 1/2 thou in 10, stone 1/10
    # thou in 20 rubs.
    thou = 25.4 / 1000
    for tool, takes, count in zip(TOOLS, (2 * thou, thou, thou / 2, thou / 10), (5, 10, 10, 20), strict=True):
        assert tool.most * count == pytest.approx(takes)
        assert tool.least * count == pytest.approx(takes / 2)


@pytest.mark.parametrize("height", [0.0, 0.002, 0.03, 0.2, 0.9])
def test_the_tools_together_take_the_whole_height(height: float) -> None:
    found = strokes(height)
    assert sum(each.takes for each in found) == pytest.approx(height, abs=2e-6)
    for each in found:
        tool = next(tool for tool in TOOLS if tool.name == each.tool)
        assert each.least * tool.most >= each.takes - 1e-9
        assert each.most * tool.least >= each.takes - 1e-9


def test_what_is_enough() -> None:
    # Common practice, no source: 40 to 60 % of the blue, in three places well spread, for a clamp; 30 to 50 % for slideways.
    assert enough(BLUE, None) == enough(BLUE, "clamp") == (0.4, 0.6)
    assert enough(BLUE, "dog") == (0.3, 0.5)
    assert enough(None, None) is None
    assert spread([1, 8, 14], 14) == []
    assert spread([1, 2, 3], 14) == ["the middle", "the low end"]
    # Three blueings without a change for the better.
    assert not no_better([0.3, 0.3, 0.3])
    assert no_better([0.3, 0.3, 0.3, 0.3])
    assert not no_better([0.3, 0.3, 0.3, 0.31])


TEXTS = [
    # At 39 % of the clamp ring more is to come off; at 40 % it is enough; at 61 % more gains nothing.
    (0.39, None, "For a clamp 40 to 60 % well spread is enough: 0.0001 in more to take off."),
    (0.40, None, "ENOUGH for a clamp (40 to 60 %), if it is well spread: near the start, the middle and the end, and nothing rocks."),
    (0.61, None, "ENOUGH for a clamp (40 to 60 %), if it is well spread: near the start, the middle and the end, and nothing rocks. "
                 "More gains nothing."),
    (0.50, (1, 2, 3, 4, 5, 6, 7), "50 % would be enough for a clamp, but nothing shows at the low end: it rocks. File where it shows."),
]  # fmt: skip


@pytest.mark.parametrize(("share", "stops", "text"), TEXTS)
def test_the_verdict_of_blue_on_each_side_of_the_number_that_tips_it(
    share: float, stops: tuple[int, ...] | None, text: str
) -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    assert blue_text(plan, share, stops, (), None, Voice("in"), 1000)[1] == text


def test_three_blueings_without_gain_say_stop() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    assert not any("STOP:" in line for line in blue_text(plan, 0.3, None, (0.3, 0.3), None, Voice("mm"), 1000))
    text = blue_text(plan, 0.3, None, (0.3, 0.3, 0.3), None, Voice("mm"), 1000)
    assert (
        text[-2] == "STOP: 3 blueings have brought nothing. Look for a burr, a scratch or a bent part before filing on."
    )


@pytest.mark.parametrize("side", ["bore", "outside"])
@pytest.mark.parametrize("off", [-0.2, 0.2])
def test_the_advice_on_a_taper_brings_it_nearer_to_its_gauge(side: str, off: float) -> None:
    """Push part and gauge together as two lines, look where they touch, follow the advice: the gap grows smaller."""
    gauge, part = math.radians(3.0), math.radians(3.0 + off)
    z = np.linspace(0, 40, 401)  # from the small end
    clearance = (
        z * (np.tan(part) - np.tan(gauge)) * (1 if side == "bore" else -1)
    )  # radius of the outer less of the inner
    touches = z[np.argmin(clearance)]
    advice = taper_advice(side, "large" if touches > 20 else "small")
    mended = part + math.radians(0.1 if advice == "open" else -0.1)
    assert advice == ("open" if part < gauge else "close")
    assert abs(mended - gauge) < abs(part - gauge)


@pytest.mark.parametrize("turned", [0.0, -3.0, -5.0, 2.5])
def test_where_two_stairs_touch_first(turned: float) -> None:
    """Lower one surface on the other, in numbers: heights on a fine grid, the upper part turned face down."""
    wanted = ((0.0, 0.0), (100.0, 2.0))
    stair = [(0.0, 0.0)]
    for k in range(10):
        stair += [(10.0 * k + 1e-9, 0.2 * k), (10.0 * (k + 1) - 1e-9, 0.2 * k)]
    columns, fine = 50, 40
    phi = (np.arange(columns * fine) + 0.5) * 100 / (columns * fine)
    lower = -0.2 * np.floor(phi / 10)  # height of the lower stair
    over = 100 - phi + turned  # the place of the upper part that lies over it
    upper = np.where((over >= 0) & (over <= 100), -0.2 * np.floor(np.clip(over, 0, 99.999) / 10), np.nan)
    # Face down the upper part hangs at -upper: it comes to rest where lower + upper is largest.
    meet = lower + upper
    touching = meet >= np.nanmax(meet) - 0.005
    expected = touching.reshape(columns, fine).any(axis=1)
    found = np.array(first_touch(wanted, stair, turned, columns))
    assert (found == expected).mean() > 0.97


@pytest.mark.parametrize("turned", [0.0, -3.0, -5.0])
def test_the_mate_rests_on_the_part_as_cut(turned: float) -> None:
    """Two stairs of 10 steps: laid on each other in numbers, the upper one nowhere stands in the lower one and touches it."""
    stair = [(0.0, 0.0)]
    for k in range(10):
        stair += [(10.0 * k + 1e-9, 0.2 * k), (10.0 * (k + 1) - 1e-9, 0.2 * k)]
    upper = upper_part(stair, 0.0, 100.0, turned)
    at = np.linspace(0.05, 99.95, 1999)
    at = at[(at > max(0, turned) + 0.1) & (at < min(100, 100 + turned) - 0.1) & (np.abs(at % 10) > 0.02)]
    at = at[np.abs((100 - at + turned) % 10) > 0.02]
    lower = 0.2 * np.floor(at / 10)
    places, depths = np.array(sorted(upper)).T
    over = np.interp(at, places, depths)
    assert (over <= lower + 1e-6).all()
    assert (lower - over).min() == pytest.approx(0, abs=1e-6)
    # By hand: the upper part's own stair, face down over 100 - at + turned.
    hangs = -0.2 * np.floor((100 - at + turned) / 10)
    assert np.ptp(over - hangs) < 1e-6


def test_the_file_map_shows_the_first_blue_and_the_mate() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    made = file_map(plan, "in")
    assert made is not None
    assert "dotted: the mate, half a step on" in made.says
    assert "first blue, as cut: shut; half a step on" in made.svg
    strips = re.findall(r'<polygon points="([^"]+)" fill="#000000"', made.svg)
    marks: dict[float, list[float]] = {}
    for strip in strips:
        corners = [tuple(map(float, corner.split(","))) for corner in strip.split()]
        marks.setdefault(min(y for _, y in corners), []).append(min(x for x, _ in corners))
    shut, half = (marks[top] for top in sorted(marks))
    assert plan.picture is not None
    step = 140 / (len(plan.stops) / 2)
    for row, turned in ((shut, 0.0), (half, -step / 2)):
        touches = first_touch(plan.picture.wanted, plan.picture.cut, turned, 88)
        assert [round(x) for x in row] == [
            k + 1 for k, touch in enumerate(touches) if touch
        ]  # a mm a place, a mm from the edge
    assert file_map(recipes.job(recipes.load("feed-pump-valve-cam")).plan, "in").says.count("mate") == 0  # type: ignore[union-attr]


def test_strokes_are_those_of_this_shop_once_they_are_written_down(run: Run) -> None:
    ring = "sluice-clamp-ramp"  # of mild steel
    assert "common practice, no source" in run("blue", ring, "20%").stdout
    plan = recipes.job(recipes.load(ring)).plan
    took = (plan.at_blue(0.20)[0] - plan.at_blue(0.25)[0]) / 12
    text = " ".join(run("blue", ring, "25%", "--strokes", "12", "--with", "smooth").stdout.split())
    # By hand: from 25 to 40 % the smooth file takes all but 0.2 thou, at half to double of what a stroke took here.
    takes = plan.at_blue(0.25)[0] - plan.at_blue(0.40)[0] - 0.2 * 0.0254
    least, most = math.ceil(takes / took / 2), math.ceil(takes / took * 2)
    assert f"smooth file, {least} to {most} strokes" in text
    assert "smooth file by your own 1 check of ramps of mild steel; the others: mild steel" in text
    # The job shows it, the next job of the part is told it, and the second piece of a part is named.
    filing = f"12 strokes of the smooth file over each place took {12 * took / 25.4:.4f} in off"
    assert f"- {filing}" in run("log", "show", "1").stdout
    assert f"Filing of job 1: {filing}." in " ".join(run("again", "1", "--set", "rise=0.08in").stdout.split())
    assert run("tick", ring, "--piece", "2", "--lines", input="s\nt\nc\nq\n").returncode == 0
    assert run("blue", ring, "20%").stdout.startswith("Job 2, Sluice clamp ring, part A, piece 2.")
    # Another material, and another shape, have no history of these.
    for others in (("--set", "material=brass"),):
        assert "by your own" not in run("blue", ring, "20%", *others).stdout
    assert "by your own" not in run("blue", "tension-release-cam", "20%").stdout
    assert "with: is missing" in run("blue", ring, "30%", "--strokes", "12").stderr
    assert "is not one of the choices" in run("blue", ring, "30%", "--strokes", "12", "--with", "rasp").stderr


def test_strokes_seen_more_than_once_are_a_range() -> None:
    tools = {tool.name: tool for tool in tools_of([("stone", 20, 0.002), ("stone", 10, 0.002), ("rasp", 1, 1.0)])}
    assert (tools["stone"].least, tools["stone"].most) == pytest.approx((0.0001, 0.0002))
    assert tools["smooth file"] == TOOLS[2]


def test_blue_is_judged_by_what_the_recipe_says_that_the_part_is_for(run: Run) -> None:
    as_dog = run("blue", "sluice-clamp-ramp", "45%", "--set", "for=dog").stdout
    assert "ENOUGH for a dog (30 to 50 %)" in " ".join(as_dog.split())


def test_blue_of_a_job_with_cuts_left_is_never_enough(run: Run) -> None:
    ring = "sluice-clamp-ramp"
    assert run("tick", ring, "--lines", input="s\nt\nc\nt\nc\nq\n").returncode == 0
    text = " ".join(run("blue", ring, "50%").stdout.split())
    assert "NOT FINISHED: 2 of 28 cuts are ticked." in text
    assert "ENOUGH" not in text
    assert "strokes" not in text
    assert run("log", "close", "1").returncode == 0  # whoever closes a job says that it is cut
    assert "ENOUGH" in run("blue", "--job", "1", "50%").stdout


def test_blue_tips_with_the_last_cut() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    for ticked, word in ((27, "NOT FINISHED: 27 of 28"), (28, "ENOUGH"), (None, "ENOUGH")):
        assert word in " ".join(blue_text(plan, 0.5, None, (), None, Voice("in"), 1000, ticked=ticked))


def test_a_bent_line_is_read_between_its_corners_and_level_beyond_them() -> None:
    line, places = [(0.0, 0.0), (1.0, 1.0), (2.0, 5.0)], [0.0, 1.0, 2.0]
    assert [_at(line, places, at) for at in (-1.0, 0.0, 0.5, 1.0, 1.5, 2.0, 9.0)] == [0.0, 0.0, 0.5, 1.0, 3.0, 5.0, 5.0]


def test_thirds_of_a_ramp_end_where_they_end() -> None:
    """Of nine cuts three are the high end, three the middle, three the low end."""
    assert [spread([n], 9)[0] for n in (3, 4)] == ["the middle", "the high end"]
    assert spread([6], 9) == ["the high end", "the low end"]
    assert spread([7], 9) == ["the high end", "the middle"]


def test_a_line_of_many_points_is_looked_at_from_its_first_to_its_last() -> None:
    """Nothing but one place stands, and the two equal parts meet on it: all points of the wanted line count."""
    wanted = tuple((float(at), at / 50) for at in range(0, 101, 10))
    cut = tuple((at, depth - (0.1 if at == 50 else 0.0)) for at, depth in wanted)
    touched = first_touch(wanted, cut, 0.0, 10)
    assert [k for k, touches in enumerate(touched) if touches] == [4, 5]
