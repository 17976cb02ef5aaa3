"""Writes the pages that are formed from the program: findings, verbs, keys. ``make pages`` runs it, a test compares."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from headrace.findings import RULES, Rule
from headrace.findings.finding import LEVELS
from headrace.frontends.cli.main import main as verbs
from headrace.machine import schema
from headrace.paper.advice import Patch, marked, page_of

DOCS = Path(__file__).parent
BY = "This page is written by `make pages`; change what it is formed from, not the page."
CODES = "Local codes and licensed practice come before anything printed here."
LEVELS_SAY = (
    "A **stop** must be put right before anything is built; with one, `check` and `design` leave with exit code 1. A "
    "**caution** is something that harms or fails unless somebody sees to it. A **note** is worth knowing."
)
PACKS = "A pack on which it is raised does not work in `headrace packs`."
DASH = "–"


def pages() -> dict[str, str]:
    """Return the text of every page by its path below the folder of the docs."""
    each = {f"findings/{rule.slug}.md": finding_page(rule) for rule in RULES.values()}
    return {**each, "findings/README.md": findings_index(), "verbs.md": verbs_page(), "keys.md": keys_page()}


def paragraphs(*parts: str) -> str:
    """Return parts of a page, a free line between them and a line end behind."""
    return "\n\n".join(part for part in parts if part) + "\n"


def table(titles: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """Return rows under their titles; a stroke within a cell is kept from ending it."""
    first, *others = ("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in (titles, *rows))
    return "\n".join((first, "|" + "---|" * len(titles), *others))


# --- findings ------------------------------------------------------------------------------------


def finding_page(rule: Rule) -> str:
    """Return the page of one finding."""
    page = page_of(rule)
    return paragraphs(
        f"# {rule.slug}",
        f"**{rule.level}** · {marked(page.wrong)}" + (f" {PACKS}" if rule.rejects_pack else ""),
        f"**What to do.** {marked(page.to_do)}",
        f"**What is compared.** {marked(page.compared)}",
        f"**How it comes about.** {marked(page.comes_about)}",
        f"**Raised by** these values in the file that `headrace new {page.starter}` writes:",
        patch(page.raised),
        "**Silenced by** these, over the others:",
        patch(page.silenced),
        f"**Where it does not hold.** {marked(page.exceptions)}",
        f"**Whom the limit is from.** {marked(page.limit_from)}",
        f"[All findings](README.md). {CODES} {BY}",
    )


def patch(values: Patch) -> str:
    """Return a patch as a variant of the file writes it."""
    return "\n".join(("```toml", "[variants.set]", *(f'"{address}" = {value}' for address, value in values), "```"))


def findings_index() -> str:
    """Return the list of all findings, by what they ask and by level."""
    return paragraphs(
        "# What may be found",
        f"`headrace check FILE` holds a machine against each of these {len(RULES)}. {LEVELS_SAY}",
        "`headrace explain tip-too-fast` prints the page of that finding in the terminal. What raises it and what "
        "silences it are examples, and the tests run them. They are written as `[[variants]]` of a file take them: see "
        "[compare.md](../compare.md).",
        CODES,
        "## By what they ask",
        *by_room(),
        "## By level",
        *by_level(),
        BY,
    )


def by_room() -> Iterator[str]:
    """Yield a heading and a table for each file of findings, in the order in which they are judged."""
    for room in dict.fromkeys(rule.judge.__module__ for rule in RULES.values()):
        yield f"### {(sys.modules[room].__doc__ or '').strip().splitlines()[0]}"
        rules = [rule for rule in RULES.values() if rule.judge.__module__ == room]
        yield table(
            ("finding", "level", "what is wrong"),
            [(link(rule), rule.level, marked(page_of(rule).wrong)) for rule in rules],
        )
        yield f"`src/{room.replace('.', '/')}.py`"


def by_level() -> Iterator[str]:
    """Yield the findings of each level in a paragraph."""
    for level in LEVELS:
        links = [link(rule) for rule in RULES.values() if rule.level == level]
        yield f"**{level}** ({len(links)}): {', '.join(links)}"


def link(rule: Rule) -> str:
    """Return a finding's slug as a link to its page beside the index."""
    return f"[{rule.slug}]({rule.slug}.md)"


# --- verbs ---------------------------------------------------------------------------------------


def verbs_page() -> str:
    """Return every verb with its help and its options."""
    context = click.Context(verbs, info_name="headrace")
    return paragraphs(
        "# The verbs",
        (verbs.help or "").split("\n\n")[0],
        "Exit codes: 0 fine; 1 as the verb says; 2 the file cannot be used.",
        *(part for command in verbs.commands.values() for part in verb(command, context)),
        CODES,
        BY,
    )


def verb(command: click.Command, context: click.Context) -> Iterator[str]:
    """Yield one verb: how it is asked, what it does, its examples, its options."""
    inner = click.Context(command, info_name=command.name, parent=context)
    says, _, examples = (command.help or "").partition("\b\n")
    yield f"## {command.name}"
    yield f"`{inner.command_path} {' '.join(command.collect_usage_pieces(inner))}`"
    yield " ".join(says.split())
    lines = (line.removeprefix("Example:").strip() for line in examples.splitlines())
    yield "```console\n" + "\n".join(f"$ {line}" for line in lines) + "\n```"
    chosen = [p for p in command.params if isinstance(p, click.Argument) and isinstance(p.type, click.Choice)]
    yield from (f"`{one.human_readable_name}` is one of {', '.join(map(str, choices(one)))}." for one in chosen)
    options = [p for p in command.params if isinstance(p, click.Option)]
    if options:
        yield table(
            ("option", "takes", "when left out", "what it does"),
            [(f"`{one.opts[0]}`", taken(one), left_out(one), one.help or "") for one in options],
        )


def choices(param: click.Parameter) -> tuple[Any, ...]:
    """Return what may be chosen."""
    return tuple(param.type.choices) if isinstance(param.type, click.Choice) else ()


def taken(option: click.Option) -> str:
    """Return what stands behind an option."""
    if option.is_flag:
        return "nothing"
    if isinstance(option.type, click.IntRange):
        low, high = option.type.min, option.type.max
        return f"a whole number, {low} to {high:,}" if high is not None else f"a whole number, at least {low}"
    return "a path" if isinstance(option.type, click.Path) else str(option.type)


def left_out(option: click.Option) -> str:
    """Return what an option is when left out; a dash where its words say so, or nothing is done."""
    return str(option.default) if option.show_default else DASH


# --- keys ----------------------------------------------------------------------------------------


def keys_page() -> str:
    """Return every table of a machine file with its keys."""
    whole = schema()
    tables = whole["$defs"]
    where: dict[str, list[str]] = {}
    for place, name in dict.fromkeys(placed(whole, tables)):
        where.setdefault(name, []).append(place)
    shared = Counter(place for places in where.values() for place in places)
    return paragraphs(
        "# The keys of a machine file",
        "Every table and every key that a file may have. A quantity is written with its unit, metric or inch, as one "
        "number, a band of two, or a table that says how sure it is (at the end). The limits stand here in SI; they "
        "are there to catch a slip, and judge nothing. What has a dash when left out is filled in from tables as "
        "assumed, worked out of the rest, or not there: the list of numbers in the report says which.",
        "What a key means is said over its table where the name does not say it; the starters (`headrace new`) say it "
        "line by line, the pages of [how-to](how-to/README.md) how to measure it, and [tools.md](tools.md) what each "
        "kind of work asks of a state. Classes and parts of the shelf: `headrace shelf`.",
        CODES,
        "## The whole file",
        keys(whole),
        *(part for name in where for part in table_of(tables[name], where[name], shared)),
        "## A quantity as a table",
        'Wherever a quantity may stand: `{ value = "97 rpm/V", low = "94 rpm/V", high = "100 rpm/V", '
        'basis = "datasheet", source = "plate of the motor" }`.',
        keys(tables["Quantity"]),
        BY,
    )


def placed(part: Any, tables: dict[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    """Yield the heading under which each table stands in a file and its name, from the outside inwards."""
    for key, taken_there in part.get("properties", {}).items():
        here = f"{path}.{key}".lstrip(".")
        for name in dict.fromkeys(referred(taken_there)):
            if name != "Quantity":
                yield f"[[{here}]]" if taken_there.get("type") == "array" else f"[{here}]", name
                yield from placed(tables[name], tables, here)


def referred(part: Any) -> Iterator[str]:
    """Yield the names of the tables that may stand at a key."""
    if isinstance(part, list):
        for inner in part:
            yield from referred(inner)
    elif isinstance(part, dict):
        if "$ref" in part:
            yield part["$ref"].rsplit("/", 1)[1]
        for inner in ("anyOf", "oneOf", "items", "prefixItems"):
            yield from referred(part.get(inner))


def table_of(found: dict[str, Any], places: list[str], shared: Counter[str]) -> Iterator[str]:
    """Yield one table: where it stands and of what kind it is there, what it is about, its keys."""
    kinds = allowed(found["properties"].get("kind", {}))
    of = f", kind {' or '.join(kinds)}" if kinds and shared[places[0]] > 1 else ""
    yield f"## {', '.join(f'`{place}`' for place in places)}{of}"
    yield marked(" ".join(found["description"].split()))
    yield keys(found)


def keys(part: dict[str, Any]) -> str:
    """Return the keys of a table with what they take."""
    needed = part.get("required", [])
    rows = [
        (f"`{key}`", said(taken_there), "needed" if key in needed else usual(taken_there))
        for key, taken_there in part["properties"].items()
    ]
    return table(("key", "takes", "when left out"), rows)


def usual(part: dict[str, Any]) -> str:
    """Return what the form puts in for a key that is left out."""
    default = part.get("default")
    if default in (None, ""):
        return DASH
    return f"`{str(default).lower() if isinstance(default, bool) else default}`"


def allowed(part: dict[str, Any]) -> list[str]:
    """Return the words a key may be."""
    return [f"`{word}`" for word in part.get("enum", [part["const"]] if "const" in part else [])]


def said(part: dict[str, Any]) -> str:
    """Return what a key takes, in words."""
    if "description" in part:  # of a quantity: its kind, an example of the kind, how far it may reach
        kind, _, reach = part["description"].partition(", for example ")
        return f"{kind}, {reach.rpartition('; ')[2].removesuffix(' money')}"
    inside = [one for one in part.get("anyOf", ()) if one.get("type") != "null"]
    if inside:
        return " or ".join(dict.fromkeys(said(one) for one in inside))
    if allowed(part):
        return " or ".join(allowed(part))
    return "a table" if "type" not in part else of_type(part)


def of_type(part: dict[str, Any]) -> str:
    """Return what a key of a plain type takes."""
    kind = part["type"]
    if isinstance(kind, list):
        return "text or a number"
    if kind == "integer":
        return f"a whole number, {part['minimum']} to {part['maximum']}"
    if kind == "array":
        return listed(part)
    if kind == "object":
        values = part.get("additionalProperties")
        return f"a table, at each key {said(values)}" if isinstance(values, dict) else "a table"
    return {"boolean": "true or false", "string": "text"}[kind]


def listed(part: dict[str, Any]) -> str:
    """Return how long a list may be, and what stands in it."""
    if "prefixItems" in part:
        return f"[{'; '.join(said(one) for one in part['prefixItems'])}]"
    least, most = part.get("minItems", 0), part.get("maxItems")
    count = "a list" if most is None else f"a list of {least}" if least == most else f"a list of {least} to {most}"
    return f"{count}, each {said(part['items'])}"


def write() -> None:
    """Write every page, and take away those of findings that are no more."""
    made = pages()
    (DOCS / "findings").mkdir(exist_ok=True)
    for old in (DOCS / "findings").glob("*.md"):
        if f"findings/{old.name}" not in made:
            old.unlink()
    for path, text in made.items():
        (DOCS / path).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write()
