"""How much power the pack still has for its machine before something cuts out, and how that goes with the charge."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.drive.links import parts
from headrace.drive.train import ohms
from headrace.machine.records import Lanes, Machine, Source
from headrace.pack import source as pack
from headrace.physics import duty, inverters

FULL = 1.0


@dataclass(frozen=True)
class PowerLeft:
    """Most power at the first chain's controller, held for minutes, without falling to its cut-out. [W]

    Attributes
    ----------
    full, half, reserve
        At that charge, new cells in the job's weather.
    worst
        At the reserve, cells at end of life, in the coldest weather.
    """

    full: Lanes
    half: Lanes
    reserve: Lanes
    worst: Lanes


def power_left(machine: Machine) -> PowerLeft:
    """Return the power left at four states of the pack, in all lanes of a machine."""
    limits, air = machine.limits, machine.job.ambient
    worn = pack.worn(machine.source, limits)
    return PowerLeft(
        full=_above_the_cut_out(machine, machine.source, FULL, air),
        half=_above_the_cut_out(machine, machine.source, pack.HALF_FULL, air),
        reserve=_above_the_cut_out(machine, machine.source, limits.reserve, air),
        worst=_above_the_cut_out(machine, worn, limits.reserve, limits.ambient_cold),
    )


def _above_the_cut_out(machine: Machine, source: Source, charge: Lanes, temperature: Lanes) -> Lanes:
    row, terminals = parts(machine.chains[0]), pack.at_length(source, pack.fresh(temperature, charge))
    lowest = duty.greatest([row.cut_out, terminals.floor_voltage])
    return inverters.most_power_above(terminals.voltage, terminals.resistance + ohms(row.battery_leads), lowest)
