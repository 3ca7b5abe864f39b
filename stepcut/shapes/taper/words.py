"""The words of a taper: by steps as any turned shape, by the compound, or by the tailstock."""

from __future__ import annotations

from stepcut import gate
from stepcut.acts import Fact, Words
from stepcut.machine import Scale
from stepcut.plan import Plan
from stepcut.shapes.taper.settings import BLUNT, DIVISION, SINE_BAR, cosine, indicated, rows_of, sine, stand_off
from stepcut.shapes.turned import words as turned
from stepcut.shapes.turned.bench import TaperSizes
from stepcut.shapes.turned.words import CAUTIONS, dial_fact, dial_word
from stepcut.shop import tapers
from stepcut.voice import Dials, Voice
from stepcut.written import angle_text

TOUCH = "on the face for 0 along, and on the largest diameter for x"  # where another tool is set to nought
GAUGED = True  # blue shows in its ring or on its plug whether the angle is right


def _by_compound(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    """Return how a taper is cut with the compound; the face is its small end outside, its large end in a bore."""
    sizes: TaperSizes = plan.details.taper
    half, length, compound = sizes.half_angle, float(sizes.length), plan.machine.compound
    assert compound is not None  # noqa: S101  # the caller's condition
    bore = sizes.side == "bore"
    setting = tapers.compound_setting(half, compound.zero)
    doubled = bool(plan.machine.cross and plan.machine.cross.doubled)
    back = 25.4 if voice.unit == "in" else 25.0
    swung, end = ("TOWARD the axis", "large") if bore else ("AWAY from the axis", "small")
    handle = gate.line(compound.scale.handle or "compound")
    past, before = _out_of_slack(compound.scale, voice)
    return (
        ("Part held, running true; tool exactly at centre height", "TRUE"),
        (f"Compound swung, locked: fed toward the headstock the tool goes {swung} ({end} end at the face); at", angle_text(setting, places=2)),
        *((_by_sine_bar(sizes, voice),) if sizes.by == "sine-bar" else ()),
        (f"Touch a true bar, wind the {handle} back {voice.length(back)}{past}, touch again: cross-slide moved, on its {dial_word(plan)} dial",
         voice.length(back * sine(half) * (2 if doubled else 1))),
        ("Carriage locked; the compound alone feeds. Its gibs snug, tool and chuck clear at both ends: travel",
         voice.length(length / cosine(half) + float(compound.scale.clear(voice.unit)))),
        (f"Tool touches the face; passes begin {before}in front: compound dial", "0"),
        _set_by_the_blank(plan, voice, dials),
        ("Dry run, spindle stopped, tool clear: compound travel", "CLEAR"),
    )  # fmt: skip


def _out_of_slack(scale: Scale, voice: Voice) -> tuple[str, str]:
    """Return how the compound is wound back past its slack, and how far in front of the face a pass begins; empty without slack."""
    if not scale.backlash:
        return "", ""
    slack = voice.size(scale.backlash)
    return f" and more than its slack of {slack} past that, come up to it again", f"more than its slack of {slack} "


def _by_sine_bar(sizes: TaperSizes, voice: Voice) -> Fact:
    """Return how the compound is set by a sine bar: the bar stands on its blocks at the angle of one side."""
    bar = sizes.sine_bar or SINE_BAR[voice.unit]
    what = f"Sine bar {voice.size(bar)} on its blocks against a bar true with the ways; an indicator carried by the compound reads the same along it: blocks"
    return what, voice.length(tapers.sine_block(float(bar), sizes.half_angle))


def _by_tailstock(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    """Return how a taper is cut between centres with the tailstock set over; no bore is.

    The barrel of the tailstock shows how far it was moved; an indicator that the carriage carries shows nothing of the angle, for the
    carriage makes the flank: two diameters do.
    """
    sizes: TaperSizes = plan.details.taper
    large, small, length = float(sizes.large), float(sizes.small), float(sizes.length)
    work = float(sizes.work_length or 0)  # one without it was refused
    return (
        ("Part between greased centres; tool exactly at centre height", "TRUE"),
        ("Tailstock not set over yet: a trial cut's two diameters", "ALIKE"),
        (f"Indicator in the tool post, at 0 on the front of the tailstock's barrel. Tailstock moved TOWARD YOU, clamped (small end at its "
         f"face; work {voice.length(work)} between centres): it shows", voice.length(tapers.set_over(large, small, length, work))),
        ("Tool touches the face at the tailstock: z", "0"),
        _set_by_the_blank(plan, voice, dials),
        ("Dry run, spindle stopped, clear of dog and tailstock: carriage", "CLEAR"),
    )  # fmt: skip


def set_over_check(plan: Plan, voice: Voice) -> str:
    """Return how two diameters of the cone that stands tell what the set-over is off; a gauge or the blue on one too short for that.

    Notes
    -----
    Diameters a length c apart differ by c (D - d) / l; as the set-over is work (D - d) / 2 l, an error e of that difference is
    e work / 2 c of it.
    """
    sizes: TaperSizes = plan.details.taper
    told = indicated(sizes.half_angle, plan.details.long, voice.unit)
    if told is None:
        return "A gauge or the blue on the cone that stands tells the angle."
    apart, reading, _ = told
    each = DIVISION[voice.unit]
    move = voice.length(float(each) * float(sizes.work_length or 0) / (2 * float(apart)))
    return (
        f"Two diameters {voice.size(apart)} apart along the axis must differ by {voice.length(2 * reading)}; "
        f"each {voice.size(each)} more: tailstock {move} AWAY from you; less: toward you."
    )


def _set_by_the_blank(plan: Plan, voice: Voice, dials: Dials) -> Fact:
    """Return how the cross-slide is set: by the blank or the hole, beside the face."""
    details, scale = plan.details, plan.second
    what, least = ("hole", "at most") if details.in_bore else ("blank", "at least")
    there = "Compound at 0: tool" if plan.approach == "compound" else "Tool"
    size = (
        f"The {what} measured, {least} {voice.length(2 * details.metal)} DIAMETER. {there} touches it beside the face"
    )
    if scale.per_turn is None or not scale.backward(False):
        return f"{size}; set the {scale.name} to what you measured: x is then the size at the face, in", dial_word(plan)
    dial = dials.at(scale, -details.metal % scale.per_turn)
    return f"{size}. The {scale.name} dial FALLS as x grows: at {voice.size(2 * details.metal)} set it to", dial


def angle_check(plan: Plan, voice: Voice) -> str:
    """Return how the angle is looked at on the cone that stands before the finish; empty where that is too short."""
    sizes: TaperSizes = plan.details.taper
    told = indicated(sizes.half_angle, plan.details.long, voice.unit)
    if told is None:
        return "Look at the angle with the blue or a protractor." if plan.details.long else ""
    length, reading, minutes = told
    more = "more" if sizes.side == "outside" else "less"
    return (
        f"Indicator in the tool post, its plunger square to the axis on the cone, at centre height: carriage along {voice.size(length)}, it "
        f"must change {voice.length(reading)}; each {voice.size(DIVISION[voice.unit])} {more} is {minutes:.1f}' too {'steep' if more == 'more' else 'slender'}."
    )


def gauge_place(plan: Plan, voice: Voice, when: str = "now") -> str:
    """Return how far a gauge stands off before the finish, and for each division of the diameter; empty for a blunt cone.

    The act before the finish says it as of now, the desk as of then.
    """
    sizes: TaperSizes = plan.details.taper
    if sizes.half_angle > BLUNT:
        return ""
    gauge = "ring gauge" if sizes.side == "outside" else "plug gauge"
    each = DIVISION[voice.unit]
    over = (
        f"{when} {voice.length(stand_off(sizes, 2 * plan.details.rest))} off its place, " if plan.details.rest else ""
    )
    return f"A {gauge} stands {over}{voice.length(stand_off(sizes, each))} for each {voice.size(each)} on the DIAMETER."


def _sizes(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return the sizes that are measured at the end."""
    sizes: TaperSizes = plan.details.taper
    small = (
        (("Small end DIAMETER", voice.length(sizes.small)),) if sizes.small else (("The point", "sharp, on the axis"),)
    )
    return (("Large end DIAMETER", voice.length(sizes.large)), *small, ("Length", voice.length(sizes.length)))


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a taper says about itself."""
    head, sizes = rows_of(plan, voice), _sizes(plan, voice)
    if plan.coned:
        tilted = plan.approach == "set-over"
        by, set_up = (
            ("cross-slide and carriage, tailstock set over", _by_tailstock)
            if tilted
            else ("cross-slide and compound", _by_compound)
        )
        at_face = "large" if plan.details.in_bore else "small"
        end = dials.at(plan.second, plan.second.value(plan.stops[-1].second))
        left = f"{voice.length(plan.result.stock_max)} on the radius, everywhere"
        return Words(
            size=head[0][1],
            head=(*head, ("Cut", f"lathe, {by}; no stairs, nothing to file"), *_not_used(plan), dial_fact(plan)),
            desk=(
                ("Leave", left),
                ("End size", f"x {end} {dial_word(plan)}, the {at_face} end, at the face"),
                *_gauge(plan, voice),
            ),
            set_up=set_up(plan, voice, dials),
            after=sizes,
            cautions=CAUTIONS,
            names=("z" if tilted else "compound", "x"),
            column="STAGE",
            ticks=("set", "cut"),
        )
    return turned.words(plan, voice, dials, head, sizes)


def _not_used(plan: Plan) -> tuple[Fact, ...]:
    """Return what was given and is of no use, said where somebody looks for it."""
    given = plan.details.taper.not_used
    return (("Not used", f"{', '.join(given)}: each pass is a whole cone; cut-depth says how deep"),) if given else ()


def _gauge(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    told = gauge_place(plan, voice, "before the finish")
    return (("Gauge", told),) if told else ()
