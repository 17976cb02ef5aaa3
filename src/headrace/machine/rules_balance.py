"""Rules between the keys of ``[balance]``, and between them and the rest of the file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.form_balance import BalanceTable, PartTable
from headrace.machine.form_source import SUPPLIES
from headrace.machine.loose import number, table, tables, text
from headrace.machine.wording import NOTHING, Said

LISTS = ("out", "put_in")
WEIGHED = (("front", "rear"), ("mass", "centre"))  # the two ways to say what it weighed


def balance_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between the numbers of the balance."""
    if not isinstance(data.get("balance"), dict):
        return
    balance = table(data.get("balance"))
    yield from _weighed(balance)
    yield from _heights(balance)
    yield from _pack(balance, table(data.get("source")))
    yield from _taken_out(balance)
    yield from _wheels(balance, tables(data.get("chains")))


def _weighed(balance: dict[str, Any]) -> Iterator[Said]:
    """Hold it to one of the two ways, and to both numbers of it."""
    loads, whole = ([key for key in keys if key in balance] for keys in WEIGHED)
    if loads and whole:
        said = f"says the same as {loads[0]} does; give one of them"
        yield ("balance", whole[0]), balance[whole[0]], said, "the loads on both axles, or mass and centre"
    elif not loads and not whole:
        said = "is missing; give front and rear, what a scale under each axle reads"
        yield ("balance", "front"), NOTHING, said, "or mass and centre, where those are known"
    for keys, given in zip(WEIGHED, (loads, whole), strict=True):
        for key in (key for key in keys if len(given) == 1 and key not in balance):
            yield ("balance", key), NOTHING, f"is missing; {given[0]} alone does not say where the weight lies", ""


def _heights(balance: dict[str, Any]) -> Iterator[Said]:
    """Hold the heights of the parts against that of the machine: all of them, or none."""
    for key in LISTS:
        for place, part in enumerate(tables(balance.get(key))):
            if "height" in balance and "height" not in part:
                said = "is missing; the machine's own height is given, so each part needs one"
                yield ("balance", key, place, "height"), NOTHING, said, "how high above the ground its middle lies"
            elif "height" in part and "height" not in balance:
                said = "is used only with the height of the whole machine's centre"
                yield ("balance", key, place, "height"), part["height"], said, "give balance.height, or leave this out"
    if "pack_height" in balance and "height" not in balance:
        said = "is used only with the height of the whole machine's centre"
        yield ("balance", "pack_height"), balance["pack_height"], said, "give balance.height, or leave this out"


def _pack(balance: dict[str, Any], source: dict[str, Any]) -> Iterator[Said]:
    """Ask where the pack goes; what never empties is not carried."""
    carried = text(source.get("kind")) not in SUPPLIES
    for key, asked in (("pack_position", True), ("pack_height", "height" in balance)):
        if carried and asked and key not in balance:
            hint = "what it weighs follows from its cells"
            yield ("balance", key), NOTHING, "is missing; say where the middle of the pack goes", hint
        elif not carried and key in balance:
            yield ("balance", key), balance[key], "is that of a pack, and the machine carries none", "leave it out"


def _taken_out(balance: dict[str, Any]) -> Iterator[Said]:
    """Hold what is taken out against what was there."""
    whole = [number(BalanceTable, balance, key) for key in ("mass", "front", "rear")]
    taken = [number(PartTable, part, "mass") for part in tables(balance.get("out"))]
    there = sum(load for load in whole if load is not None)
    if there and None not in taken and sum(mass for mass in taken if mass is not None) >= there:
        yield ("balance", "out"), NOTHING, f"takes out all the machine weighs, {there:.4g} kg, or more", ""


def _wheels(balance: dict[str, Any], chains: list[dict[str, Any]]) -> Iterator[Said]:
    """Hold what both the balance and driven wheels can say to one of the two places."""
    works = {text(chain.get("name")): table(chain.get("work")) for chain in chains}
    wheels = {name: work for name, work in works.items() if work.get("kind") == "wheels"}
    for name, work in wheels.items():
        for key in (key for key in ("ground", "rolling") if key in balance):
            said = f"belongs to the driven wheels, chains.{name}.work"
            yield ("balance", key), balance[key], said, "leave it out here"
        if "driven" in balance and "driven_share" in work:
            said = f"says the same as driven_share of chains.{name}.work; give one of them"
            yield ("balance", "driven"), balance["driven"], said, ""
    if "ground" in balance and "rolling" in balance and not wheels:
        yield ("balance", "ground"), balance["ground"], "says the same as rolling; give one of them", ""
