"""The sentences of what a shop hand finds odd in a plan's sizes; each asks whether a decimal point has slipped."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut import gate
from stepcut.voice import Voice

Say = Callable[[Mapping[str, Any], Voice], str]


def called(name: str) -> str:
    """Return what a scale is called in a sentence; one without a name of its own is called as its section is."""
    return f"{name} scale" if name in ("depth", "slide") else gate.line(name)


def is_it(f: Mapping[str, Any], size: str, said: Callable[[float], str]) -> str:
    """Return the question whether a decimal point has slipped; ``said`` is how the size is said: as it was given, or as it came out."""
    few, much = sorted((f["perhaps"], f[size]))
    return f"Is it {said(few)} or {said(much)}?"


def _stands(land: float, v: Voice) -> str:
    return f"Only {v.length(land)} stand" if land > 0 else "Nothing stands"


ODD: dict[str, Say] = {
    "work-far": lambda f, v: (
        f"The work is {v.size(f['work'])} round, large for {'a small lathe' if f['turned'] else 'a rotary table'}, usually "
        f"{v.size(f['much'])} at most. {is_it(f, 'work', v.size)}"
    ),
    "wider-than-work": lambda f, v: (
        f"The {f['what']} is {v.size(f['wide'])} wide, more than the work is round, {v.size(f['work'])}. "
        f"{is_it(f, 'wide', v.size)}"
    ),
    "cutter-wide": lambda f, v: (
        f"The cutter is {v.size(f['cutter'])} wide, more than a light quill drives, usually {v.size(f['much'])} at most. "
        f"{is_it(f, 'cutter', v.size)}"
    ),
    "cutter-thin": lambda f, v: (
        f"The cutter is {v.size(f['cutter'])} wide; fed by hand it breaks easily, and is usually {v.size(f['least'])} at least. "
        f"{is_it(f, 'cutter', v.size)}"
    ),
    "nose-far": lambda f, v: (
        f"The tool's nose of {v.size(f['nose'])} chatters, usually {v.size(f['much'])} at most. {is_it(f, 'nose', v.size)}"
    ),
    "radius-far": lambda f, v: (
        f"The fillet's radius of {v.size(f['radius'])} is larger than the shaft's own, {v.size(f['shaft'])}. {is_it(f, 'radius', v.size)}"
    ),
    "seat-flat": lambda f, v: (
        f"A ball of {v.size(f['radius'])} radius hardly enters a mouth of {v.size(f['mouth'])}: so flat a seat does not centre it. "
        f"{is_it(f, 'radius', v.size)}"
    ),
    "neck-thin": lambda f, v: (
        f"Only {v.size(f['small'])} stand where the work is thinnest, less than a third of the {v.size(f['shaft'])} beside it: it bends or "
        f"breaks under the tool. {is_it(f, 'small', v.size)}"
    ),
    "slender": lambda f, v: (
        f"The {'bore' if f['bored'] else 'work'} is {v.size(f['length'])} long, {f['times']:.1f} times its diameter of {v.length(f['middle'])}: "
        f"{'the bar' if f['bored'] else 'it'} bends away from the {'work' if f['bored'] else 'tool'}, usually from {f['much']:.0f} times on. "
        f"{is_it(f, 'length', v.size)}"
    ),
    "blank-far": lambda f, v: (
        f"The blank of {v.size(f['blank'])} is far larger than what is turned of it, {v.size(f['work'])}. {is_it(f, 'blank', v.size)}"
    ),
    "travel-far": lambda f, v: (
        f"This job needs {v.length(f['needs'])} of the {called(f['scale'])} from end to end, and the machine's file does not say how far it "
        f"moves; usually {v.size(f['much'])} at most. {is_it(f, 'needs', v.length)}"
    ),
    "turns-far": lambda f, v: (
        f"The groove goes round {f['turns']:.2f} times; so many turns are cut with change gears or on a lathe, and by steps usually "
        f"{f['most']:.0f} at most. Is the lead {v.size(f['lead'])} or {v.size(f['longer'])}, the length {v.size(f['shorter'])} or "
        f"{v.size(f['length'])}?"
    ),
    "land-thin": lambda f, v: (
        f"{_stands(f['land'], v)} between one turn of the groove and the next, which is "
        f"{v.length(f['width'])} wide. Is the lead {v.size(f['lead'])} or {v.size(f['longer'])}?"
    ),
    "pass-deep": lambda f, v: (
        f"A roughing pass of {v.size(f['depth'])} on the radius is much for a small lathe, usually {v.size(f['much'])} at most. "
        f"{is_it(f, 'depth', v.size)}"
    ),
    "ridge-far": lambda f, v: (
        f"Ridges of {v.length(f['ridge'])} between cuts are much to file off, usually {v.size(f['much'])} at most. {is_it(f, 'ridge', v.length)} "
        "Smaller steps leave less."
    ),
    "many-cuts": lambda f, v: (
        f"{f['cuts']} cuts, at a minute each {f['hours']:.0f} hours; usually {f['most']} at most. Is the step or ridge ten times too small?"
    ),
}  # fmt: skip
