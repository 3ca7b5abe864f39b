"""Making a command from a function, or a small group of them, the same way everywhere; and how their help is laid out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

from stepcut.cli.examples import EXAMPLES, examples_of

GROUPS = ("part", "cutter", "steps", "paper", "other")


class Grouped(TyperCommand):
    """A command whose help shows its options under headings, and two real examples."""

    examples: tuple[str, ...] = ()

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """Write arguments and options, the options by their heading where they have one."""
        groups: dict[str, list[tuple[str, str]]] = {}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is None:
                continue
            argument = param.param_type_name == "argument"
            heading = "Arguments" if argument else getattr(param, "rich_help_panel", None) or "other"
            groups.setdefault(heading, []).append(record)
        ungrouped = not any(name in groups for name in GROUPS[:-1])
        for name in ("Arguments", *GROUPS):
            if name in groups:
                title = "Options" if name == "other" and ungrouped else name.capitalize()
                with formatter.section(title):
                    formatter.write_dl(groups[name])

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """Write the examples, one a line and unbroken so that they can be copied."""
        _examples(self.examples, formatter)


def one(name: str, body: Callable[..., Any]) -> TyperCommand:
    """Return a command made from a function's signature."""
    app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    app.command(name, cls=Grouped)(body)
    built: TyperCommand = typer.main.get_command(app)  # type: ignore[assignment]  # one command, so no group
    assert isinstance(built, Grouped)  # noqa: S101  # for the type checker; it was made so above
    built.examples = examples_of(name)
    return built


class Gathered(TyperGroup):
    """A group of commands whose help ends with two examples of them."""

    examples: tuple[str, ...] = ()

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """Write the examples, one a line and unbroken so that they can be copied."""
        _examples(self.examples, formatter)


def _examples(examples: tuple[str, ...], formatter: Any) -> None:
    if examples:
        with formatter.section("Examples"):
            for example in examples:
                formatter.write(f"  stepcut {example}\n")


def several(group: str, help_text: str, bodies: Mapping[str, Callable[..., Any]]) -> TyperCommand:
    """Return a group of commands by name."""
    app = typer.Typer(
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        help=help_text,
        no_args_is_help=True,
        cls=Gathered,
    )
    app.callback()(lambda: None)
    for name, body in bodies.items():
        app.command(name, cls=Grouped)(body)
    built: TyperCommand = typer.main.get_command(app)  # type: ignore[assignment]  # typer gives a group, which is called alike
    for name in bodies:
        built.commands[name].examples = EXAMPLES.get(f"{group} {name}", ())  # type: ignore[attr-defined]  # a group has its commands
    every = [EXAMPLES[f"{group} {name}"][0] for name in bodies if f"{group} {name}" in EXAMPLES]
    built.examples = tuple(every[:2])  # type: ignore[attr-defined]  # a Gathered
    return built
