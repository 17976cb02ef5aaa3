"""What rushes into the capacitors behind a switch, and the resistor that fills them first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.drive.train import ohms
from headrace.machine.links import Controller, Converter
from headrace.machine.practice import practice
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.physics import pre_charge, switching
from headrace.physics.working import leaves
from headrace.tables import load

USUAL = "largest usual resistor that fills the capacitors in time"
OF_THE_PRE_CHARGE = ("pre-charge relay", "delay relay")
DECADES = (1.0, 10.0, 100.0, 1000.0)  # Ω, that its values are looked for in


@dataclass(frozen=True)
class Inrush:
    """Everything at once: a bare contact closes on empty capacitors.

    Attributes
    ----------
    voltage
        Of the pack after a full charge. [V]
    capacitance
        Of all controllers and converters on it. [F]
    resistance
        Of new, warm cells, their joints and the leads. [Ω]
    time_constant
        Of the two. [s]
    current
        At first. [A]
    energy
        That becomes a spark, or heat in a resistor. [J]
    standby
        Current of the electronics while nothing turns, inverters switched off at their own switch. [A]
    """

    voltage: Lanes
    capacitance: Lanes
    resistance: Lanes
    time_constant: Lanes
    current: Lanes
    energy: Lanes
    standby: Lanes


@dataclass(frozen=True)
class Filling:
    """What one resistor before the capacitors does.

    Attributes
    ----------
    resistance, time, step
        Of the resistor, how long it is held, and what may be left. [Ω, s, V]
    hold
        Needed until only the step is left; infinite where the electronics' own current never lets it get there. [s]
    sag
        What that current takes in the resistor for good. [V]
    left
        Between pack and capacitors once its time is over. [V]
    current
        That the main contact then lets in at first. [A]
    peak
        Of the resistor, at first. [W]
    heat
        In the resistor, over its time. [J]
    kept_on
        In the resistor where the load starts behind it, or is shorted, as long as nothing takes it off. [W]
    """

    resistance: Lanes
    time: Lanes
    step: Lanes
    hold: Lanes
    sag: Lanes
    left: Lanes
    current: Lanes
    peak: Lanes
    heat: Lanes
    kept_on: Lanes


def inrush(machine: Machine) -> Inrush | None:
    """Return what a bare contact lets in after a full charge; None where no capacitor stands behind it."""
    rows = [parts(chain) for chain in machine.chains]
    boxes = [row.controller if row.converter is None else row.converter for row in rows]
    capacitance = sum(box.capacitance for box in boxes)
    if np.all(np.asarray(capacitance) == 0.0):
        return None
    source = machine.source
    voltage = source.series * source.cell.full_voltage
    cells = pack.at(source, pack.fresh(machine.limits.ambient_hot)).resistance
    resistance = cells + switching.parallel_resistance([ohms(row.battery_leads) for row in rows])
    return Inrush(
        voltage=voltage,
        capacitance=capacitance,
        resistance=resistance,
        time_constant=pre_charge.charging_time_constant(resistance, capacitance),
        current=pre_charge.inrush_current(voltage, resistance),
        energy=pre_charge.capacitor_energy(capacitance, voltage),
        standby=pre_charge.standby_current(sum(box.idle_power for box in boxes if not _has_a_switch(box)), voltage),
    )


def _has_a_switch(box: Controller | Converter) -> bool:
    """Return whether it can stay off while its capacitors fill."""
    return isinstance(box, Converter) and box.kind == "inverter"


def filling(bare: Inrush, resistance: Lanes, time: Lanes, step: Lanes) -> Filling:
    """Return what a resistor does that is held for a time before the main contact closes."""
    constant = pre_charge.charging_time_constant(resistance, bare.capacitance)
    sag = resistance * bare.standby
    left = bare.voltage - pre_charge.pre_charged_voltage(bare.voltage, resistance, constant, time, bare.standby)
    peak = pre_charge.resistor_power(bare.voltage, resistance)
    return Filling(
        resistance=resistance,
        time=time,
        step=step,
        hold=pre_charge.hold_time(constant, bare.voltage, step, sag),
        sag=sag,
        left=left,
        current=pre_charge.inrush_current(left, bare.resistance),
        peak=peak,
        heat=bare.energy + pre_charge.burst_energy(pre_charge.resistor_power(sag, resistance), time),
        kept_on=peak,
    )


def proposed(bare: Inrush) -> Filling | None:
    """Return the resistor to fit where none is planned, chosen on the first lane; None where no usual one does."""
    time, step = (
        practice("pre_charge.time", "time a pre-charge is held"),
        practice("pre_charge.step", "step it may leave"),
    )
    numbers = (time, bare.capacitance, bare.voltage, step, bare.standby)
    most = pre_charge.pre_charge_resistance(*(first_number(value) for value in numbers))
    known = [float(row["value"]) * decade for decade in DECADES for row in load("preferred_e12")]
    fit = [value for value in known if value <= most]
    return filling(bare, leaves(fit[-1], "search", USUAL), time, step) if fit else None
