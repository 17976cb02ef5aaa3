"""The facts about a pack: two routes to what is counted, limits that flip where they should, what has none of them."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.facts_record import CLAIM, ENDLESS, facts_record
from headrace.design.record import pack_record
from headrace.design.workings import addresses
from headrace.machine import edit, read, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import arrangement, designation
from headrace.pack.transport import counted, thresholds, touch
from tests.machines import EXAMPLE, SMALL_TEXT, evidence_of, small, started

HOUR = 3600.0
Record = dict[str, Any]


@cache
def of_the_small() -> Record:
    return facts_of(small())


def facts_of(plan: Machine) -> Record:
    return facts_record(plan, design.evidence(plan))


def edited(**values: Any) -> Machine:
    changed = {key.replace("__", "."): value for key, value in values.items()}
    return read_text(edit(SMALL_TEXT, changed)).machine


def labelled(**values: Any) -> Machine:
    """The shaft's starter on a finished pack of 36 V and 10 Ah."""
    text = starter("shaft")
    label = {"voltage": '"36 V"', "capacity": '"10 Ah"', "current": '"30 A"', **values}
    lines = "\n".join(f"{key} = {value}" for key, value in label.items())
    before, after = text[: text.index("[source]")], text[text.index("[job]") :]
    return read_text(f'{before}[source]\nkind = "ready-made"\n{lines}\n\n{after}').machine


def test_what_is_counted_is_what_the_pack_is_said_to_hold() -> None:
    """Two routes: watt-hours of a cell times their number, and the pack's own; so with the mass."""
    plan = small()
    found, pack = facts_of(plan), pack_record(plan, design.evidence(plan))
    cells = found["series"] * found["parallel"]
    assert found["energy_J"] == pytest.approx(pack["energy_J"], rel=1e-12)
    assert found["energy_J"] == pytest.approx(cells * found["cell_energy_J"], rel=1e-12)
    assert found["energy_J"] == pytest.approx(found["capacity_A_s"] * found["nominal_voltage_V"], rel=1e-12)
    assert found["mass_kg"] == pytest.approx(pack["mass_kg"], rel=1e-12)
    assert found["mass_kg"] > cells * found["cell_mass_kg"]
    assert found["full_voltage_V"] == pytest.approx(pack["full_voltage_V"], rel=1e-12)


def test_rated_watt_hours_are_counted_and_not_those_that_come_out() -> None:
    """The naive way hands the carrier what a day gives; cold and worn cells do not make a battery small."""
    plan = small()
    emptied = design.until_empty(plan, keep_trace=False)
    assert float(np.asarray(emptied.energy)) < float(counted(plan.source).energy)
    cold = edited(job__ambient="-10 °C")
    assert float(counted(cold.source).energy) == pytest.approx(float(counted(plan.source).energy), rel=1e-12)


@pytest.mark.parametrize(
    ("series", "parallel", "within"),
    [
        (1, 5, {"small-battery", "road-battery", "baggage", "baggage-asked", "assembled"}),  # 90 Wh
        (1, 6, {"road-battery", "baggage-asked", "assembled"}),  # 108 Wh
        (1, 9, {"road-battery", "assembled"}),  # 162 Wh
        (10, 2, {"assembled"}),  # 360 Wh
        (100, 4, set()),  # 7200 Wh
    ],
)
def test_each_limit_on_the_packs_watt_hours_flips_by_itself(series: int, parallel: int, within: set[str]) -> None:
    """Cells of 5 Ah and 3.6 V, 18 Wh each, by hand."""
    plan = edited(source__series=series, source__parallel=parallel)
    held = thresholds(plan.source, counted(plan.source), 0.3)
    assert {one.name for one in held if one.met and one.of == "pack" and one.unit == "J"} == within
    assert all(one.says == (one.within if one.met else one.past) for one in held)


@pytest.mark.parametrize(("stored", "met"), [(0.3, True), (0.31, False), (0.5, False)])
def test_the_charge_for_air_cargo_is_that_it_is_put_away_at(stored: float, met: bool) -> None:
    plan = edited(charger__storage=stored)
    assert plan.charger is not None
    (held,) = [one for one in facts_of(plan)["thresholds"] if one["name"] == "air-charge"]
    assert (held["met"], held["value"], held["limit"]) == (met, stored, 0.3)


def test_limits_that_are_only_remembered_say_so() -> None:
    bases = {one["name"]: one["basis"] for one in of_the_small()["thresholds"]}
    assert bases["small-cell"] == "table"
    assert {name for name, basis in bases.items() if basis == "assumed"} == {"large-cell", "large-battery", "assembled"}


def test_nothing_is_claimed() -> None:
    found = of_the_small()
    assert found["claim"] == CLAIM
    assert "no claim" in CLAIM
    said = " ".join(one["says"] for one in (*found["thresholds"], *found["touch"])).lower()
    assert not any(word in said for word in ("complies", "compliant", "certified", "approved", "safe"))


def test_each_of_several_labelled_packs_is_counted_by_itself() -> None:
    """36 V and 10 Ah are 360 Wh, whether one lies in the machine or three beside each other and two in turn."""
    one, several = labelled(), labelled(packs=3, in_turn=2)
    for plan, pieces in ((one, 1.0), (several, 6.0)):
        found = counted(plan.source)
        assert float(found.energy) / HOUR == pytest.approx(360.0)
        assert float(found.pieces) == pieces
        assert found.cell_energy is None
    assert float(counted(several.source).mass) == pytest.approx(float(counted(one.source).mass))
    record = facts_of(one)
    assert "label" in record["cell_reason"]
    assert record["designation"] is None
    assert {held["of"] for held in record["thresholds"]} == {"pack", "stored"}


def test_lead_acid_is_told_what_it_comes_under_and_held_to_no_watt_hours() -> None:
    plan = started("corded")
    found = facts_record(plan, evidence_of("corded"))
    assert found["thresholds"] == []
    assert "lithium" in found["thresholds_reason"]
    assert "UN 2800" in found["rule"]
    assert found["counted"] == "battery"
    assert found["pieces"] == pytest.approx(float(arrangement.count(plan.source)))
    assert found["energy_J"] * found["pieces"] == pytest.approx(float(arrangement.energy(plan.source)))
    assert not any(one["about"] == "test" for one in found["questions"])
    asked = " ".join(one["asks"] for one in found["questions"])
    asked_of_cells = " ".join(one["asks"] for one in facts_of(started("mower"))["questions"])
    for part in ("transistors", "sense wire", "joined side by side"):
        assert part not in asked
        assert part in asked_of_cells


def test_sodium_has_entries_of_its_own_and_no_limits_of_lithium() -> None:
    plan = edited(source__cell="sodium-26650")
    found = facts_of(plan)
    assert (found["thresholds"], found["designation"]) == ([], None)
    assert "UN 3551" in found["rule"]


def test_what_never_empties_has_no_facts_but_the_reason() -> None:
    plan = read(EXAMPLE.parent / "cider-mill" / "wall.toml").machine
    assert facts_of(plan) == {"reason": ENDLESS, "claim": CLAIM}


def test_the_protection_told_is_that_of_the_design() -> None:
    plan = small()
    found, evidence = facts_of(plan)["protection"], design.evidence(plan)
    assert plan.board is not None
    assert evidence.fused is not None
    assert found["over_voltage_V"] == pytest.approx(float(plan.board.over_voltage))
    assert found["fuse_A"] == pytest.approx(float(evidence.fused.rating))
    assert found["cold_lock"] is plan.safety.charging_lock


@pytest.mark.parametrize(
    ("cell", "name"),
    [("energy-18650", "INR19/66"), ("energy-21700", "INR22/71"), ("lfp-26650", "IFR27/66"), ("lfp-prismatic", None)],
)
def test_a_cell_is_called_by_its_electrode_and_its_sizes_rounded_up(cell: str, name: str | None) -> None:
    plan = edited(source__cell=cell)
    assert designation.of_cell(plan.source.cell) == name


def test_sizes_are_rounded_up_and_a_whole_millimetre_stays() -> None:
    """Texts that cut 18.5 mm down to 18 contradict the clause; 26.0 mm are 26."""
    for written, told in (("18.0 mm", 18), ("18.05 mm", 19), ("26 mm", 26)):
        plan = edited(source__cell={"shelf": "energy-18650", "diameter": written})
        assert designation.of_cell(plan.source.cell) == f"INR{told}/66"


def test_a_single_cell_has_no_count_before_it_or_behind() -> None:
    assert designation.of_pack(edited(source__series=1, source__parallel=1).source) == "INR22/71"
    assert designation.of_pack(edited(source__series=10, source__parallel=1).source) == "10INR22/71"
    assert designation.of_pack(edited(source__series=1, source__parallel=3).source) == "INR22/71-3"


def test_draws_have_bands_and_are_judged_for_the_typical_pack() -> None:
    plan = draws(small(), 16, 3)
    found = counted(plan.source)
    held = {one.name: one for one in thresholds(plan.source, found, 0.5)}
    assert np.size(held["small-cell"].value) == 17
    assert held["small-cell"].met == (float(np.asarray(held["small-cell"].value).flat[0]) <= 20.0 * HOUR)
    assert len(touch(plan.source.series * plan.source.cell.full_voltage)) == 11


def test_every_limit_has_its_address() -> None:
    found = addresses({"facts": of_the_small()})
    for name in ("facts.thresholds.small-cell.value", "facts.touch.guarded.limit", "facts.cell_energy"):
        assert name in found, sorted(found)
