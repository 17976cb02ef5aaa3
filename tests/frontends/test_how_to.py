"""The how-to pages say what the program says: commands exist, keys are taken, quoted lines are printed."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from click.testing import CliRunner

from headrace.frontends.cli.main import main
from headrace.machine import STARTERS, edit, read_text, starter

ROOT = Path(__file__).parents[2]
PAGES = sorted((ROOT / "docs" / "how-to").glob("*.md"))
KINDS = [page for page in PAGES if page.stem != "README"]
NO_STARTER = {"wall-socket": "wall", "several-chains": "wood-cart"}  # pages about a file among the examples
ASKED = re.compile(r"^\$ headrace (\S+) .*", re.MULTILINE)
QUOTED = re.compile(r"^\$ headrace (?P<verb>\S+) (?P<file>\S+) --draws 0\n(?P<lines>(?:[^$`\n].*\n)+)", re.MULTILINE)
KEY = re.compile(r"^\| `(?P<address>[^`]+)` \| `(?P<value>[^`]+)` \|", re.MULTILINE)
LINK = re.compile(r"\]\(([^)]+)\)")


def text_of(stem: str) -> str:
    """Return a starter, or an example where there is none of the name."""
    return starter(stem) if stem in STARTERS else next(ROOT.glob(f"examples/**/{stem}.toml")).read_text("utf-8")


@cache
def printed(verb: str, file: str) -> list[str]:
    there = Path(mkdtemp()) / file
    there.write_text(text_of(there.stem), encoding="utf-8")
    result = CliRunner().invoke(main, [verb, str(there), "--draws", "0"])
    assert result.exit_code == 0, result.stderr
    return result.stdout.splitlines()


QUOTES = [(page.stem, *found.groups()) for page in KINDS for found in QUOTED.finditer(page.read_text("utf-8"))]


@pytest.mark.parametrize(("verb", "file", "lines"), [q[1:] for q in QUOTES], ids=[f"{q[0]}-{q[1]}" for q in QUOTES])
def test_every_quoted_line_is_printed(verb: str, file: str, lines: str) -> None:
    said = printed(verb, file)
    assert [line for line in lines.splitlines() if line not in said] == []


@pytest.mark.parametrize("page", KINDS, ids=lambda page: page.stem)
def test_every_key_of_a_page_is_one_the_file_takes(page: Path) -> None:
    keys = {
        found["address"]: tomllib.loads(f"x = {found['value']}")["x"] for found in KEY.finditer(page.read_text("utf-8"))
    }
    assert len(keys) >= 5
    text = text_of(NO_STARTER.get(page.stem, page.stem))
    changed = edit(text, keys)
    read_text(changed, file=f"{page.stem}.toml")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_command_and_every_link_of_a_page_exists(page: Path) -> None:
    text = page.read_text("utf-8")
    assert {found[1] for found in ASKED.finditer(text)} <= set(main.commands)
    assert [link for link in LINK.findall(text) if not (page.parent / link).exists()] == []
    assert "local codes and licensed practice come" in " ".join(text.split()).lower()


def test_every_starter_has_its_page_and_every_page_quotes_something() -> None:
    assert {page.stem for page in KINDS} >= set(STARTERS)
    assert {quote[0] for quote in QUOTES} == {page.stem for page in KINDS}
    index = (ROOT / "docs" / "how-to" / "README.md").read_text("utf-8")
    assert all(f"({page.name})" in index for page in KINDS)
