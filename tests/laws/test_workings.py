"""The working behind every number: the computation itself, which recomputes, down to leaves that know their origin."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.bands import Sample
from headrace.design.day_workings import NUMBERS, traced_run
from headrace.design.record import Record, design_record
from headrace.design.workings import addresses, tree, worked_record, working_at
from headrace.errors import NoWorking
from headrace.explore.addressed import PACK, refuse_slips
from headrace.explore.packs import pack_map
from headrace.explore.record import packs_record
from headrace.explore.shares import shares, shares_record
from headrace.explore.working import Workings
from headrace.machine.draws import draws
from headrace.machine.records import Origin
from headrace.machine.values import with_leaves
from headrace.physics import conductors, motors
from headrace.physics.working import LEAVES, Node, Traced, heard, listening
from tests.machines import small, with_pack

# numbers a stage may write down itself: nothing, a half, one, a diameter's two, and guards against dividing by nothing
PLAIN = {0.0, 0.5, 1.0, 2.0, 1e-9, 1e-12}


@cache
def solved() -> design.Design:
    return design.solve(small())


@cache
def worked() -> Record:
    return worked_record(solved())


@cache
def known() -> dict[str, Any]:
    return addresses(worked())


@cache
def numbers() -> dict[str, Any]:
    """Every number but the channels over time, which are leaves."""
    return {a: v for a, v in known().items() if not a.startswith("trace.")}


def leaf(value: float) -> Traced:
    return Traced(Node(value, "given", "a test"))


def test_every_number_of_the_record_has_an_address_and_a_working() -> None:
    assert len(numbers()) > 600
    assert [a for a, v in numbers().items() if not isinstance(v, Traced)] == []
    plain = addresses(design_record(solved()))
    assert plain.keys() == known().keys()
    for address, value in numbers().items():
        assert float(value) == pytest.approx(plain[address], rel=1e-9, abs=1e-12), address


def test_no_leaf_behind_a_window_of_the_charger_or_a_year_is_a_number_without_a_name() -> None:
    def leaves_of(node: Node) -> list[str]:
        return [node.name] if not node.inputs else [name for _, part in node.inputs for name in leaves_of(part)]

    windows = {a: v for a, v in numbers().items() if a.startswith(("charging.windows.", "seasons.ages."))}
    assert len(windows) > 20
    nameless = {a for a, v in windows.items() if any(name.partition(",")[0].isdigit() for name in leaves_of(v.node))}
    assert nameless == set()


def test_every_working_recomputes_to_its_number() -> None:
    for address, value in numbers().items():
        assert value.node.again() == pytest.approx(float(value), rel=1e-12, abs=1e-300), address


def test_no_leaf_is_without_origin() -> None:
    for address, value in numbers().items():
        for node in value.node.all():
            if node.inputs:
                continue
            assert node.kind in LEAVES, (address, node.name)
            if node.kind == "constant":
                assert node.value in PLAIN, (address, node.value)
            if node.kind == "given":
                assert node.origin is not None
                assert node.origin.source


@pytest.mark.parametrize(
    ("address", "law", "key"),
    [
        ("losses.grass.motor-copper.loss", "joule_loss", "chains.blade.motor.resistance"),
        ("losses.grass.air-round-the-blade.loss", "blade_windage_power", "chains.blade.work.windage"),
        ("losses.tall-grass.tip_speed", "tip_speed", "job.tall grass.sward"),
        ("pack.mass", "pack_mass", "source.cell.mass"),
    ],
)
def test_a_working_leads_from_its_law_to_the_key_of_the_file(address: str, law: str, key: str) -> None:
    node = working_at(known(), address)
    assert node is not None
    assert node.name == law
    assert key in {part.origin.address for part in node.all() if part.origin is not None}


def test_a_change_of_a_leaf_moves_the_number_as_the_machine_would() -> None:
    """A working is no story told afterwards: twice the resistance in it is twice the copper loss at the same amps."""
    node = working_at(known(), "losses.grass.motor-copper.loss")
    assert node is not None
    current, resistance = (dict(node.inputs)[name].value for name in ("current", "resistance"))
    assert node.call is not None
    assert node.call([current, 2.0 * resistance]) == pytest.approx(2.0 * node.value, rel=1e-12)


def test_numbers_of_the_day_name_their_instant_and_open_the_point() -> None:
    node = working_at(known(), "day.lasts_to_reserve_s")
    assert node is not None
    assert "opened at" in node.name
    parts = dict(node.inputs)
    assert parts["tool_speed"].kind == "solved"
    assert abs(parts["time"].value - node.value) <= 10.0


def channel(name: str) -> Any:
    """Return a channel of the run to empty, worked steps only."""
    trace = solved().lasts.trace
    assert trace is not None
    return np.asarray(getattr(trace, name))[trace.running.reshape(len(trace.time), -1)[:, 0]].reshape(-1)


@pytest.mark.parametrize(
    ("field", "name"), [("highest_winding", "winding"), ("highest_cell_temperature", "cell_temperature")]
)
def test_the_hottest_opens_the_step_that_leads_to_it(field: str, name: str) -> None:
    """What a channel holds at a step was made by the step before."""
    run = traced_lasts()
    reached = int(np.argmax(np.append(channel(name)[1:], float(getattr(run, field))))) + 1  # by the end of that step
    node = getattr(run, field).node
    inputs = dict(node.inputs)
    assert inputs["time"].value == channel("time")[reached - 1]
    assert inputs[f"{name}_after"].value == pytest.approx(node.value, rel=1e-12)


@cache
def traced_lasts() -> Any:
    plain = solved()
    with listening({}):
        return traced_run(with_leaves(plain.machine), plain.machine, plain.lasts)


@pytest.mark.parametrize("field", list(NUMBERS))
def test_a_number_of_the_day_moves_with_what_was_opened(field: str) -> None:
    """A recomputation that hands back what was held could not fail."""
    node = getattr(traced_lasts(), field).node
    values = [part.value for _, part in node.inputs]
    assert node.call(values) == pytest.approx(node.value, rel=1e-12)
    places = range(len(values))
    moved = [
        node.call([v * (part if k == place else 1.0) for k, v in enumerate(values)])
        for place in places
        for part in (0.9, 1.1)
    ]
    assert any(abs(value / node.value - 1.0) > 1e-9 for value in moved)


@cache
def workings() -> Workings:
    """Return every working of the example, with few draws."""
    return Workings(small(), Sample(8, 1), Sample(2, 1), bases=(2, 4))


def refused(address: str) -> NoWorking:
    with pytest.raises(NoWorking) as trouble:
        workings().at(address)
    assert trouble.value.way_out
    return trouble.value


def test_a_reason_of_the_map_is_worked_out_on_that_pack() -> None:
    node = workings().at("packs.9s6p.too-slow-when-empty.value")
    found = design.evidence(with_pack(small(), 9.0, 6.0))
    assert node.value == pytest.approx(float(found.corners.slowest[0]), rel=1e-9)
    assert origin_of(node, "source.series").typical == 9.0


def test_the_numbers_of_a_candidate_are_worked_out_on_that_pack() -> None:
    nine = design.evidence(with_pack(small(), 9.0, 2.0))
    mass = workings().at("packs.9s2p.mass_kg")
    assert mass.name == "pack_mass"
    assert mass.value == pytest.approx(float(nine.mass), rel=1e-9)
    assert mass.value < workings().at("pack.mass").value
    assert origin_of(mass, "source.series").typical == 9.0
    assert workings().at("packs.9s2p.energy").value == pytest.approx(0.9 * workings().at("pack.energy").value)


def origin_of(node: Node, address: str) -> Origin:
    origin: Origin = next(part.origin for part in node.all() if part.origin and part.origin.address == address)
    return origin


def test_a_reason_that_is_none_is_refused_with_why() -> None:
    assert "goes from 1s1p to 24s20p" in str(refused("packs.99s6p.too-slow-when-empty.value"))
    assert "not on the map" in refused("packs.9s0p.mass").why
    assert "no reason against a pack" in refused("packs.9s6p.blade-coasts.value").why  # nothing a pack is rejected for
    assert "no reason against a pack" in refused("packs.9s6p.no-such-finding.value").why
    held = refused("packs.9s6p.too-heavy.value")
    assert "holds for 9s6p" in held.why
    assert " against 7 kg" in held.why


def test_the_end_of_a_band_is_a_quantile_with_the_typical_working_behind_it() -> None:
    node = workings().at("day.lasts_s.low")
    typical = dict(node.inputs)["typical"]
    assert typical.value == pytest.approx(float(solved().lasts.duration), rel=1e-9)
    assert node.value < typical.value
    assert "8 draws (seed 1)" in node.name


def test_the_end_of_a_band_of_the_file_is_what_the_file_says() -> None:
    address = "chains.blade.motor.constant"
    origin = small().pedigree[address]
    low, high = workings().at(f"{address}.low"), workings().at(f"{address}.high")
    assert (low.value, high.value) == (origin.low, origin.high)
    assert low.value < origin.typical < high.value
    assert low.origin == origin
    assert (origin.basis, origin.source) == ("datasheet", "plate of the motor")
    assert workings().at("job.tall grass.sward.low").value == small().pedigree["job.tall grass.sward"].low


def test_a_number_without_a_band_has_no_ends() -> None:
    assert "has no band" in refused("limits.reserve.low").why
    assert "has no band" in refused("pack.series.high").why  # no draw moves it
    assert "no such number" in refused("day.nonsense.low").why
    alone = Workings(small(), Sample(0, 1), Sample(0, 1))
    with pytest.raises(NoWorking, match="without draws there is no band"):
        alone.at("day.lasts.low")


def test_every_number_of_the_record_of_design_with_draws_resolves() -> None:
    """All of the record but ``workings``, which holds the workings themselves; of the map a sample."""
    sample = Sample(8, 1)
    drawn = draws(small(), 8, 1)
    record = design_record(design.solve(drawn), (), sample)
    record["packs"] = packs_record(pack_map(draws(small(), 2, 1)), Sample(2, 1))
    record |= shares_record(shares(small(), None, 2, 4))
    found = addresses(record, counts=True)
    candidates = [a for a in found if PACK.fullmatch(a)]
    others = [a for a in found if not PACK.fullmatch(a)]
    chosen = np.random.default_rng(3).choice(candidates, 5, replace=False).tolist()
    assert {a.split(".")[0] for a in others} >= {"carries", "carried_by", "sometimes", "draws", "trace", "packs"}
    for address in found:
        refuse_slips(small(), workings().names, address)
    for address in [*others, *chosen]:
        node = workings().at(address)
        assert node.value == pytest.approx(found[address], rel=1e-6, abs=1e-9), (address, node)


def test_counts_of_draws_say_so() -> None:
    outcome = next(a for a in workings().drawn if a.startswith("day.lasts_outcomes."))
    assert workings().at(outcome).name == "share of 8 draws (seed 1)"
    assert "2 draws" in workings().at("packs.10s6p.often").name
    carried = next(a for a in workings().carried if a.startswith("carries.run_time.") and a.endswith(".total"))
    assert workings().at(carried).name == "estimate of the share of variance, 2 base samples, seeds 1 and 2"


def test_an_address_may_go_with_or_without_its_unit_or_be_a_key_of_the_file() -> None:
    assert working_at(known(), "pack.energy_J") is working_at(known(), "pack.energy")
    key = working_at(known(), "chains.blade.work.windage")
    assert key is not None
    assert key.origin.address == "chains.blade.work.windage"
    assert working_at(known(), "losses.grass.nonsense") is None


def test_every_address_resolves() -> None:
    for address in numbers():
        node = working_at(known(), address)
        assert node is not None, address
        assert node.value == float(numbers()[address])


def test_a_tree_is_plain_data_and_opens_nothing_twice() -> None:
    node = working_at(known(), "losses.grass.controller.loss")
    assert node is not None
    text = json.dumps(tree(node), allow_nan=False)
    assert len(text) < 200_000
    assert text.count('"name": "trains.0.current.power"') == 1


def test_nothing_is_noted_while_nobody_listens() -> None:
    plain = conductors.joule_loss(leaf(2.0), 3.0)
    assert float(plain) == 12.0
    assert heard() is None
    with listening({}):
        noted = conductors.joule_loss(leaf(2.0), 3.0)
        assert isinstance(noted, Traced)
        assert dict(noted.node.inputs)["current"].name == "a test"
    assert heard() is None


def test_who_listens_inside_another_hands_back_the_ear() -> None:
    with listening({1: "a curve"}):
        with listening({2: "another"}):
            assert heard() == {2: "another"}
        assert heard() == {1: "a curve"}
        assert law_of_working(conductors.joule_loss(leaf(2.0), 3.0)) == "joule_loss"


def law_of_working(value: Any) -> str | None:
    """Return the law that noted a number; sums of traced numbers are noted without anybody listening."""
    return value.node.name if value.node.kind == "law" else None


def test_a_thread_hears_only_for_itself() -> None:
    with listening({}), ThreadPoolExecutor(1) as other:
        assert other.submit(heard).result() is None
        unheard = other.submit(conductors.joule_loss, leaf(2.0), 3.0).result()
        assert law_of_working(unheard) is None
        assert law_of_working(conductors.joule_loss(leaf(2.0), 3.0)) == "joule_loss"


def test_sums_and_choices_of_traced_numbers_keep_their_working() -> None:
    with listening({}):
        a, b = leaf(2.0), leaf(3.0)
        for value, expected in (
            (a + b, 5.0), (1.0 - a, -1.0), (a * 4.0, 8.0), (1.0 / a, 0.5), (-a, -2.0), (abs(-a), 2.0), (a**2, 4.0),
            (np.maximum(a, b), 3.0), (np.float64(1.0) + a, 3.0), (np.where(a > 1.0, a, 0.0), 2.0),
        ):  # fmt: skip
            assert isinstance(value, Traced), expected
            assert float(value) == expected
            assert value.node.again() == expected


def test_lanes_stay_arrays_beside_a_traced_number() -> None:
    with listening({}):
        lanes = motors.brush_loss(np.array([1.0, 2.0]), leaf(0.5))
    assert type(lanes) is np.ndarray
    assert lanes.tolist() == [0.5, 1.0]
    assert type(leaf(2.0) * np.array([1.0, 2.0])) is np.ndarray


def test_a_traced_number_is_a_number_to_everybody_else() -> None:
    assert json.dumps({"value": leaf(1.5)}) == '{"value": 1.5}'
    assert f"{leaf(1.234):.1f}" == "1.2"
