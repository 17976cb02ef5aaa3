"""Board, pre-charge, switches and sense plug: balances, two routes to one number, and one machine by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from headrace import design
from headrace.design.check_record import check_record
from headrace.design.corners import NO_LOAD, points_at
from headrace.design.protection_record import protection_record
from headrace.drive.starting import Start, start
from headrace.drive.train import Warmth
from headrace.findings import Evidence, judge
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.links import Motor
from headrace.pack import source as pack
from headrace.physics import motors, pre_charge, switching
from headrace.physics.starting import time_above
from headrace.tables import load
from headrace.wiring.board import Strain
from headrace.wiring.fuse import beside, fused
from headrace.wiring.guard import Guard
from tests.machines import alley, book, evidence_of, motor, point, small, started, state, with_link

FULL, STORE = 54.6, 1e-3  # V, F


def evidence(name: str = "mower", **changes: Any) -> Evidence:
    values = {address.replace("__", "."): value for address, value in changes.items()}
    return design.evidence(read_text(edit(starter(name), values)).machine)


def guard(name: str = "mower", **changes: Any) -> Guard:
    found = (evidence(name, **changes) if changes else evidence_of(name)).guard
    assert found is not None
    return found


def strain(found: Guard, what: str) -> Strain:
    return next(one for one in found.strains if one.what == what)


# --- capacitors ----------------------------------------------------------------------------------


@pytest.mark.parametrize("ohms", [0.03, 1.0, 100.0, 4700.0])
def test_the_resistor_takes_as_much_as_the_capacitor_holds_whatever_its_value(ohms: float) -> None:
    constant = pre_charge.charging_time_constant(ohms, STORE)

    def watts(turns: float) -> float:
        left = FULL - float(pre_charge.pre_charged_voltage(FULL, ohms, constant, turns * constant, 0.0))
        return float(pre_charge.resistor_power(left, ohms) * constant)

    heat, _ = quad(watts, 0.0, 40.0, epsrel=1e-10)
    assert heat == pytest.approx(pre_charge.capacitor_energy(STORE, FULL), rel=1e-8)


@pytest.mark.parametrize("drain", [0.0, 0.07])
def test_the_voltage_of_a_pre_charge_is_that_of_its_loop(drain: float) -> None:
    """Marched through the loop equation, as against the closed form."""
    ohms, seconds = 100.0, 0.23
    marched = solve_ivp(
        lambda _, volts: ((FULL - volts) / ohms - drain) / STORE, (0.0, seconds), [0.0], rtol=1e-10, atol=1e-12
    )
    constant = pre_charge.charging_time_constant(ohms, STORE)
    assert float(marched.y[0, -1]) == pytest.approx(
        float(pre_charge.pre_charged_voltage(FULL, ohms, constant, seconds, drain)), rel=1e-7
    )


def test_one_time_constant_fills_to_63_per_cent() -> None:
    assert float(pre_charge.pre_charged_voltage(1.0, 100.0, 0.1, 0.1, 0.0)) == pytest.approx(1.0 - math.exp(-1.0))


@pytest.mark.parametrize("drain", [0.0, 0.01])
def test_held_for_its_time_a_pre_charge_leaves_the_step(drain: float) -> None:
    ohms, step = 100.0, 3.0
    constant = pre_charge.charging_time_constant(ohms, STORE)
    hold = pre_charge.hold_time(constant, FULL, step, ohms * drain)
    assert FULL - float(pre_charge.pre_charged_voltage(FULL, ohms, constant, hold, drain)) == pytest.approx(step)


def test_a_drain_that_takes_the_step_is_never_overcome() -> None:
    """Four watts of electronics behind 470 Ω hold the capacitors far below the pack for good."""
    drain = pre_charge.standby_current(4.0, FULL)
    constant = pre_charge.charging_time_constant(470.0, STORE)
    assert pre_charge.hold_time(constant, FULL, 3.0, 470.0 * drain) == np.inf
    assert FULL - float(pre_charge.pre_charged_voltage(FULL, 470.0, constant, 1e4, drain)) > 30.0


@pytest.mark.parametrize("drain", [1e-9, 0.05])
def test_the_largest_resistor_meets_time_and_step(drain: float) -> None:
    ohms = float(pre_charge.pre_charge_resistance(1.0, STORE, FULL, 3.0, drain))
    constant = pre_charge.charging_time_constant(ohms, STORE)
    assert FULL - float(pre_charge.pre_charged_voltage(FULL, ohms, constant, 1.0, drain)) <= 3.0 * (1.0 + 1e-6)


def test_the_rush_is_above_a_threshold_for_as_long_as_its_current_is() -> None:
    """By the closed form, and by stepping through the exponential."""
    first, constant, trip = 1000.0, 40e-6, 300.0
    moments = np.linspace(0.0, 1e-3, 200_001)
    above = moments[first * np.exp(-moments / constant) > trip]
    assert float(time_above(trip, first, 0.0, constant)) == pytest.approx(above[-1], abs=1e-8)


# --- packs, pins, leads --------------------------------------------------------------------------


def test_at_the_allowed_gap_the_current_is_what_the_lower_pack_may_take() -> None:
    pair = guard().pair
    flows = switching.equalising_current(pair.gap, pair.resistance, pair.resistance)
    assert float(flows) == pytest.approx(float(pair.charge_current), rel=1e-12)
    assert float(flows) / float(started("mower").source.parallel) == pytest.approx(2.502)  # A, each 21700 on charge


def test_more_cells_in_parallel_leave_the_gap_as_it_is() -> None:
    """Each cell sees the same volts over the same ohms."""
    few, many = guard(source__parallel=4).pair, guard(source__parallel=8).pair
    cells = (float(pair.gap) / float(pair.resistance) for pair in (few, many))
    assert next(cells) * 2.0 == pytest.approx(next(cells), rel=1e-12)


def test_the_pins_climb_by_one_group_and_end_at_the_pack() -> None:
    found, plan = guard().pins, started("mower")
    assert len(found) == int(plan.source.series) + 1
    for low, high in pairwise(found):
        assert float(high.full) - float(low.full) == pytest.approx(4.2)
        assert float(high.empty) < float(high.storage) < float(high.full)
    assert float(found[-1].full) == pytest.approx(float(pack.at(plan.source, pack.fresh(298.15)).open_voltage))
    assert (found[0].joins, found[-1].joins) == ("minus of the pack", "plus of the pack")


def test_wires_side_by_side_carry_as_their_conductances_add() -> None:
    assert float(switching.parallel_resistance([0.2, 0.3, 0.6])) == pytest.approx(0.1)


# --- the fuse of each of two packs --------------------------------------------------------------------


def test_two_packs_side_by_side_give_twice_the_short_circuit_and_the_fuse_of_each_breaks_it() -> None:
    found = evidence_of("mower")
    assert found.fused is not None
    own = protection_record(started("mower"), found)["sense"]["side_by_side"]["fuse"]
    assert own["short_circuit_A"] == pytest.approx(2.0 * float(found.fused.asked.at_pack), rel=1e-12)
    assert own["breaking_capacity_A"] >= own["short_circuit_A"]
    assert own["max_voltage_V"] >= own["highest_voltage_V"] == pytest.approx(42.0)
    assert own["least_rating_A"] == pytest.approx(float(found.fused.least_rating))  # all the work alone
    row = next(row for row in load("fuses") if row["name"] == own["class"])
    assert row["current_low"] <= own["rating_A"] <= row["current_high"]
    assert own["breaking_capacity_A"] == row["breaking_current_low"]
    assert (own["reason"], own["speed"]) == (None, row["speed"])


def test_a_fuse_that_breaks_one_pack_does_not_serve_beside_another() -> None:
    """The mower's 1580 A are within the 2000 A of a block on the post; the 3160 A of two packs are not."""
    found = evidence_of("mower")
    assert found.fused is not None
    one = fused(found.fused.asked, None, 308.15, present=False)
    two = beside(found.fused.asked, 308.15)
    assert one.kind is not None
    assert two.kind is not None
    assert float(one.breaking_capacity) < float(found.fused.asked.of_two) <= float(two.breaking_capacity)
    assert one.kind != two.kind


def test_where_no_class_breaks_both_packs_the_reason_stands_there() -> None:
    """40 cells in parallel, each of some 20 mΩ: two packs give more than any class of the shelf breaks."""
    found = evidence("mower", source__parallel=40)
    own = protection_record(found.machine, found)["sense"]["side_by_side"]["fuse"]
    assert own["short_circuit_A"] > max(row["breaking_current_low"] for row in load("fuses"))
    assert (own["class"], own["rating_A"], own["breaking_capacity_A"]) == (None, None, None)
    assert "both packs together" in own["reason"]
    assert own["least_rating_A"] > 0.0
    assert float(switching.parallel_resistance([0.2, 0.0])) == 0.0


# --- one machine by hand -------------------------------------------------------------------------


def test_the_mower_by_hand() -> None:
    """Ten cells full, seven beside each other; 1 mF and 4 W of a usual controller, and the leads of the file."""
    found, plan = guard(), started("mower")
    bare, one = found.inrush, found.proposed
    assert bare is not None
    assert one is not None
    volts = 10 * 4.2
    cells = float(pack.at(plan.source, pack.fresh(plan.limits.ambient_hot)).resistance)
    copper = 2 * 0.8 * 1.91e-3 * (1 + 0.00393 * (float(_cable_temperature()) - 293.15))  # IEC 60228, 10 mm²
    ohms = cells + copper + 6 * 0.15e-3 + 0.6e-3
    assert float(bare.resistance) == pytest.approx(ohms, rel=1e-4)
    assert float(bare.current) == pytest.approx(volts / ohms, rel=1e-4)
    assert float(bare.energy) == pytest.approx(0.5 * 1e-3 * volts**2)
    drain = 4.0 / volts
    most = min(1.0 / (1e-3 * math.log(volts / 3.0)), 1.5 / drain)
    assert 12.0 <= most < 18.0
    assert float(one.resistance) == 15.0  # the largest of the row of twelve below it
    assert float(one.peak) == pytest.approx(volts**2 / 15.0)
    assert float(one.hold) == pytest.approx(15e-3 * math.log((volts - 15 * drain) / (3.0 - 15 * drain)))


def _cable_temperature() -> float:
    return float(started("mower").pedigree["chains.blade.cable.temperature"].typical)


# --- boards --------------------------------------------------------------------------------------

RUSH: dict[str, Any] = {
    "chains__blade__controller__capacitance": "10 mF",
    "board__short_circuit": "300 A",
    "board__short_circuit_delay": "100 us",
}


def test_a_pre_charge_cures_the_rush_and_a_bigger_board_does_not() -> None:
    assert bool(strain(guard(**RUSH), "inrush").trips)
    bigger = guard(**{**RUSH, "board__continuous": "120 A"})
    assert bool(strain(bigger, "inrush").trips)
    assert not bool(strain(guard(**RUSH, pre_charge__resistance="10 ohm"), "inrush").trips)


def test_a_sag_is_cured_by_cells_and_not_by_a_bigger_board() -> None:
    """Each trip has its own threshold: amps through the board say nothing of the volts of a group."""
    sagging: dict[str, Any] = {
        "source__parallel": 3,
        "board__under_voltage": "2.8 V",
        "board__under_voltage_delay": "100 ms",
    }
    assert bool(strain(guard(**sagging), "start-sag").trips)
    assert bool(strain(guard(**sagging, board__continuous="300 A"), "start-sag").trips)
    assert not bool(strain(guard(**{**sagging, "source__parallel": 14}), "start-sag").trips)


def test_a_peak_shorter_than_the_delay_trips_nothing() -> None:
    small_board: dict[str, Any] = {"board__continuous": "20 A", "board__peak": "35 A"}
    slow = strain(guard(**small_board, board__peak_delay="20 s"), "start")
    quick = strain(guard(**small_board, board__peak_delay="50 ms"), "start")
    assert float(slow.value) > float(slow.limit)
    assert not bool(slow.trips)
    assert bool(quick.trips)


@cache
def watched(amps: float) -> Start:
    plan = small()
    air = plan.job.ambient
    full, usual = pack.at(plan.source, pack.fresh(air)), Warmth(air, air, air)
    held = points_at(plan, NO_LOAD, full, [usual])[0]
    return start(plan.chains[0], NO_LOAD, plan.job, usual, full, held, amps)


def test_the_time_above_some_amps_falls_from_the_whole_start_to_nothing() -> None:
    whole = watched(0.0)
    assert float(whole.watched) == pytest.approx(float(whole.time))
    times = [float(watched(amps).watched) for amps in (5.0, 15.0, 25.0, 35.0)]
    assert times == sorted(times, reverse=True)
    assert times[0] > times[-1]
    assert float(watched(float(whole.battery_current)).watched) == 0.0


# --- switches ------------------------------------------------------------------------------------


def test_the_contactor_breaks_the_worst_and_the_isolator_carries_the_job() -> None:
    found = evidence_of("mower")
    switches = guard().switches
    assert float(switches.breaks) == pytest.approx(max(float(one.full.battery_current) for one in found.starts))
    assert float(switches.carries) < float(switches.breaks)
    assert switches.contactor is not None
    assert float(switches.contactor.voltage) >= float(switches.voltage)
    assert float(switches.contactor.breaks) >= float(switches.breaks)


def test_a_contactor_of_too_few_volts_is_not_proposed() -> None:
    low, high = (guard(source__series=series).switches.contactor for series in (10, 13))
    assert low is not None
    assert high is not None
    assert float(low.voltage) < 54.6 <= float(high.voltage)


@pytest.mark.parametrize(("series", "stopped"), [(7, False), (8, True), (10, True)])
def test_a_switch_for_alternating_current_breaks_no_pack_above_thirty_volts(series: int, stopped: bool) -> None:
    found = evidence(source__series=series, chains__blade__lugs__of="isolator", chains__blade__lugs__alternating=True)
    slugs = {j.rule.slug for j in judge(found) if bool(j.failing)}
    assert ("switch-too-few-volts" in slugs) == stopped


# --- lanes and what does not exist ---------------------------------------------------------------


def test_lane_0_of_the_draws_is_the_typical_machine() -> None:
    lanes = design.evidence(draws(small(), 8, 1)).guard
    alone = design.evidence(small()).guard
    assert lanes is not None
    assert alone is not None
    assert lanes.inrush is not None
    assert alone.inrush is not None
    energy = np.asarray(lanes.inrush.energy)
    assert energy.shape == (9,)
    assert energy[0] == pytest.approx(float(alone.inrush.energy))
    assert np.ptp(energy) > 0.0
    for many, one in zip(lanes.strains, alone.strains, strict=True):
        assert float(np.asarray(many.value).flat[0]) == pytest.approx(float(one.value))
        assert np.all(np.isfinite(np.asarray(many.value)))


def test_lead_acid_batteries_have_no_board_and_no_sense_plug_but_switches() -> None:
    plan, found = started("corded"), evidence_of("corded")
    record = check_record(plan, found, judge(found))
    assert record["board"]["reason"]
    assert record["sense"]["reason"]
    assert record["switches"]["voltage_V"] == pytest.approx(28.8)


# --- pitfalls ------------------------------------------------------------------------------------


def test_pitfall_15_line_to_line_and_peak_conventions() -> None:
    """The file's ohms are from line to line and its constant is that of the peak.

    With I as √(3/2) of a phase's effective amps, copper loss and air-gap watts of the ledger are those of three phases
    driven by a sine; line ohms taken for those of a phase would be twice the loss.
    """
    plan = with_link(alley(), Motor, commutation="electronic", brush_drop=0.0)
    duty, link, air = state(plan), motor(plan), plan.job.ambient
    at, lines = point(plan, duty), {line.name: line for line in book(plan, duty).lines}
    amps = float(at.motor_current) * math.sqrt(2.0 / 3.0)  # of a phase, effective
    line_to_line = float(motors.winding_resistance(link.resistance, air))
    assert 3.0 * (0.5 * line_to_line) * amps**2 == pytest.approx(float(lines["motor: copper"].loss))
    warm = float(motors.magnet_constant(link.constant, link.magnet_slope, air))
    back = warm * float(at.motor_speed) / math.sqrt(3.0) / math.sqrt(2.0)  # of a phase, effective
    assert 3.0 * back * amps == pytest.approx(float(lines["motor: turning"].power_in))


def test_pitfall_18_what_a_blocked_pack_sends_back_lifts_the_bus() -> None:
    """A board that opens leaves a turning blade only the capacitors: a thousandth of it lifts them past 60 V."""
    room = pre_charge.capacitor_energy(1e-3, 60.0) - pre_charge.capacitor_energy(1e-3, 54.6)
    stop = design.evidence(small()).stops[0]
    assert 0.2 < room < 0.4
    assert room < 1e-3 * float(stop.spin_energy)


def test_pitfall_29_a_contactor_is_held_against_the_full_charge() -> None:
    """48 V on the plate of a contactor are none too many for 13 cells that stand at 54.6 V when full."""
    plan = with_link(started("mower"), Motor, max_voltage=80.0)
    thirteen = replace(plan, source=replace(plan.source, series=13.0))
    found = design.evidence(thirteen).guard
    assert found is not None
    assert found.switches.contactor is not None
    assert float(found.switches.contactor.voltage) > 48.0
