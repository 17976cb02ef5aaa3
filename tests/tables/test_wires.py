"""What wires carry and how fuses open: pinned, and held against physics."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from headrace.physics import ampacity
from headrace.tables import load
from headrace.wiring.ampacities import RATINGS, listed, sizes_of

ROWS = {"ampacity_iec60364_5_52": 14, "ampacity_nec_310_16": 13, "ampacity_cfr33_183_425": 15}
SUMS = {
    ("ampacity_iec60364_5_52", "conduit"): 964.5,
    ("ampacity_iec60364_5_52", "surface"): 1203.5,
    ("ampacity_nec_310_16", "rated_60"): 1150.0,
    ("ampacity_nec_310_16", "rated_75"): 1380.0,
    ("ampacity_nec_310_16", "rated_90"): 1560.0,
    ("ampacity_cfr33_183_425", "rated_60"): 1755.0,
    ("ampacity_cfr33_183_425", "rated_75"): 2070.0,
    ("ampacity_cfr33_183_425", "rated_80"): 2225.0,
    ("ampacity_cfr33_183_425", "rated_90"): 2265.0,
    ("ampacity_cfr33_183_425", "rated_105"): 2625.0,
    ("ampacity_cfr33_183_425", "rated_125"): 2830.0,
    ("ampacity_cfr33_183_425", "rated_200"): 3010.0,
}


@pytest.mark.parametrize(("table", "column"), SUMS)
def test_ampacities_are_the_tables_we_typed_in(table: str, column: str) -> None:
    rows = load(table)
    assert len(rows) == ROWS[table]
    assert sum(row[column] for row in rows) == SUMS[table, column]
    amps = [row[column] for row in rows]
    assert amps == sorted(amps)
    assert {(rating.table, rating.column) for rating in RATINGS.values()} == set(SUMS)


@pytest.mark.parametrize("name", RATINGS)
def test_a_thicker_wire_carries_more_and_its_amps_go_nearly_with_a_power_of_its_size(name: str) -> None:
    """IEC 60364-5-52, annex D: the power is a little above a half; rounded to 5 A, and at the ends, it strays."""
    sizes = sizes_of(RATINGS[name].table)
    amps = np.array([float(listed(name, size).current) for size in sizes])
    power = np.polyfit(np.log(sizes), np.log(amps), 1)[0]
    assert 0.5 < power < 0.8
    assert np.all(np.diff(amps) > 0.0)


def test_three_loaded_wires_of_another_print_carry_less_than_two() -> None:
    """Three loaded, methods B2 and C: as reprinted in manuals of machines; the table here is for two. [mm², A]"""
    three: dict[str, dict[float, float]] = {
        "conduit": {1.5: 15, 2.5: 20, 4: 27, 6: 34, 10: 46, 16: 62, 25: 80, 35: 99},
        "surface": {1.5: 17.5, 2.5: 24, 4: 32, 6: 41, 10: 57, 16: 76, 25: 96, 35: 119},
    }
    two = {round(1e6 * row["area"], 2): row for row in load("ampacity_iec60364_5_52")}
    for column, amps in three.items():
        assert all(0.84 < carried / two[area][column] < 0.92 for area, carried in amps.items())


def test_the_law_of_warm_air_gives_what_a_manual_prints_at_forty_degrees() -> None:
    """Method B2 with three loaded wires in air of 40 °C, cut to the ampere: 4 to 35 mm²."""
    printed = {27.0: 23, 34.0: 30, 46.0: 40, 62.0: 54, 80.0: 70, 99.0: 86}
    factor = round(float(ampacity.ambient_factor(313.15, 343.15, 303.15)), 2)
    assert [round(amps * factor) for amps in printed] == list(printed.values())


def test_fuses_open_sooner_on_more_amps_and_quick_ones_sooner_than_slow_ones() -> None:
    quick, slow = ([row for row in load("fuse_curves") if row["speed"] == speed] for speed in ("quick", "slow"))
    assert len(load("fuse_curves")) == 8
    assert sum(row["most_time"] for row in load("fuse_curves")) == pytest.approx(2463.65)
    for rows in (quick, slow):
        times = [row["most_time"] for row in rows]
        assert times == sorted(times, reverse=True)
        assert all(row["least_time"] < row["most_time"] for row in rows if not np.isnan(row["least_time"]))
    assert all(a["most_time"] < b["most_time"] for a, b in zip(quick, slow, strict=True))


def test_what_melts_a_fuse_lies_within_the_times_of_its_curve() -> None:
    """At six times the rating no heat leaves: the melting integral must be no more than the longest time takes."""
    for row in load("fuse_melting"):
        longest = next(
            r["most_time"] for r in load("fuse_curves") if r["speed"] == row["speed"] and r["multiple"] == 6.0
        )
        assert row["melting_integral"] < (6.0 * row["rating"]) ** 2 * longest


def test_ratings_rise_by_small_steps() -> None:
    ratings = [row["rating"] for row in load("fuse_ratings")]
    assert len(ratings) == 23
    assert sum(ratings) == 2722.5
    assert all(1.0 < after / before <= 1.5 for before, after in pairwise(ratings))
