"""A step or a ridge that no machine has, or more cuts than a plan may have, is refused at once, for every shape, with its full text.

At once means with less work than the card of a plain job of that shape, or than 250,000 calls, about a tenth of a second:
function calls are counted, not seconds.
"""

from __future__ import annotations

import gc
import sys
from functools import cache
from types import FrameType

import pytest

from stepcut import cli
from stepcut.kernel.marks import MOST_CUTS
from stepcut.shapes import SHAPES
from tests import solved

pytestmark = pytest.mark.usefixtures("afresh")
PLAIN = {
    "rule": ["--pitch", "1.5mm", "--line", "3mm"],
    "ramp": ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.09in", "--span", "140deg", "--cutter", "3/8in"],
    "helix": ["--diameter", "30mm", "--lead", "60mm", "--length", "40mm", "--cutter", "6mm", "--depth", "2mm"],
    "cam": [
        "--base",
        "20mm",
        "--segments",
        "rise 2.5mm in 60deg; dwell 30deg; fall 2.5mm in 60deg",
        "--cutter",
        "10mm",
    ],
    "taper": ["--large", "30mm", "--small", "25mm", "--length", "40mm"],
    "radius": ["--form", "ball", "--radius", "15mm"],
    "profile": ["--targets", "{targets}"],
    "groove": [
        "--circle",
        "35mm",
        "--span",
        "60deg",
        "--begin-depth",
        "0.4mm",
        "--end-depth",
        "2.2mm",
        "--cutter",
        "6mm ball",
    ],
    "scroll": ["--begin", "15mm", "--end", "25mm", "--pitch", "8mm", "--depth", "2mm", "--cutter", "4mm"],
    "divide": [],
    "points": ["--radius", "37mm", "--side", "outside", "--depth", "3mm", "--cutter", "8mm"],
}
SANE = {"ramp": ["--step", "10deg"], "helix": ["--step", "10deg"], "cam": ["--step", "10deg"], "taper": ["--step", "0.25mm"],
        "radius": ["--cuts", "20"], "profile": ["--step", "0.1mm"], "groove": ["--step", "4deg"], "divide": ["--divisions", "40", "--make", "lines", "--line", "4mm"],
        "points": ["--step", "10deg"], "scroll": ["--step", "5deg"], "rule": ["--divisions", "40"]}  # fmt: skip
LARGER = "Take larger steps, or allow a higher ridge."
HIGHER = "Allow a higher ridge."
RANGE = "Choose a number in that range."
# Counts are by hand: 2 ramps of 140 degrees in steps of 0.0001 are one more than 1 400 000 each; the machine inch has 0.0005 in
# on its depth scale and metric 0.02 mm on its carriage.
ABSURD = [
    ("rule", ["--divisions", "13000"], f"divisions = 13000: must be from 1 to 3600. {RANGE}"),
    ("ramp", ["--step", "0.0001deg"], f"cuts = 1400001: is more than a plan may have ({MOST_CUTS}). {LARGER}"),
    ("ramp", ["--cuts", "1000000"], f"cuts = 1000000: must be from 1 to {MOST_CUTS}. Choose a number in that range; larger steps make fewer cuts."),
    ("ramp", ["--drop", "0.000001in"],
     "drop = 0.0000010 in: is less than one division of the depth scale, 0.0005 in. Give a drop of at least one division."),
    ("ramp", ["--scallop", "0.000001in"],
     f"scallop = 0.0000010 in: cannot be kept on these scales: one division more already leaves 0.00027 in. {HIGHER}"),
    ("helix", ["--step", "0.00001deg"], f"cuts = 24000001: is more than a plan may have ({MOST_CUTS}). {LARGER}"),
    ("helix", ["--scallop", "0.000001mm"],
     f"scallop = 0.000000039 in: cannot be kept on these scales: one division more already leaves 0.00001 in. {HIGHER}"),
    ("cam", ["--step", "0.00001deg"], f"cuts = 15336667: is more than a plan may have ({MOST_CUTS}). {LARGER}"),
    ("taper", ["--step", "0.00001mm", "--machine", "metric"],
     "step = 0.00001 mm: is less than one division of the carriage, 0.020 mm. Give a step of at least one division."),
    ("taper", ["--scallop", "0.000002mm", "--machine", "metric"],
     f"scallop = 0.0000020 mm: cannot be kept on these scales: one division more already leaves 0.00998 mm. {HIGHER}"),
    ("radius", ["--step", "0.000002mm", "--machine", "metric"],
     "step = 0.0000020 mm: is less than one division of the carriage, 0.020 mm. Give a step of at least one division."),
    ("radius", ["--cuts", "10000000"], f"cuts = 10000000: must be from 1 to {MOST_CUTS}. {RANGE}"),
    ("profile", ["--step", "0.00001mm", "--machine", "metric"],
     "step = 0.00001 mm: is less than one division of the carriage, 0.020 mm. Give a step of at least one division."),
    ("profile", ["--scallop", "0.000002mm", "--machine", "metric"],
     f"scallop = 0.0000020 mm: cannot be kept on these scales: one division more already leaves 0.00958 mm. {HIGHER}"),
    ("groove", ["--cuts", "1000000"], f"cuts = 1000000: must be from 1 to {MOST_CUTS}. {RANGE}"),
    ("groove", ["--scallop", "0.000002mm", "--machine", "metric"],
     f"scallop = 0.0000020 mm: cannot be kept on these scales: one division more already leaves 0.00007 mm. {HIGHER}"),
    ("scroll", ["--step", "0.00001deg"], f"cuts = 45000001: is more than a plan may have ({MOST_CUTS}). {LARGER}"),
    ("scroll", ["--scallop", "0.00003mm", "--machine", "metric"],
     # Two circles a minute of the table apart, 0.0044 mm, stand askew by the 0.005 mm that X is rounded to.
     f"scallop = 0.00003 mm: cannot be kept on these scales: one division more already leaves 0.00809 mm. {HIGHER}"),
    ("points", ["--step", "0.0001deg"], f"cuts = 3600000: is more than a plan may have ({MOST_CUTS}). {LARGER}"),
    ("divide", ["--every", "0.0001deg"],
     "every = 0.0001deg: does not divide 360deg into a whole number of up to 3600. Give divisions, or the span that it divides."),
    ("divide", ["--divisions", "1000000"], f"divisions = 1000000: must be from 1 to 3600. {RANGE}"),
]  # fmt: skip


AT_ONCE = 250_000  # calls


def calls(arguments: list[str]) -> tuple[int, int]:
    """Return the status of a command line, and how many functions were called for it."""
    count = 0

    def counting(_: FrameType, event: str, __: object) -> None:
        nonlocal count
        count += event == "call"

    gc.disable()  # what is cleared away meanwhile is no work of the command's
    sys.setprofile(counting)
    try:
        status = cli.run(arguments)
    finally:
        sys.setprofile(None)
        gc.enable()
    return status, count


@pytest.fixture(scope="module")
def targets(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("targets") / "targets.txt"
    path.write_text("0mm, 12mm\n10mm, 14mm\n20mm, 20mm\n", "utf-8")
    return str(path)


@cache
def plain(shape: str, targets: str) -> int:
    """Calls for a plain card of a shape, the second time, with everything imported."""
    line = [shape, *(word.format(targets=targets) for word in PLAIN[shape]), *SANE[shape]]
    assert cli.run(line) == 0
    solved.KEPT.clear()
    return calls(line)[1]


def test_every_shape_is_here() -> None:
    assert set(PLAIN) == set(SANE) == {shape for shape, *_ in ABSURD} == set(SHAPES)


@pytest.mark.parametrize(("shape", "words", "message"), ABSURD, ids=lambda value: value if isinstance(value, str) and len(value) < 9 else "")  # fmt: skip
def test_an_absurd_step_is_refused_at_once_with_what_to_change(
    shape: str, words: list[str], message: str, targets: str, capsys: pytest.CaptureFixture[str]
) -> None:
    status, count = calls([shape, *(word.format(targets=targets) for word in PLAIN[shape]), *words])
    said = capsys.readouterr()
    assert (status, said.out, said.err) == (2, "", f"{message}\n")
    assert count < AT_ONCE or count < plain(shape, targets)


def test_a_cut_gone_wrong_and_another_cutter_take_less_work_than_two_cards(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Both solve again; what the part has really lost is measured, and with another cutter the rest of the card is printed too."""
    line = ["card", "sluice-clamp-ramp", "--set", "step=5deg"]
    wrong = ["recover", "sluice-clamp-ramp", "--set", "step=5deg", "--cut", "9", "--found", "0.06in"]
    other = ["recover", "sluice-clamp-ramp", "--set", "step=5deg", "--from", "9", "--cutter", "0.37in"]
    counted = []
    for words in (line, wrong, other):
        cli.run(words)
        counted.append(calls(words)[1])
    card, too_deep, go_on = counted
    assert too_deep < 2 * card
    assert go_on < 2 * card


def test_the_work_of_a_turned_card_grows_as_its_cuts_do(capsys: pytest.CaptureFixture[str]) -> None:
    """A metre of ball on a lathe once took forty seconds: where the tool stands clear was looked for anew at each pass."""
    few, many = (
        calls(["radius", "--form", "ball", "--radius", "15mm", "--leave", "0mm", "--cuts", str(cuts)])
        for cuts in (60, 240)
    )
    assert (few[0], many[0]) == (0, 0)
    assert many[1] < 6 * few[1]
