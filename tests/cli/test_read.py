"""``stepcut read``: the whole way from a list of readings to a recipe that solves."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from stepcut import recipes
from tests.conftest import Run


def ring(path: Path, scatter: float) -> Path:
    """Write readings of two ramps of 2.4 mm in 150 degrees, high ends 0.3 mm below the face at 40 and 220 degrees."""
    random = np.random.default_rng(31)
    angles = np.arange(0, 360, 8)
    depths = 0.3 + 2.4 * np.clip((angles - 40) % 180 / 150, 0, 1) + random.normal(0, scatter, len(angles))
    path.write_text(
        "angle deg, depth mm\n" + "".join(f"{a}, {d:.3f}\n" for a, d in zip(angles, depths, strict=True)), "utf-8"
    )
    return path


def test_a_ring_becomes_a_recipe_of_round_sizes(run: Run, tmp_path: Path) -> None:
    sizes = ("--outside", "37mm", "--bore", "26mm", "--cutter", "6mm", "--machine", "metric")
    done = run("read", str(ring(tmp_path / "ring.txt", 0.004)), *sizes, "--save", str(tmp_path / "ring.toml"))
    assert done.returncode == 0
    assert done.stdout.startswith("RAMPS: 2, rising anticlockwise")
    assert "Motion uniform.\n" in done.stdout
    recipe = recipes.load(tmp_path / "ring.toml")
    assert (recipe.values["rise"], recipe.values["span"], recipe.values["ramps"]) == ("2.4mm", "150deg", "2")
    assert run("check", str(tmp_path / "ring.toml")).returncode == 0


def test_round_sizes_keep_the_slope_that_was_read(run: Run, tmp_path: Path) -> None:
    # Two ramps of 70 thou in 140 degrees, the rest low: read every 10 degrees, span 150 would do too, at another slope.
    path = tmp_path / "ring.txt"
    path.write_text("".join(f"{a}deg, {0.0005 * min(a % 180, 140):.4f}in\n" for a in range(0, 360, 10)), "utf-8")
    sizes = ("--outside", "1-3/4in", "--bore", "1.4in", "--cutter", "3/8in", "--machine", "inch")
    assert run("read", str(path), *sizes, "--save", str(tmp_path / "ring.toml")).returncode == 0
    recipe = recipes.load(tmp_path / "ring.toml")
    assert (recipe.values["rise"], recipe.values["span"]) == ("0.07in", "140deg")


def test_no_ramp_is_longer_than_its_share_of_the_turn(run: Run, tmp_path: Path) -> None:
    # Read along one ramp only, as far as it falls: its ends are not seen, but two ramps have 180 degrees each at most.
    path = tmp_path / "ring.txt"
    path.write_text("".join(f"{a}deg, {0.0005 * a:.4f}in\n" for a in range(0, 150, 10)), "utf-8")
    for ramps in (1, 2):
        said = " ".join(run("read", str(path), "--ramps", str(ramps)).stdout.split())
        told = re.search(r"Span somewhere between (\S+)° and (\S+)°: told no closer", said) or re.search(
            r"Span \S+°, (\S+)° to (\S+)°", said
        )
        assert told
        low, high = map(float, told.groups())
        assert 139 < low <= high <= 360 / ramps + 0.01


def test_a_ramp_whose_low_end_was_not_measured_is_bounded_and_not_saved(run: Run, tmp_path: Path) -> None:
    # 2 mm in 100 degrees from 10 degrees on; read to 100, so that its end and the level after it are not seen.
    random, angles = np.random.default_rng(5), np.arange(0, 101, 5.0)
    depths = 0.3 + 2 * np.clip((angles - 10) / 100, 0, 1) + random.normal(0, 0.005, 21)
    path, out = tmp_path / "ring.txt", tmp_path / "ring.toml"
    path.write_text("angle deg, depth mm\n" + "".join(f"{a:g}, {d:.3f}\n" for a, d in zip(angles, depths, strict=True)))
    sizes = ("--outside", "37mm", "--bore", "26mm", "--cutter", "6mm", "--ramps", "1", "--save", str(out))
    done = run("read", str(path), *sizes)
    said = " ".join(done.stdout.split())
    rise = re.search(r"Rise somewhere between (\S+) mm and (\S+) mm: told no closer\.", said)
    assert rise
    assert float(rise[1]) < 2.0 < float(rise[2])
    assert "Where it ends these readings do not say. Measure on, past its high and its low end" in said
    assert done.returncode == 2
    assert re.fullmatch(
        r"rise: is somewhere between 1\.\d+mm and 7\.\d+mm by these readings\. Measure on, past both ends of the ramp as far as the "
        r"level or the next riser, and read again\.\n",
        done.stderr,
    )
    assert not out.exists()
    # Measured on over the level to the riser: told, and saved.
    angles = np.arange(0, 360, 5.0)
    depths = 0.3 + 2 * np.clip((angles - 10) / 100, 0, 1) + random.normal(0, 0.005, 72)
    path.write_text("angle deg, depth mm\n" + "".join(f"{a:g}, {d:.3f}\n" for a, d in zip(angles, depths, strict=True)))
    assert run("read", str(path), *sizes).returncode == 0
    values = recipes.load(out).values
    assert (values["rise"], values["span"], values["dwell-high"]) == ("2mm", "110deg", "10deg")


def test_a_number_that_was_misread_is_named(run: Run, tmp_path: Path) -> None:
    path = ring(tmp_path / "ring.txt", 0.004)
    lines = path.read_text("utf-8").splitlines()
    assert lines[10].startswith("72, ")
    path.write_text("\n".join([*lines[:10], "72, 8.130", *lines[11:]]), "utf-8")  # 0.813, with a slipped point
    done = run("read", str(path))
    assert done.returncode == 2
    assert " ".join(done.stdout.split()) == (
        "NO SHAPE: the reading at 72.00°, 8.130 mm, does not go with the others, which are a shape. Measure it again, or leave it out."
    )


def test_ramps_that_differ_are_told_apart(run: Run) -> None:
    angles, random = np.arange(0, 360, 6.0), np.random.default_rng(8)
    depths = np.where(angles < 180, 2.0, 2.3) * np.clip(angles % 180 / 150, 0, 1) + random.normal(0, 0.005, 60)
    done = run(
        "read",
        "-",
        input="angle deg, depth mm\n" + "".join(f"{a:g}, {d:.3f}\n" for a, d in zip(angles, depths, strict=True)),
    )
    assert done.returncode == 2
    rises = re.search(r"each by itself they rise about (\S+) mm, (\S+) mm\. Read", " ".join(done.stdout.split()))
    assert rises
    assert sorted(map(float, rises.groups())) == pytest.approx([2.0, 2.3], abs=0.08)


def test_readings_may_be_piped_in(run: Run, tmp_path: Path) -> None:
    text = ring(tmp_path / "ring.txt", 0.004).read_text("utf-8")
    assert run("read", "-", input=text).stdout == run("read", str(tmp_path / "ring.txt")).stdout


def test_noise_ends_with_status_2_and_saves_nothing(run: Run, tmp_path: Path) -> None:
    sizes = ("--outside", "37mm", "--bore", "26mm", "--cutter", "6mm")
    done = run("read", str(ring(tmp_path / "ring.txt", 1.5)), *sizes, "--save", str(tmp_path / "ring.toml"))
    assert done.returncode == 2
    assert done.stdout.startswith("NO SHAPE: the nearest shape would rise")
    assert not (tmp_path / "ring.toml").exists()


def test_what_a_recipe_needs_besides_is_asked_for(run: Run, tmp_path: Path) -> None:
    done = run("read", str(ring(tmp_path / "ring.txt", 0.004)), "--save", str(tmp_path / "ring.toml"))
    assert done.returncode == 2
    assert "outside: is missing to save a ramp. Give --outside, --bore, --cutter." in done.stderr
    assert not (tmp_path / "ring.toml").exists()


def test_a_socket_is_named_where_the_readings_allow_it(run: Run) -> None:
    # Table "Dimensions of Standard Tapers": Morse 2 has 0.59941 in in a foot, Morse 3 0.60235.
    rows = "".join(f"{z / 10:.1f}, {0.7 - 0.59941 / 12 * z / 10 + off:.4f}\n"
                   for z, off in zip(range(0, 25, 3), (1e-4, -1e-4, 0, 1e-4, 0, -1e-4, 0, 1e-4, -1e-4), strict=True))  # fmt: skip
    done = run("read", "-", input=f"z in, diameter in\n{rows}")
    assert "TAPER, straight." in done.stdout
    assert "Morse 2" in done.stdout


def test_a_cam_a_fillet_and_a_ring_with_dwells_become_recipes(run: Run, tmp_path: Path) -> None:
    random = np.random.default_rng(3)
    angles, places = np.arange(0, 360, 5.0), np.linspace(20, 45, 26)
    x = (angles - 40) % 360
    rise, fall = 4 * (1 - np.cos(np.pi * np.clip(x / 70, 0, 1))) / 2, 4 * np.clip((x - 120) / 80, 0, 1)
    over = np.clip(places - 40, 0, 6)
    files = {
        "cam": ("angle deg, radius mm", angles, 15 + rise - fall + random.normal(0, 0.01, 72)),
        "fillet": ("z mm, diameter mm", places, 2 * (18.5 - np.sqrt(36 - over**2)) + random.normal(0, 0.01, 26)),
        "ring": (
            "angle deg, depth mm",
            angles,
            0.3 + 2 * np.clip((angles % 180 - 20) / 120, 0, 1) + random.normal(0, 0.005, 72),
        ),
    }
    found = {}
    for name, (head, at, values) in files.items():
        path = tmp_path / f"{name}.txt"
        path.write_text(f"{head}\n" + "".join(f"{a:g}, {v:.3f}\n" for a, v in zip(at, values, strict=True)), "utf-8")
        sizes = ("--cutter", "8mm", "--outside", "40mm", "--bore", "30mm", "--machine", "metric")
        done = run("read", str(path), *sizes, "--save", str(tmp_path / f"{name}.toml"))
        assert done.returncode == 0, done.stderr
        found[name] = (done.stdout, dict(recipes.load(tmp_path / f"{name}.toml").values))
        assert run("check", str(tmp_path / f"{name}.toml")).returncode == 0
    assert found["cam"][0].startswith("CAM: one rise and one fall, angles taken to grow clockwise, seen facing it.")
    assert found["cam"][1]["base"] == "15mm"
    assert re.fullmatch(r"fall 4mm in 80deg uniform", found["cam"][1]["segments"][2])
    assert found["fillet"][0].startswith("FILLET, from a cylinder to a shoulder.")
    assert found["fillet"][1] == {"form": "fillet", "diameter": "25mm", "radius": "6mm", "at": "40mm"}
    assert "Level at its ends: high" in found["ring"][0]
    assert (found["ring"][1]["span"], found["ring"][1]["dwell-high"]) == ("140deg", "20deg")
    refused = run("read", str(tmp_path / "cam.txt"), "--save", "x.toml").stderr
    assert refused == "cutter: is missing to save a cam. Give --cutter.\n"
