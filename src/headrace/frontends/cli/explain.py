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
from headrace.frontends.cli.talk import as_text, progress_of, reading_of, refuse, say
from headrace.machine.records import Machine
from headrace.paper.advice import quoted

if TYPE_CHECKING:
    from headrace.explore.working import Workings
    from headrace.findings import Rule

PATCHES = (
    "What raises and silences it are examples: lines for the file that headrace new mower writes, or the one named."
)


def explain(target: str, address: str | None, listed: bool, sure: Sure, as_json: bool) -> None:
    """Print the working at an address of a file, its addresses, or a finding's page."""
    from headrace.findings import RULES

    if address is None and not listed and target in RULES:
        _page(RULES[target], as_json)
        return
    file = Path(target)
    if address is None and not listed:
        refuse(_no_address(target, file))
    if address in RULES:
        way_out = f"headrace explain {address}   shows its page"
        refuse(f"error: {address} is a finding, not a number of {file}\n  way out: {way_out}")
    plan = reading_of(file).machine
    with progress_of(_doing(address, sure)) as progress:
        known = _workings(plan, sure, progress)
        if listed:
            from headrace.explore.addressed import ON_DEMAND

            names = _listed(known.known)
            say("\n".join(ON_DEMAND))
            click.echo(as_text({"addresses": names}) if as_json else "\n".join(names))
            return
        found = _found(known, str(address), target)
    click.echo(as_text(found) if as_json else workings.working(found, file.name, plan.source.kind))


def _no_address(target: str, file: Path) -> str:
    """Return why nothing can be explained where no address is given: it is a file, or nearly a finding, or neither."""
    from headrace.findings import RULES

    if file.exists():
        way_out = f"headrace explain {target} --list   lists them"
        return f"error: {target} needs the address of one of its numbers\n  way out: {way_out}"
    if file.suffix:
        return f"error: {target} is not there\n  way out: headrace new mower {target}   writes one to fill in"
    near = difflib.get_close_matches(target, RULES, 3, 0.5)
    way_out = f"did you mean {' or '.join(near)}?" if near else f"findings are: {', '.join(RULES)}"
    return f"error: {target} is neither a finding nor a file\n  way out: {way_out}"


def _doing(address: str | None, sure: Sure) -> str:
    """Return what the bar says: an end of a band, or a count, takes all the draws."""
    from headrace.explore.working import takes_draws

    drawn = sure.draws > 0 and address is not None and takes_draws(address)
    return f"working it out, {sure.draws} machines drawn from the bands" if drawn else "working it out"


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
        what = f"{Path(target)} has no number at {address}" if trouble.unknown else f"{trouble.address}: {trouble.why}"
        refuse(f"error: {what}\n  way out: {trouble.way_out.replace('FILE', target)}")


def _page(rule: Rule, as_json: bool) -> None:
    page = inspect.cleandoc(rule.page)
    if as_json:
        click.echo(as_text({"slug": rule.slug, "level": rule.level, "source": rule.source, "page": page}))
    else:
        click.echo(f"{rule.slug} ({rule.level})\n\n{quoted(page)}")
        click.echo(f"\n{PATCHES}")
