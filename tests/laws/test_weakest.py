"""The weakest group before the board: without scatter the mean one, with it lower, less so with cells side by side."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.findings import Evidence, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.pack.weakest import weakest
from headrace.wiring.board import Strain


def mower(**values: Any) -> Machine:
    changed = {key.replace("__", "."): value for key, value in values.items()}
    return read_text(edit(starter("mower"), changed)).machine


def found(**values: Any) -> Evidence:
    return design.evidence(mower(**values))


def sag(evidence: Evidence, what: str) -> Strain:
    assert evidence.guard is not None
    return next(one for one in evidence.guard.strains if one.what == what)


def volts(evidence: Evidence, what: str) -> float:
    return float(np.asarray(sag(evidence, what).value).flat[0])


def test_without_scatter_the_weakest_is_the_mean_group() -> None:
    evidence = found(source__scatter="0 %")
    assert float(evidence.corners.lowest_group) == pytest.approx(float(evidence.corners.lowest_cell), rel=1e-12)
    assert volts(evidence, "work-sag") == float(evidence.corners.lowest_group)


@pytest.mark.parametrize("what", ["start-sag", "work-sag"])
def test_the_more_unlike_the_cells_the_deeper_the_weakest_sags(what: str) -> None:
    read = [volts(found(source__scatter=share), what) for share in ("0 %", "1 %", "3 %", "6 %")]
    assert read == sorted(read, reverse=True)
    assert len(set(read)) == 4


def test_the_weakest_group_by_hand() -> None:
    """Ten groups of seven cells with 5 %: 1.547 times 5 % over the root of 7 is 2.92 % short; 10 % left are 7.3 %."""
    plan = mower(source__scatter="5 %")
    weak = weakest(plan.source, 0.1)
    short = 1.547 * 0.05 / np.sqrt(7.0)
    assert float(weak.source.cell.capacity / plan.source.cell.capacity) == pytest.approx(1.0 - short, rel=1e-4)
    assert float(weak.source.cell.resistance / plan.source.cell.resistance) == pytest.approx(1.0 + short, rel=1e-4)
    assert float(weak.charge) == pytest.approx(1.0 - 0.9 / (1.0 - short), rel=1e-3)
    at_rest = pack.open_voltage(plan.source.cell, weak.charge)
    assert float(at_rest) < float(pack.open_voltage(plan.source.cell, 0.1))


def test_more_side_by_side_evens_it_out_and_more_in_series_does_not() -> None:
    def short(**values: Any) -> float:
        plan = mower(source__scatter="5 %", **values)
        return 1.0 - float(weakest(plan.source, 0.5).source.cell.capacity / plan.source.cell.capacity)

    assert short(source__parallel=28) == pytest.approx(0.5 * short(), rel=1e-9)
    assert short(source__series=14, charger__voltage="58.8 V") > short()


def test_salvaged_cells_are_taken_as_more_unlike_and_both_are_assumed() -> None:
    new, old = mower(), mower(source__cell="salvaged-18650")
    assert (new.source.scatter, old.source.scatter) == (0.005, 0.05)
    assert {plan.pedigree["source.scatter"].basis for plan in (new, old)} == {"assumed"}
    assert mower(source__scatter="2 %").pedigree["source.scatter"].basis == "given"


def test_a_board_that_bears_the_mean_group_may_open_on_the_weakest() -> None:
    """The mean stands above 2.5 V in the coldest start, the weakest of cells with 2 % does not."""
    level, unlike = found(source__scatter="0 %"), found(source__scatter="2 %")
    assert not bool(sag(level, "start-sag").trips)
    assert bool(sag(unlike, "start-sag").trips)
    slugs = [{one.slug for one in raised(judge(evidence), ())} for evidence in (level, unlike)]
    assert "board-trips-on-sag" not in slugs[0]
    assert "board-trips-on-sag" in slugs[1]


def test_a_group_that_is_short_of_everything_is_empty_and_no_less() -> None:
    plan = mower(source__scatter="30 %", source__parallel=1)
    assert float(weakest(plan.source, 0.1).charge) == 0.0
