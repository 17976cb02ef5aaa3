"""The schema for editors: shipped as the form says, and it knows every key."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from headrace.machine import parts_schema, schema
from headrace.machine.form import File
from headrace.machine.form_corded import FrameTable
from headrace.machine.form_links import LINK_KINDS, MotorNumbers
from headrace.machine.form_parts import PartsFile
from headrace.machine.form_source import CellNumbers
from headrace.machine.form_table import Table


def test_the_shipped_schema_is_the_forms() -> None:
    """After a change of the form: ``json.dumps(schema(), indent=1, ensure_ascii=False)`` and a line end."""
    for name, made in (("machine", schema()), ("parts", parts_schema())):
        shipped = (files("headrace.machine") / f"{name}.schema.json").read_text(encoding="utf-8")
        assert shipped == json.dumps(made, indent=1, ensure_ascii=False) + "\n"


def references(part: Any) -> set[str]:
    if isinstance(part, dict):
        own = {part["$ref"]} if "$ref" in part else set()
        return own.union(*(references(inner) for inner in part.values()))
    return set().union(*(references(inner) for inner in part)) if isinstance(part, list) else set()


def test_every_reference_leads_somewhere_and_nothing_stands_unused() -> None:
    for found in (schema(), parts_schema()):
        assert references(found) == {f"#/$defs/{name}" for name in found["$defs"]}


def test_every_key_of_every_table_is_described() -> None:
    definitions = schema()["$defs"]
    for table in (*set(LINK_KINDS.values()), *Table.__subclasses__()):
        if table not in (File, FrameTable, CellNumbers, MotorNumbers, PartsFile):
            described = definitions[table.__name__]
            assert set(described["properties"]) == set(table.model_fields)
            assert described["additionalProperties"] is False
            assert described["description"]


def test_a_quantity_tells_its_kind_an_example_and_its_reach() -> None:
    diameter = schema()["$defs"]["BladeTable"]["properties"]["diameter"]
    assert diameter["description"] == "a length, for example 42 cm; 0.1 to 1.5 m"
    assert diameter["anyOf"][1] == {"$ref": "#/$defs/Quantity"}
