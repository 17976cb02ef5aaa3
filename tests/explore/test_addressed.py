"""Addresses before anything is worked out: slips refused at once, parts of an address filled in."""

from __future__ import annotations

from functools import cache

import pytest

from headrace.design.bands import Sample
from headrace.errors import NoWorking
from headrace.explore import working
from headrace.explore.working import Workings
from tests.machines import alley


@cache
def workings() -> Workings:
    return Workings(alley(), Sample(0, 1), Sample(0, 1))


def refused(address: str, monkeypatch: pytest.MonkeyPatch) -> NoWorking:
    """Return the refusal of an address where whoever starts to work something out fails."""
    for heavy in ("solve", "evidence", "pack_map", "shares"):
        monkeypatch.setattr(working, heavy, lambda *_, **__: pytest.fail("worked out"))
    with pytest.raises(NoWorking) as trouble:
        workings().at(address)
    return trouble.value


@pytest.mark.parametrize(
    ("address", "near"),
    [
        ("dai.lasts", "day.lasts"),
        ("day.lasts_to_reserv", "day.lasts_to_reserve"),
        ("losses.gras.controller.loss", "losses.grass.controller.loss"),
        ("chains.blade.motor.resistence", "chains.blade.motor.resistance"),
        ("chains.blade.motor.resistence.low", "chains.blade.motor.resistance"),
        ("swings.job.width.widht", "swings.job.width.width"),
        ("findings.blade-coast.value", "findings.blade-coasts.value"),
        ("packs.11s5p.mas", "packs.11s5p.mass"),
        ("carries.runtime.job.width.total", "carries.run_time."),
        ("packs", "packs.9s6p.mass"),
        ("packs.cheapest.mass", "packs.9s6p.mass"),
    ],
)
def test_a_slip_is_refused_before_anything_is_worked_out(
    address: str, near: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert near in refused(address, monkeypatch).way_out


@pytest.mark.parametrize(
    ("address", "below"),
    [
        ("packs.11s5p", (".mass", ".cost", ".often", ".value, .limit, .by")),
        ("packs.11s5p.too-heavy", (".value", ".limit", ".by")),
        ("packs.11s5p.reasons.too-heavy", (".value", ".limit", ".by")),
        ("chains.blade.spindle", (".count", ".friction")),
        ("pack", (".mass", ".rest_voltage_table.…")),
        ("findings.blade-coasts", (".value", ".limit", ".share")),
    ],
)
def test_a_part_of_an_address_is_refused_with_what_stands_below_it(
    address: str, below: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = refused(address, monkeypatch)
    assert "holds several" in found.why
    assert all(part in found.way_out for part in below), found.way_out


def test_a_number_of_a_pack_has_the_unit_of_the_planned_one_and_a_reason_that_of_its_limit() -> None:
    known = workings()
    assert known.unit_at("packs.11s5p.mass") == "kg"
    assert known.unit_at("packs.11s5p.energy_J") == "J"
    assert known.unit_at("packs.11s5p.too-heavy.by") == "kg"
