"""What an address can be, before anything is worked out: a slip is refused at once, and of a part the rest is named.

The record of a minute's work has the names of the record of a day's, so the names are read from that one. A number
that only some records have, a count of draws or a channel over time, is let through and looked for in the whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

import numpy as np

from headrace.design import Design, gathered
from headrace.design.charges import WORKS, LowestCharge
from headrace.design.gearing import some_gearing
from headrace.design.losses import losses
from headrace.design.record import design_record
from headrace.design.seasons import WHEN, seasons
from headrace.design.windings import Windings
from headrace.design.workings import BAND, addresses, file_number, without_unit
from headrace.drive.tools import tool_of
from headrace.errors import NoWorking
from headrace.explore.packs import tried
from headrace.findings import RULES, Days
from headrace.machine.records import Machine
from headrace.machine.values import slug
from headrace.runs.march import march

MINUTE = 60.0  # s
SHOWN = 12  # numbers named where a part of an address holds more
DRAWN = re.compile(r"(?P<of>.+\.)?((lasts_)?outcomes\.[\w-]+|draws\.(count|seed))|trace\..+")
STOPPED = "stopped"  # of the draws, in every record that is judged
RAISED = re.compile(r"(findings|sometimes)\.(?P<slug>[^.]+)\.(value|limit|share)")
PACK = re.compile(
    r"packs\.(?:candidates\.)?(?P<pack>(?P<series>\d+)s(?P<parallel>\d+)p)(?:\.reasons)?(?:\.(?P<rest>.+))?"
)
OF_THE_MAP = ("planned", "smallest", "nearest", "steps_down", "lessons", "draws")
CARRIED = re.compile(r"carries\.(?P<answer>\w+)\.(?P<number>.+)\.(first|total|gap)")
SWING = ("source_low", "source_high", "width")
CARRIED_BY = ("samples", "seeds", "sum_first")
AGAINST = ("value", "limit", "by")
PACKS = "packs.<series>s<parallel>p.<number>, such as packs.9s6p.mass or packs.9s6p.too-slow-when-empty.value"
CARRIES = "carries.<answer>.<number of the file>.total, such as carries.run_time.job.width.total"
ON_DEMAND = (
    f"of every pack, worked out when asked for: {PACKS}",
    f"shares of an answer's doubt, worked out when asked for: {CARRIES}",
)


def names(machine: Machine) -> frozenset[str]:
    """Return the addresses of a machine's record, those of findings, of draws and over time left out."""
    run = march(machine, MINUTE)
    evidence = gathered(machine, Days(run, run, run, run), ())
    quick = Design(
        machine=machine,
        day=run,
        lasts=run,
        losses=losses(machine, run),
        lowest_charges=tuple(LowestCharge(state, run.charge_left, np.array(WORKS)) for state in machine.job.states),
        gearings=tuple(some_gearing(chain) for chain in machine.chains),
        windings=tuple(Windings(chain) for chain in machine.chains),
        aged=(run,) * len(WHEN),
        seasons=seasons(machine, run, (run,) * len(WHEN), evidence.charging),
        evidence=evidence,
        judged=(),
    )
    found = addresses(_filled(design_record(quick)))
    swings = (f"swings.{slug(address)}.{end}" for address in machine.pedigree for end in SWING)
    return frozenset([*(name for name in found if not name.startswith("trace.")), *swings])


def _filled(record: Any) -> Any:
    """Return a record with a number for whatever a minute's work does not have."""
    if isinstance(record, dict):
        return {key: _filled(value) for key, value in record.items()}
    return [_filled(item) for item in record] if isinstance(record, list) else 0.0 if record is None else record


def refuse_slips(machine: Machine, known: frozenset[str], address: str) -> None:
    """Refuse an address that cannot be one, or that is only a part of one.

    Parameters
    ----------
    machine
        The machine, one lane.
    known
        Its ``names``.
    address
        As asked for.

    Raises
    ------
    NoWorking
        It is none; its way out names the nearest, or the numbers that stand below it.
    """
    address = without_unit(address)
    head = address.partition(".")[0]
    if head == "packs":
        _of_packs(machine, known, address)
    elif head in ("carries", "carried_by"):
        _of_shares(machine, address)
    elif not _may_be(known, address):
        _refuse(address, {*known, *_raised(address)}, machine)


def _may_be(known: frozenset[str], address: str) -> bool:
    base, _, end = address.rpartition(".")
    wanted = (address, base) if end in BAND else (address,)
    raised, drawn = RAISED.fullmatch(address), DRAWN.fullmatch(address)
    return (
        address == STOPPED
        or any(name in known or file_number(name) in known for name in wanted)
        or (raised is not None and raised["slug"] in RULES)
        or (drawn is not None and _holds(known, (drawn["of"] or "").rstrip(".")))
    )


def _holds(known: Iterable[str], address: str) -> bool:
    return not address or any(name.startswith(f"{address}.") for name in known)


def _raised(address: str) -> list[str]:
    """Return the addresses of findings, where one is asked for."""
    head = address.partition(".")[0]
    ends = {"findings": ("value", "limit", "share"), "sometimes": ("share",)}.get(head, ())
    return [f"{head}.{rule}.{end}" for rule in RULES for end in ends]


def _refuse(address: str, known: Iterable[str], machine: Machine) -> None:
    """Refuse an address with the numbers below it, or the nearest."""
    own = {slug(name) for name in machine.pedigree}
    names = sorted({*known, *own})
    below = [name for name in names if name.startswith(f"{address}.")]
    if below:
        raise NoWorking(address, "this is no number but holds several", f"ask for one of {_steps(below, address)}")
    near = get_close_matches(address, names, 3, 0.5)
    way_out = f"did you mean {' or '.join(near)}?" if near else "headrace explain FILE --list   lists the addresses"
    raise NoWorking(address, "there is no such number", way_out, unknown=True)


def _steps(below: list[str], address: str) -> str:
    """Return what an address may go on with, a step at a time."""
    after = (name.removeprefix(f"{address}.").partition(".") for name in below)
    steps = list(dict.fromkeys(f".{step}.…" if rest else f".{step}" for step, _, rest in after))
    more = f" and {len(steps) - SHOWN} more" if len(steps) > SHOWN else ""
    return ", ".join(steps[:SHOWN]) + more


def _of_packs(machine: Machine, known: frozenset[str], address: str) -> None:
    asked = PACK.fullmatch(address)
    if asked is None:
        if address.split(".")[1:2] and address.split(".")[1] in OF_THE_MAP and address.count(".") > 1:
            return
        raise NoWorking(address, "the map of packs has no such number", f"ask for {PACKS}")
    series, parallel = tried(machine)
    if int(asked["series"]) not in series or int(asked["parallel"]) not in parallel:
        most = f"{series[-1]}s{parallel[-1]}p"
        raise NoWorking(address, f"{asked['pack']} is not on the map of packs", f"it goes from 1s1p to {most}")
    numbers = _of_a_pack(known)
    reasons = [rule.slug for rule in RULES.values() if rule.rejects_pack]
    rest, here = asked["rest"], f"packs.{asked['pack']}"
    possible = sorted([*numbers, "often", *(f"{reason}.{end}" for reason in reasons for end in AGAINST)])
    reason, _, end = (rest or "").partition(".")
    if end in AGAINST and reason not in reasons:
        raise NoWorking(address, f"{reason} is no reason against a pack", f"reasons are: {', '.join(reasons)}")
    if rest in possible:
        return
    if rest is None:
        own = ", ".join(f".{name}" for name in sorted([*numbers, "often"]))
        ends = ", ".join(f".{end}" for end in AGAINST)
        way_out = f"ask for one of {own}; or for {ends} of a reason against it, such as {here}.{reasons[0]}.value"
        raise NoWorking(address, "this is no number but holds several", way_out)
    _refuse(f"{here}.{rest}", [f"{here}.{name}" for name in possible], machine)


@lru_cache(maxsize=8)
def _of_a_pack(known: frozenset[str]) -> tuple[str, ...]:
    """Return the numbers of one pack, out of a machine's ``names``."""
    return tuple(name.removeprefix("pack.") for name in known if name.startswith("pack."))


def _of_shares(machine: Machine, address: str) -> None:
    head, *rest = address.split(".")
    answers = ("run_time", "pack_size", tool_of(machine.chains[0].work).pace.key)
    asked = CARRIED.fullmatch(address)
    own = {slug(name) for name in machine.pedigree}
    if head == "carried_by" and len(rest) == 2 and rest[0] in CARRIED_BY and (rest[0] == "seeds" or rest[1] in answers):
        return
    if asked is not None and asked["answer"] in answers and slug(asked["number"]) in own:
        return
    said = f"ask for {CARRIES}; answers are: {', '.join(answers)}"
    if head == "carried_by":
        said = f"ask for carried_by.{', carried_by.'.join(CARRIED_BY)}, each with .{', .'.join(answers)}"
    raise NoWorking(address, "there is no such number", said)
