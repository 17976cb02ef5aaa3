"""Discharges made from a known exponent give it back; what cannot be of one battery is refused, with a way out."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.bench.discharges import Discharge, UnlikeDischarges, fit
from headrace.errors import HeadraceError, OutOfRange
from headrace.physics import charge_wells

HOUR = 3600.0
CAPACITY, RATED = 100.0 * HOUR, 20.0 * HOUR
CURRENTS = (5.0, 12.0, 30.0)


def made(exponent: float, currents: Sequence[float] = CURRENTS, warmth: Sequence[float | None] = ()) -> list[Discharge]:
    warmths = warmth or [None] * len(currents)
    return [
        Discharge(amps, float(charge_wells.peukert_time(CAPACITY, RATED, exponent, amps)), kelvin)
        for amps, kelvin in zip(currents, warmths, strict=True)
    ]


def hours(*pairs: tuple[float, float]) -> list[Discharge]:
    return [Discharge(amps, time * HOUR) for amps, time in pairs]


@given(st.floats(1.0001, 1.6), st.floats(1.5, 10.0))
def test_discharges_give_their_exponent_back_and_the_law_runs_through_them(exponent: float, times: float) -> None:
    runs = made(exponent, (5.0, 5.0 * times, 4.0))
    found = fit(runs)
    assert found.exponent == pytest.approx(exponent, rel=1e-9)
    assert found.misfit == pytest.approx(0.0, abs=1e-9)
    for run in runs:
        said = charge_wells.peukert_time(found.capacity, found.rated_time, found.exponent, run.current)
        assert said == pytest.approx(run.seconds, rel=1e-9)


def test_a_clean_set_leaves_no_doubt() -> None:
    assert fit(made(1.2)).doubts == ()


@given(st.floats(0.5, 0.999))
def test_an_exponent_below_one_is_refused(exponent: float) -> None:
    lasted = [(amps, 20.0 * (5.0 / amps) ** exponent) for amps in CURRENTS]
    with pytest.raises(UnlikeDischarges) as refused:
        fit(hours(*lasted))
    assert float(re.findall(r"exponent of ([\d.]+) is below 1", refused.value.what)[0]) == pytest.approx(
        exponent, abs=6e-4
    )


def test_the_refusal_says_what_why_and_the_way_out() -> None:
    runs = [Discharge(1.0, 18.0 * HOUR, 293.15), Discharge(3.0, 6.6 * HOUR, 297.15)]
    with pytest.raises(HeadraceError) as refused:
        fit(runs)
    error = refused.value
    assert isinstance(error, UnlikeDischarges)
    assert "1 A gave 18 A·h, 3 A gave 19.8 A·h" in error.what
    assert "20.0 °C, at 3 A 24.0 °C" in error.why
    assert "4% here. Missing at the least: 9%." in error.why
    assert "once more" in error.way_out
    assert str(error) == f"{error.what} {error.why} {error.way_out}"


def test_without_temperatures_none_are_spoken_of() -> None:
    with pytest.raises(UnlikeDischarges) as refused:
        fit(hours((1.0, 18.0), (3.0, 6.6)))
    assert "°C" not in refused.value.why


@pytest.mark.parametrize("runs", [[], [(5.0, 20.0)], [(5.0, 20.0), (5.02, 19.9)]], ids=["none", "one", "one current"])
def test_one_current_shows_no_exponent(runs: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match="two currents"):
        fit(hours(*runs))


@pytest.mark.parametrize(("amps", "time"), [(0.0, 20.0), (-5.0, 20.0), (5.0, 0.0), (float("nan"), 20.0)])
def test_what_is_no_discharge_is_refused(amps: float, time: float) -> None:
    with pytest.raises(OutOfRange):
        Discharge(amps, time * HOUR)


@pytest.mark.parametrize(
    ("runs", "doubt"),
    [
        (made(1.75), "more than lead-acid shows"),
        (made(1.02), "leave Peukert out"),
        (hours((5.0, 20.0), (12.0, 5.5), (30.0, 2.5)), "misses a time by"),
        (hours((5.0, 20.0), (12.0, 5.5), (30.0, 2.5)), "30 A gave more charge than 12 A (75 and 66 A·h)"),
        (made(1.2, warmth=(293.0, 295.0, 298.0)), "not equally warm. At 5 A"),
    ],
    ids=["steep", "flat", "no power", "one pair below 1", "warmth"],
)
def test_what_was_spoiled_is_doubted(runs: list[Discharge], doubt: str) -> None:
    assert any(doubt in said for said in fit(runs).doubts)
