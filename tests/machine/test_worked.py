"""Numbers worked out of others follow them: in a draw, at the end of a band, and as a file would have them."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import pytest

from headrace.machine import edit, read_text
from headrace.machine.draws import at_shares, banded, quantile
from headrace.machine.records import Machine
from headrace.machine.values import first_lane, low_drag, some_lanes
from headrace.physics import loads, transmission
from tests.machines import EXAMPLE, alley

TEXT = EXAMPLE.read_text(encoding="utf-8")
BANDED = (
    """
field_efficiency = 0.7
""",
    """
field_efficiency = "0.6..0.8"
""",
)
WORM = """
[[chains.links]]
kind = "worm"
name = "worm"
ratio = 2
lead_angle = "20..28 °"
friction = "0.03..0.08"

[[chains.links]]
kind = "dc-motor"
name = "motor"
"""
MOVED = """
[[chains.links]]
kind = "dc-motor"
name = "motor"
drag_slope = "1e-4..3e-4 N·m·s/rad"
no_load_speed = "3300..3500 rpm"
"""
# every parent of a number that is worked out, and the unit in which its key takes SI
PARENTS = {
    "job.field_efficiency": "",
    "job.travel_speed": "m/s",
    "job.width": "m",
    "chains.blade.work.mass": "kg",
    "chains.blade.work.diameter": "m",
    "chains.blade.motor.no_load_current": "A",
    "chains.blade.motor.constant": "V·s/rad",
    "chains.blade.motor.drag_slope": "N·m·s/rad",
    "chains.blade.motor.no_load_speed": "rad/s",
    "chains.blade.cable.area": "m²",
    "chains.blade.worm.lead_angle": "rad",
    "chains.blade.worm.friction": "",
    "source.gap": "m",
    "source.cell.capacity": "A·s",
}
KEYS = {"job.travel_speed": "job.speed"}


@pytest.fixture(scope="module")
def text() -> str:
    """The example with a band on every number that others are made of."""
    wide = TEXT.replace(*BANDED).replace('\n[[chains.links]]\nkind = "dc-motor"\nname = "motor"\n', MOVED)
    wide = wide.replace('\n[[chains.links]]\nkind = "dc-motor"\nname = "motor"\n', WORM)
    wide = wide.replace('area = "10 mm²"', 'area = "9..11 mm²"').replace('diameter = "42 cm"', 'diameter = "41..43 cm"')
    return wide.replace('speed = "0.8 m/s"', 'speed = "0.7..0.9 m/s"')


def numbers(record: Any, at: str = "") -> dict[str, Any]:
    """Return every number of a record by its place."""
    if is_dataclass(record):
        named = {
            f"{at}.{f.name}": getattr(record, f.name) for f in fields(record) if f.name not in ("pedigree", "worked")
        }
    elif isinstance(record, tuple):
        named = {f"{at}.{place}": part for place, part in enumerate(record)}
    else:
        return {at: record}
    return {place: number for name, part in named.items() for place, number in numbers(part, name).items()}


@pytest.mark.parametrize("address", PARENTS)
def test_a_draw_is_the_machine_of_a_file_with_that_number(text: str, address: str) -> None:
    plan = read_text(text).machine
    origin = banded(plan)[address]
    value = float(quantile(origin, np.array([0.9]))[0])
    drawn = some_lanes(at_shares(plan, {address: np.array([0.9])}), (2,), np.array([1]))
    written = edit(text, {KEYS.get(address, address): f"{value!r} {PARENTS[address]}".strip()})
    expected, found = numbers(read_text(written).machine), numbers(first_lane(drawn))
    for place, number in expected.items():
        if isinstance(number, float):
            assert found[place] == pytest.approx(number, rel=1e-9, nan_ok=True), place


def test_every_number_that_is_worked_out_hangs_on_those_tried(text: str) -> None:
    plan = read_text(text).machine
    made_of = {parent for how in plan.worked.values() for parent in how.parents}
    assert {parent for parent in made_of if parent in banded(plan)} - {"source.cell.diameter"} <= set(PARENTS) | {
        "chains.blade.cable.resistivity",
        "chains.blade.worm.pressure_angle",
        "source.cell.usual_charge_rate",
        "charger.end_share",
    }


def test_a_number_made_of_others_is_not_drawn_itself() -> None:
    plan = alley()
    assert "chains.blade.work.inertia" in plan.worked
    assert not set(banded(plan)) & set(plan.worked)
    assert "chains.blade.work.mass" in banded(plan)


def test_the_band_of_one_parent_is_carried_over_exactly() -> None:
    plan = alley()
    inertia, mass = (plan.pedigree[f"chains.blade.work.{key}"] for key in ("inertia", "mass"))
    assert inertia.low == pytest.approx(float(loads.bar_inertia(mass.low, 0.42)), rel=1e-12)
    assert inertia.high == pytest.approx(float(loads.bar_inertia(mass.high, 0.42)), rel=1e-12)
    assert inertia.basis == mass.basis == "measured"


def test_two_parents_move_it_as_the_root_of_the_sum_of_squares(text: str) -> None:
    plan = read_text(text).machine
    at = {key: plan.pedigree[f"chains.blade.worm.{key}"] for key in ("lead_angle", "friction", "pressure_angle")}
    lead, friction, pressure = (origin.typical for origin in at.values())
    middle = float(transmission.worm_efficiency(lead, friction, pressure))
    up = (
        float(transmission.worm_efficiency(at["lead_angle"].high, friction, pressure)) - middle,
        float(transmission.worm_efficiency(lead, at["friction"].low, pressure)) - middle,
    )
    assert plan.pedigree["chains.blade.worm.efficiency"].high == pytest.approx(middle + float(np.hypot(*up)), rel=1e-12)


def test_shares_of_the_states_add_up_in_every_draw() -> None:
    plan: Machine = read_text(TEXT.replace(*BANDED)).machine
    drawn = at_shares(plan, {"job.field_efficiency": np.array([0.05, 0.95])})
    shares = [np.asarray(state.share) for state in drawn.job.states]
    assert np.sum(shares, axis=0) == pytest.approx(np.ones(3), rel=1e-12)
    assert shares[-1] == pytest.approx([1.0 - plan.job.field_efficiency, 0.4, 0.2], rel=1e-12)


def test_a_machine_that_may_lose_time_has_a_turning_state() -> None:
    whole = TEXT.replace("field_efficiency = 0.7", "field_efficiency = { value = 1.0, low = 0.8, high = 1.0 }")
    without = whole.replace('[[job.states]]\nname = "turning"\nturning = true\n', "")
    plan = read_text(without).machine
    assert [state.share for state in plan.job.states] == pytest.approx([0.75, 0.25, 0.0])
    drawn = at_shares(plan, {"job.field_efficiency": np.array([0.05])})
    assert np.asarray(drawn.job.states[-1].share) == pytest.approx([0.0, 0.2])


def test_the_friction_a_worm_is_made_of_is_not_taken_for_a_drag(text: str) -> None:
    plan = read_text(text).machine
    found, slick = ({link.name: link for link in machine.chains[0].links} for machine in (plan, low_drag(plan)))
    assert slick["worm"].efficiency == found["worm"].efficiency  # type: ignore[union-attr]
    assert slick["motor"].drag_slope < found["motor"].drag_slope  # type: ignore[union-attr]
