"""The pages formed from the program are those that are committed, and say what it says. House rule: ``make pages``."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path

import click
import pytest

from docs import generate
from headrace.findings import RULES
from headrace.frontends.cli.main import main
from headrace.machine import read_text, read_variants, schema, starter
from headrace.paper.advice import marked, page_of

DOCS = Path(__file__).parents[2] / "docs"
MADE = generate.pages()
LINK = re.compile(r"\]\(([^)#]+)\)")
TOML = re.compile(r"```toml\n(.+?)```", re.DOTALL)
ROW = re.compile(r"^\| `([^`]+)` \| (.+?) \| ([^|]+) \|$", re.MULTILINE)


# --- what is committed -------------------------------------------------------------------------------


@pytest.mark.parametrize("path", MADE)
def test_the_committed_page_is_the_generated_one(path: str) -> None:
    """After a change of a docstring, a verb or the form: ``make pages``."""
    assert (DOCS / path).read_text("utf-8") == MADE[path]


def test_no_page_is_left_of_a_finding_that_is_no_more() -> None:
    there = {f"findings/{page.name}" for page in (DOCS / "findings").iterdir()}
    assert there == {path for path in MADE if path.startswith("findings/")}


def test_writing_takes_a_stale_page_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "findings").mkdir()
    (tmp_path / "findings" / "a-finding-of-old.md").write_text("old", encoding="utf-8")
    (tmp_path / "by-hand.md").write_text("kept", encoding="utf-8")
    monkeypatch.setattr(generate, "DOCS", tmp_path)
    generate.write()
    written = {str(page.relative_to(tmp_path)): page.read_text("utf-8") for page in tmp_path.rglob("*.md")}
    assert written == {**MADE, "by-hand.md": "kept"}


@pytest.mark.parametrize("path", MADE)
def test_every_link_leads_somewhere_and_the_caution_stands_there(path: str) -> None:
    text = MADE[path]
    assert [link for link in LINK.findall(text) if not ((DOCS / path).parent / link).exists()] == []
    assert "Local codes and licensed practice come before anything printed here." in text
    assert "``" not in text.replace("```", "")
    assert text.endswith(".\n")
    assert "None" not in text.replace("**Where it does not hold.** None.", "")


# --- findings ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("slug", list(RULES))
def test_the_page_of_a_finding_holds_every_part_of_its_docstring(slug: str) -> None:
    page, text = page_of(RULES[slug]), MADE[f"findings/{slug}.md"]
    assert text.startswith(f"# {slug}\n\n**{RULES[slug].level}** · ")
    for part in (page.wrong, page.to_do, page.compared, page.comes_about, page.exceptions, page.limit_from):
        assert marked(part) in text
    raised, silenced = (tomllib.loads(block)["variants"]["set"] for block in TOML.findall(text))
    assert list(raised) == [address for address, _ in page.raised]
    assert list(silenced) == [address for address, _ in page.silenced]


@pytest.mark.parametrize("slug", list(RULES))
def test_what_raises_and_silences_it_is_taken_as_a_variant_of_the_starter(slug: str) -> None:
    """What they do is run in ``tests/findings``; here, that the lines can be copied."""
    text = MADE[f"findings/{slug}.md"]
    named = re.search(r"the file that `headrace new (\w+)` writes", text)
    assert named
    raised, silenced = TOML.findall(text)
    both = raised + "".join(line for line in silenced.splitlines(True)[1:] if line.split(" = ")[0] not in raised)
    for lines in (raised, both):
        file = f'{starter(named[1])}\n[[variants]]\nname = "tried"\n\n{lines}'
        assert list(read_variants(read_text(file, file="starter.toml"))) == ["tried"]


def test_a_finding_that_rejects_packs_says_so() -> None:
    saying = {slug for slug in RULES if generate.PACKS in MADE[f"findings/{slug}.md"]}
    assert saying == {slug for slug, rule in RULES.items() if rule.rejects_pack}
    assert 0 < len(saying) < len(RULES)


def test_the_index_names_each_finding_once_by_room_and_once_by_level() -> None:
    text = MADE["findings/README.md"]
    by_room, by_level = text.split("## By level")
    for part in (by_room.split("## By what they ask")[1], by_level):
        assert Counter(re.findall(r"\]\(([a-z-]+)\.md\)", part)) == Counter(list(RULES))
    assert f"each of these {len(RULES)}." in text
    rooms = re.findall(r"^`(src/headrace/findings/\w+\.py)`$", by_room, re.MULTILINE)
    assert len(rooms) == len(set(rooms)) == len({rule.judge.__module__ for rule in RULES.values()})
    assert all((DOCS.parent / room).exists() for room in rooms)


def test_the_index_gives_each_finding_its_own_level() -> None:
    text = MADE["findings/README.md"]
    levels = dict(re.findall(r"^\| \[([a-z-]+)\]\(.*?\) \| (\w+) \|", text, re.MULTILINE))
    assert levels == {slug: rule.level for slug, rule in RULES.items()}
    for level, count, names in re.findall(r"^\*\*(\w+)\*\* \((\d+)\): (.+)$", text, re.MULTILINE):
        listed = re.findall(r"\[([a-z-]+)\]", names)
        assert len(listed) == int(count)
        assert {RULES[slug].level for slug in listed} == {level}


# --- verbs -------------------------------------------------------------------------------------------


def test_every_verb_stands_there_in_the_order_of_the_help_s_source() -> None:
    assert re.findall(r"^## (\w+)$", MADE["verbs.md"], re.MULTILINE) == list(main.commands)


@pytest.mark.parametrize("name", list(main.commands))
def test_a_verb_s_words_and_options_are_those_of_its_help(name: str) -> None:
    part = MADE["verbs.md"].split(f"## {name}\n")[1].split("\n## ")[0]
    command = main.commands[name]
    helped = " ".join(command.get_help(click.Context(command, info_name=name)).split())
    plain = " ".join(re.sub(r"[`|]|```console", " ", part).split())
    for option in (p for p in command.params if isinstance(p, click.Option)):
        assert f"| `{option.opts[0]}` |" in part
        assert option.help
        assert option.help in helped
        assert option.help in plain
        if option.show_default:
            assert f"| {option.default} |" in part
            assert f"default: {option.default}" in helped
    assert " ".join((command.help or "").partition("\b\n")[0].split()) in plain
    asked = re.findall(r"^\$ headrace (\w+) \S", part, re.MULTILINE)
    assert asked
    assert set(asked) == {name}


def test_a_range_is_told_in_words() -> None:
    of_packs = MADE["verbs.md"].split("## packs\n")[1].split("\n## ")[0]
    assert "| `--draws` | a whole number, 0 to 1,000 | 16 |" in of_packs
    assert "| `--seed` | a whole number, at least 0 | 1 |" in of_packs
    assert "is one of mower, tiller," in MADE["verbs.md"]


# --- keys --------------------------------------------------------------------------------------------


@cache
def sections() -> dict[str, str]:
    """Return the parts of the page of keys by their headings."""
    return dict(part.split("\n", 1) for part in MADE["keys.md"].split("\n## ")[1:])


def test_every_table_of_the_form_stands_there_once_with_every_key() -> None:
    tables = schema()["$defs"]
    by_words = {" ".join(found.get("description", "").split()): name for name, found in tables.items()}
    seen = Counter()  # type: Counter[str]
    for text in sections().values():
        says = text.strip().split("\n\n")[0].replace("`", "")
        name = next((name for words, name in by_words.items() if words and words.replace("`", "") == says), "")
        if name:
            seen[name] += 1
            assert [row[0] for row in ROW.findall(text)] == list(tables[name]["properties"])
    assert seen == Counter(name for name in tables if name != "Quantity")
    assert len(sections()) == len(tables) + 1  # the whole file, and a quantity as a table
    assert [row[0] for row in ROW.findall(sections()["The whole file"])] == list(schema()["properties"])


def test_a_key_tells_its_kind_its_reach_and_whether_it_is_needed() -> None:
    blade = {row[0]: row[1:] for row in ROW.findall(sections()["`[chains.work]`, kind `mowing-blade`"])}
    assert blade["diameter"] == ("a length, 0.1 to 1.5 m", "needed")
    assert blade["windage"] == ("a number, 0.0005 to 0.1", "–")
    assert blade["kind"] == ("`mowing-blade`", "needed")
    cells = {row[0]: row[1:] for row in ROW.findall(sections()["`[source]`, kind `cells`"])}
    assert cells["cell"] == ("text or a table", "needed")
    assert cells["in_turn"] == ("a whole number, 1 to 10", "`1`")
    assert ROW.findall(sections()["`[safety.charging]`"])[1] == ("cold_lock", "true or false", "`false`")


def test_headings_are_written_as_the_file_writes_them() -> None:
    text = starter("mower")
    for heading in ("[machine]", "[[chains]]", "[chains.work]", "[[chains.links]]", "[[job.states]]", "[limits]"):
        assert f"\n{heading}\n" in text
        assert any(title.startswith(f"`{heading}`") for title in sections())
    assert "`[[balance.out]]`, `[[balance.put_in]]`" in sections()


def test_a_description_that_an_editor_shows_is_taken_apart_rightly() -> None:
    assert generate.said({"description": "a length, for example 42 cm; 0.1 to 1.5 m"}) == "a length, 0.1 to 1.5 m"
    assert generate.said({"anyOf": [{"type": "string"}, {"type": "null"}]}) == "text"
    assert generate.said({"type": "array", "items": {"type": "string"}}) == "a list, each text"
    three = {"type": "array", "minItems": 3, "maxItems": 3, "items": {"$ref": "#/$defs/PartTable"}}
    assert generate.said(three) == "a list of 3, each a table"
    assert generate.said({"type": "object", "additionalProperties": {"type": "boolean"}}) == (
        "a table, at each key true or false"
    )
    assert generate.table(("a",), [("b|c",)]) == "| a |\n|---|\n| b\\|c |"
