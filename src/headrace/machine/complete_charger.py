"""From the form of the charger to its record; without one, the charger that the pack asks for."""

from __future__ import annotations

import math
import operator
from dataclasses import replace

from headrace.machine.charger import Charger
from headrace.machine.form_charger import ChargerTable
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.records import Source

LEAD = "lead-acid"


def complete_charger(pedigree: Pedigree, table: ChargerTable | None, source: Source) -> Charger | None:
    """Return the charger of a pack; None of a source that never empties."""
    if source.endless:
        return None
    get = Fields(pedigree, table or ChargerTable(), "charger", ("charger",), "charger")
    lead = f".{LEAD}" if source.cell.chemistry == LEAD else ""

    def usual(field: str, unit: str, *, of_lead: bool = True) -> float:
        origin = pedigree.default(f"charger.{field}", f"charger.{field}{lead if of_lead else ''}", unit)
        return pedigree.note(replace(origin, least=0.0, most=1.0) if unit == "-" else origin)

    return Charger(
        planned=table is not None,
        chemistry=(table.chemistry or "") if table is not None else "",
        voltage=_of_the_pack(pedigree, get, "voltage", ("series", "cell.full_voltage"), "full cells in series"),
        current=_of_the_pack(pedigree, get, "current", ("parallel", "cell.charge_current"), "what its cells take"),
        end_current=_end_current(pedigree, get),
        efficiency=get("efficiency"),
        kept=usual("kept", "-"),
        gap=usual("gap", "-", of_lead=False),
        drain=get("drain", default=f"charger.drain{lead}"),
        self_discharge=usual("self_discharge", "1/s"),
        storage=get("storage", default=f"charger.storage{lead}"),
        check=usual("check", "-"),
        room=usual("room", "K", of_lead=False),
        recover_share=usual("recover_share", "-", of_lead=False),
        recover_time=usual("recover_time", "s", of_lead=False),
        scrap=_scrap(pedigree, source.cell.chemistry),
        scrap_after=usual("scrap_after", "s", of_lead=False),
    )


def _scrap(pedigree: Pedigree, chemistry: str) -> float:
    """Note the volts of a group below which it is not charged again; nan of a chemistry that has no such rule."""
    key = f"charger.scrap.{chemistry}"
    return pedigree.note(pedigree.default("charger.scrap", key, "V")) if key in pedigree.defaults else math.nan


def _of_the_pack(pedigree: Pedigree, get: Fields, key: str, made_of: tuple[str, str], words: str) -> float:
    """Note what the file says, else what the pack asks for."""
    if getattr(get.table, key) is not None:
        return get(key)
    parents = [pedigree.origins[f"source.{name}"] for name in made_of]
    return pedigree.work_out(f"charger.{key}", operator.mul, parents, get.unit(key), words)


def _end_current(pedigree: Pedigree, get: Fields) -> float:
    if getattr(get.table, "end_current") is not None:  # noqa: B009
        return get("end_current")
    share = pedigree.default("charger.end_share", "charger.end_share", "-")
    parents = [pedigree.origins["charger.current"], share]
    return pedigree.work_out("charger.end_current", operator.mul, parents, "A", "a share of its current")
