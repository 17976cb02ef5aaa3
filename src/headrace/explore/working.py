"""Workings that take more than one machine: numbers of the map of packs, ends of bands, counts of draws.

A number of a candidate is worked out on the same machine with that many cells, checked by itself. The end of a band is
what the file says where the number is the file's own, else a quantile of draws with the working of the typical number
behind it. A count of draws, or an estimate made of them, has nothing behind it but the draws.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from headrace.design import evidence, solve
from headrace.design.bands import HIGH, LOW, Sample
from headrace.design.record import Record, design_record
from headrace.design.workings import (
    BAND,
    addresses,
    file_number,
    units,
    without_unit,
    worked_judged,
    worked_pack,
    worked_record,
    working_at,
)
from headrace.errors import NoWorking
from headrace.explore.addressed import PACK, names, refuse_slips
from headrace.explore.packs import pack_map, tried
from headrace.explore.record import packs_record
from headrace.explore.shares import DAYS, POINTS, SEEDS, shares, shares_record
from headrace.findings import Evidence, Judged
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.machine.values import with_numbers
from headrace.physics.working import Node, node_of
from headrace.runs.march import Progress

STEP = re.compile(r"packs\.steps_down\.(?P<pack>\d+s\d+p)\.breaks_first\.(?P<what>value|limit|by)")
COUNT = re.compile(r"stopped|(findings|sometimes)\.[\w-]+\.share|(.+\.)?(lasts_)?outcomes\.[\w-]+|trace\.running\.\d+")
ASKED = re.compile(r"(.+\.)?draws\.(count|seed)|carried_by\.(samples\.\w+|seeds\.\d+)")  # with, to have the answer
CHANNEL = re.compile(r"trace\.\w+\.(?P<end>low|high)\.\d+")
ENDS = {"low": LOW, "high": HIGH}
LISTED = "headrace explain FILE --list   lists the addresses"


def takes_draws(address: str) -> bool:
    """Return whether a number has to be looked for among the draws: the end of a band, a count."""
    return address.endswith((".low", ".high")) or bool(COUNT.fullmatch(address))


@dataclass
class Workings:
    """The working of any number of the records of one machine; what several need is worked out once, when asked for.

    Attributes
    ----------
    machine
        The machine, one lane.
    sample
        The draws of bands and counts; a count of 0 for the typical machine alone.
    pack_sample
        Those of each pack of the map.
    progress
        Told the share of whatever is being worked out.
    bases
        Base samples of the shares of variance: of what takes a march, and of what takes an operating point.
    """

    machine: Machine
    sample: Sample
    pack_sample: Sample
    progress: Progress | None = None
    bases: tuple[int, int] = (DAYS, POINTS)
    _tried: dict[tuple[int, int], tuple[Machine, Evidence]] = field(default_factory=dict)

    def at(self, address: str) -> Node:
        """Return the working at an address.

        Raises
        ------
        NoWorking
            There is no such number, or it has no such end.
        """
        refuse_slips(self.machine, self.names, address)
        address = without_unit(address)
        if address.startswith("packs."):
            return self._of_packs(address)
        if address.startswith(("carries.", "carried_by.")):
            return self._of_shares(address)
        if any(form.fullmatch(address) for form in (COUNT, CHANNEL, ASKED)):
            return self._of_draws(address)
        base, _, end = address.rpartition(".")
        found = working_at(self.known, address) or (working_at(self.known, base) if end == "typical" else None)
        if found is None and end in ENDS:
            found = self._end(base, end)
        if found is None:
            raise NoWorking(address, "there is no such number", LISTED, unknown=True)
        return found

    @cached_property
    def names(self) -> frozenset[str]:
        """The addresses of the typical machine's record, before anything is worked out."""
        return names(self.machine)

    @cached_property
    def known(self) -> Mapping[str, Any]:
        """Every number of the typical machine by its address, knowing its working."""
        return addresses(self._record)

    @cached_property
    def _record(self) -> Record:
        return worked_record(solve(self.machine, self.progress))

    def unit_at(self, address: str) -> str:
        """Return the unit that the record's key names for a number or the end of its band; "" where it names none."""
        address = without_unit(address)
        if address.startswith("packs."):
            return self._unit_of_pack(address)
        if address.startswith(("carries.", "carried_by.")):
            return ""
        base, _, end = address.rpartition(".")
        found = units(self._record)
        return found.get(address) or (found.get(base, "") if end in BAND else "")

    @cached_property
    def drawn(self) -> Mapping[str, Any]:
        """Every number of the machine with its draws, ends of bands and counts among them."""
        lanes, sample = self.machine, None
        if self.sample.count:
            lanes, sample = draws(self.machine, self.sample.count, self.sample.seed), self.sample
        return addresses(design_record(solve(lanes, self.progress), (), sample), counts=True)

    @cached_property
    def packs(self) -> dict[str, Any]:
        """The record of the map of packs of the typical machine."""
        return packs_record(pack_map(self.machine, progress=self.progress))

    @cached_property
    def carried(self) -> Mapping[str, Any]:
        """Every number of the record of which numbers carry the answers."""
        days, points = self.bases
        return addresses(shares_record(shares(self.machine, self.progress, days, points)))

    def _end(self, base: str, end: str) -> Node | None:
        """Return the low or high end of a number's band: the file's own, or a quantile of the draws.

        A number may exist in some draws and not on the typical machine, as the minutes to a limit it never reaches.
        """
        typical = working_at(self.known, base)
        if typical is None and (base not in self.names or self.sample.count == 0):
            return None
        if typical is not None and file_number(base) in self.known and typical.origin is not None:
            origin = typical.origin
            if origin.low == origin.high:
                raise NoWorking(
                    f"{base}.{end}", "this number has no band", f"ask for {base}, or give it one in the file"
                )
            return replace(typical, value=origin.low if end == "low" else origin.high, name=f"{end} end of {base}")
        count, seed = self.sample.count, self.sample.seed
        if count == 0:
            raise NoWorking(f"{base}.{end}", "without draws there is no band", "ask with --draws")
        value = self.drawn.get(f"{base}.{end}")
        if value is None:
            why = f"none of {count} draws (seed {seed}) moves this number, so it has no band"
            raise NoWorking(f"{base}.{end}", why, f"ask for {base}")
        words = f"{ENDS[end]:.0%} of {count} draws (seed {seed}) lie below"
        if typical is None:
            words += ", of those in which there is such a number; on the typical machine there is none"
        return Node(float(value), "search", words, () if typical is None else (("typical", typical),))

    def _of_draws(self, address: str) -> Node:
        """Return a count of the draws, or what of a channel they spread over: leaves, with nothing but draws behind."""
        value = self.drawn.get(address)
        if value is None:
            raise NoWorking(address, f"{self._drawn_from(self.sample)} have no such number", LISTED)
        channel = CHANNEL.fullmatch(address)
        if ASKED.fullmatch(address):
            words = "as asked for"
        elif channel is not None:
            words = f"{ENDS[channel['end']]:.0%} of {self._drawn_from(self.sample)} still at work lie below"
        else:
            words = f"share of {self._drawn_from(self.sample)}"
        return Node(float(value), "search", words)

    def _drawn_from(self, sample: Sample) -> str:
        return f"{sample.count} draws (seed {sample.seed})" if sample.count else "the typical machine alone"

    def _of_shares(self, address: str) -> Node:
        value = self.carried.get(address)
        if value is None:
            raise NoWorking(address, "no number of this name carries an answer", LISTED)
        if ASKED.fullmatch(address):
            return Node(float(value), "search", "as the estimate was asked for")
        days, points = self.bases
        base = days if {"run_time", "pack_size"} & set(address.split(".")[1:3]) else points
        seeds = " and ".join(str(seed) for seed in SEEDS)
        return Node(float(value), "search", f"estimate of the share of variance, {base} base samples, seeds {seeds}")

    def _of_packs(self, address: str) -> Node:
        asked, step = PACK.fullmatch(address), STEP.fullmatch(address)
        if asked is not None:
            return self._of_candidate(int(asked["series"]), int(asked["parallel"]), asked["rest"])
        if step is not None:
            for row in self.packs["steps_down"]:
                if f"{row['series']}s{row['parallel']}p" == step["pack"] and row["breaks_first"] is not None:
                    rest = f"{row['breaks_first']['slug']}.{step['what']}"
                    return self._of_candidate(row["series"], row["parallel"], rest)
        if ASKED.fullmatch(address):
            return Node(float(getattr(self.pack_sample, address.rpartition(".")[2])), "search", "as asked for")
        found = addresses({"packs": self.packs}).get(address)
        if found is None:
            raise NoWorking(address, "the map of packs has no such number", "ask for packs.9s6p.mass, or for a reason")
        series, parallel = tried(self.machine)
        return Node(float(found), "search", f"by count of cells, of {len(series) * len(parallel)} packs tried")

    def _of_candidate(self, series: int, parallel: int, rest: str) -> Node:
        name = f"{series}s{parallel}p"
        if rest == "often":
            return self._often(series, parallel)
        plan, found = self._try(series, parallel)
        node = working_at(addresses(worked_pack(plan, found)), rest)
        return node if node is not None else _reason(f"packs.{name}.{rest}", name, rest, worked_judged(plan, found))

    def _often(self, series: int, parallel: int) -> Node:
        sample = self.pack_sample
        lanes = draws(self.machine, sample.count, sample.seed) if sample.count else self.machine
        often = float(pack_map(lanes, (series,), (parallel,)).often[0, 0])
        return Node(often, "search", f"share of {self._drawn_from(sample)} in which this pack works")

    def _unit_of_pack(self, address: str) -> str:
        """Return the unit of a number of a candidate, or of what one cell less breaks first."""
        asked = PACK.fullmatch(address)
        if asked is None:
            return units({"packs": self.packs}).get(address, "") if STEP.fullmatch(address) else ""
        if asked["rest"] == "often":
            return ""
        plan, found = self._try(int(asked["series"]), int(asked["parallel"]))
        rest = without_unit(asked["rest"])
        own = units(worked_pack(plan, found)).get(rest)
        if own is not None:
            return own
        judged = worked_judged(plan, found)
        return next((v.verdict.unit for v in judged if v.rule.slug == rest.partition(".")[0]), "")

    def _try(self, series: int, parallel: int) -> tuple[Machine, Evidence]:
        """Return the machine with other counts of cells, and what its findings judge."""
        if (series, parallel) not in self._tried:
            pedigree = dict(self.machine.pedigree)
            counts = {"source.series": float(series), "source.parallel": float(parallel)}
            for address, count in counts.items():
                known, words = pedigree[address], "the map of packs"
                pedigree[address] = replace(known, source=words, typical=count, low=count, high=count)
            plan = replace(with_numbers(self.machine, counts), pedigree=pedigree)
            self._tried[series, parallel] = plan, evidence(plan)
        return self._tried[series, parallel]


def _reason(address: str, name: str, rest: str, judged: tuple[Judged, ...]) -> Node:
    """Return a number of a reason against a candidate, of those that are reasons against it."""
    slug, _, what = rest.partition(".")
    verdict = next(verdict for verdict in judged if verdict.rule.slug == slug)
    found = verdict.at(())
    if not verdict.failing[()]:
        why = f"this limit holds for {name}, {found.value:.4g} against {found.limit:.4g} {found.unit}".rstrip(" -")
        raise NoWorking(
            address, f"{why}, so it is no reason against it", f"headrace explain {slug}   shows what it asks"
        )
    numbers = {"value": found.value, "limit": found.limit, "by": abs(found.value - found.limit)}
    return node_of(numbers[what])
