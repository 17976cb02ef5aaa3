"""Slips people make with numbers and units, and the way out of each.

A lenient reader gets most of these silently wrong: 3,5 A as 35 A, 1 1/4 in as a quarter of an inch, 5 C as coulombs.
"""

from __future__ import annotations

import re
from difflib import get_close_matches

from headrace.machine.units import KINDS, Kind, from_si, kinds_of, pretty, spelled, to_si

# Taken whole or not at all, so that the e of 1e-3 is never read as a unit; two dots belong to a band.
NUMBER = r"(?>[+-]?(?:[0-9]+(?:\.(?!\.)[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"

_GROUPED = re.compile(r"^([+-]?[0-9]{1,3})((?:[, '’][0-9]{3})+)(?![0-9.])\s*(.*)$")
_COMMA = re.compile(r"^[+-]?[0-9]+,[0-9]+")
_SHARED = re.compile(r"^(?:([0-9]+)[ -])?\s*([0-9]+)\s*/\s*([0-9]+)\s*([^0-9\s].*|)$")
_SUM = re.compile(rf"^({NUMBER})\s*([^\W0-9_]+)\s*({NUMBER})\s*([^\W0-9_]+)$")
_TO = re.compile(rf"^({NUMBER})\s*(?:-|–|—|to|\.\.\.|…)\s*({NUMBER})\s*([^0-9]*)$")
_MORE_OR_LESS = re.compile(rf"^({NUMBER})\s*([^0-9\s±+]*)\s*(?:±|\+/-|\+-)\s*({NUMBER})\s*([^0-9]*)$")
_UNIT_FIRST = re.compile(rf"^([^0-9\s.+-]\S*)\s+({NUMBER})$")

Slip = tuple[str, str]  # what must be, and the way out


def slip_of_the_number(text: str, kind: str) -> Slip | None:
    """Return what is wrong with the numbers of a text, when it is one of the known slips."""
    if found := _GROUPED.match(text):
        whole = found[1] + re.sub("[^0-9]", "", found[2])
        return "must have its digits in one piece", f'write "{_joined(whole, found[3])}"' + _or_decimal(found)
    if _COMMA.match(text):
        return "must have a decimal point, not a comma", f'write "{text.replace(",", ".", 1)}"'
    if found := _SHARED.match(text):
        whole, over, under = (float(part or 0) for part in found.groups()[:3])
        hint = f'write "{_joined(f"{whole + over / under:g}", found[4])}"' if under else ""
        return "must be a decimal number", hint
    if found := _TO.match(text):
        return "must have two dots between low and high", f'write "{found[1]}..{_joined(found[2], found[3])}"'
    if found := _MORE_OR_LESS.match(text):
        middle, spread = float(found[1]), float(found[3])
        ends = f"{middle - spread:g}..{middle + spread:g}"
        return "must be written as a band", f'write "{_joined(ends, found[2] or found[4])}"'
    if found := _SUM.match(text):
        return _sum(found, kind)
    if (found := _UNIT_FIRST.match(text)) and spelled(found[1]) in KINDS[kind].units:
        return "must have its unit after the number", f'write "{_joined(found[2], found[1])}"'
    if text[:1] in "~≈<>≤≥" and text:
        return "must be a number or a band", 'write low and high, such as "2..5 A", when you are not sure'
    return None


def _joined(number: str, unit: str) -> str:
    return f"{number} {unit.strip()}".strip()


def _or_decimal(found: re.Match[str]) -> str:
    """Return the other reading of one comma before three digits."""
    if found[2][0] != "," or len(found[2]) != 4:
        return ""
    return f' or "{_joined(f"{found[1]}.{found[2][1:]}", found[3])}"'


def _sum(found: re.Match[str], kind: str) -> Slip:
    said = "must be one number and one unit"
    first, last = spelled(found[2]), spelled(found[4])
    if kind == "temperature" or not {first, last} <= KINDS[kind].units.keys():
        return said, ""
    total = to_si(float(found[1]), kind, first) + to_si(float(found[3]), kind, last)
    return said, f'write "{from_si(total, kind, last):g} {pretty(last)}"'


# What a unit of another kind was probably meant to be.
MEANT = {
    ("power", "Wh"): "W",
    ("power", "kWh"): "kW",
    ("energy", "W"): "Wh",
    ("energy", "kW"): "kWh",
    ("energy", "Ah"): "Wh",
    ("energy", "mAh"): "mWh",
    ("current", "Ah"): "A",
    ("current", "mAh"): "mA",
    ("charge", "A"): "Ah",
    ("charge", "mA"): "mAh",
    ("charge", "Wh"): "Ah",
    ("force", "kg"): "kgf",
    ("wire area", "mm"): "mm²",
    ("area", "m"): "m²",
    ("sward", "kg"): "kg/m²",
    ("rotation", "Hz"): "rev/s",
    ("time", "m"): "min",
}

# Signs that could stand for several things: refused wherever they appear, with the way out for each kind.
AMBIGUOUS = {
    ("temperature", "C"): 'write "{number} °C"',
    ("temperature", "F"): 'write "{number} °F"',
    ("temperature difference", "C"): 'write "{number} K"',
    ("temperature difference", "F"): 'write "{number} °F"',
    ("current", "C"): "a multiple of the capacity is no current here; write amperes",
    ("charge", "C"): 'C may be coulombs or a multiple of the capacity; write "{number} A·s" or "{number} Ah"',
    ("power", "PS"): "write hp or kW; one PS is 0.7355 kW",
    ("length", '"'): 'write "{number} in"',
    ("length", "'"): 'write "{number} ft"',
    ("motor constant", "Kv"): 'write "{number} rpm/V"',
    ("motor constant", "KV"): 'write "{number} rpm/V"',
}


def slip_of_the_unit(unit: str, number: str, kind: str) -> Slip:
    """Return what is wrong with a unit that its kind does not know.

    Parameters
    ----------
    unit
        As ``spelled``; "" where there is none.
    number
        The number before it, as written.
    kind
        The kind that is wanted.
    """
    known = KINDS[kind]
    if not unit:
        return f'needs a unit, for example "{known.example}"', ""
    if (kind, unit) in AMBIGUOUS:
        return f"must be {known.words}; {unit} could mean several things", AMBIGUOUS[kind, unit].format(number=number)
    others = kinds_of(unit)
    if others:
        return _other_kind(unit, number, kind, others)
    said = f"{_short(unit)} is no unit of {_bare(known)} here"
    near = [name for name in known.units if name.lower() == unit.lower()]
    near += get_close_matches(unit, known.units, n=1, cutoff=0.5)
    if near:
        return said, f'did you mean "{number} {pretty(near[0])}"?'
    if len(known.units) < 2:
        return said, f"write a bare number, for example {known.example.strip(' %')}"
    return said, f"known are {', '.join(pretty(name) for name in known.units if name)}"


def _other_kind(unit: str, number: str, kind: str, others: list[str]) -> Slip:
    """Say both kinds, the one it is and the one that is wanted."""
    known = KINDS[kind]
    said = f"must be {known.words}; {pretty(unit)} makes it {KINDS[others[0]].words}"
    meant = MEANT.get((kind, unit.replace("·h", "h")))
    if meant:
        return said, f"that is {KINDS[others[0]].words}; did you mean {number} {meant}?"
    return said, f'write it as "{known.example}" is written'


def _short(unit: str) -> str:
    return unit if len(unit) <= 24 else unit[:23] + "…"


def _bare(kind: Kind) -> str:
    return re.sub("^an? ", "", kind.words)
