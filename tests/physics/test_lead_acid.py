"""Lead-acid: no coulomb is lost in the wells, a rest gives charge back, cut steps agree, and what fails says so."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from headrace.physics import cells, charge_wells, conductors, converters, lead_acid
from headrace.physics.charge_wells import Wells
from headrace.physics.law import outside
from headrace.physics.working import Node, Traced, listening

HOUR = 3600.0
CAPACITY = 100.0 * HOUR
SHARE, RATE = 0.5, 1.0 / 7000.0

shares = st.floats(0.05, 0.95)
rates = st.floats(1e-5, 1e-2)
charges = st.floats(0.0, 1.0)
times = st.floats(1.0, 20.0 * HOUR)
amps = st.floats(-20.0, 60.0)


def wells(charge: float = 1.0, share: float = SHARE) -> Wells:
    return charge_wells.wells_at_rest(CAPACITY, charge, share)


# --- two wells ---------------------------------------------------------------------------------------


@given(charges, charges, shares, rates, amps, times)
def test_what_leaves_the_wells_is_what_was_drawn(
    near: float, far: float, share: float, rate: float, current: float, seconds: float
) -> None:
    before = Wells(near * share * CAPACITY, far * (1.0 - share) * CAPACITY)
    after = charge_wells.wells_step(*before, current, share, rate, seconds)
    assert sum(before) - sum(after) == pytest.approx(current * seconds, rel=1e-9, abs=1e-6 * HOUR)


@given(charges, shares, rates, amps, st.lists(times, min_size=2, max_size=6))
def test_time_cut_into_steps_comes_to_the_same(
    charge: float, share: float, rate: float, current: float, steps: list[float]
) -> None:
    whole = charge_wells.wells_step(*wells(charge, share), current, share, rate, sum(steps))
    part = wells(charge, share)
    for seconds in steps:
        part = charge_wells.wells_step(*part, current, share, rate, seconds)
    assert tuple(part) == pytest.approx(tuple(whole), rel=1e-9, abs=1e-6 * CAPACITY)


@pytest.mark.parametrize("current", [-10.0, 0.0, 30.0])
@pytest.mark.parametrize("share", [0.2, 0.7])
def test_the_closed_form_is_the_flow_between_the_wells(share: float, current: float) -> None:
    """Manwell and McGowan's two equations, stepped by an integrator."""
    start, seconds = Wells(0.1 * CAPACITY, 0.25 * CAPACITY), 1.5 * HOUR

    def flow(_time: float, held: Any) -> list[float]:
        across = RATE * share * (1.0 - share) * (held[1] / (1.0 - share) - held[0] / share)
        return [-current + across, -across]

    stepped = solve_ivp(flow, (0.0, seconds), start, rtol=1e-10, atol=1e-6).y[:, -1]
    assert tuple(charge_wells.wells_step(*start, current, share, RATE, seconds)) == pytest.approx(stepped, rel=1e-8)


@given(shares, rates, st.floats(5.0, 60.0), st.floats(0.1, 0.95), times)
def test_a_rest_gives_back_what_is_available_and_no_charge(
    share: float, rate: float, current: float, part: float, rest: float
) -> None:
    drawn = part * float(charge_wells.wells_capacity(CAPACITY, share, rate, current))
    tired = charge_wells.wells_step(*wells(share=share), current, share, rate, drawn / current)
    rested = charge_wells.wells_step(*tired, 0.0, share, rate, rest)
    assert rested.available > tired.available
    assert sum(rested) == pytest.approx(CAPACITY - drawn, rel=1e-12)
    settled = charge_wells.wells_step(*tired, 0.0, share, rate, 40.0 / rate)
    assert charge_wells.well_fill(settled.available, CAPACITY, share) == pytest.approx(1.0 - drawn / CAPACITY, rel=1e-9)


@given(shares, rates, st.floats(0.01, 500.0))
def test_the_available_well_is_empty_when_the_charge_of_a_current_is_drawn(
    share: float, rate: float, current: float
) -> None:
    drawn = float(charge_wells.wells_capacity(CAPACITY, share, rate, current))
    assert share * CAPACITY * (1.0 - 1e-9) <= drawn <= CAPACITY
    left = charge_wells.wells_step(*wells(share=share), current, share, rate, drawn / current)
    assert left.available == pytest.approx(0.0, abs=1e-8 * CAPACITY)
    assert left.bound >= -1e-8 * CAPACITY


@given(shares, rates)
def test_the_more_current_the_less_charge(share: float, rate: float) -> None:
    given_up = np.asarray(charge_wells.wells_capacity(CAPACITY, share, rate, np.geomspace(0.01, 1e4, 60)))
    assert np.all(np.diff(given_up) <= 1e-9 * CAPACITY)
    assert given_up[0] > given_up[-1]


@given(charges, charges, shares, rates, times)
def test_the_greatest_currents_leave_a_well_empty_or_full(
    near: float, far: float, share: float, rate: float, seconds: float
) -> None:
    start = Wells(near * share * CAPACITY, far * (1.0 - share) * CAPACITY)
    out = float(charge_wells.greatest_current(*start, share, rate, seconds))
    back = float(charge_wells.greatest_charge_current(*start, CAPACITY, share, rate, seconds))
    emptied = charge_wells.wells_step(*start, out, share, rate, seconds)
    filled = charge_wells.wells_step(*start, -back, share, rate, seconds)
    assert emptied.available == pytest.approx(0.0, abs=1e-9 * CAPACITY)
    assert filled.available == pytest.approx(share * CAPACITY, abs=1e-9 * CAPACITY)
    assert out >= 0.0
    assert back >= 0.0


def test_pulses_with_rests_give_more_than_one_pull() -> None:
    """Peukert's exponent would give both the same; the wells know the rests (the trap of Peukert on pulses)."""
    current, pull, rest = 60.0, 120.0, 600.0
    at_once = float(charge_wells.wells_capacity(CAPACITY, SHARE, RATE, current))
    held, drawn = wells(), 0.0
    while charge_wells.greatest_current(*held, SHARE, RATE, pull) > current:
        held = charge_wells.wells_step(*held, current, SHARE, RATE, pull)
        drawn += current * pull
        held = charge_wells.wells_step(*held, 0.0, SHARE, RATE, rest)
    assert drawn > 1.2 * at_once
    assert drawn < CAPACITY
    assert sum(held) == pytest.approx(CAPACITY - drawn, rel=1e-9)


# --- wells from ratings ------------------------------------------------------------------------------


@given(shares, st.floats(1e-5, 1e-3), st.floats(2.0, 20.0), st.floats(0.1, 0.5))
def test_two_capacities_of_known_wells_give_them_back(share: float, rate: float, slow: float, part: float) -> None:
    times_ = np.array([slow, part * slow]) * HOUR
    lost = -np.expm1(-rate * times_) / times_
    rated = CAPACITY / (1.0 + (1.0 - share) / (share * rate) * lost)
    found = charge_wells.wells_of_ratings(rated[0], times_[0], rated[1], times_[1], rate)
    assert found.solved
    assert float(found.capacity) == pytest.approx(CAPACITY, rel=1e-6)
    assert float(found.share) == pytest.approx(share, rel=1e-5)
    drawn = charge_wells.wells_capacity(found.capacity, found.share, rate, rated / times_)
    assert np.asarray(drawn) == pytest.approx(rated, rel=1e-6)


@pytest.mark.parametrize(
    ("second", "rate"), [(1.02, 1e-4), (1.0, 1e-4), (0.6, 1e-6)], ids=["more", "as much", "too slow a rate"]
)
def test_ratings_that_no_wells_have_are_called_so(second: float, rate: float) -> None:
    found = charge_wells.wells_of_ratings(CAPACITY, 20 * HOUR, second * CAPACITY, HOUR, rate)
    assert not found.solved
    assert np.isnan(found.capacity)
    assert np.isnan(found.share)


def test_lanes_without_wells_stand_beside_lanes_with() -> None:
    second = CAPACITY * np.array([0.65, 1.1, 0.8])
    found = charge_wells.wells_of_ratings(CAPACITY, 20 * HOUR, second, HOUR, 3e-4)
    assert np.asarray(found.solved).tolist() == [True, False, True]
    assert np.isnan(found.share).tolist() == [False, True, False]
    alone = charge_wells.wells_of_ratings(CAPACITY, 20 * HOUR, second[2], HOUR, 3e-4)
    assert alone.share == pytest.approx(found.share[2], rel=1e-12)  # type: ignore[index]


@given(st.floats(1.01, 1.8), st.floats(2.0, 40.0), st.floats(900.0, 20_000.0))
def test_any_exponent_above_one_has_wells_through_three_of_its_points(
    exponent: float, apart: float, fast: float
) -> None:
    slow = apart * fast
    rate = charge_wells.rate_of_peukert(exponent, slow, fast)
    less = charge_wells.peukert_capacity(CAPACITY, slow, exponent, fast)
    found = charge_wells.wells_of_ratings(CAPACITY, slow, less, fast, rate)
    assert found.solved
    assert 0.0 < found.share < 1.0
    assert found.capacity > CAPACITY
    points = np.array([slow, np.sqrt(slow * fast), fast])
    rated = np.asarray(charge_wells.peukert_capacity(CAPACITY, slow, exponent, points))
    drawn = np.asarray(charge_wells.wells_capacity(found.capacity, found.share, rate, rated / points))
    assert drawn == pytest.approx(rated, rel=1e-6)


@pytest.mark.parametrize(("exponent", "stray"), [(1.1, 0.02), (1.3, 0.05), (1.6, 0.09)])
def test_between_twenty_hours_and_one_the_wells_stray_from_peukert_as_the_law_says(
    exponent: float, stray: float
) -> None:
    rate = charge_wells.rate_of_peukert(exponent, 20 * HOUR, HOUR)
    less = charge_wells.peukert_capacity(CAPACITY, 20 * HOUR, exponent, HOUR)
    found = charge_wells.wells_of_ratings(CAPACITY, 20 * HOUR, less, HOUR, rate)
    within = np.geomspace(HOUR, 20 * HOUR, 60)
    rated = np.asarray(charge_wells.peukert_capacity(CAPACITY, 20 * HOUR, exponent, within))
    drawn = np.asarray(charge_wells.wells_capacity(found.capacity, found.share, rate, rated / within))
    assert np.max(np.abs(drawn / rated - 1.0)) < stray


def test_lanes_of_exponents_are_each_their_own() -> None:
    together = np.asarray(charge_wells.rate_of_peukert(np.array([1.1, 1.3]), 20 * HOUR, HOUR))
    alone = [float(charge_wells.rate_of_peukert(exponent, 20 * HOUR, HOUR)) for exponent in (1.1, 1.3)]
    assert together.tolist() == pytest.approx(alone, rel=1e-12)


@given(st.floats(1.0, 1.8), st.floats(0.5, 200.0))
def test_peukert_in_its_two_forms_and_back(exponent: float, current: float) -> None:
    lasted = charge_wells.peukert_time(CAPACITY, 20 * HOUR, exponent, current)
    drawn = charge_wells.peukert_capacity(CAPACITY, 20 * HOUR, exponent, lasted)
    assert drawn == pytest.approx(lasted * current, rel=1e-9)
    other = charge_wells.peukert_time(CAPACITY, 20 * HOUR, exponent, 2.0 * current)
    assert float(charge_wells.peukert_exponent(current, lasted, 2.0 * current, other)) == pytest.approx(
        exponent, rel=1e-9
    )


# --- volts and ohms ----------------------------------------------------------------------------------


def test_stronger_acid_has_the_higher_voltage_and_the_curve_goes_on_smoothly_below_its_range() -> None:
    acid = np.geomspace(1e-3, 10.0, 4000)
    volts = np.asarray(lead_acid.acid_rest_voltage(acid, 6.0))
    slope = np.diff(volts) / np.diff(np.log10(acid))
    assert np.all(slope > 0.0)
    seam = int(np.searchsorted(acid, 0.1))
    assert slope[seam - 3] == pytest.approx(slope[seam + 3], rel=0.02)
    assert outside(lead_acid.acid_rest_voltage, molality=acid).tolist() == (acid < 0.1).tolist()
    assert np.isfinite(lead_acid.acid_rest_voltage(0.0, 6.0))


@given(st.floats(3.0, 9.0), charges)
def test_acid_used_up_leaves_its_water(full: float, fill: float) -> None:
    acid = fill * full  # mol, in what began as a kilogram of water
    water = 1.0 + 0.0180153 * (full - acid)
    assert lead_acid.acid_molality(full, fill) == pytest.approx(acid / water, rel=1e-12, abs=1e-12)


@given(charges, st.floats(1.0, 3.0), st.floats(1.0, 3.0))
def test_resistance_grows_with_emptying_age_and_cold(charge: float, empty: float, age: float) -> None:
    new = lead_acid.lead_resistance(0.006, charge, empty, 1.0, 1.0)
    assert 0.006 <= new <= 0.006 * empty * (1 + 1e-12)
    cold = cells.arrhenius_factor(10e3, 263.15)
    worn = lead_acid.lead_resistance(0.006, charge, empty, age, cold)
    assert worn == pytest.approx(new * age * cold, rel=1e-12)
    assert 1.5 < cold < 2.0  # common practice for -10 °C, no source: what the energy is taken from


def test_terminal_voltage_falls_ever_faster_as_the_available_well_empties() -> None:
    fill = np.linspace(1.0, 0.02, 50)
    volts = np.asarray(lead_acid.lead_terminal_voltage(12.0 + 0.8 * fill, 30.0, 0.006, 0.002, fill))
    assert np.all(np.diff(volts) < 0.0)
    assert np.all(np.diff(volts, 2) < 0.0)
    ohms = 0.006 + lead_acid.emptying_resistance(0.002, fill)
    assert volts == pytest.approx(12.0 + 0.8 * fill - 30.0 * ohms, rel=1e-12)
    assert lead_acid.emptying_resistance(0.002, 1.0) == 0.0
    assert np.isfinite(lead_acid.lead_terminal_voltage(11.8, 30.0, 0.006, 0.002, 0.0))


def test_cold_takes_charge_and_warmth_gives_none() -> None:
    warmth = np.array([253.15, 273.15, 298.15, 313.15])
    share = np.asarray(lead_acid.lead_capacity_at(1.0, 0.008, warmth))
    assert share.tolist() == pytest.approx([0.64, 0.8, 1.0, 1.0])


# --- traps -------------------------------------------------------------------------------------------


def test_power_at_the_cut_out_is_far_less_than_the_most_power() -> None:
    """Worn and cold, 31 mΩ with the leads, half charged: 1.2 kW on paper, 576 W before 10.5 V (worked by hand)."""
    rest = lead_acid.lead_rest_voltage(0.5, 6.0, 11.8 / 6.0, 12.6 / 6.0)
    assert rest == pytest.approx(12.2)
    assert converters.most_power(rest, 0.031) == pytest.approx(1200.0, abs=5.0)
    assert converters.power_at_voltage(rest, 0.031, 10.5) == pytest.approx(576.0, abs=0.5)


@pytest.mark.parametrize(("current", "watts", "volts"), [(80.0, 19.0, 0.24), (136.0, 55.0, 0.41)])
def test_three_milliohm_of_lugs_are_a_good_part_of_what_twelve_volts_can_sag(
    current: float, watts: float, volts: float
) -> None:
    """Of the 1.3 to 1.7 V between rest and cut-out; at 48 V, a quarter of the amps, they cost a sixteenth."""
    assert conductors.joule_loss(current, 0.003) == pytest.approx(watts, abs=0.6)
    assert conductors.voltage_drop(current, 0.003) == pytest.approx(volts, abs=0.01)
    assert conductors.joule_loss(current / 4.0, 0.003) == pytest.approx(watts / 16.0, abs=0.05)


def test_the_laws_hand_on_their_workings() -> None:
    def told(value: float) -> Traced:
        return Traced(Node(value, "given", "told"))

    with listening({}):
        after = charge_wells.wells_step(told(18000.0), told(54000.0), told(10.0), told(0.25), told(1e-4), told(600.0))
        rate = charge_wells.rate_of_peukert(told(1.15), told(72000.0), told(3600.0))
        made = charge_wells.wells_of_ratings(told(360e3), told(72000.0), told(234e3), told(3600.0), rate)
    for number in (*after, rate, made.capacity, made.share):
        assert isinstance(number, Traced)
        assert number.node.again() == pytest.approx(float(number), rel=1e-12)
    assert made.solved
