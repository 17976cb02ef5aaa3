"""Where a naive tool goes wrong: each step taken naively, and what really happens, on the alley mower."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from headrace import design
from headrace.design.bands import shares
from headrace.design.corners import NO_LOAD, bare_speeds
from headrace.design.record import design_record
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.point import Outcome
from headrace.drive.stopping import coast_time, spin, stop_time
from headrace.errors import MachineFileError, OutOfRange
from headrace.findings import judge
from headrace.machine import edit, read_text
from headrace.machine.draws import draws
from headrace.machine.links import Bearings, Controller, Motor
from headrace.machine.records import Machine
from headrace.machine.values import low_drag, with_values
from headrace.pack import arrangement
from headrace.pack import source as pack
from headrace.physics import cells, duty, loads, motors, stopping
from headrace.physics.margins import current_asked
from headrace.runs.march import march
from headrace.runs.run import End
from tests.machines import (
    EXAMPLE,
    alley,
    blade,
    book,
    controller,
    magnet_train,
    motor,
    point,
    small,
    state,
    terminals,
    warmth,
    with_link,
    with_pack,
)


def grass(plan: Machine) -> float:
    """Watts put into the grass, and from the cells, in the first cutting state."""
    return float(book(plan, state(plan)).useful)


def test_pitfall_03_run_time_as_the_score() -> None:
    """A worse pack turns the blade slower and draws less, so a score by run time calls it better; it cuts less well."""
    plan = alley()
    worse = replace(plan, source=pack.aged(plan.source, 1.0, 2.5))
    good, bad = (march(p, 1800.0) for p in (plan, worse))
    assert bad.pace_empty < good.pace_empty
    assert bad.energy < good.energy  # drawn in the same half hour: a run-time score would call it the better pack
    assert grass(worse) < grass(plan)


def test_pitfall_04_errors_that_cancel() -> None:
    """Nominal watt-hours over a fixed power can be right on one day; the same sum is wrong on the next."""
    plan = alley()
    naive = 0.8 * float(arrangement.energy(plan.source)) / float(book(plan, state(plan)).source)
    worn = replace(plan, source=pack.aged(plan.source, 0.8, 1.5))
    cold = replace(plan, job=replace(plan.job, ambient=268.15))
    days = [float(design.until_empty(p).duration) for p in (plan, worn, cold)]
    wrong = [abs(naive / seconds - 1.0) for seconds in days]
    assert min(wrong) < 0.05  # on some day it looks right
    assert max(wrong) > 0.15  # on another it is far off


def test_pitfall_05_blind_root_finding() -> None:
    """Where no speed satisfies the torque balance a bisection hands back the end of its bracket."""
    plan = alley()
    wall = replace(state(plan), sward=60.0)
    plan = with_link(plan, Controller, cut_out=0.0)
    row, warm, offered = parts(plan.chains[0]), warmth(plan), terminals(plan)
    case = magnet_train(row, work_terms(row, plan.chains[0].work, wall, plan.job, warm.air), warm)

    def spare_torque(speed: float) -> float:
        most = (offered.voltage - case.brush_drop - case.constant * speed) / (case.resistance + offered.resistance)
        return float(case.constant * (most - current_asked(case.current, speed)[0]))

    low, high = 20.0, 600.0
    assert spare_torque(low) < 0.0
    assert spare_torque(high) < 0.0  # no change of sign: the blind bisection does not look
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if spare_torque(middle) > 0.0 else (low, middle)
    assert high == pytest.approx(20.0, abs=1e-6)  # "converged", on nothing
    found = point(plan, wall)
    assert Outcome(int(found.outcome)) == Outcome.NO_CROSSING
    assert float(found.motor_speed) == 0.0


def test_pitfall_07_efficiency_at_the_mean_power() -> None:
    """The loss of the mix is not the loss at the mean load: what heats goes with the square."""
    plan = alley()
    shares = [s.share for s in plan.job.states]
    books = [book(plan, s) for s in plan.job.states]
    heating = [next(k.loss for k in b.lines if k.kind == "copper") for b in books]
    mean_state = replace(state(plan), sward=sum(s.share * s.sward for s in plan.job.states))
    at_the_mean = next(k.loss for k in book(plan, mean_state).lines if k.kind == "copper")
    assert float(duty.mean(shares, heating)) > 1.03 * float(at_the_mean)


def test_pitfall_08_linear_scaling_of_windage() -> None:
    """A fifth less speed saves about half the air's power, not a fifth."""
    plan = alley()
    idle = state(plan, loaded=False)
    fast = point(plan, idle)
    slow = with_link(plan, Controller, mode="governed", speed=0.8 * float(fast.motor_speed))
    air = [book(p, idle).lines[0].loss for p in (plan, slow)]
    assert float(air[1] / air[0]) == pytest.approx(0.8**3, rel=1e-6)


def test_pitfall_09_speed_is_set_by_the_winding_not_by_wish() -> None:
    """The same frame wound a seventh faster draws a fifth more for the same grass; its plate watts do not say so."""
    plan = alley()
    wound = motor(plan)
    faster = with_link(plan, type(wound), constant=wound.constant / 1.138, resistance=wound.resistance / 1.138**2)
    drawn = [float(book(p, state(p)).source) for p in (plan, faster)]
    assert drawn[1] / drawn[0] > 1.15


def test_pitfall_10_blade_overspeed_on_a_full_pack() -> None:
    """At nominal volts and cold magnets one more cell in series looks safe; full and warm it is over the limit."""
    plan = alley()
    radius = blade(plan).diameter / 2.0
    limit = float(plan.limits.tip_speed_max)
    series = np.arange(8.0, 16.0)
    more = with_pack(plan, series, plan.source.parallel)
    nominal = loads.tip_speed(point(more, state(plan, loaded=False), 0.5).tool_speed, radius)
    fastest = loads.tip_speed(bare_speeds(more, design.four_days(more))[0], radius)
    hidden = (nominal < limit) & (fastest > limit)
    assert np.any(hidden)
    assert np.all(fastest > nominal)


def test_pitfall_11_controller_current_multiplication() -> None:
    """Held still, the motor carries its full limit while the battery gives a fraction of it."""
    plan = with_link(alley(), Controller, motor_current=60.0, cut_out=0.0)
    held = replace(state(plan), sward=500.0)
    found = point(plan, held)
    assert float(found.tool_speed) == 0.0
    assert float(found.motor_current) == pytest.approx(60.0)
    assert float(found.battery_current) < 0.3 * 60.0
    # and with only the battery's side limited, the motor carries many times what the battery gives
    plan = with_link(alley(), Controller, motor_current=np.inf, battery_current=10.0, cut_out=0.0)
    found = point(plan, held)
    assert float(found.battery_current) == pytest.approx(10.0, rel=1e-9)
    assert float(found.motor_current) > 3.0 * 10.0
    assert Outcome(int(found.outcome)) == Outcome.NO_CROSSING


def test_pitfall_12_electrical_against_thermal_limit() -> None:
    """Tall grass all day is easy for the cells and ruin for the winding; above some current nothing settles."""
    plan = alley()
    tall = replace(state(plan, heaviest=True), share=1.0)
    plan = replace(plan, job=replace(plan.job, states=(tall,)))
    frame = motor(plan)
    run = march(with_pack(plan, plan.source.series, 30.0), 4 * 3600.0)
    assert float(run.peak_cell_current) < 0.5 * plan.source.cell.continuous_current
    assert float(run.highest_winding) - plan.job.ambient > 80.0
    resistance = frame.winding_to_case + frame.case_to_air
    runaway = float(motors.runaway_current(frame.resistance, resistance))
    found = point(plan, tall)
    turning = motors.rotation_loss(
        motors.rotation_torque(frame.drag, frame.drag_slope, frame.drag_square, found.motor_speed), found.motor_speed
    )
    rise = motors.rotation_rise(turning, frame.rotor_share, frame.winding_to_case, frame.case_to_air)
    hours = motors.continuous_current(frame.resistance, frame.brush_drop, resistance, 413.15, 308.15, rise)
    at_rest = motors.continuous_current(frame.resistance, frame.brush_drop, resistance, 413.15, 308.15, 0.0)
    assert float(hours) < 0.85 * float(at_rest)  # turning alone takes part of what the winding may warm
    assert float(at_rest) < runaway


def test_pitfall_13_cold_copper() -> None:
    """Warm copper slows the motor, warm magnets speed it up: a correction of one sign misses half."""
    plan = alley()
    duty_state = state(plan, loaded=False)
    cold = point(plan, duty_state, warm=warmth(plan))
    copper = point(plan, duty_state, warm=warmth(plan, winding=80.0))
    magnets = point(plan, duty_state, warm=warmth(plan, magnets=40.0))
    assert copper.motor_speed < cold.motor_speed < magnets.motor_speed
    assert magnets.motor_current > cold.motor_current
    assert float(motors.winding_resistance(1.0, 298.15 + 80.0)) == pytest.approx(1.31, abs=0.01)


def test_pitfall_17_coasting_is_judged_at_the_low_friction_corner() -> None:
    """Unbraked the blade turns on far beyond 3 s, and longer still when friction is what it may be at best."""
    plan = alley()
    days = design.four_days(plan)
    times = []
    for case in (plan, low_drag(plan)):
        free = spin(case.chains[0], NO_LOAD, case.job, warmth(case))
        times.append(float(coast_time(free, bare_speeds(case, days)[0])))
    assert times[0] > 3.0
    assert times[1] > 1.2 * times[0]


def test_pitfall_17_energy_over_power_is_not_the_time_of_a_braked_stop() -> None:
    """It sizes the resistor's heat; the current falls with the speed, and on slick bearings 3 s become more."""
    plan = alley()
    slick = low_drag(plan)
    speed = float(bare_speeds(plan, design.four_days(plan))[0])
    usual, least = (spin(case.chains[0], NO_LOAD, case.job, warmth(case)) for case in (plan, slick))
    just = brentq(lambda ohms: float(stop_time(usual, speed, ohms)) - 3.0, 0.05, 20.0)
    assert float(stop_time(least, speed, just)) > 3.2
    turning = speed * float(least.work.turns)
    loop = just + float(least.winding)
    energy = float(loads.spin_energy(least.inertia, turning))
    amps = float(stopping.brake_current(least.constant, turning, least.brush_drop, loop))
    assert energy / (amps * float(least.constant) * turning) < 0.25 * 3.0
    # once the brushes take all of the motor's volts nothing brakes but friction, whatever the resistor
    crawl = float(least.brush_drop) / float(least.constant) / float(least.work.turns)
    tail = [float(stop_time(least, crawl, ohms)) for ohms in (just, 1000.0)]
    assert tail[0] == pytest.approx(float(coast_time(least, crawl)), rel=1e-9)
    assert tail[0] == pytest.approx(tail[1], rel=1e-9)


def test_pitfall_19_nominal_against_usable_voltage() -> None:
    """For a motor at full voltage the current falls with the charge; for a held speed it rises."""
    plan = alley()
    charges = np.array([1.0, 0.6, 0.2])
    free = point(plan, state(plan), charges)
    assert np.all(np.diff(free.battery_current) < 0.0)
    slowest = float(point(plan, state(plan), 0.05).motor_speed)
    held = with_link(plan, Controller, mode="governed", speed=0.97 * slowest)
    assert np.all(np.diff(point(held, state(plan), charges).battery_current) > 0.0)
    full, empty = (float(point(plan, state(plan, loaded=False), z).motor_speed) for z in (1.0, 0.05))
    assert empty / full < 0.85


def test_pitfall_20_nominal_watt_hours() -> None:
    """Less comes out than is printed, less again when worn; and nothing is taken off twice."""
    plan = alley()
    printed = float(arrangement.energy(plan.source))
    new = design.until_empty(plan)
    worn = design.until_empty(replace(plan, source=pack.aged(plan.source, 0.8, 1.5)))
    assert 0.7 * printed < float(new.energy) < printed
    assert float(worn.energy) < 0.8 * float(new.energy)
    # the capacity taken is the capacity lost: no rate effect is booked on top of the sag
    cell = plan.source.cell
    charges = np.linspace(float(new.charge_left), 1.0, 2001)
    volts = np.asarray(cells.open_circuit_voltage(charges, cell.ocv_charge, cell.ocv_volts))
    mean = float(np.mean(0.5 * (volts[1:] + volts[:-1]))) * (1.0 - float(new.charge_left))
    at_start, at_end = (
        float(cells.capacity_at(cell.capacity, cell.cold_loss, kelvin))
        for kelvin in (float(plan.job.ambient), float(new.highest_cell_temperature))
    )
    count = float(arrangement.count(plan.source))
    assert 0.998 * at_start * count * mean < float(new.cell_energy) < 1.002 * at_end * count * mean


def test_pitfall_28_charge_from_voltage_on_a_plateau() -> None:
    """On iron phosphate a rested voltage between 3.2 and 3.4 V says next to nothing about charge; it is refused."""
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"source.cell": "lfp-26650"})
    lfp = read_text(text).machine.source.cell
    nmc = alley().source.cell
    middle = float(cells.open_circuit_voltage(0.5, lfp.ocv_charge, lfp.ocv_volts))
    with pytest.raises(OutOfRange, match="plateau"):
        pack.charge_at(lfp, middle)
    per_volt = [
        0.2 / float(np.diff(cells.open_circuit_voltage(np.array([0.4, 0.6]), c.ocv_charge, c.ocv_volts))[0])
        for c in (lfp, nmc)
    ]
    assert per_volt[0] > 5.0 * per_volt[1]
    assert pack.charge_at(nmc, float(cells.open_circuit_voltage(0.5, nmc.ocv_charge, nmc.ocv_volts))) == pytest.approx(
        0.5, abs=1e-9
    )


def test_pitfall_29_ratings_are_held_against_the_full_charge() -> None:
    """A pack whose nominal voltage passes a rating is rejected for the voltage it has when full."""
    plan = alley()
    rating = float(controller(plan).max_voltage)
    cell = plan.source.cell
    series = next(s for s in range(1, 40) if s * float(cell.full_voltage) > rating)
    assert series * float(cell.nominal_voltage) < rating
    found = judge(design.evidence(with_pack(plan, float(series), plan.source.parallel)))
    assert next(j for j in found if j.rule.slug == "part-over-voltage").failing[()]


@pytest.mark.parametrize(
    ("address", "written", "same"),
    [
        ("job.speed", "0.8 m/s", "2.88 km/h"),
        ("limits.tip_speed_max", "19000 ft/min", "96.52 m/s"),
        ("chains.blade.work.diameter", "42 cm", "16.53543307 in"),
        ("limits.max_mass", "7 kg", "15.43235835 lb"),
    ],
)
def test_pitfall_37_units_that_look_alike(address: str, written: str, same: str) -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    first, second = (read_text(edit(text, {address: value})).machine for value in (written, same))
    key = next(k for k in first.pedigree if k in (address, address.replace("job.speed", "job.travel_speed")))
    assert first.pedigree[key].typical == pytest.approx(second.pedigree[key].typical, rel=1e-8)


@pytest.mark.parametrize(
    ("address", "wrong"),
    [
        ("job.speed", "0.8 m/h"),
        ("limits.tip_speed_max", "19000 ft/s"),
        ("chains.blade.motor.constant", "96 V/rpm"),
        ("job.area", "1000 m"),
        ("limits.max_mass", "7 N"),
    ],
)
def test_pitfall_37_a_slip_of_the_unit_is_refused(address: str, wrong: str) -> None:
    with pytest.raises(MachineFileError):
        read_text(edit(EXAMPLE.read_text(encoding="utf-8"), {address: wrong}))


def test_pitfall_37_volts_per_turn_is_not_turns_per_volt() -> None:
    """96 rpm/V and 0.0995 V·s/rad are the same motor."""
    text = EXAMPLE.read_text(encoding="utf-8")
    said = [
        read_text(edit(text, {"chains.blade.motor.constant": c})).machine for c in ("96 rpm/V", "0.0994718 V·s/rad")
    ]
    assert motor(said[0]).constant == pytest.approx(float(motor(said[1]).constant), rel=1e-6)
    assert motor(with_values(said[0], {"chains.blade.motor.constant": 0.1})).constant == 0.1


def test_pitfall_36_draws_that_fail_are_counted() -> None:
    """Draws that stall, trip or overheat are outcomes; dropped, the mean job looks minutes longer than it is."""
    drawn = draws(alley(), 200, 1)
    run = march(drawn, drawn.limits.time_wanted)
    done = run.ended_because[1:] == End.JOB_DONE
    assert 0.0 < float(np.mean(done)) < 1.0
    assert sum(shares(run.ended_because, End).values()) == pytest.approx(1.0)
    minutes = run.duration[1:] / 60.0
    assert np.all(np.isfinite(minutes))
    assert float(np.mean(minutes[done])) - float(np.mean(minutes)) > 2.0


def test_pitfall_38_one_definition_for_each_quantity() -> None:
    """A winding's resistance is that at 25 °C: written down warm and warmed again it costs speed that is not lost."""
    plan, hot = alley(), warmth(alley(), winding=80.0)
    plate = motor(plan).resistance
    measured_warm = float(motors.winding_resistance(plate, hot.winding))
    twice = with_link(plan, Motor, resistance=measured_warm)
    once = point(plan, state(plan, heaviest=True), warm=hot)
    double = point(twice, state(plan, heaviest=True), warm=hot)
    assert measured_warm / float(plate) > 1.25
    assert float(double.motor_speed) < 0.995 * float(once.motor_speed)
    # the ledger counts the winding once, by the same law and temperature as the solver
    copper = next(line for line in book(plan, state(plan), warm=hot).lines if line.kind == "copper")
    amps = float(point(plan, state(plan), warm=hot).motor_current)
    assert float(copper.loss) == pytest.approx(amps**2 * measured_warm, rel=1e-12)


def test_pitfall_38_the_spindle_is_there_once() -> None:
    """A blade on the motor's shaft has no bearings of its own: theirs are in the no-load current already."""
    plan = alley()
    chain = plan.chains[0]
    direct = replace(plan, chains=(replace(chain, links=tuple(k for k in chain.links if not isinstance(k, Bearings))),))
    spindle = [line for line in book(plan, state(plan)).lines if line.kind == "bearings"]
    assert len(spindle) == 1
    assert [line for line in book(direct, state(plan)).lines if line.kind == "bearings"] == []
    turning = [next(k for k in book(p, state(plan)).lines if k.kind == "rotation").loss for p in (plan, direct)]
    assert float(turning[0]) == pytest.approx(float(turning[1]), rel=0.02)  # the motor's own drag either way


def test_pitfall_39_defaults_are_not_shown_as_facts() -> None:
    """What the file leaves out says so in the record, with its source, and carries most of the doubt in the watts."""
    plan = small()
    record = design_record(design.solve(plan))
    left_out = {a for a, o in plan.pedigree.items() if not o.written and o.low < o.high}
    shown = {number["address"]: number for number in record["numbers"]}
    assert left_out
    for address in left_out:
        assert shown[address]["basis"] in ("assumed", "table", "datasheet"), address
        assert shown[address]["source"], address
    swings = record["swings"]
    assumed = sum(s["width_W"] for s in swings if s["basis"] == "assumed")
    assert assumed > 0.5 * sum(s["width_W"] for s in swings)
    assert {link["basis"] for state_ in record["losses"]["states"] for link in state_["links"]} >= {"assumed", "given"}
