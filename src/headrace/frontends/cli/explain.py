"""The verb that explains: a number's working, a file's addresses, a finding's page."""

from __future__ import annotations

import difflib
import inspect
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from headrace import machine
from headrace.errors import HeadraceError
from headrace.frontends.cli import workings
from headrace.frontends.cli.talk import as_text, progress_of, reading_of, refuse
from headrace.machine.records import Machine

if TYPE_CHECKING:
    from headrace.findings import Rule
    from headrace.physics.working import Node

USUAL = (256, 1)  # draws and seed of the answers that are explained: those a verb takes by itself


def explain(target: str, address: str | None, listed: bool, as_json: bool) -> None:
    """Print the working at an address of a file, its addresses, or a finding's page."""
    from headrace.findings import RULES

    if address is None and not listed and target in RULES:
        _page(RULES[target], as_json)
        return
    file = Path(target)
    if address is None and not listed:
        refuse(
            f"error: {target} is no finding, and no address is given\n"
            f"  hint: headrace explain {target} --list   lists the addresses of a file\n"
            f"  findings: {', '.join(RULES)}"
        )
    plan = reading_of(file).machine
    if listed:
        names = _listed(_worked(plan))
        click.echo(as_text({"addresses": names}) if as_json else "\n".join(names))
        return
    from headrace.design.workings import tree

    known = _worked(plan)
    node = _working(plan, known, str(address))
    if node is None:
        near = difflib.get_close_matches(str(address), _listed(known), 3, 0.5)
        refuse(f"error: {file} has no number at {address}\n  hint: " + _or_else(near, target))
    found = tree(node, address=address)
    click.echo(as_text(found) if as_json else workings.working(found, file.name))


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

    with progress_of("working it out") as progress:
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
        click.echo(as_text({"slug": rule.slug, "level": rule.level, "source": rule.source, "page": page}))
    else:
        click.echo(f"{rule.slug} ({rule.level})\n\n{page}")
