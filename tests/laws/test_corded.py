"""Corded motors, inverters and other sources: worked out by hand, balanced to the last watt, refused where they fail.

Every hand calculation writes its numbers out and takes nothing from the stages it checks.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.corners import NO_LOAD, points_at
from headrace.drive.bus import solve_together
from headrace.drive.demand import work_terms
from headrace.drive.ledger import ledger
from headrace.drive.links import parts
from headrace.drive.point import Outcome, Point
from headrace.drive.starting import start
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth, train
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.machine.values import with_values
from headrace.pack import source as pack
from headrace.runs.run import End

AIR = 293.15
WARM = Warmth(AIR, AIR, AIR)
WALL = """
[machine]
name = "A drum at the wall"

[[chains]]
name = "drum"
[chains.work]
kind = "shaft"
speed = "1400 rpm"
torque = "the-same"
inertia = "0.02 kg·m²"
[[chains.links]]
kind = "gears"
name = "gearbox"
ratio = 12
efficiency = 0.9
drag = "0.01 N·m"
drag_slope = "0 N·m·s/rad"
[[chains.links]]
MOTOR

[source]
kind = "wall-socket"
voltage = "230 V"
resistance = "0.6 Ω"
current = "16 A"

[job]
kind = "work"
ambient = "20 °C"
[[job.states]]
name = "grating"
share = 1
demand = "300 W"

[limits]
time = "10 min"
"""
SERIES = """kind = "series-motor"
voltage = "230 V"
power = "1000 W"
resistance = "6.6 Ω"
reactance = "12 Ω"
constant = "0.088 N·m/A"
saturation_current = "1.2 A"
iron = "0.0017 W/V²"
brush_drop = "2 V"
drag = "0.028 N·m"
drag_square = "7e-9 N·m·s²/rad²"
"""
CAGE = """kind = "induction-motor"
voltage = "230 V"
power = "750 W"
speed = "1400 rpm"
efficiency = 0.7
power_factor = 0.75
overload = 2.2
drag = "0 N·m"
"""


def wall(motor: str, **changes: str) -> Machine:
    text = WALL.replace("MOTOR", motor)
    for old, new in changes.items():
        text = text.replace(old.replace("_", " "), new)
    return read_text(text).machine


def terminals(machine: Machine, charge: float = 1.0) -> Terminals:
    return pack.at_length(machine.source, pack.fresh(AIR, charge))


def point_of(machine: Machine, state: int = 0, source: Terminals | None = None) -> Point:
    return points_at(machine, machine.job.states[state], source or terminals(machine), [WARM])[0]


def number(value: Any) -> float:
    return float(np.ravel(value)[0])


# --- by hand -----------------------------------------------------------------------------------------


def test_a_universal_motor_at_the_wall_by_hand() -> None:
    machine = wall(SERIES)
    point = point_of(machine)
    speed, current = number(point.motor_speed), number(point.motor_current)
    # torque: 300 W at 146.6 rad/s through 12:1 at 90 %, gear drag, the motor's own friction and fan
    torque = 300.0 / 146.608 / 12.0 / 0.9 + 0.01 + 0.028 + 7e-9 * speed**2
    flux = 0.088 * (1.0 - math.exp(-current / 1.2))
    assert flux * (current - 0.0017 * speed * flux) == pytest.approx(torque, rel=1e-4)
    # volts: resistance of 20 °C copper, the line's 0.6 ohm, brushes, and the reactance across
    in_phase = flux * speed + current * (6.6 * (234.5 + 20.0) / (234.5 + 25.0) + 0.6) + 2.0
    assert math.hypot(in_phase, 12.0 * current) == pytest.approx(230.0, rel=2e-3)
    assert number(point.in_phase) == pytest.approx(in_phase / 230.0, rel=2e-3)


def test_an_induction_motor_by_hand() -> None:
    machine = wall(CAGE, ratio_12="")
    machine = read_text(WALL.replace("MOTOR", CAGE).replace("ratio = 12", "ratio = 1")).machine
    point = point_of(machine)
    # 1400 rev/min at 50 Hz: two pole pairs, 157.08 rad/s, slip 0.0667; breakdown 2.2 times 750/146.608 = 11.25 N m
    slip_rated, overload = (1500.0 - 1400.0) / 1500.0, 2.2
    slip_most = slip_rated * (overload + math.sqrt(overload**2 - 1.0))
    torque = 300.0 / 146.608 / 0.9 + 0.01
    most = overload * 750.0 / 146.608 * (number(point.feed_voltage) / 230.0) ** 2
    ratio = most / torque
    slip = slip_most * (ratio - math.sqrt(ratio**2 - 1.0))
    assert number(point.motor_speed) == pytest.approx(157.08 * (1.0 - slip), rel=2e-3)
    # watts in: over the gap, standing, and copper; magnetising current by the plate's power factor
    amps_rated = 750.0 / 0.7 / 230.0 / 0.75
    beside = 750.0 * (1.0 / 0.7 - 1.0) - 750.0 * slip_rated / (1.0 - slip_rated)
    hot, now = (234.5 + 100.0) / (234.5 + 25.0), (234.5 + 20.0) / (234.5 + 25.0)
    copper = 0.55 * beside / amps_rated**2 / hot * now
    known = torque * 157.08 + 0.45 * beside
    idle = amps_rated * math.sqrt(1.0 - 0.75**2)
    in_phase = known / 230.0
    for _ in range(20):
        in_phase = (known + (copper + 0.6) * (in_phase**2 + idle**2)) / 230.0
    assert number(point.motor_current) == pytest.approx(math.hypot(in_phase, idle), rel=0.02)
    assert number(230.0 * point.battery_current * point.in_phase) == pytest.approx(230.0 * in_phase, rel=0.02)


def test_an_inverter_on_lead_acid_by_hand() -> None:
    machine = read_text(starter("corded")).machine
    source = terminals(machine)
    point = point_of(machine, source=source)
    # put out: 230 V with the amps the motor takes; lost: 45 W, 6 % of the watts, 5 % of the volt-amperes at the plate
    apparent = 230.0 * number(point.motor_current)
    power = apparent * number(point.feed_in_phase)
    asked = power + 45.0 + 0.06 * power + 0.05 / 3000.0 * apparent**2
    leads = sum(number(part) for part in (2.0 * 1.0 * 0.554e-3 * 1.0,))  # 35 mm², out and back, at the cable's warmth
    lugs = number(machine.chains[0].links[-2].count * machine.chains[0].links[-2].resistance)  # type: ignore[union-attr]
    fuse = number(machine.chains[0].links[-1].resistance)  # type: ignore[union-attr]
    ohms = number(source.resistance) + leads + lugs + fuse
    amps = asked / 25.6
    for _ in range(20):
        amps = asked / (25.6 - ohms * amps)
    assert number(point.battery_current) == pytest.approx(amps, rel=0.02)
    assert number(point.bus_voltage) == pytest.approx(25.6 - ohms * amps, rel=0.02)


# --- balances ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("motor", [SERIES, CAGE], ids=["series", "induction"])
def test_the_ledger_of_a_motor_at_the_wall_closes_in_every_draw(motor: str) -> None:
    machine = draws(wall(motor), 20, 3)
    _closes(machine)


def test_the_ledger_of_an_inverter_closes_in_every_draw() -> None:
    _closes(draws(read_text(starter("corded")).machine, 20, 3))


def test_the_ledger_of_a_series_motor_on_its_own_pack_closes() -> None:
    _closes(on_a_pack())


def _closes(machine: Machine) -> None:
    state, source = machine.job.states[0], terminals(machine)
    point = point_of(machine, source=source)
    book = ledger(machine.chains[0], state, machine.job, WARM, point, source)
    turning = np.asarray(point.tool_speed) > 0.0
    assert turning.any()
    assert np.max(np.where(turning, book.closure, 0.0)) < 1e-9


def on_a_pack(limit: str = "60 A") -> Machine:
    """Return a series motor wound for 36 V, on cells, behind a controller."""
    motor = SERIES.replace("230 V", "36 V").replace("6.6 Ω", "0.16 Ω").replace("0.088 N·m/A", "0.0138 N·m/A")
    motor = motor.replace("1.2 A", "7.7 A").replace("0.0017 W/V²", "0.069 W/V²")
    chain = motor + f'[[chains.links]]\nkind = "controller"\nmotor_current = "{limit}"\n'
    cells = '[source]\ncell = "power-21700"\nseries = 10\nparallel = 6\n'
    text = WALL.replace("MOTOR", chain)
    before, after = text[: text.index("[source]")], text[text.index("[job]") :]
    return read_text(before + cells + after).machine


def test_a_series_motor_on_direct_current_has_no_reactance_and_obeys_its_limit() -> None:
    free = on_a_pack()
    assert free.chains[0].links[1].reactance == 0.0  # type: ignore[union-attr]
    running = point_of(free)
    assert Outcome(int(running.outcome.flat[0])) is Outcome.FULL_VOLTAGE
    least = number(running.motor_current)
    held = point_of(on_a_pack(f"{0.97 * least:.4f} A"))
    assert Outcome(int(held.outcome.flat[0])) is Outcome.MOTOR_LIMIT
    assert number(held.motor_current) == pytest.approx(0.97 * least, rel=1e-4)
    assert number(held.motor_speed) < number(running.motor_speed)


def test_a_motor_without_load_is_held_by_its_fan() -> None:
    """A series motor with nothing on it has no finite speed in the simple formula; its own fan ends the run."""
    machine = wall(SERIES)
    bare = points_at(machine, NO_LOAD, terminals(machine), [WARM])[0]
    assert 2000.0 < number(bare.motor_speed) < 4000.0
    lighter = with_values(machine, {"chains.drum.motor.drag_square": 3.5e-9})
    assert number(points_at(lighter, NO_LOAD, terminals(lighter), [WARM])[0].motor_speed) > number(bare.motor_speed)


# --- power that is not there -------------------------------------------------------------------------


def test_what_the_source_cannot_give_is_told_and_never_an_imaginary_current() -> None:
    machine = read_text(starter("corded")).machine
    source = terminals(machine)
    for ohms, outcome in ((0.0, None), (0.12, Outcome.CUT_OUT), (0.4, Outcome.CUT_OUT)):
        weak = replace(source, cell_resistance=source.cell_resistance + ohms)
        point = point_of(machine, source=weak)
        assert np.isfinite(point.battery_current).all()
        if outcome is not None:
            assert Outcome(int(point.outcome.flat[0])) is outcome
    # at 0.4 ohm there is no root, E²/4R = 25.6²/1.6 = 410 W: what is printed is the point of most power, half the volts
    assert number(point.bus_voltage) == pytest.approx(25.6 / 2.0, rel=1e-3)


def test_an_inverter_that_is_asked_too_much_switches_off() -> None:
    machine = read_text(edit(starter("corded"), {"chains.mill.inverter.power": "350 W"})).machine
    assert Outcome(int(point_of(machine).outcome.flat[0])) is Outcome.OVERLOAD
    assert End(int(design.day(machine).ended_because.flat[0])) is End.OVERLOAD


def test_a_board_that_lets_too_little_through_ends_the_work() -> None:
    machine = read_text(edit(starter("corded"), {"source.current_limit": "20 A"})).machine
    assert Outcome(int(point_of(machine).outcome.flat[0])) is Outcome.SOURCE_LIMIT


def test_what_rests_behind_an_inverter_still_pays_for_it() -> None:
    """Left on, a box takes its own watts all day: 45 W of a 3 kW box, 1.8 A at 25.6 V."""
    machine = read_text(starter("corded")).machine
    resting = point_of(machine, state=1)
    assert number(resting.battery_current) == pytest.approx(45.0 / 25.55, rel=0.01)
    asleep = read_text(edit(starter("corded"), {"chains.mill.inverter.sleeps": True})).machine
    assert number(point_of(asleep, state=1).battery_current) == 0.0


# --- the source --------------------------------------------------------------------------------------


def test_a_socket_never_empties_and_a_worn_one_is_the_same() -> None:
    machine = wall(SERIES)
    state = pack.fresh(AIR)
    assert pack.advance(machine.source, state, 10.0, AIR, 3600.0) == state
    assert pack.aged(machine.source, 0.8, 2.0) == machine.source
    run = design.day(machine)
    assert number(run.charge_left) == 1.0
    steady = point_of(machine)
    given = 230.0 * steady.battery_current * steady.in_phase - 0.6 * steady.battery_current**2
    assert number(run.energy) == pytest.approx(number(given) * 600.0, rel=0.03)  # the winding warms


def test_lead_acid_gives_its_rated_charge_in_twenty_hours_and_less_in_one() -> None:
    """Peukert's charge in both times, from the label's exponent alone: 100 Ah and 100 (20)^(1/1.1 - 1) = 76.2 Ah."""
    source = read_text(starter("corded")).machine.source
    for hours, due in ((20.0, 100.0), (1.0, 100.0 * 20.0 ** (1.0 / 1.1 - 1.0))):
        amps, state, given = due / hours, pack.fresh(298.15), 0.0
        step = hours * 36.0
        while number(state.at_hand) > 0.0:
            state, given = pack.advance(source, state, amps, 298.15, step), given + amps * step / 3600.0
        assert given == pytest.approx(due, rel=0.02)
    rested = pack.advance(source, state, 0.0, 298.15, 4.0 * 3600.0)
    assert number(rested.at_hand) > 0.1  # a rest gives charge back
    assert number(rested.charge) == pytest.approx(number(state.charge), abs=1e-12)  # and no coulomb is made


def test_a_ready_made_pack_is_what_its_label_says() -> None:
    label = '[source]\nkind = "ready-made"\nvoltage = "36 V"\ncapacity = "12 Ah"\ncurrent = "25 A"\nmass = "2.6 kg"\n'
    text = starter("shaft")
    before, after = text[: text.index("[source]")], text[text.index("[job]") :]
    machine = read_text(before + label + after).machine
    source = machine.source
    assert source.series == 10.0
    assert source.cell.capacity == 12.0 * 3600.0
    assert source.current_limit == 25.0
    assert number(design.evidence(machine).mass) == pytest.approx(2.6)
    # 43 mohm of a 3.4 Ah cell, sized to 12 Ah, ten in a row
    assert source.series * source.cell.resistance == pytest.approx(10.0 * 0.043 * 3.4 / 12.0)


# --- starting ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("motor", [SERIES, CAGE], ids=["series", "induction"])
def test_a_start_at_the_wall_keeps_its_books(motor: str) -> None:
    """What the motor's torque does beside load and drag is left in the turning masses."""
    machine = wall(motor) if motor is SERIES else read_text(WALL.replace("MOTOR", CAGE).replace("= 12", "= 1")).machine
    source, state = terminals(machine), machine.job.states[0]
    held = point_of(machine)
    begun = start(machine.chains[0], state, machine.job, WARM, source, held)
    assert bool(np.all(begun.starts))
    speed = 0.95 * number(held.motor_speed)
    inertia = number(machine.chains[0].links[1].rotor_inertia)  # type: ignore[union-attr]
    inertia += 0.02 / number(held.motor_speed / held.tool_speed) ** 2
    assert number(begun.spun) == pytest.approx(0.5 * inertia * speed**2, rel=1e-9)
    assert number(begun.energy) > number(begun.spun + begun.work)
    at_rest = number(source.voltage) / (number(machine.chains[0].links[1].resistance) + 0.6)  # type: ignore[union-attr]
    if motor is SERIES:
        assert number(begun.motor_current) < at_rest
        assert number(begun.motor_current) > 3.0 * number(held.motor_current)
    else:
        plate = 6.0 * 750.0 / 0.7 / 230.0 / 0.75  # six times its current; behind a line of 0.6 ohm a little less
        assert 0.85 * plate < number(begun.motor_current) < plate


@pytest.mark.parametrize("ohms", [0.0, 0.6, 3.0, 10.0])
def test_a_motor_held_fast_on_a_long_cord_takes_watts_and_never_gives_them(ohms: float) -> None:
    text = WALL.replace("MOTOR", CAGE).replace("= 12", "= 1").replace('"300 W"', '"5000 W"')
    machine = read_text(text.replace('"0.6 Ω"', f'"{ohms} Ω"')).machine
    source = terminals(machine)
    point = point_of(machine)
    assert number(point.motor_speed) == 0.0
    watts = number(source.given(point.battery_current, point.battery_current * point.in_phase))
    assert watts > 0.0
    assert 0.0 < number(point.terminal_voltage) <= 230.0 + 1e-9


def test_a_chain_of_direct_current_beside_one_on_an_inverter() -> None:
    """Two chains that are solved in two ways meet at one bus voltage."""
    machine = read_text(starter("corded")).machine
    row = parts(machine.chains[0])
    demand = work_terms(row, machine.chains[0].work, machine.job.states[0], machine.job, AIR)
    case, source = train(row, demand, WARM), terminals(machine)
    alone = solve_together([case], source)[0]
    both = solve_together([case, case], replace(source, cell_resistance=0.5 * source.resistance, joint_resistance=0.0))
    for point in both:  # half the resistance for twice the current: each is as it would be alone, but for its leads
        assert number(point.battery_current) == pytest.approx(number(alone.battery_current), rel=1e-6)
