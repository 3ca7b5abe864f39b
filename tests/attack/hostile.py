"""What a hostile or hurried person types: values, command lines and recipe files, drawn from seeds."""

from __future__ import annotations

import random
import re
import string

from stepcut import recipes
from stepcut.cli import COMMANDS
from stepcut.machine.files import SECTIONS, SHIPPED, shipped_path
from stepcut.shapes import SHAPES, kind

# Values that broke programs before: nothing, signs, huge and tiny numbers, other scripts and digits, control and direction
# characters, quotes, paths, formulas, mark-up, units of the wrong kind, and what shells leave behind.
VALUES = [
    "", " ", "-", "--", ".", "..", "/", "~", "0", "-0", "+0", "1", "-1", "1e9", "1e99", "1e-99", "-1e-99mm", "9" * 30, "0x10",
    "1_000", "1,5mm", "1.5.5mm", "1/0in", "0/1in", "1/3in", "1-1/3in", "1 1 1/2in", "nan", "inf", "-inf", "NaN mm", "1e400mm",
    "5mm", "5 mm", "5MM", "0.5in", '3/8"', "3/8″", "5thou", "5 tenths", "5µm", "5um", "1m", "100m", "1km", "1ly", "5deg", "5°",
    "12°30'", "12°99'", "720deg", "-720deg", "1e-7deg", "90'", '90"', "2.5 turns", "2.5 cranks", "1rad", "500lbf", "2kN", "1kN mm",
    "٣mm", "３mm", "²mm", "½in", "1½in", "m", "mm", "in", "deg", "None", "null", "true", "false", "auto", "all", "*", "?",
    "a" * 5000, "\x1b[2J", "\x1b]0;x\x07", "\u202e5mm", "5mm\u200b", "5\u00a0mm", "5\n mm", "5\tmm", "\r5mm", "\u2028", "\ufeff5mm",
    "💥", "Шлюз", "水门", "مقياس", "e\u0301" * 50, "=1+1", "@SUM(A1)", "<script>", "{{7*7}}", "#{1}", "%s%s%n", "$(id)", "`id`",
    "'; DROP TABLE jobs; --", '"', "'", "\\", "\\\\", "../../etc/passwd", "/dev/null", "/dev/zero", "C:\\con", "a" * 300 + ".toml",
    "outside", "ball", "flat", "plunge", "across", "side", "harmonic", "uniform", "clockwise", "in", "1;2;3", "1,2,3", ";;;", ",,,",
    "rise 2.5mm in 60deg; dwell 30deg; fall 2.5mm in 60deg", "rise 1mm in 0deg", "rise -1mm in 90deg", "spiral 3mm in 360deg",
    "eccentric 2mm in 360deg", "rise 2mm in 400deg", "0deg 0mm; 90deg 1mm", "100000", "1000001", "3", "7", "60%", "0%", "101%",
    "sluice-clamp-ramp", "inch", "metric", "A", "B", "letter", "a4", "2026-02-30", "0001-01-01", "9999-12-31",
]  # fmt: skip
# Sizes that go together, so that an attack reaches the solver and is not stopped at the first field.
SANE = {
    "ramp": {"outside": "1.75in", "bore": "1.40in", "rise": "0.090in", "span": "140deg", "cutter": "0.5in", "step": "10deg"},
    "helix": {"diameter": "30mm", "lead": "60mm", "length": "40mm", "cutter": "6mm", "depth": "2mm", "step": "5deg"},
    "cam": {"base": "20mm", "segments": "rise 2.5mm in 60deg; dwell 30deg; fall 2.5mm in 60deg", "cutter": "10mm", "step": "5deg"},
    "taper": {"large": "30mm", "small": "25mm", "length": "40mm"},
    "radius": {"form": "ball", "radius": "15mm"},
    "groove": {"circle": "35mm", "span": "60deg", "end-depth": "2.2mm", "grooves": "3", "cutter": "6mm ball", "step": "4deg"},
    "divide": {"divisions": "40", "make": "lines", "line": "4mm"},
    "scroll": {"begin": "15mm", "end": "25mm", "pitch": "8mm", "depth": "2mm", "cutter": "4mm", "step": "5deg"},
    "points": {"radius": "37mm", "side": "outside", "depth": "3mm", "cutter": "8mm", "step": "6deg"},
    "profile": {"targets": "0mm 20mm, 10mm 24mm, 18mm 25mm", "tool": "round", "nose": "1mm", "step": "1mm"},
}  # fmt: skip
# Another way to say the same part, in place of what stands above.
OTHERWISE = {
    "cam": {"base": "20mm", "table": "0deg 0mm, 30deg 1.5mm, 60deg 4mm, 90deg 5.5mm, 120deg 4mm, 150deg 1.5mm, 180deg 0mm",
            "follower": "roller", "roller": "12mm", "cut-with": "side", "cutter": "12mm", "step": "4deg"},
    "ramp": {"outside": "40mm", "bore": "30mm", "targets": "0deg 0mm, 60deg 1mm, 90deg 1.2mm", "mirror": "true",
             "cutter": "8mm", "step": "4deg", "material": "brass"},
    "points": {"tube": "1-1/4in", "onto": "1-1/2in", "angle": "60deg", "depth": "1-3/4in", "cutter": "1/2in", "scallop": "5thou"},
    "divide": {"angles": "0deg, 30deg, 45deg, 200deg", "make": "holes", "depth": "6mm", "diameter": "41mm"},
    "groove": {"circle": "1-3/8in", "targets": "0deg 0.02in, 20deg 0.06in, 40deg 0.02in", "grooves": "4", "cutter": "3/16in ball",
               "scallop": "2thou"},
    "taper": {"large": "0.7in", "taper": "MT2", "length": "2-1/2in", "by": "compound"},
}  # fmt: skip
# Left out: they wait for answers, open a viewer, or are played by their own attacks.
QUIET = ("tick", "start")
LOG = ("list", "show", "close", "rename", "delete", "keep", "empty", "merge", "note", "reading", "export", "errors", "check",
       "backup", "restore", "repair", "read-back")  # fmt: skip
MACHINE = ("list", "show", "check", "use", "new")


def plausible(chance: random.Random) -> str:
    """Return a value that is well formed and of any size: these get through to the solver."""
    number = chance.choice([f"{10 ** chance.uniform(-4, 3):.6f}", str(chance.randrange(1, 400)), f"{chance.randrange(1, 64)}/64",
                            f"{chance.randrange(1, 4)}-{chance.randrange(1, 8)}/8", f"{chance.uniform(0, 2):.3f}"])  # fmt: skip
    return number + chance.choice(["in", "mm", "deg", "deg", "thou", "'", "", " turns", " cranks"])


def value(chance: random.Random) -> str:
    """Return one hostile value, now and then a mixture."""
    found = chance.choice(VALUES)
    if chance.random() < 0.15:
        found += chance.choice(VALUES)
    if chance.random() < 0.05:
        found = "".join(chance.choice(string.printable) for _ in range(chance.randrange(1, 40)))
    return found.replace("\0", "")


def command_line(chance: random.Random) -> list[str]:
    """Return a command line of which some parts make sense."""
    if chance.random() < 0.5:
        return shape_line(chance)
    command = chance.choice([name for name in COMMANDS if name not in QUIET])
    words = [command]
    if command == "log":
        return log_line(chance)
    if command == "machine":
        words.append(chance.choice([*MACHINE, value(chance)]))
    recipe = chance.choice([path.stem for path in recipes.shipped()])
    for _ in range(chance.randrange(0, 5)):
        draw = chance.random()
        if draw < 0.35:
            words.append(recipe if chance.random() < 0.7 else value(chance))
        elif draw < 0.7:
            fields = [field.key for field in kind(recipes.load(recipe).shape).fields]
            key, shape = chance.choice(fields), recipes.load(recipe).shape
            words += ["--set", f"{key}={fitting(chance, shape, key) if chance.random() < 0.7 else value(chance)}"]
        else:
            options = ["--width", "--json", "--blue", "--table", "--depth", "--date", "--as", "--machine", "--from", "--stop",
                       "--found", "--cutter", "--angle", "--radius", "--friction", "--clamp", "--divisions", "--circles", "--ratio",
                       "--lead", "--gears", "--pitch", "--length", "--stops", "--minutes", "--job", "--unit", "--paper"]  # fmt: skip
            words.append(chance.choice(options))
            if words[-1] != "--json":
                words.append(value(chance))
    return words


def log_line(chance: random.Random) -> list[str]:
    """Return a command on the log, half of whose words fit."""
    words = ["log", chance.choice([*LOG, *LOG, value(chance)])]
    fit = [
        "1",
        "2",
        "3",
        "4",
        "1mm",
        "0.045in",
        "a note",
        "next: a note",
        "copy.db",
        "out.csv",
        "out.md",
        "-",
        "sluice-clamp-ramp",
    ]
    options = ["--bin", "--yes", "--next-time", "--force", "--accept", "--job", "--machine", "--width"]
    for _ in range(chance.choice([0, 1, 1, 2, 2, 3, 4])):
        draw = chance.random()
        words.append(chance.choice(fit) if draw < 0.6 else chance.choice(options) if draw < 0.75 else value(chance))
    return words


def fitting(chance: random.Random, shape: str, key: str) -> str:
    """Return a value of the kind that an input wants, of any size."""
    (field,) = [field for field in kind(shape).fields if field.key == key]
    if field.choices:
        return chance.choice(field.choices)
    if field.kind == "count":
        return str(chance.choice([1, 2, 3, 5, 8, 40, 1000, chance.randrange(1, 200)]))
    if field.kind == "flag":
        return chance.choice(["true", "false"])
    size = f"{10 ** chance.uniform(-2.5, 2.3):.6f}"
    if field.kind == "angle":
        return f"{min(float(size) * 3, 400):.5f}deg"
    if field.kind == "length":
        return size + "mm" if chance.random() < 0.6 else f"{float(size) / 20:.5f}in"
    return plausible(chance)


def option(key: str, text: str) -> list[str]:
    """Return an option of a shape with its value; a flag has none."""
    return [f"--{key}"] if text == "true" else [f"--{key}", text]


def scaled(chance: random.Random, text: str) -> str:
    """Return a size, made half to twice as large where it is a plain one."""
    found = re.fullmatch(r"([\d.]+)(\D*)", text)
    return text if found is None else f"{float(found[1]) * 2 ** chance.uniform(-1.5, 1.5):.4f}{found[2]}"


def shape_line(chance: random.Random) -> list[str]:
    """Return a shape's command with sizes of which one or two are hostile."""
    shape = chance.choice([name for name in SHAPES if name in SANE])
    fields = [field.key for field in kind(shape).fields]
    given = dict(OTHERWISE[shape] if shape in OTHERWISE and chance.random() < 0.4 else SANE[shape])
    if chance.random() < 0.5:  # sizes that a person might well give, some of which spoil the part
        for key in chance.sample(list(given), chance.randrange(1, len(given) + 1)):
            given[key] = scaled(chance, given[key])
        if shape == "ramp" and chance.random() < 0.5:
            given["ramps"] = str(chance.randrange(1, 5))
        if chance.random() < 0.4:
            choices = [field for field in kind(shape).fields if field.choices]
            field = chance.choice(choices)
            given[field.key] = chance.choice(field.choices)
        if chance.random() < 0.3:
            given["material"] = chance.choice([value(chance), "mild-steel", "brass", "plastic"])
        return [shape, *(word for key, text in given.items() for word in option(key, text))]
    for _ in range(chance.randrange(1, 4)):
        key = chance.choice(fields)
        given[key] = fitting(chance, shape, key) if chance.random() < 0.75 else value(chance)
    if chance.random() < 0.1 and given:
        given.pop(chance.choice(list(given)))
    words = [shape]
    for key, text in given.items():
        words += option(key, text) if chance.random() < 0.8 else [f"--{key}={text}"]
    return [*words, "--title", value(chance)] if chance.random() < 0.3 else words


def recipe_text(chance: random.Random) -> bytes:
    """Return a shipped recipe with a few bytes, lines or values changed."""
    return spoilt(chance, chance.choice(recipes.shipped()).read_bytes())


def machine_text(chance: random.Random) -> bytes:
    """Return a shipped machine with a figure more or less in a section, or a few bytes, lines or values changed."""
    lines = shipped_path(chance.choice(SHIPPED)).read_text("utf-8").splitlines()
    for _ in range(chance.randrange(0, 4)):
        heads = [k for k, line in enumerate(lines) if line.startswith("[")]
        at = chance.choice(heads)
        section = [field.key for field in SECTIONS[lines[at].strip("[]")]]
        text = (
            value(chance)
            if chance.random() < 0.4
            else f"{10 ** chance.uniform(-5, 3):.6f}{chance.choice(['mm', 'in', 'deg'])}"
        )
        text = chance.choice(["grows", "falls", "clockwise", "anticlockwise", "Z crank", text, text, text])
        quoted = text.replace("\\", "\\\\").replace('"', '\\"')
        key = chance.choice(section)
        following = next((k for k in range(at + 1, len(lines)) if lines[k].startswith("[")), len(lines))
        lines[at + 1 : following] = [line for line in lines[at + 1 : following] if not line.startswith(f"{key} =")]
        lines.insert(at + 1, f'{key} = "{quoted}"')
    data = "\n".join(lines).encode()
    return spoilt(chance, data) if chance.random() < 0.3 else data


def spoilt(chance: random.Random, text: bytes) -> bytes:
    """Return a file with a few bytes, lines or values changed."""
    data = bytearray(text)
    for _ in range(chance.randrange(1, 4)):
        draw, at = chance.random(), chance.randrange(max(1, len(data)))
        if draw < 0.25:
            data[at : at + 1] = chance.randbytes(chance.randrange(0, 3))
        elif draw < 0.5:
            lines = bytes(data).split(b"\n")
            where = chance.randrange(len(lines))
            lines[where : where + chance.randrange(0, 2)] = [chance.choice(lines)] * chance.randrange(0, 3)
            data = bytearray(b"\n".join(lines))
        else:
            lines = bytes(data).split(b"\n")
            keyed = [k for k, line in enumerate(lines) if b"=" in line] or [0]
            where = chance.choice(keyed)
            quoted = value(chance).replace("\\", "\\\\").replace('"', '\\"')
            lines[where] = lines[where].split(b"=")[0] + f'= "{quoted}"'.encode()
            data = bytearray(b"\n".join(lines))
    return bytes(data)
