"""What all verbs share: read the file, refuse it, show a bar, write a record. Data goes to stdout, talk to stderr."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import click

from headrace import machine
from headrace.errors import HeadraceError, MachineFileError

Record = dict[str, Any]

UNUSABLE = 2  # exit code: the input cannot be used


def reading_of(file: Path, *, understood: bool = False) -> machine.Reading:
    """Read a machine file; print what is asked, and on request what was understood; leave with 2 when it is unusable.

    Parameters
    ----------
    file
        The machine file.
    understood
        Say the energies, charges and powers of the file back in other words.
    """
    try:
        reading = machine.read(file)
    except MachineFileError as trouble:
        refuse(str(trouble))
    except HeadraceError as trouble:
        refuse(f"error: {trouble}")
    for line in (*(reading.said_back if understood else ()), *reading.doubts):
        say(str(line))
    return reading


def as_text(record: Record) -> str:
    """Return a record as JSON."""
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False)


def say(text: str) -> None:
    """Print to stderr."""
    click.echo(text, err=True)


def refuse(text: str) -> NoReturn:
    """Say why and leave with 2."""
    say(text)
    sys.exit(UNUSABLE)


@contextmanager
def progress_of(what: str) -> Iterator[Any]:
    """Show a bar on a terminal; stay silent elsewhere."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    with Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(), console=console, transient=True
    ) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda share: bar.update(task, completed=share)
