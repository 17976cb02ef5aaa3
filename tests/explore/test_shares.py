"""Which numbers carry the answers: by closed forms, by plain draws put into bins, and as a reader knows it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest
from scipy.special import ndtri

from headrace.explore import shares as carrying
from headrace.explore.shares import Carried, Shares, indices, shares, shares_record
from headrace.machine.draws import END, at_shares, banded
from headrace.machine.records import Machine
from tests.machines import alley, without_bands

Array = npt.NDArray[np.float64]

DAYS = 64  # base samples of the suite for what takes a march; the campaign takes those of the program
ERRORS = 4.0  # standard errors within which two estimates have to agree


def banded_only(bands: Mapping[str, float]) -> Machine:
    """Return the alley mower with no bands but these, each as low = typical over and high = typical times a factor."""
    plan = without_bands(alley())
    pedigree = dict(plan.pedigree)
    for address, factor in bands.items():
        typical = pedigree[address].typical
        pedigree[address] = replace(pedigree[address], low=typical / factor, high=typical * factor)
    return replace(plan, pedigree=pedigree)


def by_address(rows: tuple[Carried, ...]) -> dict[str, Carried]:
    return {row.address: row for row in rows}


# --- a product of lognormal numbers: shares in closed form ------------------------------------------------

CHARGE, LIFE, AREA = "source.cell.capacity", "limits.end_of_life_capacity", "job.area"
FACTORS = {CHARGE: 1.25, LIFE: 1.1, AREA: 1.5}  # cells asked for go with the area over both others
SAMPLES = 256


def closed_form() -> dict[str, tuple[float, float]]:
    """First-order and total shares of a product of independent lognormal numbers.

    With s the deviation of a logarithm, the variance of the product is exp(sum of s^2) - 1 of its squared mean; that
    of one factor alone exp(s^2) - 1; and a factor's total part is its own times exp of the sum of the other s^2.
    """
    squares = {address: (math.log(factor) / END) ** 2 for address, factor in FACTORS.items()}
    whole = math.expm1(sum(squares.values()))
    return {
        address: (math.expm1(square) / whole, math.expm1(square) * math.exp(sum(squares.values()) - square) / whole)
        for address, square in squares.items()
    }


def sampling_error(powers: tuple[float, float, float]) -> tuple[Array, Array]:
    """Standard errors of first-order and total shares with this many samples, for a product of powers of the numbers.

    Their spread over thirty seeds on the closed form itself.
    """
    exponents = np.array([math.log(factor) / END for factor in FACTORS.values()]) * np.array(powers)

    def product(below: Array) -> Array:
        return np.atleast_2d(np.exp(exponents @ ndtri(np.clip(below, 1e-6, 1.0 - 1e-6))))

    found = indices(product, len(FACTORS), SAMPLES, tuple(range(30)))
    first, total = np.std(found, axis=0)[:, 0]
    return first, total


@cache
def decomposed() -> Shares:
    return shares(banded_only(FACTORS), days=SAMPLES, points=16)


def test_the_cells_asked_for_are_a_product_whose_shares_are_known() -> None:
    rows = by_address(decomposed().carried["pack_size"])
    assert rows.keys() == FACTORS.keys()
    for (address, (first, total)), *errors in zip(
        closed_form().items(), *sampling_error((-1.0, -1.0, 1.0)), strict=True
    ):
        assert rows[address].first == pytest.approx(first, abs=ERRORS * errors[0])
        assert rows[address].total == pytest.approx(total, abs=ERRORS * errors[1])


def test_minutes_go_with_the_capacity_alone() -> None:
    (row,) = decomposed().carried["run_time"]
    first, total = sampling_error((1.0, 0.0, 0.0))
    assert row.address == CHARGE
    assert row.first == pytest.approx(1.0, abs=ERRORS * first[0])
    assert row.total == pytest.approx(1.0, abs=ERRORS * total[0])


def test_looked_at_without_a_find_is_told_from_left_out() -> None:
    """Area and wear were looked at because they move the cells asked for; they do nothing for the minutes."""
    found = decomposed()
    assert set(found.nothing_found["run_time"]) == {LIFE, AREA}
    assert found.nothing_found["pack_size"] == ()
    assert found.left_out["run_time"] == found.left_out["pack_size"] == ()
    assert set(found.left_out["tip_speed"]) == FACTORS.keys()  # at a charge, none of them moves the tip
    record = shares_record(found)["carried_by"]
    assert set(record["nothing_found"]["run_time"]) == {LIFE, AREA}
    assert set(record["left_out"]["tip_speed"]) == FACTORS.keys()


# --- the example: against plain draws ---------------------------------------------------------------------


@cache
def found() -> Shares:
    return shares(alley(), days=DAYS)


def plain(count: int, names: list[str], seed: int) -> Array:
    """Return plain random shares, [number, draw]: no sequence, no layers."""
    return np.random.default_rng(seed).uniform(1e-6, 1.0 - 1e-6, (len(names), count))


def answers_at(names: list[str], below: Array, answers: carrying.Answers) -> Array:
    """Return the answers, [answer, draw], of the example with its numbers at these shares."""
    parts = []
    for start in range(0, below.shape[1], carrying.CHUNK):
        chunk = dict(zip(names, below[:, start : start + carrying.CHUNK], strict=True))
        parts.append(answers(at_shares(alley(), chunk))[:, 1:])
    return np.concatenate(parts, axis=1)


def binned(below: Array, answer: Array, bins: int) -> tuple[float, float]:
    """Return the first-order share of one number from draws put into bins of it, and its standard error.

    The variance between the bins' means, less what chance alone puts there; the error by leaving out tenths.
    """

    def share(places: npt.NDArray[np.intp], values: Array) -> float:
        counts = np.bincount(places, minlength=bins)
        means = np.bincount(places, values, minlength=bins) / counts
        between = float(np.sum(counts * (means - values.mean()) ** 2))
        within = float(np.sum((values - means[places]) ** 2))
        chance = (bins - 1) * within / (values.size - bins)
        return (between - chance) / (between + within)

    places = np.minimum((below * bins).astype(np.intp), bins - 1)
    tenth = np.arange(answer.size) % 10
    without = np.array([share(places[tenth != k], answer[tenth != k]) for k in range(10)])
    return share(places, answer), float(np.sqrt(0.9 * np.sum((without - without.mean()) ** 2)))


def agree(rows: tuple[Carried, ...], names: list[str], below: Array, answer: Array, bins: int) -> None:
    """Hold first-order shares against those of plain draws, within the errors of both."""
    noise = max(row.gap for row in rows) / math.sqrt(2.0)  # of one seed, from the largest gap of two
    for row in rows:
        seen, error = binned(below[names.index(row.address)], answer, bins)
        assert abs(row.first - seen) < ERRORS * math.hypot(error, noise), row.address


def test_first_order_shares_of_the_tip_are_those_of_plain_draws() -> None:
    names = list(banded(alley()))
    below = plain(65_536, names, seed=5)
    answer = answers_at(names, below, carrying.of_the_tool)[0]
    agree(found().carried["tip_speed"], names, below, answer, bins=64)


def test_total_shares_of_the_tip_are_those_of_draws_with_one_number_drawn_again() -> None:
    """Half the mean square of what drawing one number again changes, over the variance."""
    names, count = list(banded(alley())), 65_536
    below, again = plain(count, names, seed=6), plain(count, names, seed=7)
    answer = answers_at(names, below, carrying.of_the_tool)[0]
    for row in found().carried["tip_speed"][:5]:
        other = below.copy()
        place = names.index(row.address)
        other[place] = again[place]
        squares = (answers_at(names, other, carrying.of_the_tool)[0] - answer) ** 2 / (2.0 * np.var(answer))
        error = float(np.std(squares)) / math.sqrt(count)
        assert abs(row.total - float(np.mean(squares))) < ERRORS * math.hypot(error, row.gap), row.address


def test_another_seed_moves_no_share_of_the_tip_by_more_than_six_hundredths() -> None:
    assert max(row.gap for row in found().carried["tip_speed"]) < 0.06


def test_every_answer_is_carried_and_ranked_by_the_total_share() -> None:
    assert set(found().carried) == {"run_time", "pack_size", "tip_speed"}
    for answer, rows in found().carried.items():
        totals = [row.total for row in rows]
        assert totals == sorted(totals, reverse=True)
        listed = {row.address for row in rows}
        parts = (listed, set(found().nothing_found[answer]), set(found().left_out[answer]))
        assert sum(len(part) for part in parts) == len(banded(alley()))  # each number is in one of them
        assert set.union(*parts) == banded(alley()).keys()


def test_air_and_grass_carry_the_minutes_and_the_cells_do_not() -> None:
    """Most of the doubt is in the load, hardly any in the cell."""
    rows = found().carried["run_time"]
    assert all(row.address.startswith(("chains.blade.work.", "job.")) for row in rows[:3])
    assert sum(row.total for row in rows if row.address.startswith("source.cell.")) < 0.1


def test_the_record_holds_samples_seeds_and_sums() -> None:
    record = shares_record(found())
    assert record["carried_by"]["seeds"] == [1, 2]
    assert record["carried_by"]["samples"]["tip_speed"] == 8192
    assert record["carried_by"]["samples"]["run_time"] == DAYS
    assert record["carried_by"]["sum_first"]["tip_speed"] == pytest.approx(found().sum_first("tip_speed"))
    assert set(record["carries"]["run_time"][0]) == {"address", "basis", "first", "total", "gap"}


# --- the campaign: the samples of the program -------------------------------------------------------------


@cache
def shipped() -> Shares:
    return shares(alley())


@pytest.mark.campaign
@pytest.mark.parametrize("answer", ["run_time", "pack_size"])
def test_another_seed_moves_no_share_by_more_than_six_hundredths(answer: str) -> None:
    assert max(row.gap for row in shipped().carried[answer]) < 0.06


@pytest.mark.campaign
def test_first_order_shares_of_minutes_and_cells_are_those_of_plain_draws() -> None:
    names = list(banded(alley()))
    below = plain(8_192, names, seed=8)
    minutes, cells = answers_at(names, below, carrying._of_the_run)
    agree(shipped().carried["run_time"], names, below, minutes, bins=16)
    agree(shipped().carried["pack_size"], names, below, cells, bins=16)


@pytest.mark.campaign
def test_all_of_the_cell_together_carries_less_than_a_tenth_of_the_minutes() -> None:
    rows = shipped().carried["run_time"]
    assert sum(row.total for row in rows if row.address.startswith("source.cell.")) < 0.1
