"""Where a naive tool goes wrong with wires and fuses: each step taken naively, and what really happens."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from headrace import design, machine
from headrace.findings import Evidence, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.pack import source as pack
from headrace.physics import ampacity, conductors, duty, fusing
from tests.laws.test_wires import found, slugs

FUSE = {"fuse__rating": "50 A", "fuse__kind": "stud-block", "fuse__max_voltage": "58 V"}
WALL = Path(__file__).parents[2] / "examples" / "cider-mill" / "wall.toml"


def test_pitfall_21_the_settled_resistance_hides_half_the_short_circuit() -> None:
    """A value read after ten seconds passes a fuse that the first instant bursts."""
    evidence = found()
    fuse, plan = evidence.fused, evidence.machine
    assert fuse is not None
    warm = np.maximum(plan.limits.ambient_hot, evidence.days.hot.highest_cell_temperature)
    slow = pack.at_length(plan.source, pack.fresh(warm))
    naive = float(fusing.short_circuit_current(slow.open_voltage, slow.resistance))
    real = float(fuse.asked.at_pack)
    assert naive < 0.8 * real
    between = f"{(naive + real) / 2.0:.0f} A"
    assert "fuse-cannot-break" in slugs(found(**FUSE, fuse__breaking_capacity=between))


def test_pitfall_21_the_fuse_that_must_break_the_most_must_open_on_the_least() -> None:
    """Breaking is asked of new, warm, full cells; opening of worn, cold ones at the reserve: an order of magnitude."""
    fuse = found().fused
    assert fuse is not None
    assert float(fuse.asked.at_pack) > 8.0 * float(fuse.asked.least)
    assert "fuse-too-slow" in slugs(found(**{**FUSE, "fuse__rating": "125 A"}))


def of_series(series: int, volts: str) -> Evidence:
    return found(**{**FUSE, "fuse__max_voltage": volts}, source__series=series)


@pytest.mark.parametrize(
    ("series", "volts", "stops"), [(13, "58 V", False), (14, "58 V", True), (10, "32 V", True), (13, "50 V", True)]
)
def test_pitfall_29_volts_are_those_of_the_full_pack(series: int, volts: str, *, stops: bool) -> None:
    """13 in series are 54.6 V when full and 58 V will do; 14 are 58.8 V. Both are 48 V to those who say the nominal."""
    evidence = of_series(series, volts)
    assert ("fuse-too-few-volts" in slugs(evidence)) == stops
    assert evidence.fused is not None
    assert float(evidence.fused.asked.voltage) == pytest.approx(4.2 * series)


def test_pitfall_30_the_same_leads_cost_sixteen_times_as_much_at_a_quarter_of_the_volts() -> None:
    """3 mΩ under a kilowatt: a share of 0.2 % at 48 V, of 2 % at 12 V; in watts 16 times as much."""
    shares, watts = [], []
    for volts in (48.0, 12.0):
        amps = 1000.0 / volts
        drop = conductors.voltage_drop(amps, 3e-3)
        shares.append(float(ampacity.drop_share(drop, volts)))
        watts.append(float(conductors.joule_loss(amps, 3e-3)))
    assert watts == pytest.approx([1.3, 20.8], abs=0.05)
    assert watts[1] / watts[0] == pytest.approx(16.0)
    assert shares[1] / shares[0] == pytest.approx(16.0)


def test_pitfall_32_a_fuse_by_mean_amps_opens_in_the_tall_grass() -> None:
    """The mean over the job passes; the hardest state is more, and is what the fuse is held against."""
    evidence = found()
    fuse, plan = evidence.fused, evidence.machine
    assert fuse is not None
    shares = [state.share for state in plan.job.states]
    mean = float(duty.mean(shares, [evidence.days.new.energy / evidence.days.new.duration / 36.0 for _ in shares]))
    assert mean < 0.8 * float(fuse.least_rating)
    assert "fuse-below-load" in slugs(found(**{**FUSE, "fuse__rating": f"{mean:.0f} A"}))


def test_pitfall_32_a_start_is_held_against_what_melts_the_fuse() -> None:
    """60 A for half a second are 1800 A²s: nothing to a slow fuse of 40 A, half of what melts a quick one of 40."""
    quick, slow = (float(fusing.start_strain(60.0, 0.5, 40.0, melting / 1600.0)) for melting in (3300.0, 8500.0))
    assert [quick, slow] == pytest.approx([1800.0 / 3300.0, 1800.0 / 8500.0])
    assert float(fusing.start_strain(39.0, 600.0, 40.0, 2.0)) == 0.0  # below its rating a fuse never melts


def test_the_full_pack_is_not_the_most_volts_where_it_comes_back_downhill() -> None:
    """What a slope drives back raises the bus above the full pack; the fuse has to break that."""
    downhill = {"job.loaded, uphill.slope": "-8 °", "chains.axle.controller.regenerates": True}
    text = edit(starter("cart"), downhill)
    plan = read_text(text, file="cart.toml").machine
    evidence = design.evidence(plan)
    back = [float(one.descent.bus_voltage) for one in evidence.slopes if one.descent is not None and one.regenerates]
    assert evidence.fused is not None
    assert max(back) > float(evidence.full_voltage)
    assert float(evidence.fused.asked.voltage) == pytest.approx(max(back))
    between = f"{(max(back) + float(evidence.full_voltage)) / 2.0} V"
    fuse = {"fuse.rating": "20 A", "fuse.kind": "blade-large", "fuse.max_voltage": between}
    steep, level = (edit(of, fuse) for of in (text, starter("cart")))
    said = [slugs(design.evidence(read_text(of, file="cart.toml").machine)) for of in (steep, level)]
    assert ["fuse-too-few-volts" in one for one in said] == [True, False]


def test_a_socket_has_a_fuse_of_its_own() -> None:
    evidence = design.evidence(machine.read(WALL).machine)
    assert evidence.fused is None
    assert not {one.slug for one in raised(judge(evidence), ()) if "fuse" in one.slug}


def test_the_weakest_wire_is_the_thinnest_of_the_pack_side() -> None:
    evidence = found(chains__blade__cable__area="4 mm²")
    assert evidence.fused is not None
    assert evidence.fused.asked.wire is not None
    assert float(evidence.fused.asked.wire.area) == pytest.approx(4e-6)
    assert "fuse-above-wire" in slugs(found(**FUSE, chains__blade__cable__area="4 mm²"))
