"""The record of ``compare``."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import Sample, number, sample_record
from headrace.design.check_record import check_record
from headrace.design.record import day_record, pack_record
from headrace.drive.tools import tool_of
from headrace.explore.comparing import Column, Comparison

Record = dict[str, Any]
OF_ALL = ("machine", "draws")  # what a record says of itself and a part of it does not repeat


def comparison_record(compared: Comparison, sample: Sample | None = None) -> Record:
    """Return every machine with its losses over the job, its day, its pack and its findings.

    ``differs`` names what is not the same about the jobs; ``links`` gives the losses in order. A machine's ``losses``
    are means over the job, ``day`` and ``pack`` what ``day`` and ``design`` say of it alone, and ``stopped`` the share
    of its draws with a stop.
    """
    return {
        **sample_record(sample),
        "same_job": not compared.differences,
        "differs": [
            {"address": found.address, "unit": found.unit, "values": list(found.values)}
            for found in compared.differences
        ],
        "links": list(compared.links),
        "machines": [_machine(compared, one) for one in compared.columns],
    }


def _machine(compared: Comparison, one: Column) -> Record:
    design, most = one.design, one.costliest
    machine = design.machine
    amount = tool_of(machine.chains[0].work).amount
    checked = check_record(machine, design.evidence, design.judged)
    day = day_record(machine, design.day, design.lasts, design.lowest_charges)
    return {
        "name": one.name,
        "file": machine.file,
        "useful_W": number(one.useful),
        "source_W": number(one.source),
        "losses": [
            {
                "name": compared.link(loss),
                "kind": loss.kind,
                "loss_W": number(loss.loss),
                "saves_removed_W": number(loss.removed),
                "saves_halved_W": number(loss.halved),
                "how": loss.how,
            }
            for loss in one.losses
        ],
        "costliest": compared.link(most) if most is not None else None,
        "stands": [{"name": name, "reason": reason} for name, reason in one.stands],
        "cell_energy_J": number(design.day.cell_energy),
        f"cell_energy_per_{amount.suffix}_J": number(one.per_amount),
        "pack": pack_record(machine, design.evidence),
        "job": {
            "area_m2": number(machine.job.area),
            "time_wanted_s": number(machine.limits.time_wanted),
            "reserve": number(machine.limits.reserve),
            "states": [{"name": state.name, "share": number(state.share)} for state in machine.job.states],
        },
        "day": {key: value for key, value in day.items() if key not in OF_ALL},
        "findings": [{key: found[key] for key in ("slug", "level", "says", "share")} for found in checked["findings"]],
        "sometimes": checked["sometimes"],
        "stopped": checked["stopped"],
    }
