"""Machines side by side on the same job: where each loses its watts, how long it works, what speaks against it.

A comparison is made of designs that are solved already; it only sums them over the job and puts them in order. Watts
are those of the ledgers in the middle of each machine's day, each duty state by its share of the time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from headrace.design import Design
from headrace.design.bands import typical
from headrace.design.losses import AuxiliaryLosses, ChainLosses, StateLosses
from headrace.drive.point import REASONS, Outcome
from headrace.machine.records import DutyState, Job, Lanes, Machine
from headrace.machine.values import first_lane
from headrace.physics import duty

OF_THE_PACK = ("strips", "cells")  # kinds of loss that all chains share
ALIKE = 1e-9  # relative difference of two numbers of one job, from rounding alone
WANTED = ("time_wanted", "reserve")  # limits that belong to the job: how long, and with how much charge left


@dataclass(frozen=True)
class MeanLoss:
    """One loss over the whole job, and what saving it is worth at the cells; floats or lanes. [W]"""

    chain: str  # "" of what all chains share
    name: str
    kind: str
    loss: Lanes
    removed: Lanes
    halved: Lanes
    how: str


@dataclass(frozen=True)
class Column:
    """One machine of a comparison.

    Attributes
    ----------
    name
        What it is called beside the others.
    design
        Solved, without what happened over time.
    useful, source
        Mean power into the work, and from the cells before any of their own losses, over the job. [W]
    losses
        From the tool to the cells, one chain after the other, then what the chains share.
    per_amount
        Energy the cells give for each unit of work done; nan where the work is not counted or nothing gets done. [J]
    stands
        Of the typical machine: duty states in which some chain does not work in the middle of the day, and why.
    """

    name: str
    design: Design
    useful: Lanes
    source: Lanes
    losses: tuple[MeanLoss, ...]
    per_amount: Lanes
    stands: tuple[tuple[str, str], ...]

    @property
    def costliest(self) -> MeanLoss | None:
        """The link that costs the typical machine most; None where nothing turns."""
        most = max(self.losses, key=lambda loss: typical(loss.loss) or 0.0)
        return most if typical(most.loss) else None


@dataclass(frozen=True)
class Difference:
    """Something about the job that is not the same for all machines: numbers in ``unit``, words where that is ""."""

    address: str
    unit: str
    values: tuple[float | str | None, ...]  # one a machine; None where it has none


@dataclass(frozen=True)
class Comparison:
    """Machines side by side.

    Attributes
    ----------
    columns
        One a machine, in the order asked for.
    links
        Names of all losses, each once, from the tool to the cells.
    differences
        What differs between the jobs; without any the numbers can be compared.
    """

    columns: tuple[Column, ...]
    links: tuple[str, ...]
    differences: tuple[Difference, ...]

    def link(self, loss: MeanLoss) -> str:
        """Return what a loss is called here: with its chain where some machine has several."""
        return _link(loss, self.columns)


def column(name: str, design: Design) -> Column:
    """Return a machine of a comparison; of its days only the sums and extremes are kept.

    Parameters
    ----------
    name
        What it is called beside the others.
    design
        Solved, in any number of lanes.
    """
    day = design.day
    with np.errstate(divide="ignore", invalid="ignore"):
        per_amount = np.divide(day.cell_energy, day.amount)
    return Column(
        name=name,
        design=replace(design, day=replace(day, trace=None), lasts=replace(design.lasts, trace=None)),
        useful=_over_the_job(design, [sum(_at_work(s, c, c.ledger.useful) for c in s.chains) for s in design.losses]),
        source=_over_the_job(design, [_taken(state) for state in design.losses]),
        losses=tuple(_mean_losses(design)),
        per_amount=np.where(np.isfinite(per_amount), per_amount, np.nan),
        stands=tuple(_stands(design.losses)),
    )


def comparison(columns: Sequence[Column]) -> Comparison:
    """Put machines side by side.

    Parameters
    ----------
    columns
        One or more.
    """
    rows = [[_link(loss, columns) for loss in one.losses] for one in columns]
    machines = [first_lane(one.design.machine) for one in columns]
    return Comparison(tuple(columns), tuple(in_one_order(rows)), tuple(differences(machines)))


def in_one_order(rows: Iterable[Sequence[str]]) -> list[str]:
    """Return the names of several rows, each once, so that as many as can be stand as they do in their own row."""
    found: list[str] = []
    for row in rows:
        before = len(found)
        for name in reversed(row):
            if name in found:
                before = found.index(name)
            else:
                found.insert(before, name)
    return found


# --- watts over the job ------------------------------------------------------------------------------


def _mean_losses(design: Design) -> Iterator[MeanLoss]:
    """Yield each loss, the pack's last: what chains share is one loss."""
    states = [_losses_of(state) for state in design.losses]
    for key in sorted(states[0], key=lambda key: key[0] == ""):
        found = [state[key] for state in states]
        yield replace(
            found[0],
            loss=_over_the_job(design, [one.loss for one in found]),
            removed=_over_the_job(design, [one.removed for one in found]),
            halved=_over_the_job(design, [one.halved for one in found]),
        )


def _losses_of(state: StateLosses) -> dict[tuple[str, str], MeanLoss]:
    """Return the losses of one duty state by chain and name."""
    rows: dict[tuple[str, str], MeanLoss] = {}
    for found in state.chains:
        for line, saving in zip(found.ledger.lines, found.savings, strict=True):
            chain = "" if line.kind in OF_THE_PACK else found.chain.name
            before = rows.get((chain, line.name), MeanLoss(chain, line.name, line.kind, 0.0, 0.0, 0.0, saving.how))
            rows[chain, line.name] = replace(
                before,
                loss=before.loss + _at_work(state, found, line.loss),
                removed=before.removed + _at_work(state, found, saving.removed),
                halved=before.halved + _at_work(state, found, saving.halved),
            )
    for one in state.auxiliaries:  # all of it is saved by leaving it out, and half by one of half the watts
        whole = _on(state, one)
        name = one.auxiliary.name
        rows[name, name] = MeanLoss(
            name, name, "auxiliary", whole, whole, 0.5 * whole, "leave it off, or a smaller one"
        )
    return rows


def _taken(state: StateLosses) -> Lanes:
    """Return what the cells give to all that is on in a duty state. [W]"""
    taken: Lanes = sum(_at_work(state, one, one.ledger.source) for one in state.chains)
    return taken + sum(_on(state, one) for one in state.auxiliaries)


def _on(state: StateLosses, one: AuxiliaryLosses) -> Lanes:
    """Return what an auxiliary takes from the cells where every chain works. [W]"""
    works = np.all([found.point.works for found in state.chains], axis=0)
    return np.where(works, one.ledger.source, 0.0)


def _at_work(state: StateLosses, found: ChainLosses, watts: Lanes) -> Lanes:
    """Return watts of a chain that turns, in the lanes in which every chain works; a machine that stops takes none."""
    works = np.all([one.point.works for one in state.chains], axis=0)
    return np.where(works & (found.point.tool_speed > 0.0), watts, 0.0)


def _over_the_job(design: Design, watts: Sequence[Lanes]) -> Lanes:
    return duty.mean([state.state.share for state in design.losses], watts)


def _stands(states: Iterable[StateLosses]) -> Iterator[tuple[str, str]]:
    for state in states:
        codes = [Outcome(int(found.point.outcome.flat[0])) for found in state.chains]
        stopped = [code for code in codes if not code.works]
        if stopped:
            yield state.state.name, REASONS[stopped[0]]


def _link(loss: MeanLoss, columns: Sequence[Column]) -> str:
    several = any(len(one.design.machine.chains) > 1 for one in columns)
    return f"{loss.chain}: {loss.name}" if several and loss.chain else loss.name


# --- is it the same job? -----------------------------------------------------------------------------


def differences(machines: Sequence[Machine]) -> Iterator[Difference]:
    """Yield what differs between the jobs of machines in one lane: tools, duty states, numbers, time wanted."""
    yield from _words("chains.work", [", ".join(type(c.work).__name__.lower() for c in m.chains) for m in machines])
    names = [[state.name for state in m.job.states] for m in machines]
    yield from _words("job.states", [", ".join(row) for row in names])
    for field in fields(Job):
        if field.name != "states":
            yield from _numbers(f"job.{field.name}", machines, [getattr(m.job, field.name) for m in machines])
    for name in in_one_order(names):
        if all(name in row for row in names):
            yield from _of_a_state(name, machines)
    alike = len({machine.source.cell.chemistry for machine in machines}) == 1
    for key in WANTED if alike else WANTED[:1]:  # what is left in cells of another kind is not the job's to say
        yield from _numbers(f"limits.{key}", machines, [getattr(m.limits, key) for m in machines])


def _of_a_state(name: str, machines: Sequence[Machine]) -> Iterator[Difference]:
    found = [next(state for state in m.job.states if state.name == name) for m in machines]
    yield from _words(f"job.{name}", [_manner(state) for state in found])
    for field in fields(DutyState):
        values = [getattr(state, field.name) for state in found]
        if all(isinstance(value, float) for value in values):
            yield from _numbers(f"job.{name}.{field.name}", machines, values)


def _manner(state: DutyState) -> str:
    """Return how a state works, in words."""
    said = "under load" if state.loaded else "without load"
    said += ", wheels in the air" if state.lifted else ""
    return said + (f", {' and '.join(state.off)} off" if state.off else "")


def _words(address: str, values: Sequence[str]) -> Iterator[Difference]:
    if len(set(values)) > 1:
        yield Difference(address, "", tuple(values))


def _numbers(address: str, machines: Sequence[Machine], values: Sequence[float]) -> Iterator[Difference]:
    has = [address in machine.pedigree and bool(np.isfinite(v)) for machine, v in zip(machines, values, strict=True)]
    there = [float(value) if has_it else None for has_it, value in zip(has, values, strict=True)]
    known = [value for value in there if value is not None]
    if not known or (len(known) == len(there) and max(known) - min(known) <= ALIKE * max(map(abs, known))):
        return
    yield Difference(address, machines[has.index(True)].pedigree[address].unit, tuple(there))
