"""The typical machine out of lanes: its number, whether it has one, and a count that says what was counted."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headrace.machine.values import counted, first_number, is_known, typical_of
from headrace.physics.working import listening, node_of


@pytest.mark.parametrize("value", [np.array([3.0, 4.0]), np.array([[3.0], [4.0]]), np.array(3.0), 3.0])
def test_the_typical_machine_is_the_first_lane(value: float) -> None:
    assert typical_of(value) == first_number(value) == 3.0
    assert isinstance(typical_of(value), float)


@pytest.mark.parametrize(
    ("value", "known"),
    [
        (0.0, True),
        (math.nan, False),
        (math.inf, False),
        (np.array([np.nan, 1.0]), False),
        (np.array([1.0, np.nan]), True),
    ],
)
def test_a_number_is_known_where_the_typical_machine_has_it(value: float, known: bool) -> None:
    assert is_known(value) is known


def test_a_number_keeps_its_working_where_somebody_listens() -> None:
    with listening({}):
        count = counted(7, "pins of the plug")
        assert typical_of(count) is count
        assert node_of(count).name == "pins of the plug"
    assert count == 7.0
