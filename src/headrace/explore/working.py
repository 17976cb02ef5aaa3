"""Workings that take more than one machine: a reason of the map of packs, and the end of a band.

A reason is worked out on the same machine with that many cells, checked by itself. The end of a band is a quantile of
draws; what stands behind it is the working of the typical number.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from headrace.design import evidence, solve
from headrace.design.bands import HIGH, LOW
from headrace.design.record import design_record
from headrace.design.workings import addresses, without_unit, worked_findings, working_at
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.physics.working import Node, node_of

REASON = re.compile(r"packs\.(?P<series>\d+)s(?P<parallel>\d+)p\.(?P<slug>[\w-]+)\.(?P<what>value|limit|by)")
ENDS = {"low": LOW, "high": HIGH}


def end_working(machine: Machine, known: Mapping[str, Any], address: str, count: int, seed: int) -> Node | None:
    """Return the working of the low or high end of a number's band, or None where the address is not of that kind.

    Parameters
    ----------
    machine
        The machine, one lane.
    known
        The addresses of its worked record.
    address
        That of the number, then ``.low`` or ``.high``.
    count, seed
        Of the draws.
    """
    base, _, end = address.rpartition(".")
    typical = working_at(known, base) if end in ENDS else None
    if typical is None:
        return None
    drawn = addresses(design_record(solve(draws(machine, count, seed))))
    value = drawn.get(f"{without_unit(base)}.{end}", typical.value)  # a number the draws leave alone has no band
    words = f"{ENDS[end]:.0%} of {count} draws (seed {seed}) lie below"
    return Node(float(value), "search", words, (("typical", typical),))


def reason_working(machine: Machine, address: str) -> Node | None:
    """Return the working of a number of one candidate, or None where the address is not of that kind.

    Parameters
    ----------
    machine
        The machine, one lane; its own counts are set aside.
    address
        ``packs.9s6p.too-slow-when-empty.value``, ``.limit`` or ``.by``.
    """
    asked = REASON.fullmatch(address)
    if asked is None:
        return None
    counts = {way: float(asked[way]) for way in ("series", "parallel")}
    pedigree = dict(machine.pedigree)
    for way, count in counts.items():
        known = pedigree[f"source.{way}"]
        pedigree[known.address] = replace(known, source="the map of packs", typical=count, low=count, high=count)
    source = replace(machine.source, series=counts["series"], parallel=counts["parallel"])
    tried = replace(machine, source=source, pedigree=pedigree)
    for found in worked_findings(tried, evidence(tried)):
        if found.slug == asked["slug"]:
            numbers = {"value": found.value, "limit": found.limit, "by": abs(found.value - found.limit)}
            return node_of(numbers[asked["what"]])
    return None
