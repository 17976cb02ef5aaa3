"""Wires and fuses: two routes to each number, balances, and what must rise with what."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.conductors import loaded_corners
from headrace.findings import Evidence, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.machine.fuse import Fuse
from headrace.machine.links import Cable
from headrace.pack import source as pack
from headrace.pack.strips import joint_resistance
from headrace.physics import ampacity, duty, fusing
from headrace.tables import load
from headrace.wiring.ampacities import RATINGS, listed, strands
from headrace.wiring.conductors import Conductor, Line, conductor
from headrace.wiring.fuse import Asked, Fused, fused, opens_within

COPPER = next(metal for metal in load("metals") if metal["name"] == "copper")
ADIABATIC = load("adiabatic")[0]
SIZES = [row["area"] for row in load("conductors_iec60228_class5")]
HOT = 308.15  # K of the air


@cache
def found(**changes: Any) -> Evidence:
    """Return the evidence of the mower's starter with some keys changed; "__" stands for the point in an address."""
    text = edit(starter("mower"), {key.replace("__", "."): value for key, value in changes.items()})
    return design.evidence(read_text(text, file="mower.toml").machine)


def slugs(evidence: Evidence) -> set[str]:
    return {one.slug for one in raised(judge(evidence), ())}


def a_cable(area: float = 10e-6, rated_by: str = "iec-surface", length: Any = 1.0) -> Cable:
    return Cable("cable", length, area, float(strands(area)), 0.00393, 313.15, rated_by)


def a_line(cable: Cable, *amps: Any, cycle: float = 60.0, voltage: Any = 36.0) -> Line:
    shares = tuple(1.0 / len(amps) for _ in amps)
    return Line("blade", "source", cable, voltage, cycle, shares, amps)


def run(*amps: Any, cycle: float = 60.0, voltage: Any = 36.0, area: float = 10e-6, length: Any = 1.0) -> Conductor:
    return conductor(a_line(a_cable(area, length=length), *amps, cycle=cycle, voltage=voltage), HOT, 0.03)


# --- the wire ----------------------------------------------------------------------------------------


def test_a_cycle_heats_as_it_does_step_by_step() -> None:
    """A body of one time constant, warmed in small steps through many cycles, against the closed form."""
    shares, amps, cycle, constant = [0.2, 0.5, 0.3], [60.0, 10.0, 35.0], 240.0, 150.0
    step, warm, warmest = 0.01, 0.0, 0.0
    for turn in range(20):
        for share, current in zip(shares, amps, strict=True):
            for _ in range(round(share * cycle / step)):
                warm += step / constant * (current**2 - warm)
                warmest = max(warmest, warm) if turn == 19 else warmest
    assert float(ampacity.heating_current(shares, amps, cycle, constant)) == pytest.approx(warmest**0.5, rel=1e-4)


def test_a_short_cycle_heats_as_its_mean_square_and_a_long_one_as_its_peak() -> None:
    shares, amps = [0.25, 0.75], [80.0, 20.0]
    short, long = (float(ampacity.heating_current(shares, amps, cycle, 150.0)) for cycle in (1e-3, 1e6))
    assert short == pytest.approx(float(duty.root_mean_square(shares, amps)), rel=1e-5)
    assert long == pytest.approx(80.0, rel=1e-9)
    between = [float(ampacity.heating_current(shares, amps, cycle, 150.0)) for cycle in (1.0, 60.0, 600.0, 6000.0)]
    assert between == sorted(between)


@pytest.mark.parametrize("name", RATINGS)
def test_a_wire_at_its_ampacity_is_as_warm_as_its_insulation_bears_in_any_air(name: str) -> None:
    """Rise goes with the square of the current: at what it carries in warm air the rise is what is left."""
    line = listed(name, 10e-6)
    for air in (283.15, 303.15, 318.15):
        rise = (line.insulation - line.air) * (line.carries(air) / line.current) ** 2
        assert float(air + rise) == pytest.approx(float(line.insulation), rel=1e-12)


@pytest.mark.parametrize(("amps", "length", "decided"), [(40.0, 0.5, "heat"), (20.0, 8.0, "drop")])
def test_the_size_needed_passes_and_the_next_below_does_not(amps: float, length: float, decided: str) -> None:
    """Worked again by hand for the size found and the one below it."""
    one = run(amps, amps, length=length)
    assert one.decided == decided
    needed = float(one.needed)
    for area, passes in ((needed, True), (SIZES[SIZES.index(needed) - 1], False)):
        row = next(row for row in load("conductors_iec60228_class5") if row["area"] == area)
        ohms = 2.0 * length * row["resistance_20"] * (1.0 + 0.00393 * 20.0)
        table = next(row for row in load("ampacity_iec60364_5_52") if row["area"] == area)
        bears = table["surface"] * ((343.15 - HOT) / 40.0) ** 0.5
        assert ((amps * ohms / 36.0 <= 0.03) and amps <= bears) == passes


def test_more_amps_more_length_and_fewer_volts_never_want_a_thinner_wire() -> None:
    for runs in (
        [run(amps) for amps in (5.0, 20.0, 45.0, 90.0)],
        [run(20.0, length=length) for length in (0.5, 3.0, 9.0, 20.0)],
        [run(20.0, voltage=volts, length=2.0) for volts in (230.0, 48.0, 24.0, 12.0)],
    ):
        sizes = [float(one.needed) for one in runs]
        assert sizes == sorted(sizes)
        assert sizes[0] < sizes[-1]


def test_a_wire_that_no_size_can_be_is_told_as_none() -> None:
    one = run(2000.0)
    assert np.isnan(one.needed)
    assert (one.decided, one.gauge) == ("none", None)


def test_lanes_of_a_wire_are_each_as_alone() -> None:
    amps, length, volts = np.array([12.0, 48.0, 2000.0]), np.array([0.6, 4.0, 1.0]), np.array([36.0, 12.0, 36.0])
    lanes = run(amps, 0.5 * amps, length=length, voltage=volts)
    for k in range(3):
        alone = run(amps[k], 0.5 * amps[k], length=length[k], voltage=volts[k])
        for name in ("heating", "needed", "gauge_area", "by_heat", "by_drop", "loss", "drop"):
            one, other = np.broadcast_to(getattr(lanes, name), 3)[k], getattr(alone, name)
            assert float(one) == pytest.approx(float(other), rel=1e-12, nan_ok=True), name


def test_what_a_cable_loses_is_its_line_in_the_ledger() -> None:
    """In one state alone the loss of the run is that of the ledger's cable, at the same amps."""
    evidence = found()
    wire, plan = evidence.wires[0], evidence.machine
    state = design.losses(plan, evidence.days.new)[0].chains[0]
    line = next(line for line in state.ledger.lines if line.kind == "cable")
    assert float(line.loss) == pytest.approx(float(state.point.battery_current**2 * wire.resistance), rel=1e-9)


def test_a_cable_before_the_controller_carries_the_motors_amps() -> None:
    """At part duty the motor's amps are more than the pack's: the same cable is warmer on that side."""
    leads = '[[chains.links]]\nkind = "cable"\nname = "leads"\nlength = "0.8 m"\narea = "10 mm²"\n\n'
    slow = {"chains.blade.controller.mode": "governed", "chains.blade.controller.speed": "1800 rpm"}
    text = edit(starter("mower"), slow)
    where = text.index('[[chains.links]]\nkind = "controller"')
    evidence = design.evidence(read_text(text[:where] + leads + text[where:], file="mower.toml").machine)
    motor, source = evidence.wires
    assert (motor.side, motor.name, source.side) == ("motor", "leads", "source")
    assert motor.rms > source.rms
    greatest = max(float(point[0].motor_current) for point in loaded_corners(evidence.machine, evidence.days)[1])
    assert float(motor.peak) >= greatest
    assert evidence.fused is not None
    assert evidence.fused.asked.wire is source  # what hangs on the controller's limit is not the fuse's


# --- the short circuit and the fuse --------------------------------------------------------------------


def test_two_routes_to_the_short_circuit() -> None:
    """The stage's one division, and a network of every cell and strip solved node by node."""
    evidence = found()
    plan, fuse = evidence.machine, evidence.fused
    assert fuse is not None
    cell, series, parallel = plan.source.cell, int(plan.source.series), int(plan.source.parallel)
    warm = np.maximum(plan.limits.ambient_hot, evidence.days.hot.highest_cell_temperature)
    volts = float(pack.open_voltage(cell, 1.0))
    ohms = float(cell.resistance * pack.resistance_factor(cell, 1.0, warm))
    strip = float(joint_resistance(replace(plan.source, series=1.0, parallel=1.0), warm))
    conductance, injected = np.zeros((series + 1, series + 1)), np.zeros(series + 1)
    for group in range(series):
        for _ in range(parallel):
            branch = 1.0 / (ohms + strip)
            conductance[group, group] += branch
            conductance[group + 1, group + 1] += branch
            conductance[group, group + 1] -= branch
            conductance[group + 1, group] -= branch
            injected[group] -= volts * branch
            injected[group + 1] += volts * branch
    inner = np.linalg.solve(conductance[1:-1, 1:-1], injected[1:-1])  # both ends held at one potential
    current = injected[-1] - conductance[-1, 1:-1] @ inner
    assert float(fuse.asked.at_pack) == pytest.approx(float(current), rel=1e-9)
    assert float(fuse.asked.far) < float(fuse.asked.at_pack)
    assert float(fuse.asked.least) < 0.3 * float(fuse.asked.far)


def test_the_adiabatic_constant_is_that_of_copper() -> None:
    """K² is heat capacity times (β + 20) over resistivity; of this room's metals it comes out within 0.2 %."""
    heat = COPPER["density"] * COPPER["specific_heat"]
    assert (heat * (ADIABATIC["zero"] + 20.0) / COPPER["resistivity"]) ** 0.5 == pytest.approx(226e6, rel=0.002)
    assert 1.0 / COPPER["temperature_slope"] - 20.0 == pytest.approx(ADIABATIC["zero"], abs=0.1)


def test_a_wire_warms_in_a_short_as_it_does_step_by_step() -> None:
    amps, area, step, warm = 800.0, 6e-6, 1e-5, 303.15
    for _ in range(50_000):
        ohms = COPPER["resistivity"] * (1.0 + COPPER["temperature_slope"] * (warm - 293.15)) / area
        warm += step * amps**2 * ohms / (COPPER["density"] * COPPER["specific_heat"] * area)
    law = fusing.adiabatic_temperature(amps, 0.5, area, 303.15, ADIABATIC["constant"], ADIABATIC["zero"])
    assert float(law) - 303.15 == pytest.approx(warm - 303.15, rel=0.005)  # K of the standard is rounded


def test_the_wire_bears_exactly_the_temperature_its_withstand_says() -> None:
    factor = fusing.adiabatic_factor(343.15, 433.15, ADIABATIC["constant"], ADIABATIC["zero"])
    amps = (fusing.withstand(4e-6, factor) / 2.0) ** 0.5
    hot = fusing.adiabatic_temperature(amps, 2.0, 4e-6, 343.15, ADIABATIC["constant"], ADIABATIC["zero"])
    assert float(hot) == pytest.approx(433.15, rel=1e-12)


@pytest.mark.parametrize("speed", ["quick", "slow"])
def test_a_fuse_opens_by_its_gates_and_sooner_on_more(speed: str) -> None:
    for row in load("fuse_curves"):
        if row["speed"] == speed:
            assert float(opens_within(speed, row["multiple"])) == pytest.approx(row["most_time"], rel=1e-12)
    multiples = np.geomspace(1.35, 60.0, 50)
    times = np.asarray(opens_within(speed, multiples))
    assert np.all(np.diff(times) < 0.0)
    assert np.isinf(opens_within(speed, 1.3))
    assert times[-1] == pytest.approx(float(opens_within(speed, 6.0)) / 100.0, rel=1e-9)


def asked(**changes: Any) -> Asked:
    wire = run(30.0, 20.0)
    plain = Asked(26.0, 31.0, 45.0, 0.8, 42.0, 42.0, 0.03, 1400.0, 2800.0, 1200.0, 110.0, wire.carries, wire)
    return replace(plain, **changes)


@pytest.mark.parametrize(("limit", "past"), [(33, False), (34, True)])
def test_a_motor_s_cable_bears_the_controller_s_limit_by_hand(limit: int, past: bool) -> None:
    """IEC 60364-5-52, B.52.2, method C: 4 mm² bear 36 A in air of 30 °C; in 35 °C √(35/40) of that, 33.7 A."""
    links = [
        {"kind": "dc-motor", "shelf": "brushed-36v-medium"},
        {"kind": "cable", "name": "motor cable", "length": "0.6 m", "area": "4 mm²", "rated_by": "iec-surface"},
        {"kind": "controller", "motor_current": f"{limit} A", "cut_out": "25 V", "max_voltage": "60 V"},
        {"kind": "cable", "length": "0.8 m", "area": "10 mm²"},
    ]
    text = edit(starter("mower"), {"chains.blade.links": links, "limits.ambient_hot": "35 °C"})
    assert ("limit-above-wire" in slugs(design.evidence(read_text(text).machine))) is past


def judged(plan: Fuse | None = None, **changes: Any) -> Fused:
    return fused(asked(**changes), plan, HOT, present=False)


def test_the_fuse_proposed_is_the_least_that_does_all_that_is_asked() -> None:
    one = judged()
    assert one.kind is not None
    row = next(row for row in load("fuses") if row["name"] == one.kind)
    assert one.rating >= one.least_rating
    assert one.start_strain <= one.start_limit
    assert row["voltage"] >= 42.0
    assert row["breaking_current_low"] >= 1400.0
    assert float(one.rating) <= float(judged(rms=40.0, peak=50.0).rating)
    assert judged(at_pack=1e6).kind is None
    assert judged(at_pack=1e6).full is None


def test_lanes_of_a_fuse_are_each_as_alone() -> None:
    rms, peak, least = np.array([26.0, 34.0, 8.0]), np.array([31.0, 44.0, 12.0]), np.array([110.0, 300.0, 40.0])
    lanes = judged(rms=rms, peak=peak, least=least)
    plan = Fuse("stud-block", "pack", 50.0, 58.0, 5000.0)
    with_plan = judged(plan, rms=rms, peak=peak, least=least)
    for k in range(3):
        alone = judged(plan, rms=rms[k], peak=peak[k], least=least[k])
        assert alone.empty is not None
        assert with_plan.empty is not None
        opens, there = np.broadcast_to(with_plan.empty.opens_after, 3)[k], alone.empty.opens_after
        assert float(opens) == pytest.approx(float(there), rel=1e-12)
        hot, burnt = np.broadcast_to(with_plan.empty.temperature, 3)[k], alone.empty.temperature
        assert float(hot) == pytest.approx(float(burnt), rel=1e-12, nan_ok=True)
        assert float(np.broadcast_to(lanes.least_rating, 3)[k]) == pytest.approx(float(alone.least_rating))
    assert np.all(np.asarray(lanes.rating) >= np.asarray(lanes.least_rating))


def test_a_fault_of_few_amps_is_told_apart_from_one_that_burns() -> None:
    plan = Fuse("strip-bolted", "pack", 100.0, 58.0, 2000.0)
    stories = [judged(plan, least=amps).empty for amps in (110.0, 140.0, 1000.0)]
    assert [story and story.becomes for story in stories] == ["never-opens", "melts", "holds"]


# --- the main fuse asks as well -----------------------------------------------------------------------


@pytest.mark.parametrize("name", ["mower", "cart", "winch", "pump", "corded"])
def test_a_cable_of_the_main_line_needs_what_bears_the_main_fuse(name: str) -> None:
    """The greatest of three; and the next smaller size of its table does not carry the fuse, the heat or the volts."""
    evidence = design.evidence(read_text(starter(name)).machine)
    assert evidence.fused is not None
    rating, hot = float(evidence.fused.rating), evidence.machine.limits.ambient_hot
    sources = [wire for wire in evidence.laid if wire.side == "source"]
    assert sources
    for wire in sources:
        area = float(wire.needed)
        assert area == max(float(wire.by_heat), float(wire.by_drop), float(wire.by_fuse))
        assert rating <= float(listed(wire.rated_by, float(wire.by_fuse)).carries(hot)) * (1 + 1e-9)
        below = [size for size in SIZES if size < float(wire.by_fuse)]
        assert not below or float(listed(wire.rated_by, below[-1]).carries(hot)) < rating
        assert (wire.decided == "fuse") == (float(wire.by_fuse) > max(float(wire.by_heat), float(wire.by_drop)))


def test_behind_a_controller_no_fuse_asks() -> None:
    evidence = found()
    behind = [wire for wire in evidence.runs if wire.side != "source"]
    assert behind
    assert all(np.isnan(float(wire.by_fuse)) for wire in behind)


def test_what_a_cable_is_judged_by_does_not_move_with_the_fuse() -> None:
    """Heat and volts lost are of the work: a larger fuse asks for more metal, and makes no wire warmer."""
    small, large = (
        found(**{"fuse.rating": amps, "fuse.kind": "strip-bolted", "fuse.max_voltage": "58 V"})
        for amps in ("50 A", "100 A")
    )
    (one,), (two,) = ([wire for wire in evidence.laid if wire.side == "source"] for evidence in (small, large))
    assert float(two.by_fuse) > float(one.by_fuse)
    assert float(two.heating) == pytest.approx(float(one.heating))
    assert float(two.drop) == pytest.approx(float(one.drop))
    assert float(two.carries) == float(one.carries)


@pytest.mark.parametrize("area", ["1.5 mm²", "10 mm²", "25 mm²"])
def test_one_size_of_main_line_everywhere_and_no_less_than_is_needed(area: str) -> None:
    """The file's own where it is enough, else what is needed: in the netlist, and so in drawing, cut list and bill."""
    evidence = found(**{"chains.blade.cable.area": area})
    assert evidence.netlist is not None
    main = [wire for wire in evidence.netlist.wires if wire.carries == "main"]
    (laid,) = {float(wire.area) for wire in main}
    (least,) = {float(wire.least) for wire in main}
    planned = 1e-6 * float(area.split()[0])
    assert laid == pytest.approx(max(planned, least))
    assert least >= max(float(wire.needed) for wire in evidence.laid if wire.side == "source")
