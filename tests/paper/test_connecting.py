"""The connecting order in words: a row for each step, with the volts of the record."""

from __future__ import annotations

from headrace.design.netlist_record import netlist_record
from headrace.paper.connecting import connecting
from tests.machines import evidence_of


def test_every_step_has_its_row_and_says_whether_it_is_live() -> None:
    record = netlist_record(evidence_of("mower"))
    rows = connecting(record)
    assert len(rows) == len(record["connecting"])
    for step, (does, cover, reading, differs) in zip(record["connecting"], rows, strict=True):
        assert does.startswith("Live." if step["live"] else "Dead.")
        assert cover == step["cover"]
        assert bool(differs) == bool(reading) == (step["between"] is not None)


def test_the_readings_are_those_of_the_record() -> None:
    record = netlist_record(evidence_of("mower"))
    by_name = dict(zip((step["name"] for step in record["connecting"]), connecting(record), strict=True))
    steps = {step["name"]: step for step in record["connecting"]}
    assert by_name["pack"][2].endswith(f"42.0 V full, {steps['pack']['storage_V']:.1f} V half full")
    assert "4.20 V full" in by_name["sense"][2]
    assert by_name["isolator"][2] == "contactor.out and board.load: 0 V"
    assert by_name["pre-charge"][2].endswith(f"{steps['pre-charge']['full_V']:.1f} V at most")
    assert by_name["charger"][2].endswith(": 42.0 V")
    assert by_name["apart"][2] == ""


def test_without_a_pack_there_is_nothing_to_connect() -> None:
    assert connecting({"connecting": []}) == []
    assert connecting({}) == []
