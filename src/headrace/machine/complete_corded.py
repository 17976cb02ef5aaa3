"""From the plates of corded motors and of converters to their records."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from headrace.machine.efficiencies import fit, measured
from headrace.machine.form_corded import DcDcTable, InductionMotorTable, InverterTable, SeriesMotorTable
from headrace.machine.lanes import Lanes
from headrace.machine.links import Converter, InductionMotor, SeriesMotor
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.places import Path, line_of
from headrace.machine.records import Origin
from headrace.machine.worked import Law
from headrace.physics import induction, inverters, motors

USUAL_VOLTAGE, USUAL_POWER = 230.0, 1000.0  # plate of the usual motor the tables hold
USUAL_INPUT = 12.0  # V, system voltage the tables hold cut-outs for
WARM = 373.15  # K, of windings at the load of a plate
TENTH_OF_LOSS = 0.1  # of a small converter's loss at its plate that stands without load; common practice, no source


# --- motors ------------------------------------------------------------------------------------------


def series_motor(pedigree: Pedigree, table: SeriesMotorTable, at: str, path: Path, frequency: float) -> SeriesMotor:
    """Return a universal motor on a supply of a frequency, 0 of direct current."""
    plate = _Plate(pedigree, table, at, path)
    return SeriesMotor(
        name=table.name,
        constant=plate.usual("constant", 1.0, 0.0),
        saturation_current=plate.usual("saturation_current", -1.0, 1.0),
        resistance=plate.usual("resistance", 2.0, -1.0),
        reactance=_reactance(plate, frequency),
        iron=plate.usual("iron", -2.0, 1.0),
        brush_drop=plate.get("brush_drop"),
        drag=plate.usual("drag", 0.0, 1.0),
        drag_square=plate.usual("drag_square", 0.0, 1.0),
        rated_power=plate.worked("rated_power", _shaft_power, (plate.power, plate.inner("plate_efficiency"))),
        max_voltage=plate.worked("max_voltage", _over_plate, (plate.voltage,)),
        **plate.frame(),
    )


def induction_motor(pedigree: Pedigree, table: InductionMotorTable, at: str, path: Path) -> InductionMotor:
    """Return a squirrel-cage motor, worked out of its plate."""
    plate = _Plate(pedigree, table, at, path)
    get = plate.get
    power, volts, speed, frequency = plate.power, plate.voltage, get.origin("speed"), get.origin("frequency")
    overload, efficiency, factor = get.origin("overload"), get.origin("efficiency"), get.origin("power_factor")
    turning = (frequency, speed)
    lost = (power, efficiency, frequency, speed)
    amps = (power, efficiency, volts, factor)
    share = get.origin("stator_share")
    return InductionMotor(
        name=table.name,
        voltage=pedigree.note(volts),
        synchronous=plate.worked("synchronous", _synchronous, turning),
        breakdown_torque=plate.worked("breakdown_torque", _breakdown_torque, (power, speed, overload)),
        breakdown_slip=plate.worked("breakdown_slip", _breakdown_slip, (*turning, overload)),
        rated_current=plate.worked("rated_current", _rated_current, amps),
        idle_current=plate.worked("idle_current", _idle_current, amps),
        start_multiple=get("start_multiple"),
        resistance=plate.worked("resistance", _stator_resistance, (*lost, volts, factor, share)),
        standing_loss=plate.worked("standing_loss", _standing_loss, (*lost, share)),
        brush_drop=pedigree.fixed(f"{at}.brush_drop", 0.0, "V", "no brushes"),
        drag=get("drag") if table.drag is not None else _share_of_torque(plate, power, speed),
        rated_power=plate.worked("rated_power", _itself, (power,)),
        max_voltage=plate.worked("max_voltage", _over_plate, (volts,)),
        **plate.frame(),
    )


class _Plate:
    """A motor's plate, and the usual motor of its kind scaled to it."""

    def __init__(self, pedigree: Pedigree, table: SeriesMotorTable | InductionMotorTable, at: str, path: Path) -> None:
        kind = table.kind
        self.pedigree, self.table, self.at, self.kind = pedigree, table, at, kind
        self.get = Fields(pedigree, table, at, path, kind)
        self.voltage, self.power = self.get.origin("voltage"), self.get.origin("power")

    def inner(self, field: str) -> Origin:
        """Return a default that only serves to work out others."""
        return self.pedigree.default(f"{self.at}.{field}", f"{self.kind}.{field}", "-")

    def worked(self, field: str, law: Law, parents: Sequence[Origin]) -> float:
        """Note a number that is worked out of the plate."""
        return self.pedigree.work_out(f"{self.at}.{field}", law, parents, UNITS[field], "the plate")

    def usual(self, key: str, volts: float, watts: float) -> float:
        """Note a number of the file; else that of the usual motor, by powers of the plate's volts and watts."""
        if getattr(self.table, key) is not None:
            return self.get(key)
        usual = replace(self.get.origin(key), address=f"{self.at}.usual_{key}")

        def scaled(number: Lanes, voltage: Lanes, power: Lanes) -> Lanes:
            return number * (voltage / USUAL_VOLTAGE) ** volts * (power / USUAL_POWER) ** watts

        words = "a usual motor, sized to the plate"
        parents = (usual, self.voltage, self.power)
        return self.pedigree.work_out(f"{self.at}.{key}", scaled, parents, self.get.unit(key), words)

    def frame(self) -> dict[str, Any]:
        """Note what turns and what warms, and return it by field."""
        return {
            "rotor_inertia": self.usual("rotor_inertia", 0.0, 1.0),
            "winding_to_case": self.usual("winding_to_case", 0.0, -1.0),
            "case_to_air": self.usual("case_to_air", 0.0, -1.0),
            "winding_heat": self.usual("winding_heat", 0.0, 1.0),
            "case_heat": self.usual("case_heat", 0.0, 1.0),
            "rotor_share": self.get("rotor_share"),
            "winding_limit": self.get("winding_limit"),
            "continuous_mark": self.table.continuous_mark,
        }


UNITS = {
    "rated_power": "W", "max_voltage": "V", "synchronous": "rad/s", "breakdown_torque": "N·m", "breakdown_slip": "-",
    "rated_current": "A", "idle_current": "A", "resistance": "Ω", "standing_loss": "W", "reactance": "Ω",
}  # fmt: skip


def _reactance(plate: _Plate, frequency: float) -> float:
    """Note the reactance at the frequency of the supply; none on direct current."""
    address = f"{plate.at}.reactance"
    if frequency == 0.0:
        return plate.pedigree.fixed(address, 0.0, "Ω", "direct current")
    rated = plate.get.origin("frequency")
    known = isinstance(plate.table, SeriesMotorTable) and plate.table.reactance is not None
    there = replace(plate.get.origin("reactance"), address=f"{plate.at}.{'plate' if known else 'usual'}_reactance")

    def turned(reactance: Lanes, plate_frequency: Lanes) -> Lanes:
        return reactance * frequency / plate_frequency

    def sized(usual: Lanes, plate_frequency: Lanes, voltage: Lanes, power: Lanes) -> Lanes:
        return turned(usual, plate_frequency) * (voltage / USUAL_VOLTAGE) ** 2 * (USUAL_POWER / power)

    if known:
        return plate.worked("reactance", turned, (there, rated))
    return plate.worked("reactance", sized, (there, rated, plate.voltage, plate.power))


def _share_of_torque(plate: _Plate, power: Origin, speed: Origin) -> float:
    def drag(watts: Lanes, turning: Lanes, share: Lanes) -> Lanes:
        return share * watts / turning

    at, parents = f"{plate.at}.drag", (power, speed, plate.inner("drag_share"))
    return plate.pedigree.work_out(at, drag, parents, "N·m", "the plate")


def _itself(value: Lanes) -> Lanes:
    return value


def _shaft_power(power: Lanes, efficiency: Lanes) -> Lanes:
    return power * efficiency


def _over_plate(voltage: Lanes) -> Lanes:
    """Return the most a winding for the mains is made for: a tenth over its plate. [V]"""
    return 1.1 * voltage


def _synchronous(frequency: Lanes, speed: Lanes) -> Lanes:
    return induction.synchronous_speed(frequency, np.maximum(1.0, np.floor(2.0 * math.pi * frequency / speed)))


def _slip(frequency: Lanes, speed: Lanes) -> Lanes:
    return induction.rotor_slip(_synchronous(frequency, speed), speed)


def _breakdown_torque(power: Lanes, speed: Lanes, overload: Lanes) -> Lanes:
    return overload * power / speed


def _breakdown_slip(frequency: Lanes, speed: Lanes, overload: Lanes) -> Lanes:
    return induction.breakdown_slip(_slip(frequency, speed), overload)


def _rated_current(power: Lanes, efficiency: Lanes, voltage: Lanes, factor: Lanes) -> Lanes:
    return induction.single_phase_current(power / efficiency, voltage, factor)


def _idle_current(power: Lanes, efficiency: Lanes, voltage: Lanes, factor: Lanes) -> Lanes:
    return _rated_current(power, efficiency, voltage, factor) * np.sqrt(1.0 - factor**2)


def _beside_the_rotor(power: Lanes, efficiency: Lanes, frequency: Lanes, speed: Lanes) -> Lanes:
    """Return what a plate's efficiency leaves for iron, fan and stator once the rotor's slip is paid. [W]"""
    slip = _slip(frequency, speed)
    return np.maximum(power * (1.0 / efficiency - 1.0) - power * slip / (1.0 - slip), 0.0)


def _stator_resistance(
    power: Lanes,
    efficiency: Lanes,
    frequency: Lanes,
    speed: Lanes,
    voltage: Lanes,
    factor: Lanes,
    share: Lanes,
) -> Lanes:
    amps = _rated_current(power, efficiency, voltage, factor)
    warm = share * _beside_the_rotor(power, efficiency, frequency, speed) / amps**2
    return warm / motors.winding_resistance(1.0, WARM)


def _standing_loss(power: Lanes, efficiency: Lanes, frequency: Lanes, speed: Lanes, share: Lanes) -> Lanes:
    return (1.0 - share) * _beside_the_rotor(power, efficiency, frequency, speed)


# --- converters --------------------------------------------------------------------------------------


def inverter(pedigree: Pedigree, table: InverterTable, at: str, path: Path) -> Converter:
    """Return a mains inverter; what its plate does not say is that of a small one."""
    get = Fields(pedigree, table, at, path, "inverter")
    rated, system = get.origin("power"), get.origin("input")

    def worked(key: str, law: Law, parent: Origin) -> float:
        if getattr(table, key) is not None and key != "square":
            return get(key)
        usual = replace(get.origin(key), address=f"{at}.usual_{key}")
        return pedigree.work_out(f"{at}.{key}", law, (usual, parent), _inverter_unit(get, key), "the plate")

    return Converter(
        name=table.name,
        kind="inverter",
        voltage=get("voltage"),
        frequency=get("frequency"),
        rated_power=pedigree.note(replace(rated, address=f"{at}.rated_power")),
        idle_power=worked("idle_power", np.multiply, rated),
        linear=get("linear"),
        square=worked("square", np.divide, rated),
        surge_multiple=get("surge_multiple"),
        surge_time=get("surge_time"),
        alarm=worked("alarm", _at_system, system),
        cut_out=worked("cut_out", _at_system, system),
        restart=worked("restart", _at_system, system),
        max_voltage=get("max_voltage") if table.max_voltage is not None else worked("max_voltage", _at_system, system),
        capacitance=get("capacitance"),
        sleeps=table.sleeps,
    )


def _inverter_unit(get: Fields, key: str) -> str:
    return "1/W" if key == "square" else get.unit(key)


def _at_system(usual: Lanes, system: Lanes) -> Lanes:
    return usual * system / USUAL_INPUT


def dc_dc(pedigree: Pedigree, table: DcDcTable, at: str, path: Path) -> Converter:
    """Return a converter of direct voltages, its losses worked out of the efficiency at its plate's power."""
    get = Fields(pedigree, table, at, path, "dc-dc")
    rated, efficiency = get.origin("power"), get.origin("efficiency")
    plate = (rated, efficiency)

    def none(field: str, value: float, unit: str) -> float:
        return pedigree.fixed(f"{at}.{field}", value, unit, "a converter of direct voltages has none")

    known = None if table.efficiencies is None else fit(table)
    found = {} if known is None else {**known.keys, "square": known.keys["square"] / rated.typical}

    def worked(field: str, law: Law, unit: str) -> float:
        if known is not None and field in found:
            line = line_of(pedigree.lines, path)
            return pedigree.note(measured(f"{at}.{field}", found[field], known.doubt, unit, line))
        return pedigree.work_out(f"{at}.{field}", law, plate, unit, "efficiency at the plate's power")

    given = table.idle_power is not None and not found
    return Converter(
        name=table.name,
        kind="dc-dc",
        voltage=get("voltage"),
        frequency=none("frequency", 0.0, "Hz"),
        rated_power=pedigree.note(replace(rated, address=f"{at}.rated_power")),
        idle_power=get("idle_power") if given else worked("idle_power", _standing_part, "W"),
        linear=worked("linear", _linear_part, "-"),
        square=worked("square", _square_part, "1/W"),
        surge_multiple=pedigree.note(pedigree.default(f"{at}.surge_multiple", "dc-dc.surge_multiple", "-")),
        surge_time=none("surge_time", 0.0, "s"),
        alarm=none("alarm", 0.0, "V"),
        cut_out=get("cut_out"),
        restart=none("restart", 0.0, "V"),
        max_voltage=get.or_else("max_voltage", math.inf),
        capacitance=get("capacitance"),
        sleeps=table.sleeps,
    )


def _standing_part(power: Lanes, efficiency: Lanes) -> Lanes:
    return TENTH_OF_LOSS * inverters.loss_at_efficiency(power, efficiency)


def _linear_part(power: Lanes, efficiency: Lanes) -> Lanes:
    return 0.5 * (1.0 - TENTH_OF_LOSS) * inverters.loss_at_efficiency(power, efficiency) / power


def _square_part(power: Lanes, efficiency: Lanes) -> Lanes:
    return 0.5 * (1.0 - TENTH_OF_LOSS) * inverters.loss_at_efficiency(power, efficiency) / power**2
