"""What each verb does: read the file, solve, print. Data goes to stdout, talk to stderr."""

from __future__ import annotations

import difflib
import inspect
import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from headrace import machine
from headrace.errors import HeadraceError, MachineFileError
from headrace.frontends.cli import bands, explained, tables
from headrace.machine.records import Machine

if TYPE_CHECKING:
    from headrace.design.record import Sample
    from headrace.findings import Rule
    from headrace.frontends.cli.main import Sure
    from headrace.physics.working import Node

Record = dict[str, Any]

USUAL = (256, 1)  # draws and seed of the answers that are explained: those a verb takes by itself
UNUSABLE = 2  # exit code: the input cannot be used
PACK_DRAWS = 16  # machines drawn for each pack of the map: there are hundreds of packs
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


def losses(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the ledger of every duty state."""
    plan = _read(file)
    from headrace import design
    from headrace.design.record import losses_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with _progress(_words("marching to the middle of the day", sample)) as progress:
            found = design.losses(lanes, design.day(lanes, progress))
        return losses_record(lanes, found, sample)

    _answer(plan, sure, as_json, record, tables.losses, bands.losses)


def packs(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the map of packs."""
    plan = _read(file)
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with _progress(_words("trying every pack", sample)) as progress:
            return packs_record(pack_map(lanes, progress=progress), sample)

    found = _answer(plan, sure, as_json, record, tables.packs, bands.packs)
    if found["smallest"] is None:
        sys.exit(REJECTED)


def day(file: Path, sure: Sure, as_json: bool) -> None:
    """Print a day's work."""
    plan = _read(file)
    from headrace import design
    from headrace.design.record import day_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with _progress(_words("working through the day", sample)) as progress:
            worked = design.day(lanes, progress)
            lasts = design.until_empty(lanes, progress)
        return day_record(lanes, worked, lasts, design.lowest_charges(lanes, worked), sample)

    _answer(plan, sure, as_json, record, tables.day, bands.day)


def check(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the findings."""
    reading = _reading(file)
    from headrace import design
    from headrace.design.record import check_record
    from headrace.findings import judge

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with _progress(_words("checking four days and the corners", sample)) as progress:
            found = design.evidence(lanes, progress)
        return check_record(lanes, found, judge(found), _asked(reading), sample)

    _stop_on(_answer(reading.machine, sure, as_json, record, tables.check, bands.check))


def design(file: Path, out: Path, sure: Sure, as_json: bool) -> None:
    """Do the whole job into a folder."""
    reading = _reading(file)
    from headrace.design import solve
    from headrace.design.record import Sample, design_record
    from headrace.design.workings import headline_workings
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record
    from headrace.explore.shares import shares, shares_record
    from headrace.machine.draws import draws
    from headrace.paper.report import report

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with _progress(_words("designing", sample)) as progress:
            solved = solve(lanes, progress)
        alone = solved if sample is None else solve(reading.machine)
        fewer = None if sample is None else Sample(min(sample.count, PACK_DRAWS), sample.seed)
        plan = reading.machine if fewer is None else draws(reading.machine, fewer.count, fewer.seed)
        with _progress(_words("trying every pack", fewer)) as progress:
            packs_found = pack_map(plan, progress=progress)
        found = {
            **design_record(solved, _asked(reading), sample),
            "packs": packs_record(packs_found, fewer),
            "workings": headline_workings(alone),
        }
        if sample is not None:
            with _progress("asking which numbers carry the answer") as progress:
                found |= shares_record(shares(reading.machine, progress))
        return found

    found = _answer(reading.machine, sure, as_json, record, tables.design, bands.design)
    results, page = _as_text(found) + "\n", report(found)
    try:
        out.mkdir(parents=True, exist_ok=True)
        machine.save(out / "results.json", results)
        machine.save(out / "report.html", page)
    except OSError as trouble:
        _refuse(f"error: {out} cannot be written into\n  {trouble.strerror}")
    _say(f"wrote {out / 'results.json'} and {out / 'report.html'}")
    _stop_on(found)


def explain(target: str, address: str | None, listed: bool, as_json: bool) -> None:
    """Print the working at an address of a file, its addresses, or a finding's page."""
    from headrace.findings import RULES

    if address is None and not listed and target in RULES:
        _page(RULES[target], as_json)
        return
    file = Path(target)
    if address is None and not listed:
        _refuse(
            f"error: {target} is no finding, and no address is given\n"
            f"  hint: headrace explain {target} --list   lists the addresses of a file\n"
            f"  findings: {', '.join(RULES)}"
        )
    plan = _reading(file).machine
    if listed:
        names = _listed(_worked(plan))
        click.echo(_as_text({"addresses": names}) if as_json else "\n".join(names))
        return
    from headrace.design.workings import tree

    known = _worked(plan)
    node = _working(plan, known, str(address))
    if node is None:
        near = difflib.get_close_matches(str(address), _listed(known), 3, 0.5)
        _refuse(f"error: {file} has no number at {address}\n  hint: " + _or_else(near, target))
    found = tree(node, address=address)
    click.echo(_as_text(found) if as_json else explained.working(found, file.name))


def addresses(file: Path) -> list[str]:
    """Return the addresses of a file's numbers, none where it cannot be read: the shell asks."""
    try:
        return _listed(_worked(machine.read(file).machine))
    except HeadraceError:
        return []


def _worked(plan: Machine) -> dict[str, Any]:
    """Return every number of a machine's record by its address, knowing its working."""
    from headrace.design import solve
    from headrace.design.workings import addresses, worked_record

    with _progress("working it out") as progress:
        return addresses(worked_record(solve(plan, progress)))


def _listed(known: dict[str, Any]) -> list[str]:
    """Return the addresses worth a list: the channels over time are left out."""
    return [address for address in known if not address.startswith("trace.")]


def _working(plan: Machine, known: dict[str, Any], address: str) -> Node | None:
    from headrace.design.workings import working_at
    from headrace.explore.working import end_working, reason_working

    if address.startswith("packs."):
        return reason_working(plan, address)
    return working_at(known, address) or end_working(plan, known, address, *USUAL)


def _or_else(near: list[str], target: str) -> str:
    if near:
        return f"did you mean {' or '.join(near)}?"
    return f"headrace explain {target} --list   lists them"


def _page(rule: Rule, as_json: bool) -> None:
    page = inspect.cleandoc(rule.page)
    if as_json:
        click.echo(_as_text({"slug": rule.slug, "level": rule.level, "source": rule.source, "page": page}))
    else:
        click.echo(f"{rule.slug} ({rule.level})\n\n{page}")


def _answer(
    plan: Machine,
    sure: Sure,
    as_json: bool,
    record: Callable[[Machine, Sample | None], Record],
    table: Callable[[Record], str],
    bands_of: Callable[[Record], str],
) -> Record:
    """Print the typical answer as soon as it is there, then how sure it is; or the record of both."""
    if sure.draws == 0 or not as_json:
        found = record(plan, None)
        click.echo(_as_text(found) if as_json else table(found))
    if sure.draws > 0:
        from headrace.design.record import Sample
        from headrace.machine.draws import draws

        found = record(draws(plan, sure.draws, sure.seed), Sample(sure.draws, sure.seed))
        click.echo(_as_text(found) if as_json else "\n" + bands_of(found))
    return found


def _words(what: str, sample: Sample | None) -> str:
    return what if sample is None else f"{what}, {sample.count} times over"


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
