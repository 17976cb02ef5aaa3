"""The project's own example, and the few ways the tests like to look at it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import numpy as np

from headrace import design, machine
from headrace.design.corners import points_at
from headrace.drive.demand import Demand
from headrace.drive.ledger import Ledger, ledger
from headrace.drive.links import Parts
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train, Warmth, train
from headrace.findings import Evidence
from headrace.machine.links import Controller, Link, Motor
from headrace.machine.records import Chain, DutyState, Lanes, Machine
from headrace.machine.works import Blade
from headrace.pack import source as pack
from headrace.runs.run import Run

Record = dict[str, Any]

EXAMPLE = Path(__file__).parent.parent / "examples" / "alley-mower.toml"


@cache
def alley() -> Machine:
    """Return the alley mower."""
    return machine.read(EXAMPLE).machine


# A job of a quarter of an hour on a third of the cells: where the length of the day is not what a test is of.
SMALL_TEXT = machine.edit(EXAMPLE.read_text(encoding="utf-8"), {"source.parallel": 2, "job.area": "150 m²"})


@cache
def small() -> Machine:
    """Return the alley mower with a small pack and a short job."""
    return machine.read_text(SMALL_TEXT, file=EXAMPLE.name).machine


@cache
def started(name: str) -> Machine:
    """Return the machine of a starter file."""
    return machine.read_text(machine.starter(name), file=f"{name}.toml").machine


@cache
def evidence_of(name: str) -> Evidence:
    """Return the evidence of the machine of a starter file."""
    return design.evidence(started(name))


SUPPLY = '[source]\nkind = "bench-supply"\nvoltage = "42 V"\ncurrent = "60 A"\n\n'
PACKS: dict[str, Record] = {
    "finished": {"source": {"kind": "ready-made", "voltage": "36 V", "capacity": "20 Ah", "current": "60 A"}},
    "two-finished": {
        "source": {"kind": "ready-made", "voltage": "36 V", "capacity": "10 Ah", "current": "30 A", "packs": 2}
    },
    "sixteen": {"source.series": 16},
    "thirteen": {"source.series": 13},
    "three": {"source.series": 3},
    "one-beside": {"source.parallel": 1},
    "in-turn": {"source.in_turn": 2},
    "blocks": {
        "source.cell": "lfp-prismatic",
        "source.parallel": 1,
        "charger.voltage": "36.5 V",
        "charger.chemistry": "LFP",
    },
}


@cache
def repacked(name: str) -> Evidence:
    """Return the evidence of the starter's mower on another source: one of ``PACKS``, or on a bench supply."""
    text = machine.starter("mower")
    if name == "supply":
        before, rest = text.split("[source]", 1)
        return design.evidence(machine.read_text(before + SUPPLY + rest[rest.index("# --- the main fuse") :]).machine)
    return design.evidence(machine.read_text(machine.edit(text, PACKS[name])).machine)


@cache
def shown(path: str) -> Evidence:
    """Return the evidence of a file among the examples."""
    return design.evidence(machine.read(EXAMPLE.parent / path).machine)


@cache
def emptied() -> tuple[Run, Run]:
    """Return the runs of the alley mower until its pack is empty, new and worn."""
    worn = replace(alley(), source=pack.aged(alley().source, 0.8, 1.5))
    new, old = (design.until_empty(plan, keep_trace=False) for plan in (alley(), worn))
    return new, old


@cache
def small_file() -> Path:
    """Return a file of it, of the example's name, in a folder of its own."""
    file = Path(mkdtemp()) / EXAMPLE.name
    file.write_text(SMALL_TEXT, encoding="utf-8")
    return file


def state(plan: Machine, *, loaded: bool = True, heaviest: bool = False) -> DutyState:
    """Return a duty state of a machine: the first that cuts, the heaviest, or the one that turns without load."""
    found = [s for s in plan.job.states if s.loaded == loaded]
    return max(found, key=lambda s: float(np.max(s.sward))) if heaviest else found[0]


def warmth(plan: Machine, winding: Lanes = 0.0, magnets: Lanes = 0.0) -> Warmth:
    """Return temperatures so many kelvin above the air of the job."""
    air = plan.job.ambient
    return Warmth(air + winding, air + magnets, air)


def blade(plan: Machine) -> Blade:
    """Return the mowing blade of the first chain."""
    work = plan.chains[0].work
    assert isinstance(work, Blade)
    return work


def terminals(plan: Machine, charge: Lanes = 0.5) -> Terminals:
    """Return the settled source at a charge."""
    return pack.at_length(plan.source, pack.fresh(plan.job.ambient + 0.0 * charge, charge))


def point(plan: Machine, duty: DutyState, charge: Lanes = 0.5, warm: Warmth | None = None) -> Point:
    """Return the operating point in a duty state."""
    warm = warm or warmth(plan)
    return points_at(plan, duty, terminals(plan, charge), [warm for _ in plan.chains])[0]


def book(plan: Machine, duty: DutyState, charge: Lanes = 0.5, warm: Warmth | None = None) -> Ledger:
    """Return the ledger in a duty state."""
    warm = warm or warmth(plan)
    found = point(plan, duty, charge, warm)
    return ledger(plan.chains[0], duty, plan.job, warm, found, terminals(plan, charge))


def with_link(plan: Machine, kind: type[Link], **changes: object) -> Machine:
    """Return the machine with fields of its links of one kind changed."""

    def changed(chain: Chain) -> Chain:
        links = tuple(replace(k, **changes) if isinstance(k, kind) else k for k in chain.links)  # type: ignore[arg-type]
        return replace(chain, links=links)

    return replace(plan, chains=tuple(changed(chain) for chain in plan.chains))


def without_bands(plan: Machine) -> Machine:
    """Return the machine with no doubt about any number; no file can say so, because tables fill some of them."""
    certain = {a: replace(origin, low=origin.typical, high=origin.typical) for a, origin in plan.pedigree.items()}
    return replace(plan, pedigree=certain)


def with_pack(plan: Machine, series: Lanes, parallel: Lanes) -> Machine:
    """Return the machine with other counts."""
    return replace(plan, source=replace(plan.source, series=series, parallel=parallel))


def motor(plan: Machine) -> Motor:
    """Return the first chain's motor."""
    return next(link for link in plan.chains[0].links if isinstance(link, Motor))


def controller(plan: Machine) -> Controller:
    """Return the first chain's controller."""
    return next(link for link in plan.chains[0].links if isinstance(link, Controller))


def magnet_train(row: Parts, demand: Demand, warm: Warmth) -> Train:
    """Return the reduced chain of a motor with magnets that hangs on its source by a controller."""
    case = train(row, demand, warm)
    assert isinstance(case, Train)
    return case
