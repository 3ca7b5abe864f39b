"""Two real examples for the help of every command; a test runs them all in this order in one shop."""

from __future__ import annotations

from importlib import import_module

from stepcut.shapes import SHAPES

EXAMPLES: dict[str, tuple[str, str]] = {
    "start": ("start", "start < answers.txt"),
    "card": (
        "card sluice-clamp-ramp --out clamp.pdf --paper letter",
        "card oil-groove-helix --set lead=130mm --machine metric",
    ),
    "check": ("check sluice-clamp-ramp", "check winch-dog-plunged --for dog"),
    "compare": ("compare sluice-clamp-ramp --set cutter=5/16in", "compare lever-ball-knob shaft-shoulder-fillet"),
    "lock": ("lock sluice-clamp-ramp --clamp 500lbf", "lock --angle 2.7deg --radius 20mm --clamp 2kN --friction 0.1"),
    "tick": ("tick sluice-clamp-ramp", "tick --job 1 --lines"),
    "where": ("where sluice-clamp-ramp --table 70deg --depth 0.045in", "where --job 1 --table 70deg"),
    "recover": (
        "recover sluice-clamp-ramp --slipped 7 --reads 73deg --last 10",
        "recover --job 1 --from 9 --cutter 0.373in",
    ),
    "blue": ("blue sluice-clamp-ramp 60% --minutes 15", "blue --job 1 --cuts 1,2,5"),
    "log list": ("log list", "log list --bin"),
    "log show": ("log show 1", "log show 2"),
    "log note": ("log note 1 'chatter after the tenth cut'", "log note 1 'a sharper cutter' --next-time"),
    "log reading": ("log reading 1 7 0.0455in", "log reading 1 8 0.0512in"),
    "log export": ("log export jobs.csv", "log export - --job 1"),
    "log rename": ("log rename 1 'Clamp ring of the sluice'", "log rename 2 'Oil groove, long'"),
    "log merge": ("log merge 1 3", "log merge 1 4"),
    "log backup": ("log backup copy.db", "log backup spare.db"),
    "log check": ("log check", "log check && stepcut log backup copy-2.db"),
    "log close": ("log close 1", "log close 2"),
    "log delete": ("log delete 1", "log delete 2"),
    "log keep": ("log keep 1", "log keep 2"),
    "log empty": ("log empty --yes", "log backup copy.db && stepcut log empty --yes"),
    "log errors": ("log errors --machine bench", "log errors --machine bench --accept"),
    "log restore": ("log restore copy.db", "log restore spare.db"),
    "log repair": ("log repair", "log repair && stepcut log check"),
    "again": ("again 1 --set outside=2.25in --set bore=1.80in", "again 1 --set outside=2in --all --save larger-clamp"),
    "read": ("read measured.csv --ramps 2", "read old-pin.csv --unit in --save old-pin"),
    "gears": ("gears --lead 6in --gears 24,28,32,40,44,48,56,64,72,86", "gears --lead 120mm --length 60mm --machine metric"),
    "index": ("index 7 --circles 21,28", "index 35deg --ratio 40 --circles 18,20,27"),
    "machine list": ("machine list", "machine list | grep EXAMPLE"),
    "machine new": ("machine new bench", "machine new bench --like metric --unasked"),
    "machine check": ("machine check", "machine check bench"),
    "machine use": ("machine use bench", "machine use metric"),
    "machine show": ("machine show bench", "machine show inch"),
    "recipe list": ("recipe list", "recipe list | grep ramp"),
    "recipe show": ("recipe show sluice-clamp-ramp", "recipe show bollard-pin-taper"),
    "recipe copy": ("recipe copy sluice-clamp-ramp my-clamp.toml", "recipe copy lever-ball-knob my-knob.toml"),
    "completion": ("completion bash >> ~/.bashrc", "completion powershell >> $PROFILE"),
}  # fmt: skip


def examples_of(command: str) -> tuple[str, ...]:
    """Return the two examples of a command; a shape brings its own beside its inputs."""
    if command in SHAPES:
        found: tuple[str, ...] = import_module(f"stepcut.shapes.{command}.ask").EXAMPLES
        return found
    return EXAMPLES.get(command, ())
