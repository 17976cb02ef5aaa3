"""What a finding is raised against is of that very machine: of its netlist, its shopping list or its cut list."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headrace import design
from headrace.findings import RULES, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.machine.joins import part_of_link, run_of
from tests.findings.test_pages import patch
from tests.wiring.machines import ALL, lists_of, machine

SIDES = ("source", "feed", "motor")
PAPERS = (Path(__file__).parents[2] / "docs" / "papers.md").read_text(encoding="utf-8")
MARKING = re.findall(r"\(findings/([a-z-]+)\.md\)", PAPERS.partition("These stops mark rows:")[2])


@pytest.mark.parametrize("slug", list(RULES))
def test_every_part_that_a_finding_names_is_there(slug: str) -> None:
    example = patch(RULES[slug], "Raised by:")
    plan = read_text(edit(starter(example.pop("starter", "mower")), example)).machine
    found = design.evidence(plan)
    bill, cut = lists_of(plan, found)
    parts = found.netlist.parts if found.netlist is not None else ()
    there = (
        {part.name for part in parts} | {line["name"] for line in bill["lines"]} | {run["name"] for run in cut["runs"]}
    )
    parts_of = {finding.slug: {one.part for one in finding.parts} for finding in raised(judge(found), ())}
    assert set().union(*parts_of.values()) <= there
    if RULES[slug].level == "stop":
        assert bool(parts_of[slug]) == (slug in MARKING)


@pytest.mark.parametrize("name", ALL)
def test_no_run_is_called_as_a_part_is(name: str) -> None:
    plan = machine(name)
    runs = [run_of(chain.name, side) for chain in plan.chains for side in SIDES]
    bill, _ = lists_of(plan)
    parts = {part_of_link(chain.name, link) for chain in plan.chains for link in chain.links}
    assert len(set(runs)) == len(runs)
    assert not set(runs) & (parts | {line["name"] for line in bill["lines"]})
