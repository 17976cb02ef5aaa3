"""Which numbers carry the answers of the example."""

from __future__ import annotations

from functools import cache

import pytest

from headrace.explore.shares import Shares, shares, shares_record
from tests.machines import alley


@cache
def found() -> Shares:
    return shares(alley(), days=16, points=1024)


def test_every_answer_is_carried_and_ranked_by_the_total_share() -> None:
    assert set(found().carried) == {"run_time", "pack_size", "tip_speed"}
    for rows in found().carried.values():
        totals = [row.total for row in rows]
        assert totals == sorted(totals, reverse=True)
        assert all(row.address in alley().pedigree for row in rows)


def test_air_and_grass_carry_the_minutes_and_the_cells_do_not() -> None:
    """PITFALLS 35: most of the doubt is in the load, hardly any in the cell."""
    first = found().carried["run_time"][:4]
    assert any(row.address.startswith(("chains.blade.work.", "job.")) for row in first)
    cell = [row.total for row in found().carried["run_time"] if row.address == "source.cell.resistance"]
    assert sum(cell) < 0.1


def test_shares_of_the_tip_agree_between_seeds() -> None:
    assert max(row.gap for row in found().carried["tip_speed"]) < 0.25
    assert 0.2 < found().sum_first("tip_speed") < 1.1


def test_the_record_holds_samples_seeds_and_sums() -> None:
    record = shares_record(found())
    assert record["carried_by"]["seeds"] == [1, 2]
    assert record["carried_by"]["samples"]["tip_speed"] == 1024
    assert record["carried_by"]["sum_first"]["tip_speed"] == pytest.approx(found().sum_first("tip_speed"))
    assert set(record["carries"]["run_time"][0]) == {"address", "basis", "first", "total", "gap"}
