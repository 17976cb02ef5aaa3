"""Links known by a table of efficiencies: what the table was made with comes back, and the machine works with it."""

from __future__ import annotations

import numpy as np
import pytest

from headrace.drive.converting import loss
from headrace.drive.links import parts
from headrace.errors import MachineFileError
from headrace.machine import read_text, starter
from headrace.machine.links import Controller, Converter, Motor, Transmission
from headrace.machine.reading import Reading
from tests.machines import EXAMPLE, book

GEARS = [["1 N·m", "52 %"], ["4 N·m", "76 %"], ["12 N·m", "85 %"]]


def _rows(*rows: tuple[str, ...]) -> str:
    return "[" + ", ".join("[" + ", ".join(f'"{cell}"' for cell in row) + "]" for row in rows) + "]"


def _winch(gears: str = "", controller: str = "") -> Reading:
    text = starter("winch").replace("ratio = 60 ", f"{gears}\nratio = 60 ")
    return read_text(text.replace('cut_out = "25 V"', f'{controller}\ncut_out = "25 V"'), file="winch.toml")


def test_gears_made_of_two_numbers_come_back() -> None:
    # 88 % of the load and 0.03 N·m at the input of 60: eta = T / (T / 0.88 + 60 * 0.03)
    torques = (5.0, 20.0, 80.0)
    rows = _rows(*((f"{t} N·m", f"{100.0 * t / (t / 0.88 + 60.0 * 0.03):.4f} %") for t in torques))
    plan = _winch(f"efficiencies = {rows}").machine
    (gears,) = (link for link in plan.chains[0].links if isinstance(link, Transmission))
    assert gears.efficiency == pytest.approx(0.88, rel=1e-4)
    assert gears.drag == pytest.approx(0.03, rel=1e-3)
    assert gears.drag_slope == 0.0
    assert plan.pedigree["chains.winch.reduction.efficiency"].basis == "measured"


def test_the_ledger_of_the_machine_finds_the_efficiency_of_the_row_it_works_at() -> None:
    plan = _winch(f"efficiencies = {_rows(('5 N·m', '60 %'), ('20 N·m', '78 %'), ('60 N·m', '83 %'))}").machine
    state = plan.job.states[0]
    line = next(line for line in book(plan, state).lines if line.kind == "gears")
    torque = line.power_out / _tool_speed(plan)
    # straight between the rows it would be this, give or take what three rows and two terms leave
    expected = np.interp(torque, [5.0, 20.0, 60.0], [0.60, 0.78, 0.83])
    assert float(line.power_out / line.power_in) == pytest.approx(float(expected), abs=0.02)


def _tool_speed(plan: object) -> float:
    from tests.machines import point

    return float(point(plan, plan.job.states[0]).tool_speed)  # type: ignore[attr-defined,arg-type]


def test_a_controller_comes_back() -> None:
    rows = _rows(*((f"{i} A", "30 V", f"{100 * 30 * i / (30 * i + 3.0 + 0.004 * i * i):.5f} %") for i in (4, 15, 40)))
    plan = _winch(controller=f"efficiencies = {rows}").machine
    (found,) = (link for link in plan.chains[0].links if isinstance(link, Controller))
    assert (found.idle_power, found.resistance) == pytest.approx((3.0, 0.004), rel=1e-3)


def test_a_motor_comes_back() -> None:
    # the alley mower's: k = 60 / (2 pi 97) V s/rad, 75 mohm, brushes 1 V, drag 0.2 N m, no fan
    k = 60.0 / (2.0 * np.pi * 97.0)
    rows = []
    for rpm, torque in ((2000, 1.0), (3000, 2.0), (3000, 4.0), (3400, 0.5)):
        w = rpm * np.pi / 30.0
        i = (torque + 0.2) / k
        rows.append((f"{rpm} rpm", f"{torque} N·m", f"{100 * torque * w / (i * (k * w + 1.0 + 0.075 * i)):.5f} %"))
    lines = EXAMPLE.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith(("resistance = ", "no_load_current = "))]
    place = next(k for k, line in enumerate(kept) if line.startswith("constant = "))
    plan = read_text("\n".join([*kept[:place], f"efficiencies = {_rows(*rows)}", *kept[place:]])).machine
    (found,) = (link for link in plan.chains[0].links if isinstance(link, Motor))
    assert (found.resistance, found.drag) == pytest.approx((0.075, 0.2), rel=1e-3)


@pytest.mark.parametrize("kind", ["inverter", "dc-dc"])
def test_a_converter_loses_what_its_rows_say(kind: str) -> None:
    powers = (50.0, 300.0, 900.0)
    lost = [8.0 + 0.03 * p + 5e-5 * p * p for p in powers]
    rows = _rows(*((f"{p} W", f"{100 * p / (p + x):.5f} %") for p, x in zip(powers, lost, strict=True)))
    box = f'kind = "{kind}"\npower = "1000 W"\nefficiencies = {rows}\n'
    if kind == "dc-dc":
        text = starter("winch").replace("[source]\n", f'[[chains.links]]\n{box}voltage = "36 V"\n\n[source]\n', 1)
    else:
        text = starter("corded")
        start = text.index('kind = "inverter"')
        text = text[:start] + box + text[text.index("\n\n", start) :]
    plan = read_text(text).machine
    found = parts(plan.chains[0]).converter
    assert isinstance(found, Converter)
    for power, watts in zip(powers, lost, strict=True):
        assert float(loss(found, power, power)) == pytest.approx(watts, rel=1e-3)


def test_a_row_that_goes_with_no_losses_is_asked_about() -> None:
    odd = _winch(f"efficiencies = {_rows(('5 N·m', '60 %'), ('20 N·m', '78 %'), ('60 N·m', '40 %'))}")
    assert any("was it read rightly" in str(doubt) for doubt in odd.doubts)
    assert not _winch(f"efficiencies = {_rows(('5 N·m', '60 %'), ('20 N·m', '78 %'), ('60 N·m', '83 %'))}").doubts


def test_what_the_rows_say_is_said_once() -> None:
    with pytest.raises(MachineFileError, match="is said by efficiencies already"):
        _winch('efficiency = "80 %"\nefficiencies = [["5 N·m", "60 %"], ["20 N·m", "78 %"]]')
