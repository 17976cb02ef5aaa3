"""What stands between a machine's pack and its chains, in all lanes."""

from __future__ import annotations

import numpy as np

from headrace.drive.links import parts
from headrace.drive.train import ohms
from headrace.findings.evidence import Corners, Starting
from headrace.machine.protection import Board
from headrace.machine.records import Lanes, Machine
from headrace.pack import source as pack
from headrace.pack.weakest import weakest
from headrace.physics import duty, switching
from headrace.wiring import board, pre_charge, sense
from headrace.wiring.board import Strain
from headrace.wiring.brake import Braking
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.pre_charge import OF_THE_PRE_CHARGE, Filling, Inrush
from headrace.wiring.switching import Amps, switches


def protection(
    machine: Machine, corners: Corners, starts: tuple[Starting, ...], fused: Fused | None, brakes: tuple[Braking, ...]
) -> Guard | None:
    """Return board, pre-charge, switches and sense plug; None of what never empties.

    Parameters
    ----------
    machine, corners, starts
        The machine, what it is asked for at its ends, and how its chains start.
    fused
        The main fuse.
    brakes
        Of its chains, on release.
    """
    source = machine.source
    if source.endless:
        return None
    bare, plan = pre_charge.inrush(machine), machine.pre_charge
    planned = None if bare is None or plan is None else pre_charge.filling(bare, plan.resistance, plan.time, plan.step)
    work = corners.peak_cell_current * source.parallel
    most = duty.greatest([work, *(side.battery_current for one in starts for side in (one.full, one.empty))])
    return Guard(
        strains=() if machine.board is None else _strains(machine, machine.board, corners, starts, bare, planned, work),
        inrush=bare,
        planned=planned,
        proposed=None if bare is None or plan is not None else pre_charge.proposed(bare),
        switches=switches(
            machine,
            Amps(corners.rms_cell_current * source.parallel, most),
            corners.chain_current,
            _loop(machine),
            relays=sum(not one.by_controller for one in brakes) + (0 if bare is None else len(OF_THE_PRE_CHARGE)),
            fuse=np.nan if fused is None else fused.rating,
        ),
        pins=sense.pins(source),
        pair=sense.pair(machine),
        brakes=brakes,
    )


def _loop(machine: Machine) -> Lanes:
    """Return the resistance of new, warm and full cells with the leads behind them. [Ω]"""
    cells = pack.at(machine.source, pack.fresh(machine.limits.ambient_hot)).resistance
    return cells + switching.parallel_resistance([ohms(parts(chain).battery_leads) for chain in machine.chains])


def _strains(
    machine: Machine,
    one: Board,
    corners: Corners,
    starts: tuple[Starting, ...],
    bare: Inrush | None,
    planned: Filling | None,
    work: Lanes,
) -> tuple[Strain, ...]:
    found = [] if bare is None else [board.of_inrush(one, bare, planned)]
    for start in starts:
        found.append(board.of_start(one, start.chain, start.full, start.empty))
        volts = _group_volts(machine, start.empty.battery_current)
        found.append(board.of_start_sag(one, start.chain, volts, start.empty))
    return (*found, board.of_work(one, work), board.of_work_sag(one, corners.lowest_group))


def _group_volts(machine: Machine, current: Lanes) -> Lanes:
    """Return the weakest group's volts under a moment's current, worn cells at the reserve on the coldest day. [V]"""
    limits = machine.limits
    weak = weakest(pack.worn(machine.source, limits), limits.reserve)
    return pack.at(weak.source, pack.fresh(limits.ambient_cold, weak.charge)).inside(current) / machine.source.series
