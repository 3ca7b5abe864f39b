"""The spindle's speed as a card says it: see :mod:`stepcut.shop.turning`."""

from __future__ import annotations

from stepcut.acts import Fact
from stepcut.plan import Plan
from stepcut.routine import details
from stepcut.shop.turning import CARBIDE, FOOT, MATERIALS, Range, of_the_machine, turns_a_minute
from stepcut.voice import Voice


def speed_line(plan: Plan, voice: Voice) -> Fact:
    """Return what to set the spindle to: for which cutter in which material, the range, and the machine's own speeds in it."""
    tool, rate = _for(plan, voice)
    across = details.turned_over(plan)
    if across is None:  # a turned flank on the mill: the cutter's size is not among the inputs
        return f"Spindle: {tool}, at the cutter's rim", rate
    lathe = _on_lathe(plan)
    low, high = _feet(plan)
    slow, fast = turns_a_minute(across, low), turns_a_minute(across, high)
    take = of_the_machine(slow, fast, plan.machine.lathe_speeds if lathe else plan.machine.speeds)
    work = voice.length(across, 2 if voice.unit == "in" else 0)
    said = f"{tool}, {work} of work" if lathe else f"{voice.size(across)} {tool}"
    return f"Spindle: {said}", f"{slow} to {fast} rpm{': ' if take else ''}{take}"


def rate_line(plan: Plan, voice: Voice) -> Fact:
    """Return the cutting speed that the spindle's speed comes from, with its source: for the desk."""
    _, rate = _for(plan, voice)
    tool, material = "carbide" if plan.carbide else "HSS", MATERIALS[plan.material or "mild-steel"].called
    smaller = "; faster where the work is smaller" if _on_lathe(plan) else ""
    return "Speed", f"{rate} by a published table: {tool}, {material}{'' if plan.material else ' (none told)'}{smaller}"


def no_rate_lines(plan: Plan) -> tuple[Fact, ...]:
    """Return what was told for the speed of a spindle that no cutter of this plan turns with; nothing where nothing was."""
    told = [f"material = {plan.material}"] if plan.material else []
    told += ["cutter-material = carbide"] if plan.carbide else []
    return (("Not used", f"{', '.join(told)}: a speed is told where a cutter is given"),) if told else ()


def _on_lathe(plan: Plan) -> bool:
    return plan.approach == "lathe" or plan.coned


def _feet(plan: Plan) -> Range:
    """Return the cutting speed, least and most, ft/min."""
    material = MATERIALS[plan.material or "mild-steel"]
    low, high = material.lathe if _on_lathe(plan) else material.mill
    times = CARBIDE if plan.carbide else 1
    return low * times, high * times


def _for(plan: Plan, voice: Voice) -> Fact:
    """Return the cutter's and the part's material, and the cutting speed."""
    material = MATERIALS[plan.material or "mild-steel"]
    low, high = _feet(plan)
    rate = f"{low} to {high} ft/min" if voice.unit == "in" else f"{_metres(low)} to {_metres(high)} m/min"
    return f"{'carbide' if plan.carbide else 'HSS'}, {'' if plan.material else 'if '}{material.called}", rate


def _metres(feet: int) -> int:
    return round(feet * FOOT / 1000)
