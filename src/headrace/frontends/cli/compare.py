"""The verb that compares: several files, or one file and its own variants."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from headrace import machine
from headrace.errors import HeadraceError
from headrace.frontends.cli import side_by_side
from headrace.frontends.cli.main import Sure
from headrace.frontends.cli.talk import Record, as_text, progress_of, refuse, say
from headrace.frontends.cli.verbs import REJECTED
from headrace.machine.records import Machine

if TYPE_CHECKING:
    from headrace.design.bands import Sample

VARIANT = 'with [[variants]], each a name and set = { "source.series" = 12 }'


def compare(files: Sequence[Path], sure: Sure, as_json: bool) -> None:
    """Print machines side by side; leave with 1 when each of them has a stop."""
    plans = _plans(files)
    if sure.draws == 0 or not as_json:
        found = _record(plans, None)
        click.echo(as_text(found) if as_json else side_by_side.compared(found))
    if sure.draws > 0:
        from headrace.design.bands import Sample
        from headrace.machine.draws import draws

        drawn = {name: draws(plan, sure.draws, sure.seed) for name, plan in plans.items()}
        found = _record(drawn, Sample(sure.draws, sure.seed))
        click.echo(as_text(found) if as_json else "\n" + side_by_side.bands(found))
    if all(_stopped(one) for one in found["machines"]):
        sys.exit(REJECTED)


def _record(plans: Mapping[str, Machine], sample: Sample | None) -> Record:
    """Solve each machine once and put them side by side."""
    from headrace.design import part_of, solve
    from headrace.explore.comparing import column, comparison
    from headrace.explore.comparing_record import comparison_record

    columns, count = [], len(plans)
    words = f"designing {count} machines" + (f", {sample.count} times over" if sample is not None else "")
    with progress_of(words) as progress:
        for place, (name, plan) in enumerate(plans.items()):
            part = part_of(progress, place / count, (place + 1) / count)
            columns.append(column(name, solve(plan, part)))
    return comparison_record(comparison(columns), sample)


def _stopped(one: Record) -> bool:
    return any(found["level"] == "stop" for found in one["findings"])


def _plans(files: Sequence[Path]) -> dict[str, Machine]:
    """Return the machines by the names they have here: those of several files, or a file's own and its variants'."""
    for place, file in enumerate(files):
        if file.resolve() in [other.resolve() for other in files[:place]]:
            refuse(f"error: {file} is named twice\n  way out: name each file once")
    readings = _readings(files)
    if len(files) > 1:
        return dict(zip(_names(files, readings), (reading.machine for reading in readings), strict=True))
    (reading,) = readings
    if not reading.variants:
        way_out = f"name another file beside it, or give it variants: end it {VARIANT}"
        refuse(f"error: {files[0]} has no variants, so there is nothing to compare it with\n  way out: {way_out}")
    try:
        variants = machine.read_variants(reading)
    except HeadraceError as trouble:
        refuse(str(trouble))
    for variant in variants.values():
        for doubt in variant.doubts:
            say(str(doubt))
    own = reading.machine.name
    first = own if own not in variants else f"{own} ({files[0]})"
    return {first: reading.machine, **{name: variant.machine for name, variant in variants.items()}}


def _readings(files: Sequence[Path]) -> list[machine.Reading]:
    """Read every file; refuse all those that cannot be used at once."""
    readings, troubles = [], []
    for file in files:
        try:
            readings.append(machine.read(file))
        except HeadraceError as trouble:
            troubles.append(str(trouble))
    if troubles:
        refuse("\n".join(troubles))
    for reading in readings:
        for doubt in reading.doubts:
            say(str(doubt))
    return readings


def _names(files: Sequence[Path], readings: Sequence[machine.Reading]) -> list[str]:
    """Return what each machine calls itself, with its file where two go by the same name."""
    names = [reading.machine.name for reading in readings]
    return [f"{name} ({file})" if names.count(name) > 1 else name for file, name in zip(files, names, strict=True)]
