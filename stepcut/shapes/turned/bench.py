"""A turned flank on a machine: the tool, its task for the kernel, and what a card of a turned shape prints besides."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.footprints import Straight
from stepcut.kernel.measure import Left
from stepcut.kernel.section import Guard, Place
from stepcut.kernel.task import Position, Task
from stepcut.machine import Cutter, Machine, Outline, Scale
from stepcut.plan import Plan
from stepcut.shapes.turned.flank import FlankGuard, FlankSection
from stepcut.shapes.turned.wanted import Flank, Side
from stepcut.shop.chances import Clear
from stepcut.shop.clearing import asked, clearances, safe_leave

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(2, 1000), "mm": Fraction(5, 100)}


class Turning(Struct, frozen=True):
    """How the tool meets the work.

    Parameters
    ----------
    cutter : Cutter
        Kind square or round; the diameter of a round one is twice its nose radius.
    leave : Fraction or None
        Stock to leave, square to the axis, mm; None takes it from the machine's errors.
    where : str
        lathe (carriage and cross-slide) or mill (quill and table slide, a full turn of the rotary table at each stop).
    step : Fraction or None
        Distance of the stops along the axis, mm.
    stops : int or None
        Number of stops of a flank.
    scallop : Fraction or None
        Largest ridge, mm.
    blank : Fraction or None
        Diameter of the blank, or of the hole that a bore begins as, mm; roughing passes go from it.
    cut_depth : Fraction or None
        Largest depth of one roughing pass on the radius, mm.
    width : Fraction or None
        Width of a square tool, mm; one whose width is known may go straight in.
    finish : Fraction or None
        Rest left on, on the radius, when all is roughed, mm.
    material : str
        Of the part; with ``carbide`` of the tool it says how deep a roughing pass usually is.
    headstock_edge, tailstock_edge : Fraction or None
        Angles of a round tool's edges beside its nose, degrees from the axis, where they were said.
    """

    cutter: Cutter
    leave: Fraction | None = Fraction(0)
    where: Literal["lathe", "mill"] = "lathe"
    step: Fraction | None = None
    stops: int | None = None
    scallop: Fraction | None = None
    blank: Fraction | None = None
    cut_depth: Fraction | None = None
    width: Fraction | None = None
    finish: Fraction | None = None
    material: str = ""
    carbide: bool = False
    headstock_edge: Fraction | None = None
    tailstock_edge: Fraction | None = None


class CutFlank(Struct, frozen=True):
    """A flank with its cuts.

    Parameters
    ----------
    flank : Flank
        What is wanted.
    task : Task
        The flank on its scales.
    places : tuple of Place
        The cuts, in mm along the flank and into it.
    left : Left
        What they leave.
    stops : tuple of (int, int)
        The cuts in whole divisions of z and x.
    rough : bool
        Whether they leave a rest for the finish.
    """

    flank: Flank
    task: Task
    places: tuple[Place, ...]
    left: Left
    stops: tuple[Position, ...]
    rough: bool = False


class TaperSizes(Struct, frozen=True):
    """What the set-ups of a taper are worked out from.

    Parameters
    ----------
    large, small, length : Fraction
        Diameters and length along the axis, mm.
    half_angle : float
        Angle each side, degrees.
    side : str
        outside or bore.
    work_length, sine_bar : Fraction or None
        Length of the work between centres, and of the sine bar, mm.
    bores : tuple of Fraction
        Bores to seat on the cone, mm.
    by : str
        steps, compound, set-over or sine-bar.
    not_used : tuple of str
        What was given and is of no use where every pass is a whole cone, as it was given.
    """

    large: Fraction
    small: Fraction
    length: Fraction
    half_angle: float
    side: Side = "outside"
    work_length: Fraction | None = None
    sine_bar: Fraction | None = None
    bores: tuple[Fraction, ...] = ()
    by: str = "steps"
    not_used: tuple[str, ...] = ()


class TurnedDetails(Struct, frozen=True):
    """What a card of a turned shape prints besides.

    Parameters
    ----------
    cuts : tuple of CutFlank
        The flanks that are cut, in the order of their numbers; none when a set-up needs no steps.
    roughing : mapping
        By the number of a stop, the divisions of the cross-slide to pass at before it.
    taper : TaperSizes or None
        Of a taper.
    width : Fraction or None
        Width of a square tool, mm, where it was said.
    finish : Fraction or None
        Rest on the radius that the rough cuts leave, mm; None where all is cut to size at once.
    headstock, tailstock : float
        The angles from the axis that the edges of a round tool need beside its nose, degrees; 0 where any does.
    blank : Fraction or None
        Diameter of the blank, or of the hole that a bore begins as, mm, where it was said.
    pass_depth : Fraction or None
        Largest depth of one roughing pass on the radius, mm, where it was said.
    """

    cuts: tuple[CutFlank, ...] = ()
    roughing: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    taper: TaperSizes | None = None
    width: Fraction | None = None
    finish: Fraction | None = None
    headstock: float = 0.0
    tailstock: float = 0.0
    blank: Fraction | None = None
    pass_depth: Fraction | None = None

    @property
    def begins(self) -> Fraction:
        """Radius, mm, that the blank is turned to before the first cut, or the hole bored to."""
        if self.blank is not None:
            return self.blank / 2
        radii = [each.flank.radius_high for each in self.cuts]
        return min(radii) if self.in_bore else max(radii)

    @property
    def rough(self) -> int:
        """How many of the flanks are rough ones; they come first."""
        return sum(each.rough for each in self.cuts)

    @property
    def flanks(self) -> tuple[str, ...]:
        """How the cuts of each flank go: straight in, as passes toward the headstock, or from a groove toward the face."""
        return tuple(each.flank.way for each in self.cuts)

    @property
    def column(self) -> str:
        """What the flanks are called: the corners of the tool, or stages where they are more than that."""
        return "STAGE" if len(self.cuts) > 2 or self.rough else "CORNER"

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each cut stays above the wanted surface; None for a plan that was kept in the log."""
        if not asked(guard.line for cut in self.cuts for guard in cut.task.guards):
            return None
        return [found for cut in self.cuts for found in clearances(cut.task, cut.places)]

    @property
    def in_bore(self) -> bool:
        """Whether the shape is cut inside a bore."""
        return any(cut.flank.side == "bore" for cut in self.cuts)


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


def auto_leave(flanks: Sequence[Flank], turning: Turning, machine: Machine) -> Fraction:
    """Return the leave that the machine's errors ask for, mm on the radius, up to the next division of the cross-slide."""
    across = scales(machine, turning.where)[1]
    return max(across.up(sum(safe_leave(task_of(flank, turning, machine)))) for flank in flanks) * across.division


def footprint(turning: Turning, flank: Flank) -> Straight:
    """Return the tool on a flank, with what its pass clears on the way there.

    A pass along the axis comes from the low end of the flank, so that it cuts level from there up to its place: a square tool up
    to its corner, a round one up to its middle, and its nose ahead of that.  Straight in, a square tool cuts as wide as it is,
    from its corner toward the headstock, and a round one its circle.
    """
    cutter = turning.cutter
    nose = float(cutter.radius) if cutter.kind == "round" else 0.0
    if flank.plunged:
        half = nose or float(turning.width or 0) / 2
        return Straight(Outline(half, nose), half)
    half = flank.wanted.span * 2 + 10 + nose
    return Straight(Outline(half, nose), half if flank.toward_face else half - 2 * nose)


def stands_over(flank: Flank, turning: Turning) -> float:
    """Return how much higher than a flank its blank stands, mm on the radius; 0 where none was told, or a shoulder stands behind."""
    if turning.blank is None or flank.behind != "level":
        return 0.0
    over = turning.blank / 2 - flank.radius_high
    return max(0.0, float(-over if flank.side == "bore" else over))


def task_of(flank: Flank, turning: Turning, machine: Machine) -> Task:
    """Return a flank as a task: the surface itself is measured, what stands beyond its ends only holds the tool back."""
    first, second = _shifted(flank, *scales(machine, turning.where))
    foot, line, leave = footprint(turning, flank), flank.wanted, float(turning.leave or 0)
    guards: tuple[Guard, ...] = (FlankGuard(line, foot, edges=flank.edges),)
    if flank.stays is not None:
        guards += (FlankGuard(flank.stays, foot, edges=flank.rest, shift=line.span),)
    measured = replace(line, before="free", after="free")
    return Task(
        sections=(FlankSection(measured, foot, leave, blank=-stands_over(flank, turning), flank=flank),),
        guards=guards,
        first=first,
        second=second,
        leave=leave,
        bottom=math.inf if flank.side == "bore" else float(flank.radius_high),
    )


def on_the_dials(flank: Flank, along: Scale, across: Scale, at: Fraction, depth: Fraction) -> Position:
    """Return a place of a flank in whole divisions of z and x."""
    z = flank.z_high - at if flank.toward_face else flank.z_high + at
    x = flank.radius_high + depth if flank.side == "bore" else flank.radius_high - depth
    return int(z / along.division), int(x / across.division)
