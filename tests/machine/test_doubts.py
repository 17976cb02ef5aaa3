"""What is asked about, and what is said back in other words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from headrace.machine import edit, read_text

TEXT = (Path(__file__).parent / "plan.toml").read_text(encoding="utf-8")
RATED, IDLE = "chains.blade.motor.rated_power", "chains.blade.controller.idle_power"


def asked(changes: dict[str, Any]) -> list[str]:
    """Return what is asked, key and words; the file is used all the same."""
    return [f"{doubt.key}: {doubt.limit} {doubt.hint}" for doubt in read_text(edit(TEXT, changes)).doubts]


def cell(**keys: str) -> dict[str, Any]:
    return {"source.cell": {"shelf": "energy-21700", **keys}}


def test_a_sound_file_raises_no_doubt() -> None:
    assert asked({}) == []
    assert asked(cell(capacity="4.9 Ah", energy="17.6 Wh")) == []


def test_parallel_counted_into_amp_hours_and_count_is_asked_about() -> None:
    (said,) = asked(cell(capacity="30 Ah"))
    assert said.startswith("source.cell.capacity: is about 6 cells' worth")
    assert said.endswith('write "5 Ah"')
    (said,) = asked(cell(capacity="12 Ah"))
    assert "2.4 times that of the shelf's energy-21700" in said
    assert asked({**cell(capacity="12 Ah"), "source.parallel": 1})


def test_a_label_that_does_not_go_with_the_capacity_is_asked_about() -> None:
    (said,) = asked(cell(energy="15.1 Wh"))
    assert said.startswith("source.cell.energy: does not go with capacity times nominal voltage, 18 Wh")
    assert asked(cell(energy="18.5 Wh")) == []


def test_a_time_that_does_not_go_with_the_area_is_asked_about() -> None:
    (said,) = asked({"limits.time": "2 h"})
    assert said.startswith("limits.time: but the area takes 47 min")
    assert asked({"limits.time": "50 min"}) == []


def test_a_doubt_names_its_line_and_what_is_written() -> None:
    text = edit(TEXT, {"limits.time": "2 h"})
    (doubt,) = read_text(text, "mower.toml").doubts
    assert str(doubt).startswith(f'  mower.toml:{doubt.line}  limits.time = "2 h"\n')
    assert text.split("\n")[doubt.line - 1] == 'time = "2 h"'


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, f"{RATED}: 1000 W, that is 1.34 hp: 43 % of a socket of 230 V and 10 A"),
        ({RATED: "1.5 hp"}, f"{RATED}: 1.5 hp, that is 1,119 W: 49 % of a socket of 230 V and 10 A"),
        ({RATED: "5 kW"}, f"{RATED}: 5 kW, that is 6.71 hp: 2.2 times that of a socket of 230 V and 10 A"),
        (cell(energy="18 Wh"), "source.cell.energy: 18 Wh, that is 64.8 kJ: 0.18 times boiling a litre of water"),
        (
            cell(capacity="18000 A·s"),
            "source.cell.capacity: 18000 A·s, that is 5 Ah: 10 % of a small car's starter battery",
        ),
        ({RATED: "2295 W"}, f"{RATED}: 2295 W, that is 3.08 hp: 1 times that of a socket of 230 V and 10 A"),
        ({IDLE: "3 W"}, f"{IDLE}: 3 W, that is 0.00402 hp: 0.13 % of a socket of 230 V and 10 A"),
    ],
)
def test_energies_charges_and_powers_are_said_back_once(changes: dict[str, Any], said: str) -> None:
    lines = read_text(edit(TEXT, changes)).said_back
    assert lines.count(said) == 1
    assert len(lines) == len({line.split(":")[0] for line in lines})


def test_the_power_of_a_state_is_said_back_too() -> None:
    text = TEXT.replace('sward = "0.18..0.45 kg/m²"', 'power = "400 W"')
    assert "job.grass.power: 400 W, that is 0.536 hp: 17 % of a socket of 230 V and 10 A" in read_text(text).said_back
