"""From the form of the balance to its record, and the share of the driven wheels that follows from it."""

from __future__ import annotations

import math
import operator
from collections.abc import Sequence
from functools import partial

import numpy as np

from headrace.machine.complete_source import pack_mass
from headrace.machine.form import File
from headrace.machine.form_balance import BalanceTable, PartTable
from headrace.machine.form_works import WheelsTable
from headrace.machine.lanes import Lanes
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.weights import Balance, Part
from headrace.physics import balance as physics

USUAL_GROUND = "short-grass"


def complete_balance(pedigree: Pedigree, file: File) -> Balance | None:
    """Return the balance, where the file has one; what share the wheels of its chains carry follows from it."""
    if file.balance is None:
        return None
    driving = [chain.name for chain in file.chains if isinstance(chain.work, WheelsTable)]
    balance = _record(pedigree, file.balance, wheels=bool(driving))
    for name in driving if balance.driven else ():
        _driven_share(pedigree, f"chains.{name}.work.driven_share", balance)
    return balance


def _record(pedigree: Pedigree, table: BalanceTable, *, wheels: bool) -> Balance:
    """Return its record; where a chain drives wheels, their rolling is that of the machine."""
    get = Fields(pedigree, table, "balance", ("balance",), "balance")
    wheelbase = get("wheelbase")
    mass, centre = _weighed(pedigree, table, get)
    carried = pack_mass(pedigree, "balance.pack_mass")
    if wheels:
        rolling = pedigree.fixed("balance.rolling", math.nan, "-", "that of the driven wheels")
    else:
        rolling = get("rolling", default=f"wheels.rolling.{table.ground or USUAL_GROUND}")
    return Balance(
        wheelbase=wheelbase,
        mass=mass,
        centre=centre,
        height=get.or_else("height", math.nan),
        handle=get.or_else("handle", math.nan),
        pack_mass=carried,
        pack_position=get.or_else("pack_position", 0.0),  # without a pack of any mass: the rules ask for it otherwise
        pack_height=get.or_else("pack_height", math.nan if table.height is None else 0.0),
        rolling=rolling,
        slope=get("slope"),
        front_share=get.or_else("front_share", math.nan),
        ballast_position=get.or_else("ballast_position", math.nan),
        out=_parts(pedigree, table.out, "out"),
        put_in=_parts(pedigree, table.put_in, "put_in"),
        driven=table.driven or "",
    )


def _weighed(pedigree: Pedigree, table: BalanceTable, get: Fields) -> tuple[float, float]:
    """Return mass and centre as weighed; of loads on the axles, worked out of those."""
    if table.mass is not None:
        return get("mass"), get("centre")
    loads = (get.origin("front"), get.origin("rear"))
    words = "what the axles carry"
    mass = pedigree.work_out("balance.mass", operator.add, loads, "kg", words)
    weighed = (*loads, pedigree.origins["balance.wheelbase"])
    return mass, pedigree.work_out("balance.centre", physics.centre_of_loads, weighed, "m", words)


def _parts(pedigree: Pedigree, tables: Sequence[PartTable], key: str) -> tuple[Part, ...]:
    found = []
    for place, table in enumerate(tables):
        get = Fields(pedigree, table, f"balance.{key}.{table.name}", ("balance", key, place), "part")
        found.append(Part(table.name, get("mass"), get("position"), get.or_else("height", math.nan)))
    return tuple(found)


def _driven_share(pedigree: Pedigree, at: str, balance: Balance) -> float:
    """Note the share of the weight on the driven wheels, on the level, as it follows from the balance."""
    if balance.driven == "both":
        return pedigree.fixed(at, 1.0, "-", "all wheels drive")
    keys = ["wheelbase", "mass", "centre", "pack_mass", "pack_position"]
    keys += [f"out.{part.name}.{key}" for part in balance.out for key in ("mass", "position")]
    keys += [f"put_in.{part.name}.{key}" for part in balance.put_in for key in ("mass", "position")]
    share = partial(_share, balance.driven == "front", len(balance.out))
    return pedigree.work_out(at, share, [pedigree.origins[f"balance.{key}"] for key in keys], "-", "the balance")


def _share(
    front: bool, outs: int, wheelbase: Lanes, mass: Lanes, centre: Lanes, pack: Lanes, pack_position: Lanes,
    *parts: Lanes,
) -> Lanes:  # fmt: skip
    """Return the share on an axle, held between nothing and all; ``parts`` are masses and positions in turn."""
    masses, positions = parts[::2], parts[1::2]
    out, put_in = masses[:outs], (pack, *masses[outs:])
    places = (pack_position, *positions[outs:])
    moved = physics.changed_centre(mass, centre, out, positions[:outs], put_in, places)
    shares = physics.axle_shares(moved, wheelbase)
    return np.minimum(np.maximum(shares[0 if front else 1], 0.0), 1.0)
