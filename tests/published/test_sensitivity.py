"""Shares of variance against a function whose shares are known in closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headrace.explore.shares import Array, indices

A, B = 7.0, 0.1


def ishigami(below: Array) -> Array:
    """Ishigami and Homma, Proc. ISUMA (1990) 398: three angles, uniform from -pi to pi. From memory."""
    x = (2.0 * below - 1.0) * math.pi
    return np.atleast_2d(np.sin(x[0]) + A * np.sin(x[1]) ** 2 + B * x[2] ** 4 * np.sin(x[0]))


def closed_form() -> tuple[list[float], list[float]]:
    """First-order and total shares, from the integrals of the function's squares."""
    first = 0.5 * (1.0 + B * math.pi**4 / 5.0) ** 2
    second = A**2 / 8.0
    together = B**2 * math.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    whole = first + second + together
    return [first / whole, second / whole, 0.0], [(first + together) / whole, second / whole, together / whole]


def test_the_closed_form_gives_the_printed_shares() -> None:
    first, total = closed_form()
    assert first == pytest.approx([0.3139, 0.4424, 0.0], abs=5e-5)  # the digits usually printed; from memory
    assert total == pytest.approx([0.5576, 0.4424, 0.2437], abs=5e-5)


@pytest.mark.parametrize("seed", [1, 2])
def test_the_shares_of_the_ishigami_function(seed: int) -> None:
    ((first, total),) = indices(ishigami, 3, 8192, (seed,))
    assert first[0] == pytest.approx(closed_form()[0], abs=0.01)
    assert total[0] == pytest.approx(closed_form()[1], abs=0.01)


def test_shares_of_a_sum_add_up_to_one_and_need_no_company() -> None:
    weights = np.array([3.0, 2.0, 1.0])
    ((first, total),) = indices(lambda below: np.atleast_2d(weights @ below), 3, 4096, (1,))
    assert first[0] == pytest.approx(weights**2 / np.sum(weights**2), abs=0.01)
    assert total[0] == pytest.approx(first[0], abs=0.01)
