"""The verb that explains: a number's working, a file's addresses, a finding's page."""

from __future__ import annotations

import difflib
import inspect
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from headrace import machine
from headrace.errors import HeadraceError, NoWorking
from headrace.frontends.cli import workings
from headrace.frontends.cli.main import PACK_DRAWS, Sure
from headrace.frontends.cli.talk import as_text, progress_of, reading_of, refuse
from headrace.machine.records import Machine

if TYPE_CHECKING:
    from headrace.explore.working import Workings
    from headrace.findings import Rule


def explain(target: str, address: str | None, listed: bool, sure: Sure, as_json: bool) -> None:
    """Print the working at an address of a file, its addresses, or a finding's page."""
    from headrace.findings import RULES

    if address is None and not listed and target in RULES:
        _page(RULES[target], as_json)
        return
    file = Path(target)
    if address is None and not listed:
        refuse(
            f"error: {target} is no finding, and no address is given\n"
            f"  way out: headrace explain {target} --list   lists the addresses of a file\n"
            f"  findings: {', '.join(RULES)}"
        )
    plan = reading_of(file).machine
    with progress_of("working it out") as progress:
        known = _workings(plan, sure, progress)
        if listed:
            names = _listed(known.known)
            click.echo(as_text({"addresses": names}) if as_json else "\n".join(names))
            return
        found = _found(known, str(address), target)
    click.echo(as_text(found) if as_json else workings.working(found, file.name))


def addresses(file: Path) -> list[str]:
    """Return the addresses of a file's numbers, none where it cannot be read: the shell asks."""
    try:
        return _listed(_workings(machine.read(file).machine, Sure(0, 1), None).known)
    except HeadraceError:
        return []


def _workings(plan: Machine, sure: Sure, progress: Any) -> Workings:
    from headrace.design.bands import Sample
    from headrace.explore.working import Workings

    return Workings(plan, Sample(sure.draws, sure.seed), Sample(min(sure.draws, PACK_DRAWS), sure.seed), progress)


def _listed(known: Mapping[str, Any]) -> list[str]:
    """Return the addresses worth a list: the channels over time are left out."""
    return [address for address in known if not address.startswith("trace.")]


def _found(known: Workings, address: str, target: str) -> dict[str, Any]:
    """Return the working at an address as data, or say why there is none and leave."""
    from headrace.design.workings import tree

    try:
        return tree(known.at(address), address=address, unit=known.unit_at(address))
    except NoWorking as trouble:
        if trouble.unknown:
            near = difflib.get_close_matches(address, _listed(known.known), 3, 0.5)
            way_out = f"did you mean {' or '.join(near)}?" if near else f"headrace explain {target} --list   lists them"
            refuse(f"error: {Path(target)} has no number at {address}\n  way out: {way_out}")
        refuse(f"error: {trouble.address}: {trouble.why}\n  way out: {trouble.way_out}")


def _page(rule: Rule, as_json: bool) -> None:
    page = inspect.cleandoc(rule.page)
    if as_json:
        click.echo(as_text({"slug": rule.slug, "level": rule.level, "source": rule.source, "page": page}))
    else:
        click.echo(f"{rule.slug} ({rule.level})\n\n{page}")
