"""Spoiled files end in a machine or in told problems, never in anything else; harmless rewrites change no number."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headrace.errors import MachineFileError
from headrace.machine import read_text, starter
from headrace.machine.records import Machine
from tests.machine.mutations import chance, mutate, rewrite
from tests.machines import EXAMPLE

TEXTS = {"example": EXAMPLE.read_text(encoding="utf-8"), "starter": starter("mower")}
SEEDS = st.integers(0, 2**32)
SAMPLE, FULL = 500, 100_000


def used_or_refused(text: str) -> bool:
    """Return whether a text could be used; whatever cannot must be told with file and line, or this raises."""
    try:
        reading = read_text(text, "spoiled.toml")
    except MachineFileError as found:
        trouble = found
    else:
        hold_to_finite_bands(reading.machine)
        return True
    assert trouble.problems
    assert str(trouble).startswith("error: spoiled.toml cannot be used (")
    for problem in trouble.problems:
        assert problem.key
        assert problem.limit
        assert 0 <= problem.line <= text.count("\n") + 1
    return False


def hold_to_finite_bands(plan: Machine) -> None:
    for origin in plan.pedigree.values():
        if origin.written:
            assert all(math.isfinite(number) for number in (origin.low, origin.typical, origin.high))
            assert origin.low <= origin.typical <= origin.high


@given(SEEDS, st.sampled_from(sorted(TEXTS)))
@settings(max_examples=SAMPLE)
def test_a_spoiled_file_is_used_or_refused(seed: int, name: str) -> None:
    used_or_refused(mutate(TEXTS[name], chance(seed)))


@pytest.mark.campaign
@pytest.mark.parametrize("part", range(20))
def test_a_hundred_thousand_spoiled_files_are_used_or_refused(part: int) -> None:
    each = FULL // 20
    used = 0
    for seed in range(part * each, (part + 1) * each):
        used += used_or_refused(mutate(TEXTS["starter" if seed % 2 else "example"], chance(seed)))
    assert 0.02 * each < used < 0.5 * each  # both ends of the test are reached


def test_the_mutations_reach_both_ends() -> None:
    used = sum(used_or_refused(mutate(TEXTS["example"], chance(seed))) for seed in range(200))
    assert 5 < used < 100


@pytest.mark.parametrize("name", TEXTS)
def test_a_hundred_harmless_rewrites_change_no_number(name: str) -> None:
    plain = read_text(TEXTS[name]).machine
    texts = set()
    for seed in range(100):
        text = rewrite(TEXTS[name], chance(seed))
        texts.add(text)
        other = read_text(text).machine
        assert other.pedigree.keys() == plain.pedigree.keys()
        for address, origin in plain.pedigree.items():
            again = other.pedigree[address]
            assert again.basis == origin.basis
            for one, two in ((origin.low, again.low), (origin.typical, again.typical), (origin.high, again.high)):
                assert one == two or (math.isnan(one) and math.isnan(two)) or two == pytest.approx(one, rel=1e-12), (
                    address
                )
    assert len(texts) == 100


def test_the_rewrites_use_other_units() -> None:
    text = "\n".join(rewrite(TEXTS["example"], chance(seed)) for seed in range(30))
    for unit in (" in", "lb", "km/h", "°F", "t/ha", "V·s/rad", "mohm", "kW", " %", "m^2", "ft/s"):
        assert f'{unit}"' in text or unit in text, unit
