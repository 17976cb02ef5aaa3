"""The record of a machine's risks, as plain data."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence, Finding, cautions
from headrace.findings.risk_measures import Measure
from headrace.findings.risk_numbers import Number
from headrace.findings.risks import LEFT_OPEN, Risk, risks
from headrace.tables import sources

Record = dict[str, Any]

UNSAID = "the file does not say: somebody has to look"
NO_NUMBER = "not known of this machine"
METHOD = (
    "Hazard, harm, then what is against it: first by design, then by guards, then by information. How likely and how "
    "bad is for the people to say who know the place; it is left open here. This is a beginning filled from the "
    "design, not a certificate."
)


def risks_record(evidence: Evidence, raised: Collection[Finding]) -> Record:
    """Return the hazards of a machine with what its design says of them."""
    return {
        "method": METHOD,
        "source": sources()["memory-risks"].title,
        "left_open": list(LEFT_OPEN),
        "hazards": [_risk(one) for one in risks(evidence, raised)],
        "cautions": list(cautions(evidence.machine)),
    }


def _risk(one: Risk) -> Record:
    note = sources()[one.source]
    return {
        "name": one.name,
        "harm": one.harm,
        "severity": one.severity,
        "numbers": [_number(told) for told in one.numbers],
        "measures": [_measure(told) for told in one.measures],
        "people": one.people,
        "caution": one.caution,
        "findings": list(one.findings),
        "left_open": dict.fromkeys(LEFT_OPEN),
        "basis": note.basis,
    }


def _number(told: Number) -> Record:
    said = number(told.value)
    key = f"value_{told.unit}" if told.unit else "value"
    return {"name": told.name, "case": told.case, key: said, "reason": NO_NUMBER if said is None else None}


def _measure(told: Measure) -> Record:
    return {
        "name": told.name,
        "by": told.by,
        "there": told.there,
        "reason": UNSAID if told.there is None else None,
        "says": told.says,
    }
