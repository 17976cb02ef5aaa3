"""Machines side by side: every number is the one of its own design, the watts add up, and unlike jobs are told."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headrace import design, machine
from headrace.design import Design
from headrace.design.bands import Sample
from headrace.design.check_record import check_record
from headrace.design.record import day_record, pack_record
from headrace.explore.comparing import Column, Difference, column, comparison, differences, in_one_order
from headrace.explore.comparing_record import comparison_record
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from tests.machines import SMALL_TEXT, small

DRAWS, SEED = 8, 3
TRIMMER = """
[[chains]]
name = "trimmer"
[chains.work]
kind = "mowing-blade"
name = "string"
diameter = "25 cm"
inertia = "0.001 kg·m²"
[[chains.links]]
kind = "dc-motor"
constant = "0.11 N·m/A"
resistance = "0.2 ohm"
[[chains.links]]
kind = "controller"
motor_current = "25 A"

[source]
"""
THICK = {"source.series": 11, "chains.blade.cable.area": "16 mm²"}


def edited(**values: object) -> Machine:
    """Return the small mower with other values; two underscores stand for a dot."""
    return machine.read_text(
        machine.edit(SMALL_TEXT, {key.replace("__", "."): value for key, value in values.items()})
    ).machine


@cache
def plans() -> dict[str, Machine]:
    """Return the small mower, one with another pack and cable, and one that carries a trimmer too."""
    pair = machine.edit(
        SMALL_TEXT.replace("\n[source]\n", TRIMMER, 1), {"source.parallel": 4, "job.grass.off": ["trimmer"]}
    )
    return {
        "plain": small(),
        "thick": machine.read_text(machine.edit(SMALL_TEXT, THICK)).machine,
        "with trimmer": machine.read_text(pair).machine,
    }


@cache
def solved(name: str) -> Design:
    return design.solve(plans()[name])


@cache
def drawn() -> Design:
    return design.solve(draws(small(), DRAWS, SEED))


def columns(*names: str) -> list[Column]:
    return [column(name, solved(name)) for name in names]


@pytest.mark.parametrize("name", ["plain", "thick", "with trimmer"])
def test_mean_losses_and_the_work_add_up_to_what_the_cells_give(name: str) -> None:
    (one,) = columns(name)
    total = one.useful + sum(loss.loss for loss in one.losses)
    assert total == pytest.approx(one.source, rel=1e-9)
    assert np.all(one.source > 0.0)


def test_in_every_draw_too() -> None:
    one = column("drawn", drawn())
    total = one.useful + sum(loss.loss for loss in one.losses)
    assert np.shape(total) == (1 + DRAWS,)
    assert total == pytest.approx(one.source, rel=1e-9)


@pytest.mark.parametrize("name", ["plain", "with trimmer"])
def test_a_mean_is_each_states_watts_by_its_share_of_the_time(name: str) -> None:
    """Summed here state by state and chain by chain; the trimmer stands in the grass and costs nothing there."""
    (one,) = columns(name)
    for mean in one.losses:
        by_hand = saved = halved = 0.0
        for state in solved(name).losses:
            for chain in state.chains:
                if mean.chain not in ("", chain.chain.name) or chain.point.tool_speed <= 0.0:
                    continue
                for line, saving in zip(chain.ledger.lines, chain.savings, strict=True):
                    if line.name == mean.name:
                        by_hand += float(state.state.share * line.loss)
                        saved += float(state.state.share * saving.removed)
                        halved += float(state.state.share * saving.halved)
        assert (mean.loss, mean.removed, mean.halved) == pytest.approx((by_hand, saved, halved), rel=1e-9)
    source = sum(
        float(state.state.share * chain.ledger.source)
        for state in solved(name).losses
        for chain in state.chains
        if chain.point.tool_speed > 0.0
    )
    assert one.source == pytest.approx(source, rel=1e-9)


def test_a_column_says_what_its_design_alone_says() -> None:
    found = comparison_record(comparison(columns("plain", "thick")))
    for name, said in zip(("plain", "thick"), found["machines"], strict=True):
        alone = solved(name)
        day = day_record(alone.machine, alone.day, alone.lasts, alone.lowest_charges)
        checked = check_record(alone.machine, alone.evidence, alone.judged)
        assert said["day"].items() <= day.items()
        assert {"lasts_s", "lasts_to_reserve_s", "lasts_reason", "tip_speed_full_m_s"} <= said["day"].keys()
        assert said["pack"] == pack_record(alone.machine, alone.evidence)
        assert [f["slug"] for f in said["findings"]] == [f["slug"] for f in checked["findings"]]
        assert said["stopped"] == checked["stopped"]
        energy, area = float(alone.day.cell_energy), float(alone.day.amount)
        assert said["cell_energy_per_m2_J"] == pytest.approx(energy / area, rel=1e-12)
        costs = {loss["name"]: loss["loss_W"] for loss in said["losses"]}
        assert costs[said["costliest"]] == max(costs.values())


def test_bands_are_those_of_the_draws_alone() -> None:
    sample = Sample(DRAWS, SEED)
    (said,) = comparison_record(comparison([column("drawn", drawn())]), sample)["machines"]
    alone = drawn()
    day = day_record(alone.machine, alone.day, alone.lasts, alone.lowest_charges, sample)
    assert said["day"]["lasts_to_reserve_s"] == day["lasts_to_reserve_s"]
    assert said["source_W"]["low"] < said["source_W"]["typical"] < said["source_W"]["high"]
    typical = comparison_record(comparison(columns("plain")))["machines"][0]
    assert said["source_W"]["typical"] == pytest.approx(typical["source_W"], rel=1e-9)
    assert said["stopped"] == check_record(alone.machine, alone.evidence, alone.judged, (), sample)["stopped"]


def test_links_stand_from_the_tool_to_the_cells_with_their_chain_where_there_are_several() -> None:
    alone, both = comparison(columns("plain", "thick")), comparison(columns("plain", "with trimmer"))
    assert [loss.name for loss in alone.columns[0].losses] == list(alone.links)
    assert both.links[0] == "blade: air round the blade"
    assert "trimmer: motor: copper" in both.links
    assert both.links[-2:] == ("strips", "inside the cells")
    assert len(set(both.links)) == len(both.links)
    assert both.links.index("blade: fuse") < both.links.index("trimmer: motor: copper")


def test_a_union_of_rows_keeps_the_order_of_each() -> None:
    assert in_one_order([["a", "c", "d"], ["a", "b", "d", "e"]]) == ["a", "c", "b", "d", "e"]
    assert in_one_order([["a", "z"], ["b", "c", "z"]]) == ["a", "b", "c", "z"]
    assert in_one_order([]) == []


def test_packs_and_cables_make_no_other_job() -> None:
    assert list(differences([plans()["plain"], plans()["thick"]])) == []


@pytest.mark.parametrize(
    ("values", "address"),
    [
        ({"job__area": "151 m²"}, "job.area"),
        ({"limits__time": "20 min"}, "limits.time_wanted"),
        ({"limits__reserve": 0.2}, "limits.reserve"),
        ({"job__tall grass__sward": "0.5..1 kg/m²"}, "job.tall grass.sward"),
        ({"job__grass__share": 0.7, "job__tall grass__share": 0.3}, "job.grass.share"),
        ({"job__ambient": "30 °C"}, "job.ambient"),
        ({"job__speed": "0.9 m/s"}, "job.travel_speed"),
    ],
)
def test_what_differs_about_the_job_is_named(values: dict[str, object], address: str) -> None:
    other = edited(**values)
    found = {one.address: one for one in differences([small(), other, small()])}
    assert address in found
    first, second, third = found[address].values
    assert first == third != second
    assert found[address].unit
    follows = {"job.area": {"limits.time_wanted"}, "job.grass.share": {"job.tall grass.share"}}
    follows["job.travel_speed"] = {"limits.time_wanted"}
    assert found.keys() == {address} | follows.get(address, set())


def test_other_states_and_other_work_are_named_in_words() -> None:
    renamed = machine.read_text(SMALL_TEXT.replace('"tall grass"', '"nettles"')).machine
    (states,) = differences([small(), renamed])
    assert states == Difference("job.states", "", ("grass, tall grass, turning", "grass, nettles, turning"))
    found = {one.address: one.values for one in differences([small(), plans()["with trimmer"]])}
    assert found == {
        "chains.work": ("blade", "blade, blade"),
        "job.grass": ("under load", "under load, trimmer off"),
    }


def test_what_one_job_does_not_have_is_none_there() -> None:
    fan = machine.read_text(machine.starter("fan")).machine
    found = {one.address: one.values for one in differences([small(), fan])}
    assert found["chains.work"] == ("blade", "fan")
    assert found["job.area"] == (150.0, None)
    assert found["job.width"] == (0.38, None)
    assert "limits.reserve" not in found


def test_a_machine_that_stands_still_is_told_of_and_has_no_costliest_link() -> None:
    stuck = edited(chains__blade__controller__cut_out="41 V")
    one = column("stuck", design.solve(stuck))
    assert [name for name, _ in one.stands] == ["grass", "tall grass", "turning"]
    assert one.source == 0.0
    assert one.costliest is None
    assert np.isnan(one.per_amount)
    (said,) = comparison_record(comparison([one]))["machines"]
    assert said["costliest"] is None
    assert said["cell_energy_per_m2_J"] is None
