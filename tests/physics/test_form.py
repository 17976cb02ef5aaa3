"""Every law reads like a handbook entry: units, source, example; and its examples are true."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest
from numpydoc.docscrape import FunctionDoc

import headrace.physics
from headrace.physics.law import Law, relations

UNIT = re.compile(r"\[(-|[^\[\]]+)\]$")
FILES = [file.name for file in pkgutil.iter_modules(headrace.physics.__path__)]
LAWS = [pytest.param(entry, id=entry.name) for entry in relations()]


@pytest.mark.parametrize("entry", LAWS)
def test_a_law_is_documented(entry: Law) -> None:
    doc = FunctionDoc(entry.function)
    described = {parameter.name: " ".join(parameter.desc) for parameter in doc["Parameters"]}
    assert list(described) == list(inspect.signature(entry.function).parameters)
    assert all(UNIT.search(text) for text in described.values()), described
    assert all(UNIT.search(" ".join(result.desc)) for result in doc["Returns"])
    assert doc["Returns"]
    assert doc["Notes"]
    assert doc["References"]
    assert doc["Examples"]
    assert ".. math::" in (entry.function.__doc__ or "")


@pytest.mark.parametrize("file", FILES)
def test_the_examples_of_a_file_are_true(file: str) -> None:
    results = doctest.testmod(importlib.import_module(f"headrace.physics.{file}"))
    assert results.failed == 0


def test_every_public_function_of_the_room_is_a_law() -> None:
    laws = {entry.name for entry in relations()}
    assert len(laws) > 70
    for file in set(FILES) - {"law", "working"}:
        module = importlib.import_module(f"headrace.physics.{file}")
        functions = {
            name
            for name, member in inspect.getmembers(module, inspect.isfunction)
            if member.__module__ == module.__name__ and not name.startswith("_")
        }
        assert functions <= laws, f"{file}: {functions - laws}"
