"""The working behind a reason of the map of packs: the same machine with that many cells, checked by itself."""

from __future__ import annotations

import re
from dataclasses import replace

from headrace.design import evidence
from headrace.design.workings import worked_findings
from headrace.machine.records import Machine
from headrace.physics.working import Node, node_of

REASON = re.compile(r"packs\.(?P<series>\d+)s(?P<parallel>\d+)p\.(?P<slug>[\w-]+)\.(?P<what>value|limit|by)")


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
