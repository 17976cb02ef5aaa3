"""Each finding's page holds what it must, one patch of it raises it on the starter file, another silences it."""

from __future__ import annotations

import re
import textwrap
import tomllib
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.findings import RULES, Rule, judge, raised
from headrace.findings.finding import LEVELS, above, apart, below
from headrace.machine import edit, read_text, starter

PARTS = (
    "To do:",
    "What is compared:",
    "How it comes about:",
    "Raised by:",
    "Silenced by:",
    "Where it does not hold:",
    "The limit is from:",
)


def patch(rule: Rule, part: str) -> dict[str, Any]:
    """Return the lines under one of the two patches as values by address."""
    page = textwrap.dedent("    " + rule.page)
    block = page.split(f"\n{part}\n")[1].split("\n\n")[0] if f"\n{part}\n" in page else ""
    found: dict[str, Any] = {}
    for line in textwrap.dedent(block).strip().splitlines():
        address, written = line.split(" = ", 1)
        found[address.strip()] = tomllib.loads(f"value = {written}")["value"]
    return found


def slugs(text: str) -> set[str]:
    plan = read_text(text, file="starter.toml").machine
    return {f.slug for f in raised(judge(design.evidence(plan)), ())}


@pytest.mark.parametrize("slug", list(RULES))
def test_the_page_is_whole(slug: str) -> None:
    rule = RULES[slug]
    assert rule.level in LEVELS
    assert rule.source
    starts = [rule.page.index(f"\n    {part}") for part in PARTS]
    assert starts == sorted(starts)
    assert rule.page[: starts[0]].count("\n\n") == 0  # what to do is the second thing it says


@pytest.mark.parametrize("slug", list(RULES))
def test_one_patch_raises_it_and_the_other_silences_it(slug: str) -> None:
    example, cure = patch(RULES[slug], "Raised by:"), patch(RULES[slug], "Silenced by:")
    text = starter(example.pop("starter", "mower"))
    assert example
    assert cure
    ill = edit(text, example)
    assert slug in slugs(ill)
    assert slug not in slugs(edit(ill, cure))


def test_what_lies_on_its_limit_is_past_it_on_neither_side() -> None:
    seven = np.array([0.7 * 10.0, np.nextafter(7.0, 8.0), 7.0 + 1e-7, 7.0 - 1e-7, np.nan, np.inf])
    assert above(seven, 7.0).tolist() == [False, False, True, False, False, True]
    assert below(seven, 7.0).tolist() == [False, False, False, True, False, False]
    assert not above(1e6, np.inf)
    assert not below(1e6, np.nan)


def test_the_way_to_measure_a_number_is_that_number_s_own() -> None:
    page = RULES["assumed-numbers-carry"]
    text = edit(starter("mower"), patch(page, "Raised by:"))
    assert "with the tool taken off" in first_action(text)
    windage = {"value": 0.010, "low": 0.0099, "high": 0.0101, "basis": "measured"}
    throw = {"value": 0.5, "low": 0.1, "high": 1.0, "basis": "assumed"}
    said = first_action(edit(text, {"chains.blade.work.windage": windage, "chains.blade.work.throw_share": throw}))
    assert said.startswith("Measure the blade's throw share first")
    assert "taken off" not in said


def first_action(text: str) -> str:
    """Return what the finding of assumed numbers says to do."""
    found = raised(judge(design.evidence(read_text(text, file="starter.toml").machine)), ())
    return next(finding.action for finding in found if finding.slug == "assumed-numbers-carry")


def test_a_value_is_told_apart_from_its_limit() -> None:
    assert apart(54.9983, 55.0) == ("54.998", "55.000")
    assert apart(52.2, 55.0) == ("52.2", "55.0")
    assert apart(0.12, 0.15) == ("0.12", "0.15")
    assert apart(30.4, 30.6, 0) == ("30", "31")


def test_a_swing_is_told_from_the_less_to_the_more() -> None:
    text = edit(starter("mower"), {"chains.blade.controller.motor_current": "23 A"})
    found = raised(judge(design.evidence(read_text(text, file="starter.toml").machine)), ())
    said = next(finding.says for finding in found if finding.slug == "assumed-numbers-carry")
    bands = [(int(low), int(high)) for low, high in re.findall(r"\((\d+) to (\d+) W\)", said)]
    assert len(bands) == 3
    assert all(low <= high for low, high in bands)
