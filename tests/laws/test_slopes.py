"""Going down: by hand, through a worm, into a full pack, in the ledger and in the day."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from headrace import design, machine
from headrace.design.check_record import check_record
from headrace.design.slopes import slopes
from headrace.design.workings import addresses, worked_record
from headrace.drive.point import Outcome
from headrace.findings import judge, raised
from headrace.findings.rest import Slope
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.physics import transmission
from headrace.physics.working import LEAVES, Traced
from tests.machines import EXAMPLE, book, point, without_bands

G = 9.80665
DOWN = {"job.loaded, uphill.slope": "-8 °", "chains.axle.controller.regenerates": True}
HELD = {"chains.axle.controller.mode": "governed", "chains.axle.controller.speed": "2400 rpm"}


def starter(name: str, changes: Mapping[str, object]) -> Machine:
    return machine.read_text(machine.edit(machine.starter(name), changes), file=f"{name}.toml").machine


def certain(name: str, changes: Mapping[str, object]) -> Slope:
    """Return the first slope of a machine without doubt about any number."""
    return slopes(without_bands(starter(name, changes)))[0]


def stages(plan: Machine) -> set[str]:
    return {found.slug for found in raised(judge(design.evidence(plan)), ())}


def test_a_cart_held_on_its_way_down_by_hand() -> None:
    """8 ° down at 2400 rpm of the motor: 45 kg, 120 kg on it and a pack of 50 cells of 70 g and a quarter.

    F = m g (sin a - 0.07 cos a) - ½ ρ 0.7 m² v²; T = F r / 34 × (2 - 1/0.925) - 0.02 - 0.255 N·m; I = T/k at 5 °C,
    20 K below the sheet's; U = k w - I R - 1 V; P = U I - 4 W - ½ U_bus I 1 µs 20 kHz; U_bus of a full pack, worn and
    cold, behind its leads: E/2 + √(E²/4 + R P).
    """
    found = certain("cart", DOWN | HELD)
    mass, slope, radius, speed = 45.0 + 120.0 + 50 * 0.070 * 1.25, math.radians(8.0), 0.20, 2400.0 * math.pi / 30.0
    pace = speed / 34.0 * radius / (1.0 - 0.08)
    air = 0.5 * 1.269 * 0.7 * pace**2
    force = mass * G * (math.sin(slope) - 0.07 * math.cos(slope)) - air
    constant_25 = 60.0 / (2.0 * math.pi * 75.0)
    torque = force * radius / 34.0 * (2.0 - 1.0 / 0.925) - 0.02 - 2.0 * constant_25
    constant = constant_25 * 1.04
    current = torque / constant
    ohms = 0.090 * (234.5 + 5.0) / 259.5 + 0.005
    back = (constant * speed - current * ohms - 1.0) * current - 4.0 - 0.5 * 42.0 * current * 1e-6 * 20e3
    cold = math.exp(27000.0 / 8.314 * (1.0 / 278.15 - 1.0 / 298.15))
    cells = 10.0 / 5.0 * (0.028 + 0.0085 + 0.011) * 1.5 * cold
    loop = cells + 2.0 * 0.00191 * 1.08 + 6 * 0.00015 + 0.0006 + 0.0012
    bus = 21.0 + math.sqrt(21.0**2 + loop * back)
    descent = found.descent
    assert descent is not None
    assert float(descent.pace) == pytest.approx(pace, rel=0.02)
    assert float(descent.load_power) == pytest.approx(force * radius * speed / 34.0, rel=0.02)
    assert float(descent.driving) == pytest.approx(torque, rel=0.02)
    assert float(descent.motor_current) == pytest.approx(current, rel=0.02)
    assert float(descent.given_back) == pytest.approx(back, rel=0.02)
    assert float(descent.current) == pytest.approx(back / bus, rel=0.02)
    assert float(descent.bus_voltage) - 42.0 == pytest.approx(bus - 42.0, rel=0.02)
    assert float(found.standing.weight_torque) == pytest.approx(mass * G * math.sin(slope) * radius, rel=1e-6)


def test_a_load_let_down_by_hand() -> None:
    """180 kg hanging on one part, sixth layer of 6 mm rope: weight × radius less 0.2 N·m, back through 60:1."""
    found = certain("winch", {"job.hauling.slope": "-90 °", "chains.winch.controller.regenerates": True})
    radius = 0.04 + 0.006 * (0.5 + 0.87 * 2.0)
    weight = 180.0 * G * radius
    torque = (weight - 0.2) / 60.0 * (2.0 - 1.0 / 0.925) - 0.02 - 2.5 * 60.0 / (2.0 * math.pi * 75.0)
    assert found.descent is not None
    assert float(found.standing.weight_torque) == pytest.approx(weight, rel=1e-6)
    assert float(found.descent.driving) == pytest.approx(torque, rel=0.02)
    assert found.runaway is not None
    assert math.isinf(float(found.runaway.pace))  # nothing in this train grows with the speed


def test_at_all_the_volts_there_are_it_runs_ahead_of_its_speed_without_load() -> None:
    """The motor's volts are then those of the pack it feeds."""
    found = certain("cart", DOWN).descent
    assert found is not None
    constant = 60.0 / (2.0 * math.pi * 75.0) * 1.04
    own = constant * float(found.motor_speed)
    assert own > 42.0
    ohms = 0.090 * (234.5 + 5.0) / 259.5 + 0.005
    assert own - float(found.motor_current) * ohms - 1.0 == pytest.approx(float(found.bus_voltage), rel=2e-3)


def test_a_worm_passes_nothing_back_and_the_motor_pushes() -> None:
    """Lead angle 2 °, friction 0.06: efficiency 0.35, so 2 - 1/0.35 < 0."""
    worm = {"chains.axle.reduction.kind": "worm", "chains.axle.reduction.lead_angle": "2 °"}
    found = certain("cart", DOWN | worm)
    assert found.descent is not None
    efficiency = float(transmission.worm_efficiency(math.radians(2.0), 0.06, math.radians(20.0)))
    assert 2.0 - 1.0 / efficiency < 0.0
    assert float(found.standing.passed_back) == 0.0
    assert bool(found.standing.holds)
    assert float(found.descent.driving) < 0.0
    assert (float(found.descent.current), float(found.descent.given_back)) == (0.0, 0.0)
    shallow = stages(starter("cart", DOWN | worm | {"chains.axle.reduction.lead_angle": "1.5 °"}))
    assert "held-by-friction" in shallow
    assert "full-pack-downhill" not in shallow
    assert "held-by-friction" not in stages(starter("cart", DOWN | worm))  # oiled and shaken it slips: friction 0.03


def test_a_gear_does_not_hold_and_neither_does_a_motor_without_power() -> None:
    for slope in ("-8 °", "8 °"):  # up or down, at rest the weight pulls downhill
        found = certain("cart", {"job.loaded, uphill.slope": slope})
        assert not bool(found.standing.holds)
    assert "no-friction-brake" in stages(starter("cart", {"safety.friction_brake": False}))


def test_pushing_a_load_down_through_a_worm_is_paid_by_the_source() -> None:
    """The ledger closes where the load pays for a part, and where it pays for all of it only the controller draws."""
    worm = {"chains.axle.reduction.kind": "worm", "chains.axle.reduction.lead_angle": "2 °"}
    pushing = starter("cart", DOWN | worm)
    down = next(state for state in pushing.job.states if state.slope < 0.0)
    found = book(pushing, down)
    assert found.closure < 1e-9
    assert found.useful == 0.0
    worms = next(float(line.loss) for line in found.lines if line.kind == "worm")
    assert worms > 0.0
    free = starter("cart", DOWN)
    found = book(free, down)
    assert found.closure < 1e-9
    assert [line.kind for line in found.lines if float(line.loss) > 0.05] == ["controller"]
    here = point(free, down)
    assert Outcome(int(here.outcome)) == Outcome.FULL_VOLTAGE
    assert float(here.motor_current) == 0.0


def test_the_ledgers_of_every_draw_close_where_only_some_are_driven() -> None:
    """Half a degree more or less of a slope near the rolling: some draws push, some are pushed."""
    slope = {"value": "-4 °", "low": "-6 °", "high": "-2 °", "basis": "measured"}
    plan = draws(starter("cart", {"job.loaded, uphill.slope": slope}), 30, 1)
    down = next(state for state in plan.job.states if np.any(np.asarray(state.slope) < 0.0))
    here = point(plan, down)
    alone = np.asarray(here.motor_current) == 0.0
    assert 3 < np.count_nonzero(alone) < 28
    assert np.all(np.asarray(book(plan, down).closure) < 1e-9)


def test_a_day_with_a_descent_in_it_is_longer_and_gives_nothing_back() -> None:
    short = {"limits.time": "5 min"}
    level, down = (
        design.day(starter("cart", short | {"job.loaded, uphill.slope": slope})) for slope in ("0 °", "-8 °")
    )
    assert float(down.energy) < float(level.energy)
    assert float(down.energy) > 0.0
    fed = design.day(starter("cart", short | DOWN))
    assert float(fed.energy) == float(down.energy)


def test_the_rise_into_a_full_pack_is_the_ohms_of_the_way_times_the_amps() -> None:
    plan = without_bands(starter("cart", DOWN))
    found = slopes(plan)[0]
    assert found.descent is not None
    worn = pack.aged(plan.source, plan.limits.end_of_life_capacity, plan.limits.end_of_life_resistance)
    full = pack.at_length(worn, pack.fresh(plan.limits.ambient_cold))
    inside = float(full.cell_resistance + full.settled_resistance) * float(found.descent.current)
    assert float(found.descent.inside_voltage) == pytest.approx(float(full.open_voltage) + inside, rel=1e-9)
    assert "full-pack-downhill" in stages(plan)
    least = float(found.headroom) / float(worn.parallel * pack.capacity_of(worn.cell, plan.limits.ambient_cold))
    for share, fits in ((least, True), (least - 0.005, False)):
        at = pack.at_length(worn, pack.fresh(plan.limits.ambient_cold, 1.0 - share))
        half, ohms, back = 0.5 * float(at.voltage), float(at.resistance), float(found.descent.given_back)
        amps = back / (half + math.sqrt(half**2 + ohms * back))
        assert (float(at.inside(-amps)) <= 10 * 4.2) is fits


def test_on_a_supply_nothing_holds_and_it_runs_away_all_the_same() -> None:
    """A cart on a cord, 8 ° down: no descent, and air alone ends its running away: what is left of F = ½ ρ A v²."""
    wall = machine.read(EXAMPLE.parent / "cider-mill" / "wall.toml").machine
    plan = replace(without_bands(starter("cart", DOWN)), source=wall.source)
    (found,) = slopes(plan)
    assert found.descent is None
    assert not found.regenerates
    assert found.runaway is not None
    assert float(found.runaway.voltage) > 100.0
    mass = 45.0 + 120.0 + 50 * 0.070 * 1.25
    force = mass * G * (math.sin(math.radians(8.0)) - 0.07 * math.cos(math.radians(8.0)))
    left = force - (0.02 + 2.0 * 60.0 / (2.0 * math.pi * 75.0)) * 34.0 / 0.20
    axle = math.sqrt(left / (0.5 * 1.269 * 0.7)) / (0.20 * (1.0 - 0.08))
    assert float(found.runaway.pace) == pytest.approx(axle * 0.20 / (1.0 - 0.08), rel=0.02)


def test_steeper_gives_more_back_and_weaker_cells_rise_higher() -> None:
    watts = []
    for slope in ("-6 °", "-9 °", "-12 °"):
        found = certain("cart", DOWN | {"job.loaded, uphill.slope": slope}).descent
        assert found is not None
        watts.append((float(found.given_back), float(found.bus_voltage)))
    assert watts == sorted(watts)
    thin = certain("cart", DOWN | {"source.parallel": 2}).descent
    assert thin is not None
    assert float(thin.bus_voltage) > watts[0][1]


def test_nothing_without_magnets_or_behind_a_converter_is_said_to_hold() -> None:
    text = machine.starter("corded")
    assert slopes(machine.read_text(text, file="corded.toml").machine) == ()  # no weight of its own
    plan = starter("cart", {"job.loaded, uphill.slope": "-8 °"})
    record = check_record(plan, evidence := design.evidence(plan), judge(evidence))
    assert record["slopes"][0]["regenerates"] is False
    assert record["slopes"][0]["descent"]["given_back_W"] > 0.0  # what the brake has to take is said all the same


@pytest.mark.parametrize(
    ("name", "changes"),
    [("cart", DOWN), ("winch", {"job.hauling.slope": "-90 °"})],
)
def test_every_number_of_a_slope_has_its_working(name: str, changes: dict[str, object]) -> None:
    known = addresses(worked_record(design.solve(starter(name, changes | {"limits.time": "2 min"}))))
    mine = {address: value for address, value in known.items() if address.startswith(("slopes.", "stops."))}
    assert len(mine) > 15
    for address, value in mine.items():
        assert isinstance(value, Traced), address
        assert value.node.again() == pytest.approx(float(value), rel=1e-9, abs=1e-12), address
        assert {node.kind for node in value.node.all() if not node.inputs} <= set(LEAVES), address


def test_draws_of_a_descent_have_a_band() -> None:
    plan = draws(starter("cart", DOWN | {"limits.time": "2 min"}), 8, 1)
    found = slopes(plan)[0].descent
    assert found is not None
    assert np.asarray(found.given_back).shape == (9,)
    assert np.ptp(np.asarray(found.given_back)) > 0.0


CORDED = {
    "series-motor": 'kind = "series-motor"\nvoltage = "230 V"\npower = "1000 W"\n',
    "induction-motor": 'kind = "induction-motor"\nvoltage = "230 V"\npower = "750 W"\nspeed = "1400 rpm"\n',
}
ON_A_CORD = """
[machine]
name = "A cart on a cord"
[[chains]]
name = "axle"
[chains.work]
kind = "wheels"
diameter = "40 cm"
mass = "100 kg"
drag_area = "0.7 m²"
[[chains.links]]
kind = "KIND"
name = "reduction"
ratio = 60
LEAD
[[chains.links]]
name = "motor"
MOTOR
[source]
kind = "wall-socket"
[job]
kind = "work"
[[job.states]]
name = "down"
slope = "SLOPE"
[limits]
time = "2 min"
"""


@pytest.mark.parametrize("motor", list(CORDED))
@pytest.mark.parametrize("slope", ["-9 °", "-4.2 °"])
@pytest.mark.parametrize("stage", ["gears", "worm"])
def test_a_motor_without_magnets_turns_on_and_its_ledger_closes(motor: str, slope: str, stage: str) -> None:
    """A universal motor keeps its own fan to turn, or it would run up without end."""
    lead = 'lead_angle = "1.5 °"' if stage == "worm" else ""
    text = ON_A_CORD.replace("MOTOR", CORDED[motor]).replace("SLOPE", slope)
    plan = machine.read_text(text.replace("KIND", stage).replace("LEAD", lead), file="cord.toml").machine
    (down,) = plan.job.states
    here = point(plan, down)
    assert bool(here.works)
    assert 0.0 < float(here.motor_speed) < 5000.0
    assert float(here.battery_current) > 0.0
    assert book(plan, down).closure < 1e-9
    (found,) = slopes(plan)
    assert found.descent is None
    assert found.runaway is not None
    assert math.isnan(float(found.runaway.voltage))
    assert (float(found.runaway.pace) > 0.0) is (stage == "gears")
