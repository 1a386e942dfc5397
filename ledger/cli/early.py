"""Help, slips and completion, answered before options become values: that step loads a large library."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

_ENDS_OPTIONS = "--"
_PREFIXES = ("-", "--")


class EarlyCommand(TyperCommand):
    """A command that a shell can complete without converting what was typed so far."""

    def make_context(self, info_name: str | None, args: list[str], parent: Any = None, **extra: Any) -> Any:
        """Only look where a shell asks; else the usual way."""
        if extra.get("resilient_parsing"):
            return _looked_at(self, info_name, args, parent, extra)
        return super().make_context(info_name, args, parent, **extra)


class EarlyGroup(TyperGroup):
    """The commands, of which each shows its help and refuses an unknown option before anything is converted."""

    def make_context(self, info_name: str | None, args: list[str], parent: Any = None, **extra: Any) -> Any:
        """Look at the words behind a command's name first; what is in order goes the usual way."""
        if extra.get("resilient_parsing"):
            return _looked_at(self, info_name, args, parent, extra)
        if args and not args[0].startswith("-"):
            above: Any = self.context_class(self, info_name=info_name, **self.context_settings)
            name, command, words = self.resolve_command(above, list(args))  # an unknown name is refused here
            if command is not None:
                context = command.context_class(command, info_name=name, parent=above, **command.context_settings)
                _answer_early(command, context, words)
        return super().make_context(info_name, args, parent, **extra)


def _answer_early(command: Any, context: Any, words: list[str]) -> None:
    options = words[: words.index(_ENDS_OPTIONS)] if _ENDS_OPTIONS in words else words
    if any(name in options for name in command.get_help_option_names(context)):
        typer.echo(command.get_help(context))
        raise typer.Exit
    command.make_parser(context).parse_args(args=list(words))


def _looked_at(command: Any, name: str | None, args: list[str], parent: Any, extra: dict[str, Any]) -> Any:
    """A context that knows which words are options and which are not, and nothing of their values."""
    context = command.context_class(command, info_name=name, parent=parent, **{**command.context_settings, **extra})
    context._opt_prefixes.update(_PREFIXES)  # what reading the words would have set, had it not converted them
    _, context.args, _ = command.make_parser(context).parse_args(args=list(args))
    return context
