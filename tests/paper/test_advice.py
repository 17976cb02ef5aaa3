"""A finding's page taken apart: each part whole, in its field, in the words of its reader. House form of findings."""

from __future__ import annotations

import inspect
from dataclasses import fields, replace

import pytest

from headrace.findings import RULES
from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Rule, Verdict
from headrace.paper.advice import PARTS, Page, marked, page_of


def drips(_: Evidence) -> Verdict:
    """The tank drips
    on the belt.

    To do: mend ``tank.seal``, or
    put a tray under it.

    What is compared: drops, which To do: is no part of.

    How it comes about: rubber ages.

    Raised by:
        starter = "saw"
        tank.seal = "old"

    Silenced by:
        tank.seal = "new"
        tank.lid, second.bolts = 4

    Where it does not hold: dry tanks.

    The limit is from: nobody.
    """
    return NOT_HELD


INVENTED = Rule("drips", "note", False, "nobody", drips)


def test_each_part_stands_in_its_field() -> None:
    assert page_of(INVENTED) == Page(
        wrong="The tank drips on the belt.",
        to_do="Mend ``tank.seal``, or put a tray under it.",
        compared="Drops, which To do: is no part of.",
        comes_about="Rubber ages.",
        starter="saw",
        raised=(("tank.seal", '"old"'),),
        silenced=(("tank.seal", '"new"'), ("tank.lid, second.bolts", "4")),
        exceptions="Dry tanks.",
        limit_from="Nobody.",
    )


def test_the_form_names_every_field_but_the_first() -> None:
    assert ["wrong", *PARTS.values()] == [field.name for field in fields(Page) if field.name != "starter"]


@pytest.mark.parametrize("slug", list(RULES))
def test_no_word_of_a_docstring_is_lost(slug: str) -> None:
    rule = RULES[slug]
    page = page_of(rule)
    rejoined = page.wrong
    for title, part in PARTS.items():
        said = getattr(page, part)
        if part == "raised" and page.starter != "mower":
            said = (("starter", f'"{page.starter}"'), *said)
        rejoined += f" {title}: "
        rejoined += said if isinstance(said, str) else " ".join(f"{address} = {value}" for address, value in said)
    assert " ".join(rejoined.split()).lower() == " ".join(inspect.cleandoc(rule.page).split()).lower()


def test_a_page_without_a_part_is_refused() -> None:
    def half(_: Evidence) -> Verdict:
        """The tank drips.

        To do: mend it.
        """
        return NOT_HELD

    with pytest.raises(KeyError, match="raised"):
        page_of(replace(INVENTED, judge=half))


def test_what_is_to_be_typed_is_marked_for_a_file_of_the_docs() -> None:
    assert marked("as ``a.b``, or ``c =\n1``") == "as `a.b`, or `c =\n1`"
