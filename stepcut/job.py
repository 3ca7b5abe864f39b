"""A job: a recipe on its machine, read and ready to solve; and what must be said about the two."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from fractions import Fraction
from functools import cached_property
from importlib import import_module
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused, StepcutError
from stepcut.fields import Units, Values, read
from stepcut.machine import Machine
from stepcut.machine import chosen as choice
from stepcut.machine import files as machines
from stepcut.machine.said import differences, figures, moved
from stepcut.plan import Plan
from stepcut.quantity import Unit
from stepcut.recipes import Recipe
from stepcut.shapes import Kind, common_fields, kind
from stepcut.shop.blueing import Use


class Job(Struct, frozen=True, dict=True):
    """A recipe on its machine, read and ready to solve.

    Parameters
    ----------
    machine_name : str
        The name or path that finds the machine again.
    """

    recipe: Recipe
    kind: Kind
    machine: Machine
    values: Values
    machine_name: str = ""
    machine_file: str = ""  # the text of the machine's file, to be kept with the job

    @cached_property
    def plan(self) -> Plan:
        """The solved plan."""
        found = self.kind.build(self.values, self.machine)
        of = self.values["cutter-material"] or (
            "carbide" if "carbide" in str(self.values.texts.get("cutter")).lower() else "hss"
        )
        return replace(found, material=self.values["material"] or "", carbide=of == "carbide")

    @property
    def use(self) -> Use | None:
        """What the part is for, as its recipe says: clamp, dog or lift; None where it does not, or its shape has no uses."""
        said: Use | None = self.values.get("for")
        return said

    @property
    def revision(self) -> str:
        """Short hash of everything the plan depends on: values and machine, not how they were written."""
        machine = replace(
            self.machine,
            note="",
            name="",
            cutters=(),
            gears=(),
            speeds=(),
            lathe_speeds=(),
            more_depths=(),
            example=False,
        )
        common = {field.key for field in common_fields()}  # move no cut
        later = {field.key for field in self.kind.fields if field.later}
        values = {key: value for key, value in self.values.items() if (value or key not in later) and key not in common}
        content = json.dumps([self.recipe.shape, _plain(values), _plain(machine)], sort_keys=True)
        return _hashed(content.encode())[:8]

    @property
    def kept(self) -> Recipe:
        """The recipe with the machine it was solved for, as it is saved."""
        return replace(self.recipe, machine=self.machine_name, solved_on=figures(self.machine))

    def resized(self, sets: Mapping[str, str]) -> Job:
        """Return the job with some values replaced, on the same machine."""
        return job_on(self.recipe.resized(sets), self.machine, self.machine_file, self.machine_name)

    @cached_property
    def other_machine(self) -> str:
        """What must be said when the recipe was solved for another machine, or for this one with other figures; or empty."""
        was = self._was()
        if was is None:
            return ""
        changed = differences(was, figures(self.machine))
        if changed and (moved := self._moved()):
            changed = differences(
                *({k: v for k, v in each.items() if k in moved} for each in (was, figures(self.machine)))
            )
        other = self.recipe.machine and self.recipe.machine != self.machine_name
        if not changed:
            return ""
        began = f"Made for machine {self.recipe.machine}, solved for {self.machine_name}" if other else f"Machine {self.machine_name} has changed since this was saved"  # fmt: skip
        return f"{began}: {'; '.join(changed)}."

    def _moved(self) -> frozenset[str]:
        """Return the figures of the scales that this job reads, by name; none when it cannot be solved."""
        try:
            plan = self.plan
        except (Refused, StepcutError):
            return frozenset()
        deepens = plan.approach not in ("lathe", "lines") and not plan.coned and plan.axes[1] != "radius"
        return moved(self.machine, {plan.first.name, plan.second.name}, deepens)

    def _was(self) -> Mapping[str, str] | None:
        """Return the figures of the machine that the recipe was solved for; None when they are not known."""
        if self.recipe.solved_on:
            return self.recipe.solved_on
        if not self.recipe.machine or self.recipe.machine == self.machine_name:
            return None
        try:
            return figures(machines.find(self.recipe.machine))
        except StepcutError:
            return None


def _hashed(content: bytes) -> str:
    """Return the SHA-256 of some bytes in hex digits, without the cryptographic library that hashlib loads where that can be."""
    for own in ("_sha2", "_sha256"):  # of Python from 3.12 on, and before
        with suppress(ImportError):
            digest: str = import_module(own).sha256(content).hexdigest()
            return digest
    from hashlib import sha256

    return sha256(content).hexdigest()


def _plain(value: Any) -> Any:
    """Return a value as JSON can hold it; of a record only what is not as it always was, so that it may grow."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, Struct):
        names, defaults = value.__struct_fields__, value.__struct_defaults__
        usual = dict(zip(names[len(names) - len(defaults) :], defaults, strict=True))
        parts = {name: getattr(value, name) for name in names}
        return {name: _plain(part) for name, part in parts.items() if name not in usual or part != usual[name]}
    return str(value) if isinstance(value, Fraction) else value


def job(recipe: Recipe, machine_name: str | None = None) -> Job:
    """Return a recipe on its machine.

    Parameters
    ----------
    recipe : Recipe
        The inputs.
    machine_name : str or None
        A machine to use instead of the recipe's own and of the user's choice.
    """
    name = choice.which(machine_name, recipe.machine, recipe.unit)
    return job_on(recipe, *machines.found(name), name)


def job_on(recipe: Recipe, machine: Machine, machine_file: str = "", machine_name: str = "") -> Job:
    """Return a recipe on a machine that is at hand."""
    the_kind = kind(recipe.shape)
    crank = machine.table.degrees_per_turn if machine.table else None
    said: Unit = "mm" if (recipe.unit or machine.unit) == "mm" else "in"
    values = read(recipe.values, the_kind.fields, Units(recipe.unit, crank, said, recipe.apart), recipe.where)
    return Job(recipe, the_kind, machine, values, machine_name or machine.name, machine_file)
