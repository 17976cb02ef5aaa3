"""The wiring diagram on paper: beside the drawing what it does not say of its parts."""

from __future__ import annotations

from headrace.design.netlist_record import netlist_record
from headrace.findings import Evidence
from headrace.paper.sheets.blocks import Drawing, Words
from headrace.paper.sheets.diagram import diagram
from headrace.paper.words import capital, typical
from tests.machines import evidence_of, repacked


def beneath(evidence: Evidence) -> str:
    """Return the words under the first drawing; "" where there are none."""
    blocks = list(diagram(typical(netlist_record(evidence))).blocks)
    places = [place for place, block in enumerate(blocks) if isinstance(block, Drawing)]
    after = blocks[places[0] + 1 :] if places else []
    return after[0].text if after and isinstance(after[0], Words) else ""


def test_packs_side_by_side_are_said_to_be_several_each_with_its_fuse() -> None:
    said = beneath(repacked("two-finished"))
    assert said.startswith("Pack: stands for 2 finished packs side by side")
    assert "each has a fuse of its own" in said


def test_what_a_part_has_to_do_besides_is_printed_and_nothing_of_the_others() -> None:
    evidence = evidence_of("mower")
    assert evidence.netlist is not None
    told = [part for part in evidence.netlist.parts if part.note]
    assert beneath(evidence) == " ".join(f"{capital(part.name)}: {part.note}." for part in told)
    assert "blade brake relay" in {part.name for part in told}
    assert "Pack: " not in beneath(evidence)
