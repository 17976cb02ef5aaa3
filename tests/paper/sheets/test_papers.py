"""The papers of real machines: complete, set as they should be, and with no number that the record lacks."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from headrace import design, machine
from headrace.design.record import design_record
from headrace.errors import Unprintable
from headrace.explore.packs import pack_map
from headrace.explore.record import packs_record
from headrace.machine import STARTERS
from headrace.paper import words
from headrace.paper.sheets import OVER, STOPPED, papers
from headrace.paper.sheets.blocks import (
    WRITE,
    Blanks,
    Block,
    Drawing,
    Heading,
    Papers,
    Sheet,
    Steps,
    Table,
    Together,
    Words,
)
from headrace.paper.sheets.setting import SIZES, pdf

Record = dict[str, Any]
OF_A_PACK = ("diagram", "connecting", "charging", "facts")  # of what never empties nothing would stand on them
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").rglob("*.toml"))
MACHINES = [*STARTERS, *(str(path.relative_to(path.parents[2])) for path in EXAMPLES)]
MM = 72.0 / 25.4  # points
PAPER = {"A4": (210.0 * MM, 297.0 * MM), "Letter": (8.5 * 72.0, 11.0 * 72.0)}  # ISO 216; ANSI Y14.1


@cache
def record(name: str) -> Record:
    """Return the record of an example or a starter as it stands in results.json."""
    plan = (
        machine.read_text(machine.starter(name), file=f"{name}.toml").machine
        if name in STARTERS
        else machine.read(next(path for path in EXAMPLES if str(path).endswith(name))).machine
    )
    found = design_record(design.solve(plan))
    found["packs"] = None if plan.source.endless else packs_record(pack_map(plan))
    read: Record = json.loads(json.dumps(found))
    return read


@cache
def sets(name: str) -> tuple[Papers, ...]:
    return papers(record(name))


def blocks_of(sheet: Sheet) -> Iterator[Block]:
    for block in sheet.blocks:
        yield from block.blocks if isinstance(block, Together) else [block]


def said(sheet: Sheet) -> Iterator[str]:
    """Yield every piece of text that a sheet holds outside its drawings; what is left for the pen is none."""
    yield from (sheet.title, sheet.says)
    for block in blocks_of(sheet):
        if isinstance(block, Heading | Words):
            yield block.text
        elif isinstance(block, Table):
            yield from (column.title for column in block.columns)
            yield from (cell for row in block.rows for cell in row if cell != WRITE)
        elif isinstance(block, Steps):
            for step in block.steps:
                yield step.does
                yield from (part for pair in step.beside for part in pair)
        elif isinstance(block, Blanks):
            yield from block.names
        elif isinstance(block, Drawing):
            yield block.says


# --- complete ----------------------------------------------------------------------------------------

NOTHING = re.compile(r"^\s*[–-]?\s*$|\bNone\b|\bnan\b|\binf\b|–(?=[ ,.;]|$)(?<! –)")


@pytest.mark.parametrize("name", MACHINES)
def test_no_field_is_empty(name: str) -> None:
    for one in sets(name):
        for sheet in one.sheets:
            assert sheet.blocks, sheet.name
            for text in said(sheet):
                assert not NOTHING.search(text), (one.name, sheet.name, text)


SHEETS = (
    "target", "trail", "diagram", "shopping", "cutting", "assembly", "power-up", "connecting", "readings", "day-log",
    "charging", "season", "facts", "risks",
)  # fmt: skip


@pytest.mark.parametrize("name", MACHINES)
def test_every_machine_has_every_sheet(name: str) -> None:
    papers_, lessons, teacher = ([sheet.name for sheet in one.sheets] for one in sets(name))
    pack = words.empties(record(name)["pack"])
    assert tuple(papers_) == tuple(sheet for sheet in SHEETS if pack or sheet not in OF_A_PACK)
    assert lessons[0] == "lesson-plan"
    assert lessons[-1] == "gathering"
    groups = [name for name in lessons if name.startswith("group-")]
    assert {"group-work", "group-losses"} <= set(groups)
    assert len(groups) == len(set(groups)) == len(lessons) - 2
    assert teacher == (["answers", "without-cells"] if pack else ["answers"])


@pytest.mark.parametrize("name", MACHINES)
def test_every_row_of_a_table_fills_its_columns(name: str) -> None:
    tables = [b for one in sets(name) for sheet in one.sheets for b in blocks_of(sheet) if isinstance(b, Table)]
    assert tables
    assert all(len(row) == len(table.columns) for table in tables for row in table.rows)
    assert all(table.rows for table in tables)


# --- no number of their own --------------------------------------------------------------------------

# A number on paper with its unit, and the endings of the names under which the record may hold it.
UNITS = {
    "V": "_V", "mV": "_V", "A": "_A", "mA": "_A", "W": "_W", "kW": "_W", "Wh": "_J", "J": "_J", "kg": "_kg",
    "g": "_kg", "Ω": "_ohm", "mΩ": "_ohm", "min": "_s", "h": "_s", "s": "_s", "ms": "_s", "µs": "_s", "rpm": "_rad_s",
    "m/s": "_m_s", "°C": "_K", "mm²": "_m2", "m²": "_m2", "mm": "_m", "cm": "_m", "m": "_m", "N·m": "_N_m",
    "Ah": "_A_s",
}  # fmt: skip
SCALE = {
    "mV": 1e3, "mA": 1e3, "kW": 1e-3, "Wh": 1 / 3600, "g": 1e3, "mΩ": 1e3, "min": 1 / 60, "h": 1 / 3600, "ms": 1e3,
    "µs": 1e6, "rpm": words.RPM, "mm²": 1e6, "mm": 1e3, "cm": 1e2, "Ah": 1 / 3600,
}  # fmt: skip
ANY = "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True))
WORN = re.compile(rf"(?<![\w.,-])([−-]?\d+(?:\.\d+)?) ({ANY})(?![\w/²³·])")
ENDINGS = {"s": "_s", "W": "_W", "K": "_K", "rad/s": "_rad_s", "kg": "_kg", "m": "_m", "m/s": "_m_s", "m²": "_m2",
           "V": "_V", "A": "_A", "Ω": "_ohm", "J": "_J", "A·s": "_A_s", "N·m": "_N_m"}  # fmt: skip


def leaves(part: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every number and every text of a record with the name it stands under."""
    if isinstance(part, dict):
        if set(part) >= {"address", "value", "unit"}:  # a number of the file carries its unit beside it
            yield ENDINGS.get(part["unit"], ""), part["value"]
        for name, value in part.items():
            yield from leaves(value, key if name in ("typical", "low", "high") else name)
    elif isinstance(part, list):
        for value in part:
            yield from leaves(value, key)
    elif part is not None and not isinstance(part, bool):
        yield key, part


def unknown(text: str, numbers: list[tuple[str, float]], quotes: str) -> list[str]:
    """Return the numbers with a unit in a text that no number of the record rounds to, and no text of it says."""
    return [
        f"{digits} {unit}"
        for digits, unit in WORN.findall(text)
        if not re.search(rf"(?<![\w.,-]){re.escape(f'{digits} {unit}')}(?!\w)", quotes)
        and not _held(digits, unit, numbers)
    ]


def _held(digits: str, unit: str, numbers: list[tuple[str, float]]) -> bool:
    shift = -273.15 if unit == "°C" else 0.0
    half, worn = 0.5001 * 10.0 ** -len(digits.partition(".")[2]), float(digits.replace("−", "-"))
    return any(
        name.endswith(UNITS[unit]) and abs(value * SCALE.get(unit, 1.0) + shift - worn) <= half
        for name, value in numbers
    )


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize(
    "scale", [pytest.param(1.0, marks=pytest.mark.campaign), 1.173, pytest.param(0.871, marks=pytest.mark.campaign)]
)
def test_every_number_with_a_unit_is_one_of_the_record(name: str, scale: float) -> None:
    """A number typed in may be one of the record by chance, but not of the same record moved twice as well."""
    moved = scaled(record(name), scale)
    found = list(leaves({key: part for key, part in moved.items() if key not in CROWDS}))
    numbers = [(key, float(value)) for key, value in found if isinstance(value, int | float)]
    quotes = " ".join(value for _, value in found if isinstance(value, str))
    for one in papers(moved):
        for sheet in one.sheets:
            for text in said(sheet):
                assert not unknown(text, numbers, quotes), (sheet.name, text)


CROWDS = ("trace", "packs")  # so many numbers that nearly any would be among them; no sheet shows one


def scaled(part: Any, by: float) -> Any:
    """Return a record with every number that is no count moved."""
    if isinstance(part, dict):
        return {key: scaled(value, by) for key, value in part.items()}
    if isinstance(part, list):
        return [scaled(value, by) for value in part]
    return part * by if isinstance(part, float) and not part.is_integer() else part


def test_a_number_of_its_own_would_be_found() -> None:
    numbers, quotes = [("voltage_V", 42.0), ("time_s", 90.0)], "it takes 3 s"
    assert unknown("42.0 V, 1.5 min, 3 s", numbers, quotes) == []
    assert unknown("42.1 V and 3 min and 4 s and 90 J", numbers, quotes) == ["42.1 V", "3 min", "4 s", "90 J"]


def test_the_papers_are_made_of_nothing_but_the_record() -> None:
    moved = json.loads(json.dumps(record("mower")))
    moved["pack"]["rest"][0]["voltage_V"] = 987.6
    texts = [text for one in papers(moved) for sheet in one.sheets for text in said(sheet)]
    assert any("987.6 V" in text for text in texts)


def test_no_sheet_of_a_plan_with_a_stop_leaves_it_unsaid() -> None:
    stopped = json.loads(json.dumps(record("mower")))
    stopped["findings"].append({**stopped["findings"][0], "level": "stop"})
    for plan, says in ((record("mower"), False), (stopped, True)):
        for one in papers(plan):
            assert all(any(STOPPED in text for text in said(sheet)) is says for sheet in one.sheets)


# --- as PDF ------------------------------------------------------------------------------------------


@cache
def opened(name: str, which: int, size: str) -> PdfReader:
    one = sets(name)[which]
    return PdfReader(io.BytesIO(pdf(one, record(name)["machine"], record(name)["file"], size)))


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["mower", "corded", "examples/wood-cart.toml"])
def test_pages_are_of_their_size_and_say_what_the_sheets_say(name: str, size: str) -> None:
    for which, one in enumerate(sets(name)):
        reader = opened(name, which, size)
        sizes = {tuple(sorted((float(p.mediabox.width), float(p.mediabox.height)))) for p in reader.pages}
        assert [pytest.approx(side, abs=0.5) for side in PAPER[size]] == list(*sizes)
        printed = squeezed("".join(page.extract_text() for page in reader.pages))
        for sheet in one.sheets:
            assert squeezed(sheet.title) in printed
            for block in blocks_of(sheet):
                if isinstance(block, Table):
                    figures = [c for row in block.rows for c in row if WORN.fullmatch(c)]
                    assert all(squeezed(figure) in printed for figure in figures), sheet.name


def test_every_page_of_a_plan_with_a_stop_says_so_and_none_of_another() -> None:
    stopped = json.loads(json.dumps(record("mower")))
    stopped["findings"].append({**stopped["findings"][0], "level": "stop"})
    for plan, says in ((record("mower"), False), (stopped, True)):
        for one in papers(plan):
            pages = PdfReader(io.BytesIO(pdf(one, "A", "a.toml", "A4"))).pages
            assert all((squeezed(OVER) in squeezed(page.extract_text())) is says for page in pages)


def test_pages_are_tagged_and_their_type_is_inside() -> None:
    for which in range(len(sets("mower"))):
        reader = opened("mower", which, "A4")
        root: Any = reader.trailer["/Root"]
        assert bool(root["/MarkInfo"]["/Marked"])
        assert root["/StructTreeRoot"]["/K"]
        assert root["/Lang"] == "en"
        assert reader.metadata is not None
        assert str(reader.metadata.creator).strip() == "headrace"
        assert reader.xmp_metadata is not None
        assert str(reader.xmp_metadata.xmp_creator_tool).strip() == "headrace"
        resources: list[Any] = [page["/Resources"] for page in reader.pages]
        faces = [font for one in resources for font in one.get("/Font", {}).values()]
        assert faces
        for face in faces:
            inner = face.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            assert any(key in inner for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            assert re.search("SourceS(ans|erif)Pro", inner["/FontName"])


def test_the_same_plan_gives_the_same_bytes() -> None:
    one = sets("mower")[0]
    assert pdf(one, "A", "a.toml", "A4") == pdf(one, "A", "a.toml", "A4")


def test_a_letter_the_type_lacks_is_refused_and_not_left_out() -> None:
    with pytest.raises(Unprintable, match="papers cannot be printed"):
        pdf(sets("mower")[0], "草刈機", "a.toml", "A4")


# --- the page about them -----------------------------------------------------------------------------

PAGE = (Path(__file__).parents[3] / "docs" / "papers.md").read_text("utf-8")
COUNTS = {"fourteen": 14}


def test_the_page_about_the_papers_names_every_sheet_for_the_bench_in_order() -> None:
    bench = PAGE.split("## The papers for the bench")[1].split("\n## ")[0]
    titles = [sheet.title for sheet in sets("mower")[0].sheets]
    assert re.findall(r"^\| ([A-Z][^|]*?) \|", bench, re.MULTILINE) == titles
    said_there = re.search(r"(\w+) sheets, from the target to the risks", PAGE)
    assert said_there
    assert COUNTS[said_there[1]] == len(titles)


def test_the_page_about_the_papers_names_every_file_and_every_question_of_a_class() -> None:
    files = {f"{one.name}-{size}.pdf" for one in sets("mower") for size in SIZES}
    assert set(re.findall(r"`([\w-]+\.pdf)`", PAGE)) == files
    groups = [sheet.name.removeprefix("group-") for sheet in sets("mower")[1].sheets if "group-" in sheet.name]
    assert ", ".join(groups) in " ".join(PAGE.split())
    assert sets("mower")[1].sheets[0].title in PAGE
    assert sets("mower")[2].sheets[1].title in PAGE


def test_the_page_about_the_papers_leads_somewhere_and_puts_local_rules_first() -> None:
    linked = re.findall(r"\]\(([^)]+)\)", PAGE)
    assert len(linked) > 5
    assert [link for link in linked if not (Path(__file__).parents[3] / "docs" / link).exists()] == []
    assert "Local codes and licensed practice come before anything printed there." in " ".join(PAGE.split())
