"""The hands: where every handle stands, which way takes its slack up, and the words of each act."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from msgspec import Struct, field

from stepcut import gate
from stepcut.acts import Act, Axis, Kind, Reading
from stepcut.machine import Scale
from stepcut.machine.model import nice_up
from stepcut.plan import Plan, Stop
from stepcut.routine import details
from stepcut.routine.reach import scale_of
from stepcut.voice import Dials, Voice, turns_text

INWARD = ("depth", "z", "compound")  # positions that grow into the work; x and heights above an axis shrink
STAYS = "stays"  # in place of turns, where the table is there already


class Piece(Struct, frozen=True):
    """Acts that stand together: those of one cut, one check, or (without a stop) one change."""

    stop: Stop | None
    acts: tuple[Act, ...]


class Hands(Struct, dict=True):
    """A pair of hands at one machine, writing down what it does.

    Parameters
    ----------
    plan, voice, dials
        What is cut, and how its readings are said.
    names : dict
        What the reading of an axis is called: rim, depth, x, height.
    at : dict
        Where each axis stands, in the acts' coordinates.
    sense : dict
        +1 or -1: the direction in which an axis takes its slack up; +1 when not named.
    """

    plan: Plan
    voice: Voice
    dials: Dials
    names: dict[Axis, str]
    at: dict[Axis, Fraction] = field(default_factory=dict)
    sense: dict[Axis, int] = field(default_factory=dict)
    acts: list[Act] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    last: list[tuple[Act, ...]] = field(
        default_factory=list
    )  # what is cut last for each row that is measured at the end
    said: dict[int, str] = field(default_factory=dict)  # what is alike on all lines of a flank
    cranked: dict[int, str] = field(default_factory=dict)  # turns of the crank, in words, by the stop that they lead to
    checks: dict[int, tuple[Reading, ...]] = field(default_factory=dict)  # by the stop that they follow
    measured: bool = False  # whether a check is measured on the part
    unplaced: bool = False  # whether nobody knows where the table stands until it is next turned
    rough: dict[int, tuple[Fraction, ...]] = field(default_factory=dict)  # passes before the last, by the stop's number
    stop: Stop | None = None

    # --- stops -----------------------------------------------------------------------------------------------

    @cached_property
    def numbered(self) -> dict[int, Stop]:
        """The stops by their numbers; a job that goes on has not all of them."""
        return {stop.n: stop for stop in self.plan.stops}

    @cached_property
    def before(self) -> dict[int, Stop]:
        """The stop before, by number; the first has none."""
        return {stop.n: last for last, stop in pairwise(self.plan.stops)}

    @cached_property
    def beside(self) -> dict[int, Stop]:
        """The stop before of the same ramp, groove or corner, by number; the first of each has none."""
        last: dict[int, Stop] = {}
        found = {}
        for stop in self.plan.stops:
            if stop.start in last:
                found[stop.n] = last[stop.start]
            last[stop.start] = stop
        return found

    @cached_property
    def after(self) -> dict[int, Stop]:
        """The stop after, by number; the last has none."""
        return {stop.n: following for stop, following in pairwise(self.plan.stops)}

    @cached_property
    def sweeps(self) -> dict[int, int]:
        """The number of the stop where a sweep ends, by that where it begins."""
        return details.sweeps(self.plan)

    @cached_property
    def swept(self) -> frozenset[int]:
        """The numbers of the stops at which a sweep ends."""
        return frozenset(self.sweeps.values())

    # --- scales ----------------------------------------------------------------------------------------------

    def scale(self, axis: Axis) -> Scale:
        """Return the scale of an axis; the caller knows that the machine has it."""
        found = self._scales.get(axis)
        if found is None:
            found = self._scales[axis] = scale_of(self.plan, axis)
        return found

    @cached_property
    def _scales(self) -> dict[Axis, Scale]:
        return {}

    @property
    def axes(self) -> tuple[Axis, Axis]:
        """The two axes of the plan."""
        first, second = self.plan.axes
        return first, second  # type: ignore[return-value]  # the contract's names of axes

    def reading(self, axis: Axis, to: Fraction) -> str:
        """Return what the axis' scale reads at a position."""
        return self.dials.rim_at(to) if axis == "table" else self.dials.at(self.scale(axis), to)

    def handle(self, axis: Axis) -> str:
        """Return the name of the handle that moves a straight axis."""
        scale = self.scale(axis)
        return gate.line(scale.handle or " ".join(scale.name.replace("readout", " ").split()))

    def backward(self, axis: Axis) -> bool:
        """Whether a handle's dial falls while the position grows, as the machine's file says of inward moves."""
        return self.scale(axis).backward(axis in INWARD)

    def working(self, axis: Axis) -> int:
        """Return +1 or -1: the direction in which an axis takes its slack up; the scale's own where no cut settles it."""
        if axis not in self.sense and self.axes[0] == "table" and axis in ("x", "slide"):
            return -1 if self.scale(axis).comes_up == "falls" else 1
        return self.sense.get(axis, 1)

    def dial(self, axis: Axis, to: Fraction) -> Fraction | None:
        """Return what the handle's dial reads at a position; None when it has none."""
        if axis == "table":
            return self.dials.dial_at(to) if self.dials.table.crank_dial else None
        scale = self.scale(axis)
        return None if scale.per_turn is None else self._on_dial(axis, to, scale.per_turn) * (2 if scale.doubled else 1)

    def _on_dial(self, axis: Axis, to: Fraction, per_turn: Fraction) -> Fraction:
        return (-to if self.backward(axis) else to) % per_turn

    def dial_text(self, axis: Axis, to: Fraction) -> str:
        """Return what the handle's dial reads, as text; empty when it has none."""
        if axis == "table":
            return self.dials.landing(to)
        scale = self.scale(axis)
        return "" if scale.per_turn is None else self.dials.at(scale, self._on_dial(axis, to, scale.per_turn))

    def past(self, axis: Axis) -> Fraction:
        """Return how far past its mark an axis must go back before it comes up again: a quarter turn, or twice the slack."""
        scale = self.scale(axis)
        quarter = scale.per_turn / 4 if scale.per_turn else nice_up(Fraction(1), self.voice.unit)
        most = max(2 * scale.backlash, quarter)
        return -(-most // scale.division) * scale.division

    def clearance(self, axis: Axis) -> Fraction:
        """Return how far clear of the metal a cutter is taken along an axis: over 1 mm more than its slack."""
        return self.scale(axis).clear(self.voice.unit)

    def _turns(self, axis: Axis, to: Fraction) -> Fraction | None:
        per_turn = self.dials.table.degrees_per_turn if axis == "table" else self.scale(axis).per_turn
        return None if per_turn is None else abs(to - self.at[axis]) / per_turn

    def piece(self, stop: Stop | None, begin: int) -> None:
        """Remember the acts written since there were `begin` of them as one piece."""
        self.pieces.append(Piece(stop, tuple(self.acts[begin:])))

    # --- acts ------------------------------------------------------------------------------------------------

    def write(self, kind: Kind, text: str, **more: object) -> Act:
        """Write an act down; it belongs to the stop in hand unless told otherwise."""
        given: dict[str, object] = {"stop": self.stop.n, "start": self.stop.start} if self.stop else {}
        act = Act(len(self.acts) + 1, kind, text=text, **{**given, **more})  # type: ignore[arg-type]  # names are checked by Act
        self.acts.append(act)
        return act

    def turn(self, to: Fraction) -> None:
        """Turn the table on to a position, never back."""
        if to < self.at["table"]:
            to += 360 * -(-(self.at["table"] - to) // 360)
        turns = STAYS
        if to != self.at["table"]:
            on, there = "" if self.dials.circle else "dial ", self.dial_text("table", to)
            turns = "on" if self.unplaced else self.turns_to(to)
            how = "Pin out, table by hand" if self.dials.table.direct else "Turn"
            text = f"{how} {turns}, {f'land on {on}{there}; rim then reads' if there else 'land where the rim reads'} {self.reading('table', to)}."
        else:
            there, dial = self.dial_text("table", to), "" if self.dials.circle else "dial "
            text = f"The table stays: rim reads {self.reading('table', to)}{f', {dial}{there}' if there else ''}."
        if self.stop is not None:
            self.cranked.setdefault(self.stop.n, turns)
        self.write(
            "turn", text, axis="table", to=to, way="working",
            turns=None if self.unplaced else self._turns("table", to), dial=self.dial("table", to), far=turns,
        )  # fmt: skip
        self.at["table"], self.unplaced = to, False

    def back(self, to: Fraction) -> None:
        """Turn the table to a place behind it, cutter clear: back past it for the slack and on to it; or all round, if that is nearer.

        Back in whole turns, so that the crank stops where it stands now.
        """
        if self.at["table"] - to <= 180:
            turn = self.dials.table.degrees_per_turn
            past = self.at["table"] - turn * math.ceil((self.at["table"] - to + self.past("table")) / turn)
            far = f"BACK {self.dials.turning(past, self.at['table'])}"
            text = f"Turn {far} to {self.dials.landed(past)}: past where the sweep begins, for the slack."
            self.write(
                "turn", text, axis="table", to=past, way="back", turns=self._turns("table", past), dial=self.dial("table", past), far=far,
            )  # fmt: skip
            self.at["table"] = past
        self.turn(to)

    def lock(self, what: str = "Lock the table.") -> None:
        """Lock what must not move in the cut."""
        self.write("lock", what)

    def _set_text(self, axis: Axis, to: Fraction) -> str:
        dial = self.dial_text(axis, to)
        text = f"{self.names[axis]} {self.reading(axis, to)}"
        if not dial:
            return text
        whole = to // per_turn if (per_turn := self.scale(axis).per_turn) else 0
        turns = f" ({whole} turn{'' if whole == 1 else 's'} from 0)" if whole > 0 else ""
        return f"{text}, {self.handle(axis)} dial {dial}{turns}"

    def set(self, axis: Axis, to: Fraction) -> None:
        """Set an axis; against its working way it goes past first and comes up again."""
        sense = self.working(axis)
        if (to - self.at[axis]) * sense < 0:
            past = to - sense * self.past(axis)
            self._move("set", axis, past, "back", f"Back past it to {self._set_text(axis, past)}, for the slack.")
        stays = to == self.at[axis]
        text = (
            f"{self.names[axis].capitalize()} stays at {self.reading(axis, to)}."
            if stays
            else f"Set {self._set_text(axis, to)}."
        )
        self._move("set", axis, to, "working", text)

    def _move(self, kind: Kind, axis: Axis, to: Fraction, way: str, text: str, **more: object) -> None:
        turns = self._turns(axis, to)
        self.write(kind, text, axis=axis, to=to, way=way, turns=turns, dial=self.dial(axis, to), **more)
        self.at[axis] = to

    def clear(self, axis: Axis, to: Fraction, text: str, confirm: bool = False) -> None:
        """Take the cutter clear along an axis."""
        self._move("clear", axis, to, "back", text, confirm=confirm)

    def feed(self, axis: Axis, to: Fraction, text: str) -> None:
        """Cut by feeding an axis to a position; the cutter then stands in the work."""
        self._move("cut", axis, to, "working", text, ends="in")

    def feed_text(self, axis: Axis, to: Fraction) -> str:
        """Return the reading to feed to."""
        return self._set_text(axis, to)

    def across(self, text: str, ends: str = "clear") -> None:
        """Cut by feeding across, on no scale of the plan."""
        self.write("cut", text, ends=ends)

    def turns_to(self, to: Fraction) -> str:
        """Return the turns of the crank from here to a table position, in words."""
        return self.dials.turning(self.at["table"], to)


__all__ = ["Hands", "turns_text"]
