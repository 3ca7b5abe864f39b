"""Solving turned shapes: tapers, radii and profiles as Z and X steps of a square or a round tool.

A flank of a turned surface is a ramp on a straight slide: the same cut, the same spacing, the same measure of what is left.
Stop positions are whole divisions of carriage and cross-slide, counted from the face and from the axis.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Literal

from stepcut.kernel import finish, positions
from stepcut.kernel.cut import Cut, Place
from stepcut.kernel.old_footprints import Straight
from stepcut.machine import Cutter, Machine, Outline, Scale
from stepcut.plan import Contact, Picture, Plan, Refused, Remark, Result, Stop
from stepcut.shapes.turned.wanted import Flank, Revolved

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(2, 1000), "mm": Fraction(5, 100)}


@dataclass(frozen=True)
class Turning:
    """How the tool meets the work.

    Parameters
    ----------
    cutter : Cutter
        Kind square or round; the diameter of a round one is twice its nose radius.
    leave : Fraction
        Stock to leave, square to the axis, mm.
    where : str
        lathe (carriage and cross-slide) or mill (quill and table slide, a full turn of the rotary table at each stop).
    step : Fraction or None
        Distance of the stops along the axis, mm.
    stops : int or None
        Number of stops of a flank.
    scallop : Fraction or None
        Largest ridge, mm.
    blank : Fraction or None
        Diameter of the blank, mm; roughing passes go from it.
    cut_depth : Fraction or None
        Largest depth of one roughing pass on the radius, mm.
    """

    cutter: Cutter
    leave: Fraction = Fraction(0)
    where: Literal["lathe", "mill"] = "lathe"
    step: Fraction | None = None
    stops: int | None = None
    scallop: Fraction | None = None
    blank: Fraction | None = None
    cut_depth: Fraction | None = None


def scales(machine: Machine, where: str) -> tuple[Scale, Scale]:
    """Return the scales along and across the axis.

    Raises
    ------
    Refused
        When the machine lacks one of them.
    """
    along, across = (machine.carriage, machine.cross) if where == "lathe" else (machine.depth, machine.slide)
    if along is None or across is None:
        raise Refused("machine", "no-lathe" if where == "lathe" else "no-mill", machine=machine.name)
    return along, across


def _shifted(flank: Flank, along: Scale, across: Scale) -> tuple[Scale, Scale]:
    """Return the scales as the flank's coordinate and depth see them: whole divisions stay whole divisions.

    Along: coordinate = z_high - z (toward the face) or z - z_high.  Across: depth = radius_high - radius outside, the
    other way round in a bore.
    """
    z, r = flank.z_high, flank.radius_high
    along_origin = z % along.division if flank.toward_face else -z % along.division
    across_origin = -r % across.division if flank.side == "bore" else r % across.division
    return replace(along, origin=along_origin), replace(across, origin=across_origin)


def _footprint(turning: Turning, flank: Flank) -> Straight:
    """Return the tool on a flank: a square tool cuts from its corner all the way down the flank, a round one its circle."""
    if turning.cutter.kind == "square":
        reach = flank.wanted.span * 2 + 10
        return Straight(Outline(reach, 0.0), reach)
    radius = float(turning.cutter.radius)
    return Straight(Outline(radius, radius), radius if flank.toward_face else -radius)


@dataclass(frozen=True)
class _Cut:
    """A solved flank."""

    flank: Flank
    cut: Cut
    places: tuple[Place, ...]
    left: Result
    surface: finish.Surface
    contact: Contact
    stops: tuple[tuple[int, int], ...]  # whole divisions of z and x


def _solve_flank(flank: Flank, turning: Turning, machine: Machine) -> _Cut:
    along, across = scales(machine, turning.where)
    first, second = _shifted(flank, along, across)
    cut = Cut(flank.wanted, _footprint(turning, flank), float(turning.leave), (0.0,), steep=True)
    if turning.step is not None:
        row = positions.even(cut, first, second, turning.step)
    elif turning.stops is not None:
        row = positions.by_count(cut, first, second, turning.stops)
    else:
        limit = turning.scallop or DEFAULT_RIDGE[machine.unit]
        row = positions.fewest(cut, first, second, float(limit))
    if turning.stops is not None and len(row) != turning.stops:
        raise Refused("stops", "not-so-many", stops=turning.stops, makes=len(row))
    places = positions.places(row, first, second)
    if turning.cutter.kind == "square":
        # A pass that ends where the flank ends would cut air.
        keep = [k for k, place in enumerate(places) if place[0] < flank.wanted.span - 1e-9]
        row, places = [row[k] for k in keep], [places[k] for k in keep]
    if not row:
        raise Refused("leave", "nothing-to-cut", leave=turning.leave, floor=Fraction(flank.wanted.floor))
    surface = finish.Surface(cut, tuple(places))
    stops = tuple(_on_the_dials(flank, along, across, first.value(a), second.value(b)) for a, b in row)
    return _Cut(flank, cut, tuple(places), _measured(surface, flank), surface, _contact(surface, flank), stops)


def _on_the_dials(flank: Flank, along: Scale, across: Scale, at: Fraction, depth: Fraction) -> tuple[int, int]:
    z = flank.z_high - at if flank.toward_face else flank.z_high + at
    x = flank.radius_high + depth if flank.side == "bore" else flank.radius_high - depth
    return int(z / along.division), int(x / across.division)


def _measured(surface: finish.Surface, flank: Flank) -> Result:
    """Return what is left on a flank; the volume is that of the revolved stock."""
    most, scallop = surface.peaks(0.0)
    line = surface.integral(0.0)
    volume = 0.0
    for piece in surface.pieces(0.0):
        length = piece.high - piece.low
        for x, weight in finish.GAUSS_8:
            at = piece.low + length * x
            stock = surface.stock(0.0, at, piece.stop)
            middle = flank.radius_at(at) + (-stock / 2 if flank.side == "bore" else stock / 2)
            volume += weight * length * 2 * math.pi * middle * stock
    span = flank.wanted.span
    return Result(scallop, surface.smallest(), line / span, most, 0.0, volume)


def _contact(surface: finish.Surface, flank: Flank) -> Contact:
    """Return the contact curve of a flank; areas are those of the revolved surface's strips."""
    segments: list[tuple[float, float, float]] = []
    for piece in surface.pieces(0.0):
        hair = (piece.high - piece.low) * 1e-9
        low, high = piece.low + hair, piece.high - hair
        marks = [low + (high - low) * k / 12 for k in range(13)]
        heights = [surface.stock(0.0, mark, piece.stop) for mark in marks]
        for k in range(12):
            around = 2 * math.pi * flank.radius_at((marks[k] + marks[k + 1]) / 2)
            segments.append((heights[k], heights[k + 1], (marks[k + 1] - marks[k]) * around))
    return Contact(tuple(segments))


def solve(
    shape: Revolved, turning: Turning, machine: Machine, kind: str, target: dict[str, Any], facts: dict[str, Any]
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
    facts : dict
        What the card prints besides.
    """
    along, across = scales(machine, turning.where)
    _check_nose(shape, turning)
    solved = [_solve_flank(flank, turning, machine) for flank in shape.flanks]
    lefts = [each.left for each in solved]
    spans = [each.flank.wanted.span for each in solved]
    result = Result(
        scallop=max(left.scallop for left in lefts),
        stock_min=min(left.stock_min for left in lefts),
        stock_mean=sum(left.stock_mean * span for left, span in zip(lefts, spans, strict=True)) / sum(spans),
        stock_max=max(left.stock_max for left in lefts),
        twist=0.0,
        volume=sum(left.volume for left in lefts),
    )
    segments = tuple(segment for each in solved for segment in each.contact.segments)
    return Plan(
        shape=kind,
        target=target,
        machine=machine,
        cutter=turning.cutter,
        approach=turning.where,
        edge_behind=None,
        leave=turning.leave,
        first=along,
        second=across,
        axes=("z", "x"),
        stops=tuple(_numbered(solved)),
        result=result,
        remarks=tuple(_remarks(solved, turning)),
        contact=Contact(segments),
        picture=_picture(solved),
        facts={
            **facts,
            "cuts": solved,
            "roughing": _roughing(solved, turning, across),
        },
    )


def _check_nose(shape: Revolved, turning: Turning) -> None:
    """Refuse a nose rounder than the hollow it should cut."""
    if turning.cutter.kind != "round":
        return
    for flank in shape.flanks:
        law = flank.wanted.law
        if law is not None and law.name == "hollow arc":
            hollow = float(flank.wanted.span**2 + flank.wanted.floor**2) ** 0.5 / math.sqrt(2)
            if float(turning.cutter.radius) > hollow * 1.001:
                raise Refused("nose", "too-round", corner=turning.cutter.radius, hollow=hollow, approach="turned")


def _numbered(solved: list[_Cut]) -> Iterator[Stop]:
    n = 0
    for start, each in enumerate(solved, 1):
        for z, x in each.stops:
            n += 1
            yield Stop(n, start, z, x)


def _picture(solved: list[_Cut]) -> Picture:
    """Return the first flank's stair."""
    return finish.picture(solved[0].surface, 0.0)


def _remarks(solved: list[_Cut], turning: Turning) -> Iterator[Remark]:
    if len(solved) > 1 and turning.cutter.kind == "square":
        yield Remark("two-corners", {})


def _roughing(solved: list[_Cut], turning: Turning, across: Scale) -> dict[int, tuple[int, ...]]:
    """Return, by the number of a stop, the cross-slide positions to pass before it so that no pass is too deep."""
    if turning.cut_depth is None:
        return {}
    most = across.down(turning.cut_depth)
    if most < 1:
        raise Refused("cut-depth", "below-division", drop=turning.cut_depth, division=across.division)
    passes: dict[int, tuple[int, ...]] = {}
    n = 0
    for each in solved:
        bore = each.flank.side == "bore"
        high = turning.blank / 2 if turning.blank is not None else each.flank.radius_high
        before = across.down(high) if bore else across.up(high)
        for _, x in each.stops:
            n += 1
            between = range(before + most, x, most) if bore else range(before - most, x, -most)
            if len(between):
                passes[n] = tuple(between)
            before = x
    return passes
