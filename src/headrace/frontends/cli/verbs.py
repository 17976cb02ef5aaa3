"""What each verb that answers does: read the file, solve, print."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from headrace import machine
from headrace.frontends.cli import bands, tables
from headrace.frontends.cli.main import PACK_DRAWS, Sure
from headrace.frontends.cli.talk import Record, as_text, progress_of, reading_of, refuse, say
from headrace.machine.records import Machine

if TYPE_CHECKING:
    from headrace.design import Design
    from headrace.design.bands import Sample

MISSING = "could not be displayed"  # what the setting of papers says of a letter that the type lacks
REJECTED = 1  # exit code: a stop finding, or nothing works


def new(starter: str, file: Path) -> None:
    """Write a starter; never over a file that is there."""
    if file.exists():
        refuse(f"error: {file} is there already\n  way out: name another file, or move that one away")
    try:
        machine.save(file, machine.starter(starter))
    except OSError as trouble:
        refuse(f"error: {file} cannot be written: {trouble.strerror}\n  way out: name a folder you may write into")
    say(f"wrote {file}\nFill in what you know; then: headrace check {file}")


def losses(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the ledger of every duty state."""
    plan = reading_of(file).machine
    from headrace import design
    from headrace.design.record import losses_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with progress_of(_words("marching to the middle of the day", sample)) as progress:
            found = design.losses(lanes, design.day(lanes, progress))
        return losses_record(lanes, found, sample)

    _answer(plan, sure, as_json, record, tables.losses, bands.losses)


def packs(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the map of packs."""
    plan = reading_of(file).machine
    if plan.source.endless:
        refuse(f"error: {file}: a {plan.source.kind} has no cells to count\n  way out: give [source] cells to size")
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with progress_of(_words("trying every pack", sample)) as progress:
            return packs_record(pack_map(lanes, progress=progress), sample)

    found = _answer(plan, sure, as_json, record, tables.packs, bands.packs)
    if found["smallest"] is None:
        sys.exit(REJECTED)


def day(file: Path, sure: Sure, as_json: bool) -> None:
    """Print a day's work."""
    plan = reading_of(file).machine
    from headrace import design
    from headrace.design.record import day_record

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with progress_of(_words("working through the day", sample)) as progress:
            worked = design.day(lanes, design.part_of(progress, 0.0, 0.5), keep_trace=False)
            lasts = design.until_empty(lanes, design.part_of(progress, 0.5, 1.0), keep_trace=False)
        return day_record(lanes, worked, lasts, design.lowest_charges(lanes, worked), sample)

    _answer(plan, sure, as_json, record, tables.day, bands.day)


def check(file: Path, sure: Sure, as_json: bool) -> None:
    """Print the findings."""
    reading = reading_of(file, understood=True)
    from headrace import design
    from headrace.design.check_record import check_record
    from headrace.findings import judge

    def record(lanes: Machine, sample: Sample | None) -> Record:
        with progress_of(_words("checking four days and the corners", sample)) as progress:
            found = design.evidence(lanes, progress)
        return check_record(lanes, found, judge(found), _asked(reading), sample)

    _stop_on(_answer(reading.machine, sure, as_json, record, tables.check, bands.check))


def design(file: Path, out: Path, sure: Sure, as_json: bool) -> None:
    """Do the whole job into a folder."""
    reading = reading_of(file, understood=True)
    from headrace.design import solve
    from headrace.design.workings import headline_workings
    from headrace.explore.shares import shares, shares_record
    from headrace.paper.report import report

    workings: Record = {}  # of the typical machine, with draws or without

    def record(lanes: Machine, sample: Sample | None) -> Record:
        solved, found = _designed(reading, lanes, sample)
        if not workings:
            workings.update(headline_workings(solved if sample is None else solve(reading.machine)))
        found["workings"] = workings
        if sample is not None:
            with progress_of("asking which numbers carry the answer") as progress:
                found |= shares_record(shares(reading.machine, progress))
        return found

    found = _answer(reading.machine, sure, as_json, record, tables.design, bands.design)
    written = {"results.json": as_text(found) + "\n", "report.html": report(found)}
    _write(out, written)
    _write(out, _papers(found))
    _stop_on(found)


def sheets(file: Path, out: Path) -> None:
    """Write the papers alone, of the typical machine."""
    reading = reading_of(file, understood=True)
    _, found = _designed(reading, reading.machine, None)
    _write(out, _papers(found))
    _stop_on(found)


def _designed(reading: machine.Reading, lanes: Machine, sample: Sample | None) -> tuple[Design, Record]:
    """Return the whole job and its record with the map of packs, in so many lanes."""
    from headrace.design import solve
    from headrace.design.bands import Sample
    from headrace.design.record import design_record
    from headrace.explore.packs import pack_map
    from headrace.explore.record import packs_record
    from headrace.machine.draws import draws

    with progress_of(_words("designing", sample)) as progress:
        solved = solve(lanes, progress)
    fewer = None if sample is None else Sample(min(sample.count, PACK_DRAWS), sample.seed)
    plan = reading.machine if fewer is None else draws(reading.machine, fewer.count, fewer.seed)
    packs_found = None
    if not plan.source.endless:
        with progress_of(_words("trying every pack", fewer)) as progress:
            packs_found = packs_record(pack_map(plan, progress=progress), fewer)
    return solved, {**design_record(solved, _asked(reading), sample), "packs": packs_found}


def _papers(record: Record) -> dict[str, bytes]:
    """Return every PDF by the name of its file."""
    from headrace.errors import Unprintable
    from headrace.paper.sheets import printed

    try:
        return dict(printed(record))
    except Unprintable as trouble:
        letters = "use letters of the Latin, Greek or Cyrillic script in the file's names"
        refuse(f"error: {trouble}\n  way out: {letters if MISSING in trouble.why else 'the report holds the same'}")


def _write(out: Path, written: Mapping[str, str | bytes]) -> None:
    """Write files into a folder and say which."""
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, content in written.items():
            machine.save(out / name, content)
    except OSError as trouble:
        refuse(f"error: {out} cannot be written into: {trouble.strerror}\n  way out: name a folder you may write into")
    *names, last = written
    say(f"wrote {', '.join(names)} and {last} into {out}")


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
        click.echo(as_text(found) if as_json else table(found))
    if sure.draws > 0:
        from headrace.design.bands import Sample
        from headrace.machine.draws import draws

        found = record(draws(plan, sure.draws, sure.seed), Sample(sure.draws, sure.seed))
        click.echo(as_text(found) if as_json else "\n" + bands_of(found))
    return found


def _words(what: str, sample: Sample | None) -> str:
    return what if sample is None else f"{what}, {sample.count} times over"


def _stop_on(record: Record) -> None:
    """Leave with 1 where something must stop the plan, and say what."""
    stops = [finding["slug"] for finding in record["findings"] if finding["level"] == "stop"]
    if stops:
        say(f"not to be built as it is: {', '.join(stops)}")
        sys.exit(REJECTED)


def _asked(reading: machine.Reading) -> list[str]:
    return [" ".join(str(doubt).split()) for doubt in reading.doubts]
