"""What a finding's page says, put into the words and marks of whoever reads it: page, terminal or file of the docs."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup, escape

from headrace.findings import Rule
from headrace.paper.words import capital

LITERAL = re.compile(r"``(.+?)``", re.DOTALL)
PARTS = {  # how each part of a page opens, and the field of ``Page`` it becomes
    "To do": "to_do",
    "What is compared": "compared",
    "How it comes about": "comes_about",
    "Raised by": "raised",
    "Silenced by": "silenced",
    "Where it does not hold": "exceptions",
    "The limit is from": "limit_from",
}
Patch = tuple[tuple[str, str], ...]
PATCHES = ("raised", "silenced")
STARTER, USUAL = "starter", "mower"  # the line of a patch that is no address, and what it is without
OPENS = re.compile(rf"^({'|'.join(PARTS)}):", re.MULTILINE)


@dataclass(frozen=True)
class Page:
    """A finding's page, part by part.

    Attributes
    ----------
    wrong, to_do, compared, comes_about, exceptions, limit_from
        Sentences on one line, what is to be typed still between double backquotes.
    starter
        Whose file the patches are for.
    raised, silenced
        Addresses and their values, as TOML writes these; the second is written over the first.
    """

    wrong: str
    to_do: str
    compared: str
    comes_about: str
    starter: str
    raised: Patch
    silenced: Patch
    exceptions: str
    limit_from: str


def page_of(rule: Rule) -> Page:
    """Return the page of a finding; its docstring holds every part, in order (tested)."""
    wrong, *rest = OPENS.split(inspect.cleandoc(rule.page))
    parts = {PARTS[title]: said for title, said in zip(rest[::2], rest[1::2], strict=True)}
    sentences = {part: _sentence(said) for part, said in parts.items() if part not in PATCHES}
    raised, silenced = (dict(_lines(parts[part])) for part in PATCHES)
    starter = raised.pop(STARTER, f'"{USUAL}"').strip('"')
    return Page(
        _sentence(wrong), starter=starter, raised=(*raised.items(),), silenced=(*silenced.items(),), **sentences
    )


def _sentence(said: str) -> str:
    """Return a part on one line, opened as a sentence; what opens with something to type is left as it is."""
    line = " ".join(said.split())
    return capital(line)


def _lines(said: str) -> Iterator[tuple[str, str]]:
    """Yield each line of a patch as address and value."""
    for line in said.strip().splitlines():
        address, _, value = line.strip().partition(" = ")
        yield address, value


def plain_text(text: str) -> str:
    """Return a text of a finding for paper: what is to be typed stands like any other word."""
    return LITERAL.sub(r"\1", text)


def quoted(text: str) -> str:
    """Return a text of a docstring for the terminal: what is to be typed stands in plain quotes."""
    return LITERAL.sub(r"'\1'", text)


def coded(text: str) -> Markup:
    """Return a text of a docstring for the page: what is to be typed is set as code."""
    return Markup(LITERAL.sub(r"<code>\1</code>", str(escape(text))))  # noqa: S704 - escaped here


def marked(text: str) -> str:
    """Return a text of a docstring for a file of the docs: what is to be typed is marked as code."""
    return LITERAL.sub(r"`\1`", text)
