"""Numbers that move with charge and warmth say on paper in which condition they are told."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from headrace.paper.charging import hours
from headrace.paper.sheets.blocks import Heading, Sheet, Steps, Table, Words
from tests.paper.sheets.test_papers import blocks_of, record, sets

SPEED = re.compile(r"\d (rpm|m/s|l/min)(?!/V)\b")
WARMTH = re.compile(r"\b(cold|warm|hot)\b")
FROM_THE_FILE = ("As the file tells the job", "To be measured first")


def told(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Yield every text that tells a speed, with all that is said over it: of its own row, column and heading."""
    heading = ""
    for block in blocks_of(sheet):
        if isinstance(block, Heading):
            heading = block.text
        elif isinstance(block, Table) and heading not in FROM_THE_FILE:
            columns = " ".join(column.title for column in block.columns)
            yield from ((" ".join(row), f"{heading} {columns}") for row in block.rows)
        elif isinstance(block, Steps):
            yield from ((" ".join([s.does, *(part for pair in s.beside for part in pair)]), "") for s in block.steps)
        elif isinstance(block, Words) and not block.rule:
            yield block.text, ""


@pytest.mark.parametrize("name", ["mower", "pump", "examples/strip-mower.toml", "examples/wood-cart.toml", "wall.toml"])
def test_every_speed_on_paper_says_how_warm_the_motor_is(name: str) -> None:
    found = [
        (sheet.name, text, over)
        for one in sets(name)
        for sheet in one.sheets
        for text, over in told(sheet)
        if SPEED.search(text)
    ]
    assert {"target", "trail", "power-up", "readings", "risks"} <= {name for name, *_ in found}
    for name_, text, over in found:
        assert WARMTH.search(f"{text} {over}"), (name_, text)


def test_the_target_says_which_speeds_its_limits_are_held_against() -> None:
    target = sets("mower")[0].sheets[0]
    asked, of_the_file, *_ = [block for block in blocks_of(target) if isinstance(block, Table)]
    limits = [row[0] for row in of_the_file.rows]
    assert "tip speed, at least, at the reserve with worn cells" in limits
    assert "tip speed, at most, pack full, no load, motor hot" in limits
    (tip,) = [row for row in asked.rows if row[0].startswith("tip")]
    assert re.fullmatch(r"\d+ m/s full, motor cold; \d+ m/s run out, motor warm", tip[2])


def test_the_target_prints_beside_each_limit_the_speed_that_is_held_against_it() -> None:
    """Worn at the reserve and full without a load: the day's own speeds are neither."""
    found = record("mower")
    judged, limits = found["paces"][0], {one["address"]: one for one in found["numbers"]}
    target = sets("mower")[0].sheets[0]
    rows = {row[0]: row[1:] for block in blocks_of(target) if isinstance(block, Table) for row in block.rows}
    least = rows["least tip speed, at the reserve with worn cells, motor warm"]
    most = rows["most tip speed, pack full, no load, motor hot"]
    assert least[1] == f"{judged['tip_speed_slowest_m_s']:.0f} m/s"
    assert most[1] == f"{judged['tip_speed_fastest_m_s']:.0f} m/s"
    assert least[0].startswith(f"{limits['limits.tip_speed_min']['value']:.0f} m/s")
    assert most[0].startswith(f"{limits['limits.tip_speed_max']['value']:.1f}")


def test_the_target_of_the_typical_machine_says_who_tells_how_sure_it_is() -> None:
    words = [block.text for block in blocks_of(sets("mower")[0].sheets[0]) if isinstance(block, Words)]
    (alone,) = [says for says in words if "typical machine alone" in says]
    assert "headrace design tells" in alone


def test_what_never_empties_is_told_without_a_pack() -> None:
    target = sets("wall.toml")[0].sheets[0]
    tables = [block for block in blocks_of(target) if isinstance(block, Table)]
    assert "pack" not in " ".join(cell for table in tables for row in table.rows for cell in row)


def test_numbers_of_a_hazard_have_a_row_and_a_label_each() -> None:
    risks = sets("mower")[0].sheets[-1]
    rows = [row for block in blocks_of(risks) if isinstance(block, Table) for row in block.rows]
    labels = {row[0]: row[1] for row in rows}
    assert labels["release speed of blade, at worst"].endswith("rpm (pack full, no load, motor hot, least friction)")
    assert labels["tip speed of blade"].endswith("m/s (pack full, no load, motor hot)")
    told_of = {n["name"] for one in record("mower")["risks"]["hazards"] for n in one["numbers"]}
    assert told_of <= set(labels)


def test_a_class_is_told_at_which_moment_of_the_day_its_numbers_are() -> None:
    sheets = {sheet.name: sheet for sheet in sets("mower")[1].sheets}
    for name in ("group-work", "group-losses", "group-amps"):
        known = next(block for block in blocks_of(sheets[name]) if isinstance(block, Table))
        assert known.rows[0][1].startswith("in the middle of the day, motors as warm as by then, ")


def test_a_motor_s_constant_is_told_as_its_plate_says_it() -> None:
    """The mower's starter has 87 rpm/V."""
    target = sets("mower")[0].sheets[0]
    rows = [row for block in blocks_of(target) if isinstance(block, Table) for row in block.rows]
    assert [row[1] for row in rows if row[0].endswith("motor's constant")] == ["87.0 rpm/V"]


@pytest.mark.parametrize("name", ["mower", "corded"])
def test_the_day_log_reads_after_the_rest_that_its_full_volts_are_told_at(name: str) -> None:
    log = next(sheet for sheet in sets(name)[0].sheets if sheet.name == "day-log")
    (note,) = [block.text for block in blocks_of(log) if isinstance(block, Words) and "volts at rest" in block.text]
    assert f"{hours(record(name)['pack']['rested_s'])} after the work" in note
