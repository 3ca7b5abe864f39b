"""The ring as a solid cut by solid cutters, with a general geometry library (manifold3d)."""

from __future__ import annotations

import math

import numpy as np
from manifold3d import CrossSection, Manifold, OpType

HEIGHT = 20.0
SEGMENTS = 1440


def sector(bore: float, outside: float, span: float) -> Manifold:
    """A sector of the ring below the face z = 0, from angle 0 to span degrees."""
    steps = max(8, int(SEGMENTS * span / 360))
    angles = np.radians(np.linspace(0.0, span, steps + 1))
    outer = [(outside * math.cos(a), outside * math.sin(a)) for a in angles]
    inner = [(bore * math.cos(a), bore * math.sin(a)) for a in angles[::-1]]
    return CrossSection([outer + inner]).extrude(HEIGHT).translate((0, 0, -HEIGHT))


def cutter(approach: str, radius: float, corner: float, behind: float, bore: float, outside: float) -> Manifold:
    """The metal that one stop removes at depth 0 and angle 0, with the cutter's lowest point at z = 0."""
    over, middle, length = radius - behind, (bore + outside) / 2, outside + 5
    if approach == "plunge":
        if corner == 0:
            return Manifold.cylinder(HEIGHT, radius, radius, 720).translate((middle, over, 0))
        outline = _outline(radius, corner)
        half = [(x, z) for x, z in outline if x >= 0]
        return Manifold.revolve(
            CrossSection([[(0.0, HEIGHT), (0.0, 0.0), *half[1:], (radius, HEIGHT)]]), 720
        ).translate((middle, over, 0))
    if approach == "side":
        corner, over = radius, 0.0
    points = [(-radius, HEIGHT), *_outline(radius, corner), (radius, HEIGHT)]
    section = CrossSection([points])
    if section.area() <= 0:
        section = CrossSection([points[::-1]])
    # extrude along z, then lay it down so that it runs out along x with its outline in y and z
    return section.extrude(length).rotate((90, 0, 90)).translate((0, over, 0))


def _outline(radius: float, corner: float) -> list[tuple[float, float]]:
    if corner == 0:
        return [(-radius, 0.0), (radius, 0.0)]
    angles = np.linspace(0.0, math.pi / 2, 400)
    right = [(radius - corner + corner * math.sin(a), corner - corner * math.cos(a)) for a in angles]
    return [(-x, z) for x, z in right[::-1]] + right


def left_over(
    bore: float, outside: float, span: float, stops: list[tuple[float, float]], approach: str, radius: float, corner: float,
    behind: float, wanted_mean: float,
) -> float:  # fmt: skip
    """Volume that stands over the wanted surface after all cuts; ``wanted_mean`` is the mean wanted depth."""
    blank = sector(bore, outside, span)
    tool = cutter(approach, radius, corner, behind, bore, outside)
    tools = [tool.translate((0, 0, -depth)).rotate((0, 0, at)) for at, depth in stops]
    cut = blank
    for each in tools:
        cut = cut - each
    return cut.volume() - blank.volume() * (HEIGHT - wanted_mean) / HEIGHT


def helix_left_over(
    kind: str, diameter: float, lead: float, length: float, depth: float, radius: float, step: float, fine: int = 12
) -> float:
    """Volume that cuts a step apart leave in a helical groove besides cuts a fraction of the step apart."""
    return _groove(kind, diameter, lead, length, depth, radius, step / fine) - _groove(
        kind, diameter, lead, length, depth, radius, step
    )


def _groove(kind: str, diameter: float, lead: float, length: float, depth: float, radius: float, step: float) -> float:
    if kind == "flat":
        tool = Manifold.cylinder(HEIGHT, radius, radius, 96)
    else:
        half = [(x, z) for x, z in _outline(radius, radius)[::20] if x >= 0]
        tool = Manifold.revolve(CrossSection([[(0.0, HEIGHT), (0.0, 0.0), *half, (radius, HEIGHT)]]), 96)
    tool = tool.translate((0, 0, diameter / 2 - depth))
    sweep = 360 * length / lead
    turns = [min(k * step, sweep) for k in range(math.ceil(sweep / step - 1e-9) + 1)]
    cuts = [tool.rotate((turn, 0, 0)).translate((lead * turn / 360, 0, 0)) for turn in turns]
    blank = Manifold.cylinder(length + 40, diameter / 2, diameter / 2, 1440).rotate((0, 90, 0)).translate((-20, 0, 0))
    return float((blank ^ Manifold.batch_boolean(cuts, OpType.Add)).volume())
