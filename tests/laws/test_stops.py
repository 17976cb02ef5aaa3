"""Stops: the energy of one in balance, what is proposed and what is refused, motors that no resistor brakes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headrace import design, machine
from headrace.design.check_record import check_record
from headrace.design.stops import resistors, stops
from headrace.findings import Stopping, judge, raised
from headrace.machine.draws import draws
from headrace.machine.links import Motor
from headrace.machine.records import Machine
from tests.machines import alley, motor, small, with_link

MOWER = machine.starter("mower")


def of(plan: Machine) -> Stopping:
    return stops(plan, design.four_days(plan))[0]


def mower(**values: object) -> Machine:
    addresses = {address.replace("__", "."): value for address, value in values.items()}
    return machine.read_text(machine.edit(MOWER, {"limits.time": "2 min", **addresses}), file="mower.toml").machine


def test_what_turned_is_in_resistor_winding_brushes_and_drag() -> None:
    """To the rounding of the sum over speeds, in every draw."""
    found = of(draws(mower(), 8, 1))
    assert found.proposed is not None
    brake = found.proposed
    gone = brake.heat + brake.winding_heat + brake.brush_heat + brake.drag_heat
    assert np.asarray(gone) == pytest.approx(np.asarray(found.spin_energy), rel=1e-9)
    assert np.asarray(brake.heat).shape == (9,)
    assert np.all(np.asarray(brake.brush_heat) > 0.0)


def test_a_stop_by_the_watch_is_shorter_than_the_worst_and_starts_slower() -> None:
    """Typical friction and cold, strong magnets against the least friction and warm ones."""
    found = of(mower())
    assert float(found.timed.tool_speed) < float(found.tool_speed)
    assert float(found.timed.braked_time) < float(found.timed.coast_time) < float(found.coast_time)
    assert found.timed.reason == ""
    assert float(found.timed.current) > 0.0


def test_a_pump_is_not_timed_because_it_must_not_run_dry() -> None:
    found = of(machine.read_text(machine.edit(machine.starter("pump"), {"limits.time": "2 min"})).machine).timed
    assert np.isnan(float(found.coast_time))
    assert "must not run dry" in found.reason


def test_each_stop_of_the_record_says_of_which_case_it_is() -> None:
    plan = mower()
    (one,) = check_record(plan, evidence := design.evidence(plan), judge(evidence))["stops"]
    assert one["case"].startswith("at worst: ")
    assert one["timed"]["case"].startswith("typical: ")
    without = "\n".join(line for line in MOWER.splitlines() if not line.startswith("brake_resistance"))
    bare = machine.read_text(machine.edit(without, {"limits.time": "2 min"}), file="mower.toml").machine
    (other,) = check_record(bare, found := design.evidence(bare), judge(found))["stops"]
    assert other["timed"]["brake"] == "proposed"
    assert one["timed"]["brake"] == "planned"
    assert other["timed"]["coast_time_s"] == pytest.approx(one["timed"]["coast_time_s"])


def test_the_largest_usual_resistor_that_stops_in_time_is_proposed() -> None:
    found = of(mower())
    assert found.proposed is not None
    assert found.why == "proposed"
    assert float(found.proposed.time) <= 2.5
    sizes = sorted(resistors())
    larger = sizes[sizes.index(float(found.proposed.resistance)) + 1]
    by_hand = float(of(mower(safety__brake_resistance=f"{larger} ohm", safety__brake_works_unplugged=True)).time)
    assert by_hand > 2.5


def test_the_first_amps_are_the_motor_s_own_volts_over_all_the_ohms() -> None:
    """The motor's volts at its speed without load on a full pack, over resistor and cold winding."""
    plan = small()
    found = of(plan)
    assert found.planned is not None
    own = motor(plan)
    warm = float(plan.limits.ambient_hot + own.magnet_rise)
    volts = float(own.constant) * (1.0 + float(own.magnet_slope) * (warm - 298.15)) * float(found.tool_speed)
    cold = float(own.resistance) * (234.5 + float(plan.job.ambient) - 273.15) / 259.5
    ohms = float(plan.safety.brake_resistance) + cold
    assert float(found.planned.peak_current) == pytest.approx((volts - float(own.brush_drop)) / ohms, rel=0.02)
    assert float(found.short_current) == pytest.approx((volts - float(own.brush_drop)) / cold, rel=0.02)


def test_a_motor_shorted_outright_is_refused_with_both_numbers() -> None:
    plan = mower()
    record = check_record(plan, evidence := design.evidence(plan), judge(evidence))["stops"][0]
    assert record["short"] == "rejected"
    assert record["short_current_A"] > 2.0 * record["most_current_A"]
    known = check_record(
        rated := with_link(plan, Motor, most_current=5000.0), found := design.evidence(rated), judge(found)
    )
    assert known["stops"][0]["most_current_A"] == 5000.0
    assert known["stops"][0]["short"] == "not-rejected"


def test_a_brake_whose_first_amps_harm_the_motor_is_not_proposed() -> None:
    tender = mower(chains__blade__motor__most_current="20 A", safety__brake_resistance="20 ohm")
    found = of(tender)
    assert found.proposed is None
    assert found.why == "harms"
    said = next(f for f in raised(judge(design.evidence(tender)), ()) if f.slug == "blade-coasts")
    assert "more at first than the motor is known to stand" in said.action
    assert "brake of its own" in said.action


def test_a_planned_brake_that_harms_the_motor_is_told() -> None:
    hard = mower(safety__brake_resistance="0.05 ohm", safety__brake_works_unplugged=True)
    found = next(f for f in raised(judge(design.evidence(hard)), ()) if f.slug == "motor-harmed-by-brake")
    assert found.value > found.limit


def test_the_current_that_harms_is_a_multiple_of_the_plate_s() -> None:
    """1200 W on 36 V less a volt of brushes: I R I + 1200 W = 35 V I; 4.2 times that."""
    plan = mower()
    own = motor(plan)
    volts = float(plan.source.series * plan.source.cell.nominal_voltage) - float(own.brush_drop)
    ohms = float(own.resistance)
    rated = (volts - math.sqrt(volts**2 - 4.0 * ohms * float(own.rated_power))) / (2.0 * ohms)
    assert float(of(plan).most_current) == pytest.approx(4.2 * rated, rel=1e-9)


def test_a_motor_without_a_plate_is_held_against_the_controller_s_limit() -> None:
    plan = with_link(mower(chains__blade__controller__motor_current="40 A"), Motor, rated_power=math.nan)
    assert float(of(plan).most_current) == 40.0


def test_a_series_motor_needs_a_brake_of_its_own_and_its_coast_is_said() -> None:
    plan = machine.read_text(
        machine.edit(machine.starter("corded"), {"limits.time": "2 min"}), file="corded.toml"
    ).machine
    found = of(plan)
    assert found.proposed is None
    assert found.planned is None
    assert math.isnan(float(found.short_current))
    assert float(found.coast_time) > 0.0
    assert found.why in ("no-magnets", "no-need")


def test_a_heavy_wheel_on_a_motor_without_magnets_says_why() -> None:
    heavy = machine.edit(machine.starter("corded"), {"limits.time": "2 min", "chains.mill.work.inertia": "2 kg m²"})
    found = of(machine.read_text(heavy, file="corded.toml").machine)
    assert float(found.coast_time) > 2.5
    assert found.why == "no-magnets"


def test_the_longest_stop_is_that_of_what_cuts() -> None:
    evidence = design.evidence(alley())
    assert evidence.stop.longest is not None
    assert float(np.asarray(evidence.stop.time)) == float(np.asarray(evidence.stops[0].time))
    cart = machine.read_text(machine.edit(machine.starter("cart"), {"limits.time": "2 min"}), file="cart.toml").machine
    assert design.evidence(cart).stop.longest is None


def test_a_cart_let_go_on_the_level_rolls_by_its_mass_and_its_rolling() -> None:
    """Rolling at its low end, 0.04 g, alone would take v/(0.04 g); gears, motor and rotor make it shorter."""
    cart = machine.read_text(machine.edit(machine.starter("cart"), {"limits.time": "2 min"}), file="cart.toml").machine
    found = of(cart)
    pace = float(found.tool_speed) * 0.2 * (1.0 - 0.08)
    assert 0.2 * pace / (0.04 * 9.81) < float(found.coast_time) < pace / (0.04 * 9.81)
