"""The record of the first power-up and of the readings on the bench, as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.design.pack_readings import ENDLESS, Rested, TwoLoads, rested
from headrace.design.readings import readings
from headrace.design.trial import Alone, Charged, Step, Working, trial_of
from headrace.drive.converting import how_it_stands
from headrace.drive.links import parts
from headrace.drive.point import Outcome, Point
from headrace.findings import Evidence
from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, part_of
from headrace.machine.records import Chain, Machine, Source
from headrace.pack.resting import rest_before
from headrace.wiring.netlist import back_of
from headrace.wiring.readings import Reading

Record = dict[str, Any]

HIGHER = {
    "brushed": "More amps, or it stays at the limit: friction, a bearing that is tight, a brake or a belt left on, "
    "brushes pressed too hard. More amps and more speed: fewer turns, or weak magnets.",
    "electronic": "More amps, or it stays at the limit: friction, a brake or a belt left on, the controller's timing "
    "or its order of phases. More amps and more speed: a star winding joined as a triangle, or fewer turns.",
    "series": "More watts and less speed: friction in gears or bearings, brushes that spark, a shorted winding.",
    "cage": "More watts or a hum: one winding or its capacitor is dead, a bearing is tight, the volts are too low.",
}
LOWER = {
    "brushed": "No amps: a brush that does not touch, an open lead, a control that is not let through. "
    "Less speed at the amps expected: more turns than planned, or volts lost in a joint.",
    "electronic": "No amps, or it jerks and buzzes: a phase is open, or two leads are swapped. "
    "Less speed at the amps expected: a triangle joined as a star, or more turns than planned.",
    "series": "No watts: a brush or the switch does not touch. Less speed and fewer watts: low volts where it is fed.",
    "cage": "No watts: the switch or its protection is open. Its speed hardly moves with the volts.",
}
WARMTH = "motors as warm as the hottest of them gets in the day's work, cells likewise; cold is as warm as the air"
UNLOADED = "no amps are set for this reading: what the machine does meanwhile stands beside it"
NO_CONTACT = "no brake of resistor and contact stands across it"
SOCKET = "nothing is set: a socket has its own volts and fuse; a residual-current device has to stand before it"


def trial_record(machine: Machine, evidence: Evidence) -> Record:
    """Return the first power-up, and the readings on the bench."""
    trial = trial_of(machine, evidence.days.new)
    found = readings(machine, evidence, trial)
    return {
        "trial": {
            "chains": [{**_alone(one), **_braked(machine, evidence, one)} for one in trial.alone],
            "charges": [_charged(machine, one) for one in trial.charged],
        },
        "bench_readings": [_reading(one) for one in found.rows],
        "two_loads": {"reason": ENDLESS} if found.loads is None else _loads(found.loads),
    }


def _alone(one: Alone) -> Record:
    return {
        "name": one.chain,
        "motor": one.motor,
        "kind": one.kind,
        "off": one.off,
        "stays_on": list(one.stays),
        "mechanical_brake": one.brake or None,
        "mechanical_brake_back": one.brake_back or None,
        "supply": one.supply,
        "at": one.at,
        "kept_off": list(one.beside),
        "steps": [_step(step) for step in one.steps],
        "higher": HIGHER[one.kind],
        "lower": LOWER[one.kind],
    }


def _braked(machine: Machine, evidence: Evidence, one: Alone) -> Record:
    """Return the brake whose contact is closed while nothing feeds its coil, and where the stop with it is tried."""
    relay = f"{one.chain} {BRAKE}"
    guard, netlist = evidence.guard, evidence.netlist
    wired = netlist is not None and relay in [part.name for part in netlist.of(BRAKE)]
    if guard is None or not wired:
        return {"brake": None, "brake_reason": NO_CONTACT}
    brake = next(braking.brake for braking in guard.brakes if braking.chain == one.chain)
    return {
        "brake": {
            "contact": relay,
            "off": f"{relay}.in",
            "read": f"{relay}.in and {part_of(one.chain, BRAKE_RESISTOR)}.out",
            "resistance_ohm": number(brake.resistance),
            "stop_at": f"contactor.in and {back_of(machine)}",
            "coils_A": number(guard.switches.coils),
        },
        "brake_reason": None,
    }


def _step(step: Step) -> Record:
    limit = number(step.limit)
    return {
        "name": step.name,
        "supply_V": number(step.voltage),
        "limit_A": limit,
        "limit_reason": SOCKET if limit is None and not step.reason else step.reason or None,
        "run_s": number(step.time),
        "motor_speed_rad_s": number(step.point.motor_speed),
        "shaft_speed_rad_s": number(step.point.tool_speed),
        "current_A": number(step.point.battery_current),
        "motor_current_A": number(step.point.motor_current),
        "power_W": number(step.power),
        "winding_temperature_K": number(step.winding),
        "case_temperature_K": number(step.case),
        "reason": step.reason or None,
    }


def _charged(machine: Machine, one: Charged) -> Record:
    charge = number(one.charge)
    return {
        "name": one.name,
        "charge": charge,
        "reason": ENDLESS if charge is None else None,
        "warmth": WARMTH,
        "rest_V": number(one.rest),
        "states": [_working(machine, work) for work in one.states],
    }


def _working(machine: Machine, work: Working) -> Record:
    return {
        "name": work.state.name,
        "voltage_V": number(work.voltage),
        "current_A": number(work.current),
        "cold_current_A": number(work.cold_current),
        "chains": [
            {**_point(chain, point), **_cold(chain, cold)}
            for chain, point, cold in zip(machine.chains, work.points, work.cold_points, strict=True)
        ],
    }


def _point(chain: Chain, point: Point) -> Record:
    outcome = Outcome(int(point.outcome.flat[0]))
    return {
        "name": chain.name,
        "works": outcome.works,
        "outcome": outcome.slug,
        "reason": how_it_stands(parts(chain).converter, point),
        "motor_speed_rad_s": number(point.motor_speed),
        "tool_speed_rad_s": number(point.tool_speed),
        "motor_current_A": number(point.motor_current),
        "battery_current_A": number(point.battery_current),
        "controller_V": number(point.bus_voltage),
    }


def _cold(chain: Chain, point: Point) -> Record:
    """Return how fast the tool is in the first minutes."""
    return {
        "cold_works": Outcome(int(point.outcome.flat[0])).works,
        "cold_reason": how_it_stands(parts(chain).converter, point),
        "cold_tool_speed_rad_s": number(point.tool_speed),
    }


def _reading(one: Reading) -> Record:
    expected, amps, rested = number(one.expected), number(one.current), number(one.rested)
    return {
        "name": one.name,
        "kind": one.kind,
        "where": one.where,
        "when": one.when,
        "current_A": amps,
        "current_reason": UNLOADED if amps is None else None,
        "rested_s": rested,
        "rested_reason": one.unrested if rested is None else None,
        f"expected_{one.unit}": expected,
        f"usual_from_{one.unit}": number(one.low),
        f"usual_to_{one.unit}": number(one.high),
        "fine_by": "draws" if isinstance(expected, dict) else one.fine_by,
        "differs": one.differs,
        "reason": one.reason or None,
    }


def _loads(found: TwoLoads) -> Record:
    return {
        "reason": found.reason or None,
        "light_current_A": number(found.first),
        "light_time_s": number(found.first_time),
        "light_voltage_V": number(found.first_voltage),
        "heavy_current_A": number(found.second),
        "heavy_time_s": number(found.second_time),
        "limited": found.limited,
        "heavy_voltage_V": number(found.second_voltage),
        "resistance_ohm": number(found.resistance),
        "at_once_ohm": number(found.at_once),
        "after_s": number(found.lasting),
        "lasting_ohm": number(found.after),
    }


def rest_volts_record(source: Source) -> Record:
    """Return the volts of a rested pack against its charge; of what never empties the reason."""
    return {
        "rest": [_rested(one) for one in rested(source)],
        "rested_s": None if source.endless else number(rest_before(source)),
        "rest_reason": ENDLESS if source.endless else None,
    }


def _rested(one: Rested) -> Record:
    return {
        "name": one.name,
        "charge": number(one.charge),
        "voltage_V": number(one.voltage),
        "cell_voltage_V": number(one.cell),
        "reason": one.reason or None,
    }
