"""What each verb does: read the file, solve, print. Data goes to stdout, talk to stderr."""

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
from headrace.frontends.cli import tables
from headrace.machine.records import Machine

UNUSABLE = 2  # exit code: the input cannot be used
REJECTED = 1  # exit code: a stop finding, or nothing works


def new(starter: str, file: Path) -> None:
    """Write a starter; never over a file that is there."""
    if file.exists():
        _refuse(f"error: {file} is there already\n  hint: name another file, or move that one away")
    try:
        machine.save(file, machine.starter(starter))
    except OSError as trouble:
        _refuse(f"error: {file} cannot be written\n  {trouble.strerror}")
    _say(f"wrote {file}\nFill in what you know; then: headrace check {file}")


def losses(file: Path, as_json: bool) -> None:
    """Print the ledger of every duty state."""
    plan = _read(file)
    from headrace import design
    from headrace.design.record import losses_record

    with _progress("marching to the middle of the day") as progress:
        found = design.losses(plan, design.day(plan, progress))
    record = losses_record(plan, found)
    _print(record, as_json, tables.losses)


def packs(file: Path, as_json: bool) -> None:
    """Print the map of packs."""
    plan = _read(file)
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record

    with _progress("trying every pack") as progress:
        found = pack_map(plan, progress=progress)
    record = packs_record(found)
    _print(record, as_json, tables.packs)
    if record["smallest"] is None:
        sys.exit(REJECTED)


def day(file: Path, as_json: bool) -> None:
    """Print a day's work."""
    plan = _read(file)
    from headrace import design
    from headrace.design.record import day_record

    with _progress("working through the day") as progress:
        worked = design.day(plan, progress)
        lasts = design.until_empty(plan, progress)
    _print(day_record(plan, worked, lasts, design.lowest_charges(plan, worked)), as_json, tables.day)


def check(file: Path, as_json: bool) -> None:
    """Print the findings."""
    reading = _reading(file)
    plan = reading.machine
    from headrace import design
    from headrace.design.record import check_record
    from headrace.findings import judge

    with _progress("checking four days and the corners") as progress:
        found = design.evidence(plan, progress)
    record = check_record(plan, found, judge(found), _asked(reading))
    _print(record, as_json, tables.check)
    _stop_on(record)


def design(file: Path, out: Path, as_json: bool) -> None:
    """Do the whole job into a folder."""
    reading = _reading(file)
    plan = reading.machine
    from headrace.design import solve
    from headrace.design.record import design_record
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record
    from headrace.paper.report import report

    with _progress("designing") as progress:
        solved = solve(plan, progress)
    with _progress("trying every pack") as progress:
        packs_found = pack_map(plan, progress=progress)
    record = {**design_record(solved, _asked(reading)), "packs": packs_record(packs_found)}
    results, page = _as_text(record) + "\n", report(record)
    try:
        out.mkdir(parents=True, exist_ok=True)
        machine.save(out / "results.json", results)
        machine.save(out / "report.html", page)
    except OSError as trouble:
        _refuse(f"error: {out} cannot be written into\n  {trouble.strerror}")
    _print(record, as_json, tables.design)
    _say(f"wrote {out / 'results.json'} and {out / 'report.html'}")
    _stop_on(record)


def _read(file: Path) -> Machine:
    """Return the machine of a file."""
    return _reading(file).machine


def _reading(file: Path) -> machine.Reading:
    """Read a machine file; print what was understood and asked; leave with 2 when it cannot be used."""
    try:
        reading = machine.read(file)
    except MachineFileError as trouble:
        _refuse(str(trouble))
    except HeadraceError as trouble:
        _refuse(f"error: {trouble}")
    for line in (*reading.said_back, *reading.doubts):
        _say(str(line))
    return reading


def _asked(reading: machine.Reading) -> list[str]:
    return [" ".join(str(doubt).split()) for doubt in reading.doubts]


def _print(record: dict[str, Any], as_json: bool, table: Any) -> None:
    click.echo(_as_text(record) if as_json else table(record))


def _as_text(record: dict[str, Any]) -> str:
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False)


def _stop_on(record: dict[str, Any]) -> None:
    if any(finding["level"] == "stop" for finding in record["findings"]):
        sys.exit(REJECTED)


def _say(text: str) -> None:
    click.echo(text, err=True)


def _refuse(text: str) -> NoReturn:
    _say(text)
    sys.exit(UNUSABLE)


@contextmanager
def _progress(what: str) -> Iterator[Any]:
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
