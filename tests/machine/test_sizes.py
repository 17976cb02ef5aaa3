"""Names of sizes: the trade's, IEC 60228 class 5 as the table has them, and read back to the letter."""

from __future__ import annotations

import pytest

from headrace.machine.sizes import BY_SIZE, named_by_size, of_size, square
from headrace.tables import load
from headrace.wiring.cuts import PRESSED, size_name


@pytest.mark.parametrize(
    ("area", "said"), [(0.5e-6, "0.5 mm²"), (0.75e-6, "0.75 mm²"), (1e-5, "10 mm²"), (1.2e-4, "120 mm²")]
)
def test_a_size_is_said_as_it_is_sold(area: float, said: str) -> None:
    assert square(area) == said
    assert of_size("cable", area) == f"cable {said}"


@pytest.mark.parametrize("what", BY_SIZE)
def test_every_size_of_the_table_has_a_name_that_a_price_may_go_by(what: str) -> None:
    names = [of_size(what, float(row["area"])) for row in load("conductors_iec60228_class5")]
    assert len(set(names)) == len(names)
    assert all(named_by_size(name) for name in names)


def test_the_cut_list_calls_cable_and_cord_by_the_same_names() -> None:
    assert size_name(1e-5, "main") == of_size("cable", 1e-5)
    assert size_name(1.5e-6, "feed", cord=True) == of_size("cord", 1.5e-6)
    assert set(PRESSED) <= set(BY_SIZE)


@pytest.mark.parametrize(
    "name",
    ["cable", "cable 10", "cable 10 mm2", "cable 10.0 mm²", "rope 10 mm²", "cable for the motor", "cable 010 mm²"],
)
def test_any_other_writing_is_no_name(name: str) -> None:
    assert not named_by_size(name)
