"""What a finding's page says, put into the words and marks of whoever reads it: page or terminal."""

from __future__ import annotations

import inspect
import re

from markupsafe import Markup, escape

from headrace.findings import RULES

LITERAL = re.compile(r"``(.+?)``", re.DOTALL)
TO_DO = re.compile(r"^To do: (.+?)(?:\n\s*\n|\Z)", re.DOTALL | re.MULTILINE)


def quoted(text: str) -> str:
    """Return a text of a docstring for the terminal: what is to be typed stands in plain quotes."""
    return LITERAL.sub(r"'\1'", text)


def coded(text: str) -> Markup:
    """Return a text of a docstring for the page: what is to be typed is set as code."""
    return Markup(LITERAL.sub(r"<code>\1</code>", str(escape(text))))  # noqa: S704 - escaped here


def to_do(slug: str) -> str:
    """Return what the page of a finding tells to do, as a sentence; "" for one this version does not know."""
    found = TO_DO.search(inspect.cleandoc(RULES[slug].page)) if slug in RULES else None
    if found is None:
        return ""
    said = " ".join(found[1].split())
    return said[:1].upper() + said[1:]
