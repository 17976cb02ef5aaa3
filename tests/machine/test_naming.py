"""What a person calls a number of the file."""

from __future__ import annotations

import re

import pytest

from headrace.machine.naming import LIMITS, named
from tests.machines import alley


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("chains.mower.work.windage", "the blade's windage"),
        ("chains.blade.motor.winding_limit", "the motor's winding limit"),
        ("chains.blade.lugs.resistance", "the lugs' resistance"),
        ("source.cell.slow_time[1]", "the cell's slow time, second"),
        ("source.strips.width", "the strips' width"),
        ("source.series", "the pack's series"),
        ("job.tall grass.sward", "the sward of tall grass"),
        ("limits.tip_speed_min", "tip speed min"),
    ],
)
def test_a_number_is_called_what_people_call_it(address: str, said: str) -> None:
    assert named(address, "blade") == said


def test_no_name_is_an_address_and_one_of_several_chains_is_said() -> None:
    for address in alley().pedigree:
        assert not re.search(r"[._\[\]]", named(address)), address
    assert named("chains.left.work.windage") == "the left's windage"
    assert named("chains.left.motor.constant", chain=True) == "the motor's constant (left)"


def test_what_a_limit_is_called_is_of_a_limit_of_the_file() -> None:
    """Each name is of a number that a file may hold, and none of two."""
    known = {address.removeprefix("limits.") for address in alley().pedigree if address.startswith("limits.")}
    assert set(LIMITS) <= known
    assert len(set(LIMITS.values())) == len(LIMITS)
