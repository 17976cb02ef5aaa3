"""How verbs are asked for: help that is told whole, and a slip in the asking refused like any other."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from contextlib import contextmanager
from difflib import get_close_matches
from typing import Any

import click

EXAMPLE = re.compile(r"^Example:  (.*)", re.MULTILINE)
TYPED = re.compile(r"'?(.*?)'? is not ")  # how the framework opens what it says of a value
WHOLE = 1000  # characters of the first sentence of a verb's help; none is longer


class Verb(click.Command):
    """A verb whose examples keep their lines, and whose first sentence is never cut."""

    def __init__(self, *words: Any, **keys: Any) -> None:
        super().__init__(*words, **keys)
        self.help = EXAMPLE.sub("\b\n\\g<0>", inspect.cleandoc(self.help or ""))

    def get_short_help_str(self, limit: int = WHOLE) -> str:
        """Return the first sentence of the help."""
        return super().get_short_help_str(max(limit, WHOLE))


class Verbs(click.Group):
    """The verbs; what is asked for wrongly is refused with what is wrong and the way out."""

    command_class = Verb

    def make_context(self, *words: Any, **keys: Any) -> click.Context:
        """Read what stands before the verb."""
        with _in_our_form():
            return super().make_context(*words, **keys)

    def invoke(self, ctx: click.Context) -> Any:
        """Read what stands behind the verb, and do it."""
        with _in_our_form():
            return super().invoke(ctx)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the verb that is asked for; of an unknown one the nearest are named."""
        known = self.list_commands(ctx)
        if args and args[0] not in known and not args[0].startswith("-") and not ctx.resilient_parsing:
            near = get_close_matches(args[0], known, 2)
            way_out = f"did you mean {' or '.join(near)}?" if near else f"verbs are: {', '.join(known)}"
            raise Misasked(f"{args[0]} is no verb of headrace", way_out, ctx)
        return super().resolve_command(ctx, args)


class Misasked(click.UsageError):
    """What was asked for cannot be: what is wrong, and the way out."""

    def __init__(self, what: str, way_out: str, ctx: click.Context | None) -> None:
        super().__init__(what, ctx)
        self.way_out = way_out

    def show(self, file: Any = None) -> None:
        """Print both."""
        click.echo(f"error: {self.message}\n  way out: {self.way_out}", file=file, err=file is None)


@contextmanager
def _in_our_form() -> Iterator[None]:
    try:
        yield
    except (Misasked, click.exceptions.NoArgsIsHelpError):
        raise
    except click.UsageError as slip:
        raise Misasked(_plainly(slip), _way_out(slip), slip.ctx) from slip


def _plainly(slip: click.UsageError) -> str:
    """Return what is wrong, without a full stop."""
    param = getattr(slip, "param", None)
    if isinstance(slip, click.NoSuchOption):
        return f"{slip.option_name} is no option of {_asked(slip.ctx)}"
    if isinstance(slip, click.MissingParameter) and param is not None:
        return f"{_asked(slip.ctx)} needs {_called(param)}"
    if isinstance(slip, click.BadParameter) and param is not None:
        typed, must = TYPED.match(slip.message), _limit(param.type)
        return f"{_called(param)} = {typed[1]} {must}" if typed and must else f"{_called(param)}: {slip.message}"
    return (slip.message[:1].lower() + slip.message[1:]).rstrip(".")


def _called(param: click.Parameter) -> str:
    return param.opts[0] if isinstance(param, click.Option) else str(param.name).upper()


def _limit(kind: click.ParamType[Any]) -> str:
    """Return what must be."""
    if isinstance(kind, click.IntRange):
        ends = f"from {kind.min} to {kind.max}" if kind.max is not None else f"of at least {kind.min}"
        return f"must be a whole number {ends}"
    return f"must be one of {', '.join(map(str, kind.choices))}" if isinstance(kind, click.Choice) else ""


def _way_out(slip: click.UsageError) -> str:
    near = (getattr(slip, "possibilities", None) or [])[:2]
    if near:
        return f"did you mean {' or '.join(near)}?"
    example = EXAMPLE.search(slip.ctx.command.help or "") if slip.ctx is not None else None
    if isinstance(slip, click.MissingParameter) and example is not None:
        return example[1]
    return f"{_asked(slip.ctx)} --help   shows how to ask"


def _asked(ctx: click.Context | None) -> str:
    """Return what was typed before the slip: headrace and its verb."""
    verbs = ctx.command_path.split()[1:] if ctx is not None else []
    return " ".join(["headrace", *verbs])
