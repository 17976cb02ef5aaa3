"""From the form to the records: what the file says, and for what it leaves out what the tables assume."""

from __future__ import annotations

import math
import operator
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from headrace.machine.complete_balance import complete_balance
from headrace.machine.complete_charger import complete_charger
from headrace.machine.complete_fuse import complete_fuse
from headrace.machine.complete_links import complete_chain
from headrace.machine.complete_prices import complete_part_prices, complete_prices, paid
from headrace.machine.complete_protection import complete_board, complete_pre_charge
from headrace.machine.complete_source import complete_source
from headrace.machine.form import AuxiliaryTable, File, SafetyTable, StateTable, TopUpTable
from headrace.machine.form_wiring import WiringTable
from headrace.machine.form_works import FACTORS, MATERIAL, OVER_GROUND, PACES, WORKS, BladeTable, ShaftTable
from headrace.machine.joins import Joins
from headrace.machine.pedigree import FILE, OPEN, Fields, Pedigree
from headrace.machine.places import Path
from headrace.machine.records import Auxiliary, DutyState, Job, Lanes, Limits, Machine, Origin, Safety, TopUp
from headrace.machine.shelf import Shelf
from headrace.machine.worked import Law
from headrace.physics import loads


def complete(file: File, name: str, lines: Mapping[Path, int], shelf: Shelf) -> Machine:
    """Return the records of a file that has no problems.

    Parameters
    ----------
    file
        The form, filled in.
    name
        What the file is called.
    lines
        Of its keys, by path.
    shelf
        What it may name.
    """
    pedigree = Pedigree(lines, shelf)
    source = paid(pedigree, complete_source(pedigree, file.source), file.prices)  # first: wheels carry the pack
    balance = complete_balance(pedigree, file)  # before them likewise: it may say what share the driven wheels carry
    frequency = float(source.frequency)
    chains = tuple(
        complete_chain(pedigree, chain, ("chains", place), frequency) for place, chain in enumerate(file.chains)
    )
    auxiliaries = tuple(_auxiliary(pedigree, table, place) for place, table in enumerate(file.auxiliaries))
    job = _job(pedigree, file)  # before the limits: the time wanted may be that which its area takes
    return Machine(
        name=file.machine.name,
        file=name,
        chains=chains,
        source=source,
        job=job,
        limits=_limits(pedigree, file),
        safety=_safety(pedigree, file.safety),
        pedigree=pedigree.origins,
        auxiliaries=auxiliaries,
        balance=balance,
        charger=complete_charger(pedigree, file.charger, source),
        prices=complete_prices(pedigree, file.prices, source),
        part_prices=complete_part_prices(pedigree, file.prices),
        fuse=complete_fuse(pedigree, file.fuse),
        board=complete_board(pedigree, file.board, source),
        pre_charge=complete_pre_charge(pedigree, file.pre_charge),
        wiring=_joins(file.wiring),
        worked=pedigree.worked,
    )


def _joins(table: WiringTable | None) -> Joins | None:
    if table is None:
        return None
    return Joins(tuple((first, second) for first, second in table.joins), tuple(table.sense))


def _auxiliary(pedigree: Pedigree, table: AuxiliaryTable, place: int) -> Auxiliary:
    get = Fields(pedigree, table, f"auxiliaries.{table.name}", ("auxiliaries", place), "auxiliary")
    return Auxiliary(table.name, get("power"))


# --- the job -----------------------------------------------------------------------------------------


def _job(pedigree: Pedigree, file: File) -> Job:
    table = file.job
    get = Fields(pedigree, table, "job", ("job",), "job")
    over_ground = table.kind in OVER_GROUND
    if over_ground:
        width, speed, efficiency = get("width"), get("speed", field="travel_speed"), get("field_efficiency")
        states = _states_over_ground(pedigree, file, get.origin("field_efficiency"))
    else:
        width, speed, efficiency = 0.0, 0.0, 1.0
        states = _states(pedigree, file)
    return Job(
        states=states,
        cycle=get("cycle"),
        area=get.or_else("area", math.nan),
        width=width,
        travel_speed=speed,
        field_efficiency=efficiency,
        ambient=get("ambient"),
        top_up=None if table.top_up is None else _top_up(pedigree, table.top_up),
    )


def _top_up(pedigree: Pedigree, table: TopUpTable) -> TopUp:
    get = Fields(pedigree, table, "job.top_up", ("job", "top_up"), "top-up")
    return TopUp(get("after"), get("time"), get("current"))


UNNAMED = "turning"  # what the turning state is called where the file has none


def _states(pedigree: Pedigree, file: File) -> tuple[DutyState, ...]:
    """Return the duty states of work that counts its time; shares are of all of it."""
    weights = [_weight(state) for state in file.job.states]
    found = []
    for place, (state, weight) in enumerate(zip(file.job.states, weights, strict=True)):
        at, path = f"job.{state.name}", ("job", "states", place)
        origin = _of_the_time(pedigree, state, f"{at}.share", path, weight / sum(weights))
        found.append(_state(pedigree, file, state, place, pedigree.note(origin)))
    return tuple(found)


def _states_over_ground(pedigree: Pedigree, file: File, efficiency: Origin) -> tuple[DutyState, ...]:
    """Return the duty states with shares of the whole time; turning fills what the field efficiency leaves.

    A file that names no turning state gets one: the time is lost whether it is named or not, and the blade runs on.
    """
    tables = list(file.job.states)
    if efficiency.low < 1.0 and not any(state.turning for state in tables):
        tables.append(StateTable(name=UNNAMED, turning=True))
    weights = [0.0 if state.turning else _weight(state) for state in tables]
    found = []
    for place, (state, weight) in enumerate(zip(tables, weights, strict=True)):
        share = _share_over_ground(pedigree, state, place, weight / sum(weights), efficiency)
        found.append(_state(pedigree, file, state, place, share))
    return tuple(found)


def _weight(state: StateTable) -> float:
    """Return the share, or the time, of the time spent cutting; a state alone takes all of it."""
    written = state.share if state.share is not None else state.time
    return written.typical if written is not None else 1.0


def _share_over_ground(pedigree: Pedigree, state: StateTable, place: int, part: float, efficiency: Origin) -> float:
    """Return the share of the whole time; ``part`` is that of the time spent cutting."""
    at, path = f"job.{state.name}", ("job", "states", place)
    share: Law
    parents: tuple[Origin, ...]
    if state.turning:
        share, parents, source = partial(operator.sub, 1.0), (efficiency,), "what field efficiency leaves"
    else:
        parents = (efficiency, _of_the_time(pedigree, state, f"{at}.part_of_cutting", path, part))
        share, source = operator.mul, f"field efficiency and shares in {FILE}"
    return pedigree.work_out(f"{at}.share", share, parents, "-", source)


def _state(pedigree: Pedigree, file: File, state: StateTable, place: int, share: float) -> DutyState:
    """Return a duty state with the numbers that the tools at work in it take."""
    at = f"job.{state.name}"
    get = Fields(pedigree, state, at, ("job", "states", place), "job")
    loaded = not (state.turning or state.idle)
    taken: dict[str, Any] = {}
    for key in asked_of(file, state):
        if key not in FACTORS and (not loaded or (state.power is not None and key in MATERIAL)):
            taken[key] = pedigree.fixed(f"{at}.{key}", 0.0, get.unit(key), "power is given" if loaded else "no load")
        elif key == "demand" and state.demand is None:
            taken[key] = _of_the_label(pedigree, file, f"{at}.demand")
        else:
            taken[key] = get(key)
    return DutyState(
        name=state.name, share=share, loaded=loaded, power=get.or_else("power", 0.0), off=tuple(state.off), **taken
    )


def _of_the_label(pedigree: Pedigree, file: File, at: str) -> float:
    """Note what a shaft takes that is known only by a label: a share of it, in a wide band."""
    for place, chain in enumerate(file.chains):
        if isinstance(chain.work, ShaftTable) and chain.work.label is not None:
            path = ("chains", place, "work", "label")
            label = pedigree.written(f"chains.{chain.name}.work.label", chain.work.label, path, "W")
            share = pedigree.default(f"chains.{chain.name}.work.label_share", "shaft.label_share", "-")
            break
    return pedigree.work_out(at, operator.mul, (label, share), "W", "a label, which is no demand")


def asked_of(file: File, state: StateTable) -> tuple[str, ...]:
    """Return the keys of a state that the tools at work in it take, each once."""
    kinds = [WORKS[chain.work.kind] for chain in file.chains if chain.name not in state.off]
    return tuple(dict.fromkeys(key for kind in kinds for key in (*kind.needs, *kind.takes)))


def _of_the_time(pedigree: Pedigree, state: StateTable, address: str, path: Path, part: float) -> Origin:
    """Return where a state's part of the time comes from: its share or its time in the file."""
    key = "share" if state.share is not None else "time"
    written = getattr(state, key)
    if written is None:
        return Origin(address, "given", "the only state", part, part, part, "-", "", 0)
    return replace(pedigree.written(address, written, (*path, key), "-"), typical=part, low=part, high=part)


# --- limits and safety -------------------------------------------------------------------------------


def _time_to_mow(area: Lanes, width: Lanes, speed: Lanes, field_efficiency: Lanes) -> Lanes:
    """Return the time an area takes, turning included. [s]"""
    return area / loads.field_capacity(width, speed, field_efficiency)


def _limits(pedigree: Pedigree, file: File) -> Limits:
    table = file.limits
    get = Fields(pedigree, table, "limits", ("limits",), "limits")
    if table.time is None:
        ground = [pedigree.origins[f"job.{key}"] for key in ("area", "width", "travel_speed", "field_efficiency")]
        words = "area, width, speed and field efficiency"
        wanted = pedigree.work_out("limits.time_wanted", _time_to_mow, ground, "s", words)
    else:
        wanted = get("time", field="time_wanted")
    sides = table.box if table.box is not None else (None, None, None)
    first, second, third = (
        pedigree.fixed(f"limits.box[{place}]", math.inf, "m", OPEN)
        if side is None
        else pedigree.note(pedigree.written(f"limits.box[{place}]", side, ("limits", "box", place), "m"))
        for place, side in enumerate(sides)
    )
    return Limits(
        time_wanted=wanted,
        reserve=get("reserve"),
        end_of_life_capacity=get("end_of_life_capacity"),
        end_of_life_resistance=get("end_of_life_resistance"),
        max_mass=get.or_else("max_mass", math.inf),
        box=(first, second, third),
        budget=get.or_else("budget", math.inf),
        cable_drop=get("cable_drop"),
        ambient_hot=get("ambient_hot"),
        ambient_cold=get("ambient_cold"),
        **_paces(pedigree, file),
    )


def _paces(pedigree: Pedigree, file: File) -> dict[str, float]:
    """Return the limits of every pace; only a mowing blade's tip has usual ones."""
    get = Fields(pedigree, file.limits, "limits", ("limits",), "limits")
    mowing = any(isinstance(chain.work, BladeTable) for chain in file.chains)
    found: dict[str, float] = {}
    for pace in PACES:
        for end, open_ in (("min", 0.0), ("max", math.inf)):
            key = f"{pace}_{end}"
            found[key] = get(key) if mowing and pace == "tip_speed" else get.or_else(key, open_)
    return found


def _safety(pedigree: Pedigree, table: SafetyTable) -> Safety:
    get = Fields(pedigree, table, "safety", ("safety",), "safety")
    charging = Fields(pedigree, table.charging, "safety", ("safety", "charging"), "charging")
    return Safety(
        dead_man=table.dead_man,
        brake_resistance=get.or_else("brake_resistance", math.nan),
        brake_works_unplugged=table.brake_works_unplugged,
        friction_brake=table.friction_brake,
        charging_cold=charging("coldest", field="charging_cold"),
        charging_lock=table.charging.cold_lock,
    )
