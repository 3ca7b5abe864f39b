"""Two real examples for the help of every command; a test runs them all in this order in one shop."""

from __future__ import annotations

EXAMPLES: dict[str, tuple[str, str]] = {
    "ramp": (
        "ramp --outside 1-3/4in --bore 1.40in --per '5thou/10deg' --span 140deg --ramps 2 --cutter 3/8in --leave auto",
        "ramp --outside 40mm --bore 30mm --targets '0deg 0, 60deg 1mm, 90deg 1.2mm' --mirror --cutter 8mm --step 4deg",
    ),
    "helix": (
        "helix --diameter 37mm --lead 120mm --length 60mm --depth 1.5mm --cutter '5mm ball' --step 4deg",
        "helix --diameter 1-3/8in --lead 6in --turns 1/2 --depth 60thou --cutter 3/16in --hand left",
    ),
    "taper": (
        "taper --large 0.700in --taper MT2 --length 2-1/2in --by compound",
        "taper --large 30mm --length 90mm --taper 1:20 --tool round --nose 1.5mm --scallop 0.04mm",
    ),
    "radius": (
        "radius --form ball --radius 1/2in --to-angle 150deg --scallop 8thou",
        "radius --form fillet --radius 6mm --diameter 25mm --at 40mm --tool round --nose 2mm --scallop 0.05mm",
    ),
    "profile": (
        "profile --targets '0mm 20mm, 10mm 24mm, 18mm 25mm' --tool round --nose 1mm --step 0.5mm",
        "profile --targets crown.csv --step 20thou --unit in",
    ),
    "cam": (
        "cam --base 15mm --segments 'rise 3mm in 120deg; dwell 60deg; fall 3mm in 120deg harmonic' --cutter 16mm --step 5deg",
        "cam --base 20mm --table '0deg 0, 30deg 1.5mm, 60deg 4mm, 90deg 5.5mm, 120deg 4mm, 150deg 1.5mm, 180deg 0' --unit mm --roller 12mm --cut-with side --cutter 12mm --step 4deg",
    ),
    "groove": (
        "groove --circle 37mm --span 60deg --end-depth 2mm --grooves 3 --cutter '6mm ball' --step 3deg --machine metric",
        "groove --circle 1-3/8in --targets '0deg 0.02in, 20deg 0.06in, 40deg 0.02in' --grooves 4 --cutter '3/16in ball' --scallop 2thou",
    ),
    "points": (
        "points --radius 87mm --side on --begin 77deg --span 26deg --x-step 1mm --depth 4mm --cutter 8mm --machine metric",
        "points --tube 1-1/4in --onto 1-1/2in --angle 60deg --depth 1-1/4in --cutter 1/2in --scallop 5thou",
    ),
    "divide": (
        "divide --divisions 100 --make lines --line 3mm --fifth 4.5mm --tenth 6mm --number 1 --diameter 41mm --machine metric",
        "divide --divisions 7 --depth 1/4in --circles 15,16,17,18,19,20,21",
    ),
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
        "recover sluice-clamp-ramp --cut 7 --found 0.055in",
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
