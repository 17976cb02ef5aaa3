"""Numbers of a record in the units of a bench: ``capacity_A_s`` in Ah, ``resistance_ohm`` in mΩ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from headrace.machine.naming import ENDINGS, UNIT, quantity
from headrace.machine.units import from_si, pretty

# The kind of quantity behind the ending of a name, and its bench units, the larger first.
BENCH = {
    "A_s": ("charge", ("Ah",)),
    "ohm": ("resistance", ("ohm", "mohm")),
    "kg": ("mass", ("kg", "g")),
    "m": ("length", ("mm",)),
    "m2": ("wire area", ("mm^2",)),
    "rad_s": ("rotation", ("rpm",)),
    "K": ("temperature", ("°C",)),
    "per_K": ("per kelvin", ("%/K",)),
    "V_s_rad": ("motor constant", ("rpm/V",)),
    "N_m_s_rad": ("torque per speed", ("mN·m/krpm",)),
    "N_m_s2_rad2": ("torque per speed squared", ("mN·m/krpm^2",)),
    "kg_m2": ("inertia", ("kg·cm^2",)),
    "J_mol": ("molar energy", ("kJ/mol",)),
    "Hz": ("frequency", ("kHz",)),
    "W": ("power", ("W",)),
    "V": ("voltage", ("V",)),
    "A": ("current", ("A",)),
}
RISES = ("magnet_rise_K",)  # differences of temperatures, which stay in kelvin
SHARES = ("efficiency", "rotor_share", "wells_share")  # said in per cent


@dataclass(frozen=True)
class Bench:
    """One number as it is read at a bench."""

    name: str
    typical: str
    unit: str
    low: str  # "" where there is no band
    high: str


def bench(key: str, band: dict[str, Any]) -> Bench:
    """Return a number of a record as words.

    Parameters
    ----------
    key
        Its name, with the SI unit at the end where it has one.
    band
        Its typical, low and high.
    """
    ending = UNIT.search(key)
    name = quantity(key[: ending.start()] if ending else key)
    kind, unit = _kind_and_unit(key, ending[1] if ending else "", band["typical"])
    ends = [None if value is None else from_si(value, kind, unit) if kind else value for value in band.values()]
    typical, low, high = ends[0], *sorted(ends[1:], key=lambda end: (end is None, end))
    shown = pretty(unit) if kind else ENDINGS.get(ending[1], "") if ending else ""
    banded = low != high
    return Bench(name, _digits(typical), shown, _digits(low) if banded else "", _digits(high) if banded else "")


def _kind_and_unit(key: str, ending: str, typical: float | None) -> tuple[str, str]:
    """Return kind and bench unit of a number, both "" where it is said in SI."""
    if key in SHARES:
        return "fraction", "%"
    if ending not in BENCH or key in RISES:
        return "", ""
    kind, found = BENCH[ending]
    large = (unit for unit in found if typical is not None and abs(from_si(typical, kind, unit)) >= 1.0)
    return kind, next(large, found[-1])


def _digits(value: float | None) -> str:
    if value is None:
        return "–"
    return f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"
