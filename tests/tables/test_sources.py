"""Every number has a source, and every source is used."""

from __future__ import annotations

from importlib.resources import files

import pytest

from headrace.tables import load, sources

TABLES = sorted(f.name.removesuffix(".csv") for f in files("headrace.tables").iterdir() if f.name.endswith(".csv"))


def test_the_room_holds_these_tables() -> None:
    assert TABLES == [
        "adiabatic",
        "ampacity_cfr33_183_425",
        "ampacity_iec60364_5_52",
        "ampacity_nec_310_16",
        "bill",
        "cell_bands",
        "cells",
        "charge_bands",
        "charge_windows",
        "comparisons",
        "conductors_iec60228_class5",
        "connectors",
        "contactors",
        "controllers",
        "dc_tests",
        "defaults",
        "designations",
        "drives",
        "entropy",
        "fuse_curves",
        "fuse_melting",
        "fuse_ratings",
        "fuses",
        "hazards",
        "inverters",
        "least_wheels",
        "magnets",
        "metals",
        "motors",
        "ocv",
        "ocv_tables",
        "preferred_e12",
        "reading_bands",
        "thermistor",
        "touch_voltages",
        "touch_words",
        "transport",
        "transport_classes",
        "transport_questions",
        "upkeep",
        "usual_bands",
        "wheels",
    ]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_names_a_known_source(table: str) -> None:
    assert load(table)
    assert all(row["source"] in sources() for row in load(table))


def test_no_source_stands_unused() -> None:
    assert {row["source"] for table in TABLES for row in load(table)} == set(sources())


def test_what_is_only_remembered_never_poses_as_a_print() -> None:
    remembered = {key for key, note in sources().items() if note.seen == "memory"}
    assert {sources()[key].kind for key in remembered} == {"trade-practice", "standard"}
    assert {key for key in remembered if sources()[key].kind == "standard"} == {"iec60063"}


def test_a_default_from_memory_is_called_assumed() -> None:
    for row in load("defaults"):
        if sources()[row["source"]].seen == "memory":
            assert row["basis"] == "assumed", row["key"]
