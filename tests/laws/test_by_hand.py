"""Each kind of machine worked out by hand, from the tool back to the cells.

One thing is taken from the program: the speed of the tool. By hand follow the watts at the tool, the torque and the
amps of its motor, the volts it asks for, and the volts that the battery has left for it under those amps. Where the
two agree the speed was right, so the speed is held too. Cords and several chains stand in the file beside.

Numbers are those of the starter file and, where it is silent, of the tables of what is usual. The battery is half full,
long enough at work for its volts to have settled, and everything is as warm as the air.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from headrace import machine
from headrace.drive.ledger import Ledger
from headrace.drive.point import Outcome, Point
from headrace.drive.tools import tool_of
from tests.machines import book, point, terminals

G = 9.81  # m/s²
CLOSE = 0.005  # by hand and by program; the arithmetic is the same


@dataclass(frozen=True)
class Found:
    """What the program says of one duty state of a starter file."""

    at: Point
    ledger: Ledger
    rested: float  # V, of the battery without current
    pace: float

    @property
    def speed(self) -> float:
        return float(self.at.tool_speed)

    def loss(self, name: str) -> float:
        return sum(float(line.loss) for line in self.ledger.lines if line.name == name)


def found(kind: str, called: str) -> Found:
    plan = machine.read_text(machine.starter(kind), file=f"{kind}.toml").machine
    duty = next(state for state in plan.job.states if state.name == called)
    at = point(plan, duty)
    assert at.outcome == Outcome.FULL_VOLTAGE
    work = plan.chains[0].work
    pace = float(tool_of(work).pace_at(work, at.tool_speed))
    return Found(at, book(plan, duty), float(terminals(plan).voltage), pace)


def air(celsius: float) -> float:
    """kg/m³ of dry air at sea level."""
    return 1.204 * 293.15 / (celsius + 273.15)


@dataclass(frozen=True)
class Brushed:
    """A motor with brushes and ferrite magnets."""

    turns: float  # rpm/V at 25 °C
    ohms: float  # at 25 °C
    idle: float  # A without load

    def constant(self, celsius: float) -> float:
        """V·s/rad: ferrite loses 0.2 % of it for each kelvin, and gains as much in the cold."""
        return 60.0 / (2.0 * math.pi * self.turns) * (1.0 - 0.0020 * (celsius - 25.0))

    def drag(self) -> float:
        """N·m, of the amps it takes without load."""
        return self.idle * 60.0 / (2.0 * math.pi * self.turns)


@dataclass(frozen=True)
class Cell:
    """One cell, half full and settled."""

    volts: float  # V
    ohms: float  # Ω at 25 °C: what answers at once, within a minute, within ten


ENERGY = Cell(3.7509, 0.028 + 0.0085 + 0.011)
POWER = Cell(3.7017 + (4.0637 - 3.7017) * (0.5 - 0.4573) / (0.8342 - 0.4573), 0.014 + 0.0067 + 0.007)


def pack_ohms(cell: Cell, series: int, parallel: int, celsius: float) -> tuple[float, float]:
    """Ω of the cells and of their nickel strips, 22.2 mm from cell to cell, 8 × 0.3 mm."""
    cold = math.exp(27_000.0 / 8.314 * (1.0 / (celsius + 273.15) - 1.0 / 298.15))
    strip = 6.99e-8 * 0.0222 / (8e-3 * 0.3e-3) * (1.0 + 0.006 * (celsius - 20.0))
    return cell.ohms * cold * series / parallel, strip * series / parallel


@dataclass(frozen=True)
class Shaft:
    """What the tool and what stands before it ask of the motor."""

    tool: float  # W at the tool's shaft
    torque: float  # N·m at the motor's shaft
    speed: float  # rad/s of the motor


def held(answer: Found, shaft: Shaft, motor: Brushed, cell: Cell, parallel: int, metres: float, celsius: float) -> None:
    """Hold motor, leads and battery, ten in series, against what the tool asks of them."""
    constant = motor.constant(celsius)
    amps = (shaft.torque + motor.drag()) / constant  # A in the motor
    ohms = motor.ohms * (234.5 + celsius) / 259.5  # Ω of copper as warm as the air
    asked = constant * shaft.speed + (ohms + 0.005) * amps + 1.0  # V: turning, copper, controller, brushes
    drawn = amps + 4.0 / asked  # A out of the battery, with 4 W for the controller itself
    cells, strips = pack_ohms(cell, 10, parallel, celsius)
    cable = 2.0 * metres * 1.91e-3 * (1.0 + 0.00393 * 20.0)  # Ω of 10 mm² out and back, at 40 °C
    leads = cable + 6 * 0.15e-3 + 0.6e-3  # Ω, with six lugs and a fuse
    sag = (cells + strips + leads) * drawn  # V
    assert answer.rested == pytest.approx(10 * cell.volts, rel=CLOSE)
    assert float(answer.at.motor_speed) == pytest.approx(shaft.speed, rel=CLOSE)
    assert float(answer.at.motor_current) == pytest.approx(amps, rel=CLOSE)
    assert float(answer.at.battery_current) == pytest.approx(drawn, rel=CLOSE)
    assert float(answer.at.bus_voltage) == pytest.approx(asked, rel=CLOSE)
    assert answer.rested - float(answer.at.bus_voltage) == pytest.approx(sag, rel=CLOSE)
    assert 10 * cell.volts - sag == pytest.approx(asked, rel=CLOSE)  # what is left is what is asked for
    between = shaft.torque * shaft.speed - shaft.tool
    assert answer.loss("reduction") == pytest.approx(between, rel=2.0 * CLOSE, abs=1e-6)
    assert answer.loss("motor: turning") == pytest.approx(motor.drag() * shaft.speed, rel=CLOSE)
    assert answer.loss("motor: copper") == pytest.approx(ohms * amps**2, rel=2.0 * CLOSE)  # of amps twice over
    assert answer.loss("cable") == pytest.approx(cable * drawn**2, rel=2.0 * CLOSE)
    assert answer.loss("strips") == pytest.approx(strips * drawn**2, rel=2.0 * CLOSE)
    assert answer.loss("inside the cells") == pytest.approx(cells * drawn**2, rel=2.0 * CLOSE)


def test_mower() -> None:
    answer = found("mower", "tall grass")
    w = answer.speed  # rad/s of blade and motor: it sits on the shaft
    sward = math.sqrt(0.4 * 0.8)  # kg/m², middle of its band by ratios
    mass = sward * 0.42 * 0.8  # kg/s: × width of the cut × walking speed
    grass = mass * (1000.0 + 0.45 * (w * 0.23) ** 2)  # W: shear, and throw by the tip's speed
    fanned = 0.010 * air(20.0) * w**3 * 0.23**5  # W into air
    assert float(answer.ledger.useful) == pytest.approx(grass, rel=CLOSE)
    assert answer.loss("air round the blade") == pytest.approx(fanned, rel=CLOSE)
    assert answer.pace == pytest.approx(w * 0.23, rel=1e-6)  # m/s of the tip
    tool = grass + fanned  # W
    held(answer, Shaft(tool, tool / w, w), Brushed(87, 0.070, 2.6), ENERGY, 7, 0.8, 20.0)


def test_tiller() -> None:
    answer = found("tiller", "firm bed")
    w = answer.speed
    soil = 150e3 * 0.32 * 0.11 * 0.18  # W: work per m³ × width × depth × walking speed
    tool = soil + 1.5 * w  # W, with 1.5 N·m in box and seals
    turned = 24.0 * w  # rad/s of the motor
    torque = tool / 0.925 / turned + 0.02  # N·m: gears pass on 92.5 % and drag with 0.02 N·m
    assert float(answer.ledger.useful) == pytest.approx(soil, rel=CLOSE)
    assert answer.pace == pytest.approx(0.13 * w, rel=1e-6)  # m/s of the tines' tips
    held(answer, Shaft(tool, torque, turned), Brushed(75, 0.060, 3.0), POWER, 9, 0.6, 16.0)


def test_auger() -> None:
    answer = found("auger", "boring")
    w = answer.speed
    soil = math.pi / 4.0 * 0.15**2 * 0.02  # m³/s: section × feed
    loosened = 150e3 * soil  # W
    lifted = 3.0 * 1700.0 * G * 0.60 * soil  # W: three times the weight's own, out of 60 cm
    tool = loosened + lifted + 1.0 * w  # W, with 1 N·m in the box
    turned = 30.0 * w
    torque = tool / 0.925 / turned + 0.02
    of_use = loosened + lifted / 3.0  # W: what the weight alone takes; the rest of the lifting is rubbed away
    assert float(answer.ledger.useful) == pytest.approx(of_use, rel=CLOSE)
    held(answer, Shaft(tool, torque, turned), Brushed(75, 0.060, 3.0), ENERGY, 4, 0.6, 14.0)


def test_saw() -> None:
    answer = found("saw", "sawing")
    w = answer.speed
    wood = 50e6 * 0.003 * 0.10 * 0.03  # W: work per m³ of dust × kerf × depth × feed
    tool = wood + 0.006 * air(12.0) * 0.20**5 * w**3 + 0.06 * w  # W, with air and 0.06 N·m
    turned = 1.4 * w / 0.99  # rad/s: the belt creeps by 1 %
    torque = tool / w / 0.985 / 1.4 + 0.04  # N·m: creep takes speed, not torque
    assert float(answer.ledger.useful) == pytest.approx(wood, rel=CLOSE)
    held(answer, Shaft(tool, torque, turned), Brushed(110, 0.045, 3.5), POWER, 9, 0.8, 12.0)


def test_chipper() -> None:
    answer = found("chipper", "branches")
    w = answer.speed
    wood = 200.0 / 3600.0 * 12e3  # W: kg/s × work per kg
    tool = wood + 0.010 * air(12.0) * 0.18**5 * w**3 + 0.15 * w
    turned = 1.6 * w / 0.99
    torque = tool / w / 0.985 / 1.6 + 0.04
    assert float(answer.ledger.useful) == pytest.approx(wood, rel=CLOSE)
    held(answer, Shaft(tool, torque, turned), Brushed(110, 0.045, 3.5), POWER, 9, 0.8, 12.0)


def test_fan() -> None:
    answer = found("fan", "blowing")
    w = answer.speed
    share = w / (6000.0 * 2.0 * math.pi / 60.0)  # of the speed at which the fan was measured
    blown = 0.12 * 900.0 * share**3  # W: flow × pressure, by the fan laws
    tool = blown / 0.45 + 0.03 * w  # W at the wheel's shaft
    torque = tool / w / 0.99 + 0.04  # N·m: toothed belt, no creep
    assert answer.pace == pytest.approx(0.12 * share, rel=1e-6)  # m³/s
    assert float(answer.ledger.useful) == pytest.approx(blown, rel=CLOSE)
    held(answer, Shaft(tool, torque, w), Brushed(210, 0.060, 2.5), ENERGY, 4, 0.6, 18.0)


def test_pump() -> None:
    answer = found("pump", "pumping")
    w = answer.speed
    share = w / (2900.0 * 2.0 * math.pi / 60.0)  # of the speed of its curve
    best, area = 40e-3 / 60.0, math.pi / 4.0 * 0.025**2  # m³/s at the best point; m² of the hose
    fall = (15.0 - 12.0) / best**2  # m per (m³/s)²: from the head of 15 m with the tap closed to 12 m there
    # the hose, twice round: friction at the flow of 2900 rpm, which friction itself sets
    flow = best
    for _ in range(3):
        reynolds = flow / area * 0.025 / 1.139e-6  # water of 15 °C
        friction = (-1.8 * math.log10((1e-5 / 0.025 / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2  # Haaland, 10 µm rough
        hose = (friction * 30.0 / 0.025 + 7.5) / (2.0 * G * area**2)  # m per (m³/s)², fittings of 7.5 with it
        flow = math.sqrt((15.0 - 7.0) / (fall + hose))
    flow = math.sqrt((15.0 * share**2 - 7.0) / (fall + hose))  # m³/s at this speed, up 7 m
    at_best = 999.1 * G * best * 12.0 * share**3 / (1.0 - 0.50 * share**-0.1)  # W at the shaft, at the best point
    x = flow / (best * share)  # flow over that of the best point
    tool = at_best * (0.44 + (2.0 * 0.56 - 0.5) * x + (0.5 - 0.56) * x**2)  # W: 0.44 with the tap closed, 1 at best
    assert answer.pace == pytest.approx(flow, rel=CLOSE)
    assert float(answer.ledger.useful) == pytest.approx(999.1 * G * flow * 7.0, rel=CLOSE)  # W, lifted
    held(answer, Shaft(tool, tool / w, w), Brushed(100, 0.120, 1.2), ENERGY, 3, 0.6, 18.0)


def test_winch() -> None:
    answer = found("winch", "hauling")
    w = answer.speed
    tilt = math.radians(20.0)
    pull = 180.0 * G * (math.sin(tilt) + 0.5 * math.cos(tilt))  # N: grade, and half its weight of friction
    radius = 0.04 + 0.006 * (0.5 + 0.87 * 2.0)  # m from the axis to the rope's middle, in the third layer
    tool = pull * radius * w + 0.2 * w  # W
    turned = 60.0 * w
    torque = tool / 0.925 / turned + 0.02
    assert answer.pace == pytest.approx(radius * w, rel=CLOSE)  # m/s of the rope and the load: one part
    lifted = 180.0 * G * math.sin(tilt) * radius * w  # W: what the height takes; the rest is the load's friction
    assert float(answer.ledger.useful) == pytest.approx(lifted, rel=CLOSE)
    held(answer, Shaft(tool, torque, turned), Brushed(75, 0.080, 2.5), ENERGY, 4, 1.0, 10.0)


def test_cart() -> None:
    answer = found("cart", "loaded, uphill")
    w = answer.speed
    total = 45.0 + 120.0 + 10 * 5 * 0.070 * 1.25  # kg: cart, load, and 50 cells with a quarter more around them
    tilt, travel = math.radians(5.0), 0.20 * w * (1.0 - 0.08)  # rad; m/s, less 8 % of slip
    force = total * G * (math.sin(tilt) + 0.07 * math.cos(tilt)) + 0.5 * air(15.0) * 0.7 * travel**2  # N
    turned = 34.0 * w
    torque = force * 0.20 / 34.0 / 0.925 + 0.02
    assert answer.pace == pytest.approx(travel, rel=CLOSE)
    held(answer, Shaft(force * 0.20 * w, torque, turned), Brushed(75, 0.090, 2.0), ENERGY, 5, 1.0, 15.0)


def test_shaft() -> None:
    answer = found("shaft", "grinding")
    w = answer.speed
    tool = 350.0 / (600.0 * 2.0 * math.pi / 60.0)  # N·m, the same at every speed
    torque = tool / 0.985 / 5.0 + 0.04
    assert float(answer.ledger.useful) == pytest.approx(tool * w, rel=CLOSE)
    held(answer, Shaft(tool * w, torque, 5.0 * w / 0.99), Brushed(95, 0.060, 1.8), ENERGY, 4, 0.6, 18.0)


def test_measured() -> None:
    answer = found("measured", "grinding")
    w = answer.speed
    turns = w * 60.0 / (2.0 * math.pi)  # rpm
    assert 500.0 < turns < 700.0
    tool = 4.4 + (5.2 - 4.4) * (turns - 500.0) / 200.0  # N·m, between two rows of the table
    torque = tool / 0.985 / 5.0 + 0.04
    assert float(answer.ledger.useful) == pytest.approx(tool * w, rel=CLOSE)
    held(answer, Shaft(tool * w, torque, 5.0 * w / 0.99), Brushed(95, 0.060, 1.8), ENERGY, 4, 0.6, 18.0)
