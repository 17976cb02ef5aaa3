"""From sheets to a PDF: tagged, with its type inside, the same bytes each time."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from headrace.errors import Unprintable
from headrace.paper.sheets.blocks import Block, Drawing, Papers, Sheet, Together
from headrace.paper.svg import alone

if TYPE_CHECKING:
    from typst import Fonts

SIZES = {"A4": "a4", "Letter": "us-letter"}
STANDARD: Literal["ua-1"] = "ua-1"  # a PDF that can be read aloud: tags, titles, words for drawings
MADE_BY = re.compile(rb"(/Creator ?\(|<xmp:CreatorTool>)([^)<]{8,40})(\)|</xmp:CreatorTool>)")
BORN = 0  # s, the date in every file, so that the same plan gives the same bytes
TEMPLATES = files("headrace.paper") / "templates"


def pdf(papers: Papers, machine: str, file: str, size: str) -> bytes:
    """Return papers as a PDF.

    Parameters
    ----------
    papers
        What to set.
    machine, file
        Whose they are, on every sheet.
    size
        A key of ``SIZES``.

    Raises
    ------
    Unprintable
        If anything is missing on them.
    """
    import typst

    given = {
        "title": f"{machine}: {papers.title}",
        "machine": machine,
        "file": file,
        "paper": SIZES[size],
        "over": papers.over,
        "sheets": [_sheet(sheet) for sheet in papers.sheets],
    }
    try:
        printed, warnings = typst.compile_with_warnings(
            (TEMPLATES / "sheets.typ").read_bytes(),
            font_paths=_fonts(),
            format="pdf",
            sys_inputs={"given": json.dumps(given, ensure_ascii=False)},
            pdf_standards=[STANDARD],
            timestamp=BORN,
        )
    except typst.TypstError as trouble:
        raise Unprintable(papers.name, " ".join([trouble.message, *trouble.hints])) from trouble
    if warnings:
        raise Unprintable(papers.name, "; ".join(dict.fromkeys(warning.message for warning in warnings)))
    if not isinstance(printed, bytes):
        raise Unprintable(papers.name, "nothing was set")
    return _signed(printed)


def _signed(printed: bytes) -> bytes:
    """Return a PDF that says it was made by headrace and not by what sets its type; of the same length."""
    return MADE_BY.sub(lambda found: found[1] + b"headrace".ljust(len(found[2])) + found[3], printed)


def _sheet(sheet: Sheet) -> Mapping[str, Any]:
    return {**asdict(sheet), "blocks": [_block(block) for block in sheet.blocks]}


def _block(block: Block) -> Mapping[str, Any]:
    """Return a block as plain data with its kind; a drawing as one that stands by itself."""
    plain = {**asdict(block), "block": type(block).__name__.lower()}
    if isinstance(block, Drawing):
        plain["svg"] = alone(block.svg)
    if isinstance(block, Together):
        plain["blocks"] = [_block(part) for part in block.blocks]
    return plain


@cache
def _fonts() -> Fonts:
    """Return the page's two faces and nothing else, whatever the system has."""
    import font_source_sans_pro as sans
    import font_source_serif_pro as serif
    from typst import Fonts

    faces = (sans.font_files_otf["SourceSansPro"], serif.font_files_otf["SourceSerifPro"])
    folders = [str(Path(face).parent) for face in faces]
    return Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)
