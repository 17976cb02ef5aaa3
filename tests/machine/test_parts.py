"""A builder's own parts: the same records as the numbers written inline, their sources, and what is refused."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read, read_variants, starter
from headrace.machine.complete_cell import PULSE
from headrace.machine.draws import draws, evenly, quantile
from headrace.machine.links import Motor
from headrace.machine.parts import parts_in
from headrace.machine.reading import Reading
from headrace.machine.records import Machine
from headrace.physics import cells
from headrace.tables import load

CELL = {
    "capacity": '"4.8 Ah"',
    "full_voltage": '"4.15 V"',
    "empty_voltage": '"2.6 V"',
    "nominal_voltage": '"3.65 V"',
    "resistance": '"25 mΩ"',
    "continuous_current": '"9 A"',
    "peak_current": '"14 A"',
    "mass": '"68 g"',
    "diameter": '"21.3 mm"',
    "length": '"70.2 mm"',
    "price": "4.2",
}
MOTOR = {
    "constant": '"110 rpm/V"',
    "resistance": '"90 mΩ"',
    "no_load_current": '"2 A"',
    "magnet": '"neodymium"',
    "rated_power": '"900 W"',
}
SOURCE = "[source]\nseries = 10\nparallel = 4\n"


def table(values: dict[str, str]) -> str:
    return "".join(f"{key} = {value}\n" for key, value in values.items())


def own(kind: str, like: str, values: dict[str, str], name: str = "mine") -> str:
    return f'[[{kind}]]\nname = "{name}"\nlike = "{like}"\n{table(values)}'


def machine_text(cell: str, motor: str) -> str:
    """Return a mower with other lines for its cell and its motor."""
    text = starter("mower")
    head, _, rest = text.partition('kind = "dc-motor"\n')
    _, _, rest = rest.partition("\n[[chains.links]]")
    text = f'{head}kind = "dc-motor"\n{motor}\n[[chains.links]]{rest}'
    head, _, rest = text.partition("[source.cell]\n")
    return f"{head}[source.cell]\n{cell}\n{rest[rest.index('[source.strips]') :]}"


def in_a_folder(folder: Path, text: str, parts: str, called: str = "parts.toml") -> Reading:
    (folder / called).write_text(parts, encoding="utf-8")
    (folder / "mower.toml").write_text(text, encoding="utf-8")
    return read(folder / "mower.toml")


def alike(one: Any, other: Any, at: str = "") -> None:
    """Assert that two records hold the same numbers, but for what a cell is called."""
    if is_dataclass(one):
        for field in fields(one):
            if field.name not in ("pedigree", "worked") and (at, field.name) != ("source.cell", "name"):
                alike(getattr(one, field.name), getattr(other, field.name), f"{at}.{field.name}".lstrip("."))
    elif isinstance(one, tuple):
        assert len(one) == len(other), at
        for first, second in zip(one, other, strict=True):
            alike(first, second, at)
    elif isinstance(one, float | np.ndarray):
        assert np.array_equal(one, other, equal_nan=True), at
    else:
        assert one == other, at


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Machine, Machine]:
    """Return a mower of own parts, and one that says the same numbers itself."""
    parts = own("cells", "energy-21700", CELL) + own("motors", "brushed-36v-medium", MOTOR)
    named = in_a_folder(tmp_path_factory.mktemp("own"), machine_text('shelf = "mine"', 'shelf = "mine"'), parts)
    inline = machine_text(f'shelf = "energy-21700"\n{table(CELL)}', f'shelf = "brushed-36v-medium"\n{table(MOTOR)}')
    said = in_a_folder(tmp_path_factory.mktemp("said"), inline, "")
    return named.machine, said.machine


def test_own_parts_give_the_records_of_the_same_numbers_written_inline(both: tuple[Machine, Machine]) -> None:
    own_parts, inline = both
    assert own_parts.source.cell.name == "mine"
    alike(own_parts, inline)


def test_and_the_same_draws(both: tuple[Machine, Machine]) -> None:
    """A sheet's number and a given one have the same usual band, and draws go by address."""
    own_parts, inline = (draws(plan, 5, 1) for plan in both)
    alike(own_parts, inline)


def test_every_number_of_a_part_says_the_file_and_its_line_and_is_of_a_sheet(both: tuple[Machine, Machine]) -> None:
    pedigree = both[0].pedigree
    for place, key in enumerate(CELL, start=4):
        origin = pedigree[f"source.cell.{key}"]
        assert (origin.basis, origin.source, origin.line) == ("datasheet", f"parts.toml, line {place}", 0), key
    like = pedigree["source.cell.specific_heat"]
    assert (like.basis, like.source) == ("assumed", "memory-cells")
    assert pedigree["chains.blade.motor.constant"].source == f"parts.toml, line {len(CELL) + 7}"


def test_a_part_without_numbers_is_the_one_it_is_like(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    motor = 'shelf = "brushed-36v-medium"'
    mine = in_a_folder(tmp_path / "a", machine_text('shelf = "mine"', motor), own("cells", "lfp-26650", {}))
    alike(mine.machine, in_a_folder(tmp_path / "b", machine_text('shelf = "lfp-26650"', motor), "").machine)


def cell_of(folder: Path, parts: str, more: str = "", called: str = "parts.toml", head: str = "") -> Any:
    text = machine_text(f'shelf = "mine"\n{more}', 'shelf = "brushed-36v-medium"')
    text = text.replace("[machine]\n", f"[machine]\n{head}", 1)
    return in_a_folder(folder, text, parts, called).machine


def test_what_the_machine_file_says_goes_before_the_part(tmp_path: Path) -> None:
    plan = cell_of(tmp_path, own("cells", "energy-21700", CELL), 'mass = "72 g"\n')
    assert plan.source.cell.mass == pytest.approx(0.072)
    assert plan.pedigree["source.cell.mass"].source == "the machine file"
    assert plan.source.cell.resistance == pytest.approx(0.025)


def test_a_file_of_parts_is_named_from_the_machine_files_folder(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    parts = own("cells", "energy-21700", CELL)
    plan = cell_of(tmp_path, parts, called="parts/good.toml", head='parts = "parts/good.toml"\n')
    assert plan.source.cell.capacity == pytest.approx(4.8 * 3600.0)
    assert plan.pedigree["source.cell.capacity"].source == "good.toml, line 4"


def test_measured_numbers_say_so_and_have_the_narrower_band(tmp_path: Path) -> None:
    values = {"basis": '"measured"', "capacity": '"4.8 Ah"', "mass": '{ value = "68 g", basis = "datasheet" }'}
    pedigree = cell_of(tmp_path, own("cells", "energy-21700", values)).pedigree
    capacity, mass = pedigree["source.cell.capacity"], pedigree["source.cell.mass"]
    assert capacity.basis == "measured"
    assert capacity.low / capacity.typical == pytest.approx(0.97)  # the usual band of what is measured
    assert mass.basis == "datasheet"
    assert mass.low / mass.typical == pytest.approx(0.9)


PULSED = {"pulse_current": '"10 A"', "pulse_drop": '"0.4 V"'}


def volts_lost(cell: Any, current: Any) -> Any:
    """Return what a pulse takes from the volts of a cell after ten seconds."""
    slow = zip(cell.slow_resistance, cell.slow_time, strict=True)
    return current * cell.resistance + sum(cells.rc_step(0.0, current, r, t, PULSE) for r, t in slow)


@pytest.mark.parametrize("like", [str(row["name"]) for row in load("cells")])
def test_a_cell_of_a_pulse_test_loses_the_volts_of_the_test(like: str, tmp_path: Path) -> None:
    plan = cell_of(tmp_path, own("cells", like, PULSED))
    cell = plan.source.cell
    assert volts_lost(cell, 10.0) == pytest.approx(0.4, rel=1e-12)
    row = next(row for row in load("cells") if row["name"] == like)
    assert cell.slow_resistance[0] / cell.resistance == pytest.approx(row["slow_resistance_1"] / row["resistance"])
    assert plan.pedigree["source.cell.resistance"].basis in ("datasheet", "assumed")
    assert plan.pedigree["source.cell.pulse_drop"].source == "parts.toml, line 5"


def test_the_draws_of_a_pulse_test_lose_what_they_drew(tmp_path: Path) -> None:
    plan = cell_of(tmp_path, own("cells", "energy-21700", PULSED))
    cell = draws(plan, 20, 1).source.cell
    drop, current = (
        np.append(origin.typical, quantile(origin, evenly(20, 1, origin.address)))
        for origin in (plan.pedigree[f"source.cell.{key}"] for key in ("pulse_drop", "pulse_current"))
    )
    assert np.ptp(drop) > 0.0
    assert volts_lost(cell, current) == pytest.approx(drop)


def test_the_resistance_of_the_machine_file_goes_before_the_pulse_of_the_part(tmp_path: Path) -> None:
    cell = cell_of(tmp_path, own("cells", "energy-21700", PULSED), 'resistance = "30 mΩ"\n').source.cell
    assert cell.resistance == pytest.approx(0.030)


def test_a_block_of_ones_own_is_sized_by_its_capacity(tmp_path: Path) -> None:
    values = {"capacity": '"280 Ah"', "resistance": '"0.2 mΩ"'}
    cell = cell_of(tmp_path, own("cells", "lfp-prismatic", values)).source.cell
    assert cell.resistance == pytest.approx(0.2e-3)  # said
    assert cell.mass == pytest.approx(2.0 * 2.8)  # of its size
    assert cell.slow_resistance[0] == pytest.approx(0.28e-3 / 2.8)
    assert cell.diameter == pytest.approx(0.0894 * 2.8 ** (1.0 / 3.0))


def ready_made(folder: Path, values: dict[str, str]) -> Any:
    label = '[source]\nkind = "ready-made"\ncell = "mine"\nvoltage = "36 V"\ncapacity = "9.6 Ah"\ncurrent = "20 A"\n\n'
    text = machine_text("", 'shelf = "brushed-36v-medium"')
    text = text[: text.index("[source]")] + label + text[text.index("[job]") :]
    return in_a_folder(folder, text, own("cells", "energy-21700", values)).machine.source.cell


def test_a_ready_made_pack_is_sized_by_its_label_from_the_part(tmp_path: Path) -> None:
    """Two cells of 4.8 Ah side by side make the label's 9.6 Ah: twice the mass, half the resistance."""
    cell = ready_made(tmp_path, CELL)
    assert cell.mass == pytest.approx(2.0 * 0.068)
    assert cell.resistance == pytest.approx(0.025 / 2.0)
    assert cell.slow_resistance[0] == pytest.approx(0.0085 * 5.0 / 9.6)  # the shelf's, of 5 Ah
    pulsed = ready_made(tmp_path, {"capacity": '"4.8 Ah"', **PULSED})
    assert volts_lost(pulsed, 20.0) == pytest.approx(0.4)


def test_variants_may_name_own_parts_too(tmp_path: Path) -> None:
    text = machine_text('shelf = "energy-21700"', 'shelf = "brushed-36v-medium"')
    text += '\n[[variants]]\nname = "own"\nset = { "source.cell.shelf" = "mine" }\n'
    reading = in_a_folder(tmp_path, text, own("cells", "energy-21700", CELL))
    assert read_variants(reading)["own"].machine.source.cell.capacity == pytest.approx(4.8 * 3600.0)


def test_a_motor_of_ones_own_keeps_its_words_and_what_is_worked_out(both: tuple[Machine, Machine]) -> None:
    motor = next(link for link in both[0].chains[0].links if isinstance(link, Motor))
    assert motor.magnet_slope == -0.0011  # neodymium
    assert motor.drag == pytest.approx(2.0 * 30.0 / (110.0 * math.pi))


# --- what is refused -------------------------------------------------------------------------------------


def refused(parts: str) -> list[Any]:
    with pytest.raises(MachineFileError) as trouble:
        parts_in(parts, "my-parts.toml")
    return list(trouble.value.problems)


@pytest.mark.parametrize(
    ("text", "line", "key", "limit", "hint"),
    [
        (
            own("cells", "energy-2170", CELL),
            3,
            "cells.mine.like",
            "not one of energy-18650",
            "did you mean energy-21700?",
        ),
        (own("motors", "brushed-36v", {}), 3, "motors.mine.like", "not one of brushed-24v", "did you mean brushed-36v"),
        (
            own("cells", "energy-21700", {}, "power-18650"),
            2,
            "cells[0].name",
            "hides one of the shelf's cells",
            "my-power",
        ),
        (own("cells", "energy-21700", {"mass": '"68 V"'}), 4, "cells.mine.mass", "", ""),
        (own("cells", "energy-21700", {"mass": '"68 kg..70 kg"'}), 4, "cells.mine.mass", "", ""),
        (own("cells", "energy-21700", {"capacty": '"3 Ah"'}), 4, "cells.mine.capacty", "no such key", "capacity?"),
        (own("cells", "energy-21700", {"basis": '"guess"'}), 4, "cells.mine.basis", "not one of datasheet", ""),
        (own("cells", "energy-21700", {"pulse_current": '"5 A"'}), 1, "cells.mine.pulse_drop", "is missing", ""),
        (
            own("cells", "energy-21700", {**PULSED, "resistance": '"3 mΩ"'}),
            6,
            "cells.mine.resistance",
            "says the same as the pulse test",
            "",
        ),
        (
            own("cells", "energy-21700", {"empty_voltage": '"3.9 V"'}),
            4,
            "cells.mine.empty_voltage",
            "must keep empty_voltage at or below nominal_voltage",
            "",
        ),
        (
            own("motors", "brushed-36v-medium", {"drag": '"0.1 N·m"', "no_load_current": '"2 A"'}),
            5,
            "motors.mine.no_load_current",
            "says the same as drag",
            "",
        ),
        (own("cells", "lfp-26650", {}) * 2, 5, "cells[1].name", "stands 2 times in cells", ""),
        ('[[cells]]\nlike = "lfp-26650"\n', 1, "cells[0].name", "is missing", "docs/shelf.md"),
        ('[[cell]]\nname = "a"\nlike = "lfp-26650"\n', 1, "cell", "no such key", "did you mean cells?"),
        ("[[cells]\n", 1, "the file", "is no sound TOML", ""),
    ],
)
def test_a_slip_in_a_file_of_parts_is_told_with_its_line(text: str, line: int, key: str, limit: str, hint: str) -> None:
    (problem,) = refused(text)
    assert (problem.file, problem.line, problem.key) == ("my-parts.toml", line, key)
    assert limit in problem.limit
    assert hint in problem.hint


def test_all_problems_of_both_files_are_told_at_once_those_of_the_machine_file_first(tmp_path: Path) -> None:
    text = edit(machine_text('shelf = "mine"', 'shelf = "brushed-36v-medium"'), {"limits.max_mass": "7 Nm"})
    with pytest.raises(MachineFileError) as trouble:
        in_a_folder(tmp_path, text, own("cells", "energy-21700", {"mass": '"68 V"', "length": '"1 A"'}))
    assert [(problem.file, problem.key) for problem in trouble.value.problems] == [
        ("mower.toml", "limits.max_mass"),
        ("parts.toml", "cells.mine.mass"),
        ("parts.toml", "cells.mine.length"),
    ]
    assert str(trouble.value).startswith("error: mower.toml cannot be used (3 problems)\n")


def test_a_file_of_parts_that_is_not_there_is_told_at_the_line_that_names_it(tmp_path: Path) -> None:
    with pytest.raises(MachineFileError) as trouble:
        cell_of(tmp_path, "", called="other.toml", head='parts = "good.toml"\n')
    (problem,) = trouble.value.problems
    assert (problem.file, problem.key, problem.value) == ("mower.toml", "machine.parts", '"good.toml"')
    text = (tmp_path / "mower.toml").read_text(encoding="utf-8").split("\n")
    assert text[problem.line - 1].startswith("parts =")
    assert problem.limit == "cannot be read: there is no such file"


def test_a_name_that_is_on_no_shelf_lists_ones_own_too(tmp_path: Path) -> None:
    with pytest.raises(MachineFileError) as trouble:
        cell_of(tmp_path, own("cells", "energy-21700", CELL, name="mine-too"))
    (problem,) = trouble.value.problems
    assert problem.key == "source.cell.shelf"
    assert problem.limit.endswith("flooded-12v, mine-too")
    assert problem.hint == "did you mean mine-too?"


def test_the_order_of_volts_is_held_against_ones_own_part(tmp_path: Path) -> None:
    parts = own("cells", "energy-21700", {"nominal_voltage": '"3.3 V"'})
    with pytest.raises(MachineFileError) as trouble:
        cell_of(tmp_path, parts, 'empty_voltage = "3.4 V"\n')  # below the shelf's 3.6 V, above the part's own
    assert [problem.key for problem in trouble.value.problems] == ["source.cell.empty_voltage"]
