"""Solving turned shapes: tapers, radii and profiles as Z and X steps of a square or a round tool.

Stop positions are whole divisions of carriage and cross-slide, counted from the face and from the axis.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.contact import Contact
from stepcut.kernel.measure import measure
from stepcut.kernel.section import Place
from stepcut.kernel.space import Count, Even, Ridge, Rule, near_ridge, space
from stepcut.kernel.task import Position, Task
from stepcut.machine import Machine, Scale
from stepcut.plan import Picture, Plan, Remark, Result, Stop
from stepcut.shapes.leaving import leaving
from stepcut.shapes.picture import picture_of
from stepcut.shapes.turned.bench import (
    DEFAULT_RIDGE,
    CutFlank,
    TaperSizes,
    TurnedDetails,
    Turning,
    auto_leave,
    on_the_dials,
    scales,
    task_of,
)
from stepcut.shapes.turned.bottoms import refuse_wide
from stepcut.shapes.turned.rough import passes_before, rough_flank
from stepcut.shapes.turned.sides import Sides, sides_of
from stepcut.shapes.turned.wanted import Flank, Revolved, exact
from stepcut.shop.clearing import safe_leave


def solve(
    shape: Revolved,
    turning: Turning,
    machine: Machine,
    kind: str,
    target: dict[str, Any],
    taper: TaperSizes | None = None,
) -> Plan:
    """Return the plan of a turned shape; flanks are numbered as starts, each with the corner of the tool that cuts it.

    Parameters
    ----------
    shape : Revolved
        What is wanted.
    turning : Turning
        Tool, spacing and leave.
    machine : Machine
        Its carriage and cross-slide, or quill and slide.
    kind : str
        taper, radius or profile.
    target : dict
        What was asked for, for the JSON contract.
    taper : TaperSizes or None
        Of a taper.

    Raises
    ------
    Refused
        When the tool does not fit, the blank is too small, or a rule of spacing cannot be kept.
    """
    along, across = scales(machine, turning.where)
    _check(shape, turning, along)
    _room_behind(shape, turning)
    given = turning.leave
    leave = auto_leave(shape.flanks, turning, machine) if given is None else given
    turning = replace(turning, leave=leave)
    # A neck beside other flanks is not what a step or a number of cuts is asked for.
    main = next((k for k, flank in enumerate(shape.flanks) if not flank.straight_in), 0)
    by_ridge = turning.scallop is not None or (turning.step is None and turning.stops is None)
    if by_ridge:  # known before any cut is looked for, which would be looked for in vain
        for flank in shape.flanks:
            refuse_wide(flank, turning, machine)
    solved = [_solve_flank(flank, turning, machine, main=k == main) for k, flank in enumerate(shape.flanks)]
    if not by_ridge:
        for each in (each for each in solved if each.places):
            refuse_wide(each.flank, turning, machine, each.places)
    roughed = _roughed(solved, turning, machine)
    solved = _seen_with_its_neck(_seen_with_the_rough(solved, roughed), roughed, turning)
    finished = tuple(each for each in solved if each.stops)
    if not finished:
        raise _nothing_to_cut(solved, turning, machine)
    cut = (*(each for each in roughed if each.stops), *finished)
    sides = sides_of(finished, turning) or Sides()
    details = TurnedDetails(
        cut,
        passes_before(cut, turning, across),
        taper,
        turning.width,
        turning.finish,
        sides.headstock,
        sides.tailstock,
        turning.blank,
        turning.cut_depth,
    )
    return Plan(
        shape=kind,
        target=target if turning.blank is None else {**target, "blank": float(turning.blank)},
        machine=machine,
        cutter=turning.cutter,
        approach=turning.where,
        edge_behind=None,
        leave=leave,
        first=along,
        second=across,
        axes=("z", "x"),
        stops=tuple(_numbered(cut)),
        result=_result(solved),
        remarks=(*leaving(steepest(solved), given, leave), *_remarks(solved, turning)),
        contact=Contact(tuple(strip for each in solved for strip in each.left.strips)),
        picture=_pictured(cut, details.column),
        details=details,
    )


def steepest(solved: list[CutFlank]) -> Task:
    """Return the task of the flank that asks for most leave."""
    return max((each.task for each in solved), key=lambda task: sum(safe_leave(task)))


# --- what cannot be --------------------------------------------------------------------------------------------


def _check(shape: Revolved, turning: Turning, along: Scale) -> None:
    """Refuse a nose rounder than the hollow it should cut, a blank smaller than the part, and a step below a division."""
    nose, high = turning.cutter.radius, max(flank.radius_high for flank in shape.flanks)
    hollow = min(flank.hollow for flank in shape.flanks)
    if turning.cutter.kind == "round" and float(nose) > hollow * (1 + 1e-9):
        raise Refused("nose", "nose-too-round", nose=nose, hollow=hollow, form=shape.name)
    if turning.cutter.kind == "square" and turning.width is None and any(flank.plunged for flank in shape.flanks):
        raise Refused("tool-width", "needs-width", form=shape.name)
    if turning.where == "mill" and any(flank.way != "to-headstock" for flank in shape.flanks):
        raise Refused("on", "mill-undercut", form=shape.name)
    if turning.blank is not None:
        bore = shape.flanks[0].side == "bore"
        if bore and turning.blank > 2 * high:
            raise Refused("blank", "hole-wide", blank=turning.blank, needs=2 * high)
        if not bore and turning.blank < 2 * high - Fraction(1, 10**6):
            raise Refused("blank", "blank-small", blank=turning.blank, needs=2 * high, part=shape.name)
    if turning.step is not None and turning.step < along.division:
        raise Refused("step", "step-below-division", step=turning.step, division=along.division, scale=along.name)


def _room_behind(shape: Revolved, turning: Turning) -> None:
    """Refuse a tool that is wider than the neck of a ball: it begins there, and cuts the back with its side toward the face."""
    neck, *others = shape.flanks
    if not neck.straight_in or not others:
        return
    wide = turning.width if turning.width is not None else turning.cutter.diameter
    length = exact(neck.wanted.span)
    if wide > length:
        key = "tool-width" if turning.cutter.kind == "square" else "nose"
        raise Refused(key, "wider-than-neck", wide=wide, length=length, nose=key == "nose")


def _nothing_to_cut(solved: list[CutFlank], turning: Turning, machine: Machine) -> Refused:
    """Say why no cut is needed, or none can be made."""
    drop, leave = max(each.flank.wanted.deepest for each in solved), turning.leave or Fraction(0)
    _, across = scales(machine, turning.where)
    division = float(across.division) * (1 + 1e-9)  # so high a line is cut at its very end alone, where nothing is wide
    if drop > division and float(leave) >= drop:
        return Refused("leave", "turned-leave", leave=turning.leave, drop=drop)
    if drop - float(leave) <= division or turning.stops is not None:
        ways = (("step", turning.step), ("stops", turning.stops), ("scallop", turning.scallop))
        key, value = next(((key, value) for key, value in ways if value is not None), ("leave", leave))
        return Refused(
            key, "turned-low", value=value, leave=leave, drop=drop, division=across.division, scale=across.name
        )
    if turning.step is None:
        ridge = max(each.left.scallop for each in solved)
        limit = turning.scallop or DEFAULT_RIDGE[machine.unit]
        return Refused("scallop", "no-cut-needed", limit=limit, ridge=ridge)
    span = max(each.flank.wanted.span for each in solved)
    return Refused("step", "step-over-length", step=turning.step, span=span)


# --- one flank -------------------------------------------------------------------------------------------------


def _solve_flank(flank: Flank, turning: Turning, machine: Machine, main: bool) -> CutFlank:
    task = task_of(flank, turning, machine)
    if flank.straight_in and not main:  # a neck is no part of what a step was asked for
        row = near_ridge(task, float(turning.scallop or DEFAULT_RIDGE[machine.unit]))
    else:
        row = _spaced(task, turning, machine, main)
    places = tuple(task.places(row))
    along, across = scales(machine, turning.where)
    stops = tuple(
        on_the_dials(flank, along, across, task.first.value(at), task.second.value(depth)) for at, depth in row
    )
    if flank.plunged:  # from the face inward: every z is then come up to the working way
        stops = stops[::-1]
    return CutFlank(flank, task, places, measure(task, places), stops)


def _spaced(task: Task, turning: Turning, machine: Machine, main: bool) -> list[Position]:
    """Return the cuts of a flank by the rule that is given.

    The first flank must keep the number of cuts that is asked for; the back of a ball may be too small for so many.
    """
    rule: Rule
    if turning.step is not None:
        rule = Even(turning.step)
    elif turning.stops is not None:
        rule = Count(turning.stops)
    elif turning.scallop is not None:
        rule = Ridge(float(turning.scallop))
    else:
        return near_ridge(task, float(DEFAULT_RIDGE[machine.unit]))
    try:
        row = space(task, rule)
    except Refused as refused:
        if main or refused.code != "not-so-many":
            raise
        row = space(task, Count(max(1, refused.facts["makes"])))
    if row and main and turning.stops is not None and len(row) != turning.stops:  # no cut at all has another cause
        raise Refused("stops", "not-so-many", stops=turning.stops, makes=len(row))
    return row


def _roughed(solved: list[CutFlank], turning: Turning, machine: Machine) -> list[CutFlank]:
    """Return the rough cuts of every flank, where a rest is left on for a finish."""
    return [] if turning.finish is None else [rough_flank(each, turning, machine) for each in solved]


def _all_of(k: int, solved: list[CutFlank], roughed: list[CutFlank]) -> tuple[Place, ...]:
    """Return all cuts of a flank, the rough ones too, in order."""
    rough = roughed[k].places if roughed else ()
    return tuple(sorted((*solved[k].places, *rough)))


def _seen_with_the_rough(solved: list[CutFlank], roughed: list[CutFlank]) -> list[CutFlank]:
    """Return the flanks with what the rough cuts take off the ridges of the finish, where those stand higher than the rest."""
    if not roughed:
        return solved
    return [
        replace(each, left=measure(each.task, _all_of(k, solved, roughed))) if each.stops else each
        for k, each in enumerate(solved)
    ]


def _seen_with_its_neck(solved: list[CutFlank], roughed: list[CutFlank], turning: Turning) -> list[CutFlank]:
    """Return the flanks of a ball with what the neck's cuts take off its back, and those of the back off the neck.

    A square tool in the neck reaches as far toward the face as it is wide, where it cuts the back as a pass up to there does.
    """
    neck, *others = solved
    if not neck.flank.straight_in or not others:
        return solved
    front, back = others
    wide = float(turning.width or 0) if turning.cutter.kind == "square" else 0.0
    apart = float(neck.flank.z_high) - float(back.flank.z_high) - wide
    of_neck, of_back = _all_of(0, solved, roughed), _all_of(2, solved, roughed)
    beside = [Place(apart - place.at, place.depth) for place in of_neck]
    after = [Place(apart - place.at, place.depth) for place in of_back]
    seen = measure(back.task, tuple(sorted((*of_back, *beside))))
    neck = replace(neck, left=measure(neck.task, tuple(sorted((*of_neck, *after)))))
    return [neck, front, replace(back, left=seen)]


# --- the plan --------------------------------------------------------------------------------------------------


def _result(solved: list[CutFlank]) -> Result:
    lefts = [each.left for each in solved]
    area = sum(left.area for left in lefts)
    return Result(
        scallop=max(left.scallop for left in lefts),
        stock_min=min(left.least for left in lefts),
        stock_mean=sum(left.mean * left.area for left in lefts) / area,
        stock_max=max(left.most for left in lefts),
        twist=0.0,
        volume=sum(left.volume for left in lefts),
    )


def _pictured(cut: tuple[CutFlank, ...], column: str) -> Picture:
    """Return the picture of the first flank that is no neck beside others, and those of the other flanks."""
    pictures = []
    for n, each in enumerate(cut, 1):
        if each.rough:
            continue
        name = f"{column} {n}" if len(cut) > 1 else ""
        pictures.append((each.flank.straight_in, replace(picture_of(each.left, each.flank.wanted, 0), name=name)))
    first, *more = (picture for _, picture in sorted(pictures, key=lambda row: row[0]))
    return replace(first, more=tuple(more))


def _numbered(cut: tuple[CutFlank, ...]) -> Iterator[Stop]:
    n = 0
    for start, each in enumerate(cut, 1):
        for z, x in each.stops:
            n += 1
            yield Stop(n, start, z, x)


def _remarks(solved: list[CutFlank], turning: Turning) -> Iterator[Remark]:
    cut = [each for each in solved if each.stops]
    if len(cut) > 1 and turning.cutter.kind == "square":
        yield Remark("two-corners", {})
    worst = max(solved, key=lambda each: each.left.scallop)
    limit = turning.scallop
    if limit is not None and worst.left.scallop > float(limit) * (1 + 1e-6):
        where = worst.flank.z_at(worst.left.tops[0].where)
        yield Remark("scallop-exceeded", {"limit": limit, "scallop": worst.left.scallop, "where": where})
    if turning.stops is not None:
        for each in solved:
            if len(each.stops) != turning.stops:
                yield Remark("fewer-cuts", {"cuts": turning.stops, "makes": len(each.stops)})
