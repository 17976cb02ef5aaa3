"""What the main fuse of a machine has to do, and how the one planned, or one from the shelf, does it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headrace.design.conductors import SIDES, Corner, working
from headrace.drive.links import parts
from headrace.drive.starting import Start
from headrace.drive.terminals import Terminals
from headrace.drive.train import ohms
from headrace.findings import Evidence
from headrace.machine.links import Contacts
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.physics import duty, fusing, switching
from headrace.wiring.conductors import Conductor
from headrace.wiring.fuse import Asked, Fused, fused


def main_fuse(corners: Sequence[Corner], evidence: Evidence) -> Fused | None:
    """Return the main fuse judged; None where a socket or a supply feeds the machine, which has its own."""
    machine = evidence.machine
    if machine.source.endless:
        return None
    present = np.isfinite(first_number(machine.source.current_limit)) or any(
        isinstance(link, Contacts) and link.of == "fuse" for chain in machine.chains for link in chain.links
    )
    return fused(_asked(machine, corners, evidence), machine.fuse, machine.limits.ambient_hot, present=bool(present))


def _asked(machine: Machine, corners: Sequence[Corner], evidence: Evidence) -> Asked:
    limits, source = machine.limits, machine.source
    amps = [[sum(working(point, SIDES["source"]) for point in points) for points in corner] for corner in corners]
    shares = [state.share for state in machine.job.states]
    warm = np.maximum(limits.ambient_hot, evidence.days.hot.highest_cell_temperature)
    full = pack.at(source, pack.fresh(warm))
    worn = pack.worn(source, limits)
    empty = pack.at_length(worn, pack.fresh(limits.ambient_cold, limits.reserve))
    start = _hardest([one.full for one in evidence.starts])
    took = np.where(start.starts, start.time, 0.0)  # a chain that does not get to speed has a finding of its own
    wire = weakest(evidence.wires)
    leads = 0.0 if wire is None else _leads(machine, wire)
    return Asked(
        rms=duty.greatest([duty.root_mean_square(shares, corner) for corner in amps]),
        peak=duty.greatest([current for corner in amps for current in corner]),
        start_current=start.battery_current,
        start_time=took,
        voltage=_highest(evidence),
        open_voltage=full.open_voltage,
        resistance=full.resistance,
        at_pack=_short(full, 0.0),
        of_two=fusing.short_circuit_current(full.open_voltage, switching.parallel_resistance([full.resistance] * 2)),
        far=_short(full, leads),
        least=_short(empty, leads),
        carries=np.nan if wire is None else wire.carries,
        wire=wire,
    )


def weakest(wires: Sequence[Conductor]) -> Conductor | None:
    """Return the wire on the pack's side that carries least on the typical machine; None where the file has none."""
    of_pack = [wire for wire in wires if wire.side == "source"]
    return min(of_pack, key=lambda wire: first_number(wire.carries), default=None)


def _leads(machine: Machine, wire: Conductor) -> Lanes:
    """Return the resistance of the whole of a chain's leads on the pack's side. [Ω]"""
    return ohms(parts(next(chain for chain in machine.chains if chain.name == wire.chain)).battery_leads)


def _short(terminals: Terminals, leads: Lanes) -> Lanes:
    return fusing.short_circuit_current(terminals.open_voltage, terminals.resistance + leads)


def _hardest(starts: Sequence[Start]) -> Start:
    """Return the start that melts most of a fuse on the typical machine."""
    return max(starts, key=lambda one: np.nan_to_num(first_number(one.battery_current) ** 2 * first_number(one.time)))


def _highest(evidence: Evidence) -> Lanes:
    """Return the highest voltage at the fuse: of the full pack, or of what drives it back. [V]"""
    driven = [one.descent.bus_voltage for one in evidence.slopes if one.descent is not None and one.regenerates]
    return duty.greatest([evidence.full_voltage, *driven])
