"""Lines of keys: every way TOML has to write one."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from headrace.machine import starter
from headrace.machine.places import Path, line_of, places
from tests.machines import EXAMPLE

TEXT = '''# a comment [not.a.table]
top = 1
dotted.key = 2                       # sets dotted, too
"quoted key" = 3
'it''s' = 4
[table]
"a.b" = "= [no] # key"
"sn\\u00f6" = 5
text = """
[not.a.table]
key = "\\\\"
"""
raw = \'\'\'
''x'' = 1
\'\'\'
list = [
  "one",   # ]
  ["two", "three"],
  { four = 4, five = [5,
     55] },
]
when = 1979-05-27 07:32:00
inline = { first = 1, "second.x" = { third = 3 } }
[[entries]]
name = "a"
[entries.inner]
key = 1
[[entries.parts]]
key = 1
[[entries.parts]]
key = 2
[[entries]]
[[entries.parts]]
key = 3
[table.below."dot.ted"]
last = true
'''.replace("'it''s'", "'it-s'")


def leaves(value: Any, path: Path = ()) -> Iterator[Path]:
    if isinstance(value, dict):
        for key, part in value.items():
            yield (*path, key)
            yield from leaves(part, (*path, key))
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield (*path, index)
            yield from leaves(part, (*path, index))


def test_every_key_of_every_form_has_its_line() -> None:
    found = places(TEXT)
    data = tomllib.loads(TEXT)
    assert set(leaves(data)) == set(found)
    lines = TEXT.split("\n")
    for path, holds in {
        ("dotted", "key"): "dotted.key",
        ("quoted key",): '"quoted key"',
        ("table",): "[table]",
        ("table", "a.b"): '"a.b"',
        ("table", "snö"): "sn",
        ("table", "raw"): "raw",
        ("table", "list", 0): '"one"',
        ("table", "list", 1, 1): '"three"',
        ("table", "list", 2, "five", 1): "55",
        ("table", "inline", "second.x", "third"): "third",
        ("entries", 0, "inner", "key"): "key = 1",
        ("entries", 0, "parts", 1, "key"): "key = 2",
        ("entries", 1, "parts", 0, "key"): "key = 3",
        ("table", "below", "dot.ted", "last"): "last",
    }.items():
        assert holds in lines[found[path] - 1], path


def test_every_key_of_the_machine_files_has_the_line_it_stands_on() -> None:
    for text in (EXAMPLE.read_text(encoding="utf-8"), starter("mower")):
        found, lines = places(text), text.split("\n")
        data = tomllib.loads(text)
        assert set(leaves(data)) == set(found)
        for path in leaves(data):
            key = next(part for part in reversed(path) if isinstance(part, str))
            assert key in lines[found[path] - 1]


def test_windows_line_ends_count_once() -> None:
    assert places(TEXT.replace("\n", "\r\n")) == places(TEXT)


def test_what_is_missing_is_looked_for_where_it_should_stand() -> None:
    found = places(TEXT)
    assert line_of(found, ("table", "list", 0, "not there")) == found["table", "list", 0]
    assert line_of(found, ("nowhere", "at all")) == 1
