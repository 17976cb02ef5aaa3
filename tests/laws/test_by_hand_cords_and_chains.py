"""Cords, inverters and several chains worked out by hand, as ``test_by_hand.py`` does for one chain on cells.

Of a machine on a cord the speed of the tool is taken from the program, and the volts behind it are held. Of the chains
that a controller holds at a speed nothing is taken: their speed stands in the file.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from headrace import machine
from headrace.design.corners import points_at
from headrace.drive.ledger import Ledger, ledger
from headrace.drive.point import Outcome, Point
from headrace.machine.records import Machine
from tests.laws.test_by_hand import CLOSE, ENERGY, Brushed, G, air, pack_ohms
from tests.machines import book, point, terminals, warmth

EXAMPLES = Path(__file__).parents[2] / "examples"
TURNS = 2.0 * math.pi / 60.0  # rad/s of one rpm


def told(plan: Machine, called: str) -> tuple[list[Point], list[Ledger]]:
    """Return what every chain does in a duty state of a half full battery, and its ledger."""
    duty = next(state for state in plan.job.states if state.name == called)
    warm, source = warmth(plan), terminals(plan)
    points = points_at(plan, duty, source, [warm for _ in plan.chains])
    total = sum(at.battery_current for at in points)
    books = [
        ledger(chain, duty, plan.job, warm, at, source, total - at.battery_current)
        for chain, at in zip(plan.chains, points, strict=False)
        if at.outcome != Outcome.OFF
    ]
    return points, books


def wire(metres: float, ohms_per_km: float) -> float:
    """Ω of a cable out and back at 40 °C."""
    return 2.0 * metres * ohms_per_km / 1000.0 * (1.0 + 0.00393 * 20.0)


def universal(torque: float, speed: float, plate: float, celsius: float) -> tuple[float, float]:
    """Amps and volts in phase of a usual motor of 230 V and 1 kW, sized to the watts of a plate.

    Torque at the shaft [N·m], speed of the motor [rad/s], watts of the plate over 1000 [-].
    """
    drag = (0.028 + 7e-9 * speed**2) * plate  # N·m of brushes, bearings and fan
    amps = 4.0 * plate
    for _ in range(60):
        flux = 0.088 * (1.0 - math.exp(-amps / (1.2 * plate)))  # V·s/rad, the field of these amps
        amps = 0.5 * amps + 0.5 * ((torque + drag) / flux + 0.0017 * plate * flux * speed)  # A, with those of the iron
    copper = 6.6 / plate * (234.5 + celsius) / 259.5  # Ω
    return amps, flux * speed + copper * amps + 2.0  # A; V, with 2 V in the brushes


def test_corded_on_an_inverter_and_lead_acid() -> None:
    plan = machine.read_text(machine.starter("corded"), file="corded.toml").machine
    duty = plan.job.states[0]
    at, lines = point(plan, duty), book(plan, duty)
    w = 12.0 * float(at.tool_speed)  # rad/s of the motor
    torque = 350.0 / (1500.0 * TURNS) / 12.0 / 0.925 + 0.02  # N·m: the mill's is the same at every speed
    amps, phase = universal(torque, w, 1.0, 15.0)
    phase += wire(5.0, 13.3) * amps  # V, with 5 m of cord of 1.5 mm², out and back
    assert float(at.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert math.hypot(phase, 12.0 * amps) == pytest.approx(230.0, rel=CLOSE)  # V of the inverter, 12 Ω across
    watts, apparent = phase * amps, 230.0 * amps  # W and VA out of the inverter
    taken = watts + 0.015 * 3000.0 + 0.06 * watts + 0.05 / 3000.0 * apparent**2  # W: idle, a share, and VA squared
    # two batteries of 12.3 V and 6 mΩ half full, at 15 °C; leads of 1 m of 35 mm², six lugs, a fuse
    rested, inside = 2 * 12.3, 2 * 0.006 * math.exp(10_000.0 / 8.314 * (1.0 / 288.15 - 1.0 / 298.15))
    bars = 2 * 1.7241e-8 * 0.239 / (10e-3 * 2e-3) * (1.0 + 0.00393 * (15.0 - 20.0))  # copper, from battery to battery
    ohms = inside + bars + wire(1.0, 0.554) + 6 * 0.15e-3 + 0.6e-3
    drawn = taken / rested
    for _ in range(4):
        drawn = taken / (rested - ohms * drawn)  # A: as the volts sag the inverter takes more
    assert float(at.battery_current) == pytest.approx(drawn, rel=CLOSE)
    lost = sum(float(line.loss) for line in lines.lines if line.name == "inverter")
    assert lost == pytest.approx(taken - watts, rel=2.0 * CLOSE)
    assert rested - float(at.bus_voltage) == pytest.approx(ohms * drawn, rel=CLOSE)
    assert float(lines.source) == pytest.approx(rested * drawn, rel=CLOSE)  # W out of the plates
    assert float(lines.useful) == pytest.approx(350.0 / (1500.0 * TURNS) * w / 12.0, rel=CLOSE)


def test_at_the_wall() -> None:
    plan = machine.read(EXAMPLES / "cider-mill" / "wall.toml").machine
    at = point(plan, plan.job.states[0])
    w = 15.0 * float(at.tool_speed)
    torque = 350.0 / (1500.0 * TURNS) / 15.0 / 0.925 + 0.02
    amps, phase = universal(torque, w, 1.1, 14.0)
    phase += (0.6 + wire(25.0, 13.3)) * amps  # V, with the house's line and 25 m of cord
    assert float(at.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert float(at.battery_current) == pytest.approx(amps, rel=CLOSE)  # the plug's amps are the motor's
    assert math.hypot(phase, 12.0 / 1.1 * amps) == pytest.approx(230.0, rel=CLOSE)
    assert float(at.in_phase) == pytest.approx(phase / 230.0, rel=CLOSE)  # power factor at the plug


def governed(motor: Brushed, torque: float, speed: float, celsius: float) -> tuple[float, float]:
    """Amps and volts of a motor behind a controller that holds its speed, 5 mΩ of controller with it."""
    amps = (torque + motor.drag()) / motor.constant(celsius)
    volts = motor.constant(celsius) * speed + (motor.ohms * (234.5 + celsius) / 259.5 + 0.005) * amps + 1.0
    return amps, volts


def chopped(amps: float, volts: float, bus: float) -> float:
    """A out of the battery for amps and volts of a motor, with 4 W of the controller's own and those of switching."""
    switched = 0.5 * 1e-6 * 20e3 * bus * amps  # W: half of volts × amps for 1 µs, 20 000 times a second
    return volts / bus * amps + (4.0 + switched) / bus


def test_mower_with_an_axle_of_its_own() -> None:
    plan = machine.read(EXAMPLES / "strip-mower.toml").machine
    (blade, axle), books = told(plan, "strips")
    cells, strips = pack_ohms(ENERGY, 13, 6, 22.0)
    bus = 13 * ENERGY.volts
    # the axle, held at 2800 rpm of the motor through 45:1
    mass = 34.0 + 13 * 6 * 0.070 * 1.25  # kg with its battery
    travel = 2800.0 * TURNS / 45.0 * 0.11 * 0.92  # m/s with 8 % of slip
    force = mass * G * 0.07 + 0.5 * air(22.0) * 0.7 * travel**2  # N on short grass
    amps, volts = governed(Brushed(72, 0.35, 0.8), force * 0.11 / 45.0 / 0.925 + 0.02, 2800.0 * TURNS, 22.0)
    # the blade, at all the volts there are; magnets of neodymium, no brushes
    w = float(blade.tool_speed)
    grass = math.sqrt(0.1 * 0.4) * 0.46 * 0.7 * (1000.0 + 0.45 * (w * 0.25) ** 2)  # W
    tool = grass + 0.010 * air(22.0) * w**3 * 0.25**5  # W
    cold = 60.0 / (2.0 * math.pi * 60.0)  # V·s/rad at 25 °C
    constant = cold * (1.0 - 0.0011 * (22.0 - 25.0))
    cutting = (tool / w + 2.0 * cold) / constant  # A, with 2 A without load
    asked = constant * w + (0.040 * (234.5 + 22.0) / 259.5 + 0.005) * cutting  # V at the blade's controller
    drawn = 0.0
    for _ in range(6):  # the battery's volts are those of both, each behind a cable of its own
        terminal = bus - (cells + strips) * drawn
        first = cutting + 4.0 / asked
        second = chopped(amps, volts, terminal - wire(0.8, 7.98) * 2.0)
        drawn = first + second
    assert axle.outcome == Outcome.SET_SPEED
    assert float(axle.tool_speed) * 0.11 * 0.92 == pytest.approx(travel, rel=CLOSE)
    assert float(axle.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert float(axle.battery_current) == pytest.approx(second, rel=CLOSE)
    assert float(blade.motor_current) == pytest.approx(cutting, rel=CLOSE)
    assert float(blade.battery_current) == pytest.approx(first, rel=CLOSE)
    assert bus - float(blade.terminal_voltage) == pytest.approx((cells + strips) * drawn, rel=CLOSE)
    assert terminal - wire(0.8, 1.91) * first == pytest.approx(asked, rel=CLOSE)
    assert float(books[0].useful) == pytest.approx(grass, rel=CLOSE)
    assert sum(float(one.source) for one in books) == pytest.approx(bus * drawn, rel=CLOSE)


def test_cart_home_loaded_with_its_lamps_on() -> None:
    plan = machine.read(EXAMPLES / "wood-cart.toml").machine
    (axle, winch, lamps), _ = told(plan, "home, loaded, in the dark")
    tilt, mass = math.radians(2.0), 62.0 + 140.0 + 10 * 5 * 0.070 * 1.25
    travel = 2500.0 * TURNS / 2.6 / 13.0 * 0.21 * 0.92  # m/s: a chain of 2.6 and gears of 13, 8 % of slip
    force = mass * G * (math.sin(tilt) + 0.012 * math.cos(tilt)) + 0.5 * air(8.0) * 0.7 * travel**2  # N on gravel
    chain = force * 0.21 / 2.6 / 0.98 + 0.02  # N·m at the chain's small wheel
    amps, volts = governed(Brushed(78, 0.095, 2.0), chain / 13.0 / 0.925 + 0.02, 2500.0 * TURNS, 8.0)
    cells, strips = pack_ohms(ENERGY, 10, 5, 8.0)
    terminal = 10 * ENERGY.volts
    for _ in range(6):
        first, second = chopped(amps, volts, terminal - wire(1.2, 1.91) * amps), 36.0 / terminal
        terminal = 10 * ENERGY.volts - (cells + strips) * (first + second)
    assert winch.outcome == Outcome.OFF
    assert axle.outcome == Outcome.SET_SPEED
    assert float(axle.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert float(axle.battery_current) == pytest.approx(first, rel=CLOSE)
    assert float(lamps.battery_current) == pytest.approx(second, rel=CLOSE)
    sag = 10 * ENERGY.volts - terminal
    assert 10 * ENERGY.volts - float(axle.terminal_voltage) == pytest.approx(sag, rel=CLOSE)


def test_cart_winches_a_log_onto_itself() -> None:
    plan = machine.read(EXAMPLES / "wood-cart.toml").machine
    (_, winch, _), (lines,) = told(plan, "loading")
    w, tilt = float(winch.tool_speed), math.radians(25.0)
    pull = 90.0 * G * (math.sin(tilt) + 0.5 * math.cos(tilt))  # N
    radius = 0.035 + 0.005 * (0.5 + 0.87 * 1.0)  # m, second layer
    amps, asked = governed(Brushed(85, 0.11, 2.0), (pull * radius + 0.2) / 75.0 / 0.925 + 0.02, 75.0 * w, 8.0)
    drawn = amps + 4.0 / asked  # A
    cells, strips = pack_ohms(ENERGY, 10, 5, 8.0)
    ohms = cells + strips + wire(2.0, 3.30)
    assert float(winch.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert float(winch.battery_current) == pytest.approx(drawn, rel=CLOSE)
    assert 10 * ENERGY.volts - ohms * drawn == pytest.approx(asked, rel=CLOSE)
    assert 10 * ENERGY.volts - float(winch.bus_voltage) == pytest.approx(ohms * drawn, rel=CLOSE)
    assert float(lines.useful) == pytest.approx(90.0 * G * math.sin(tilt) * radius * w, rel=CLOSE)
