"""The closed vocabulary of units: which kinds of quantity a machine file knows, and in which units each may stand.

A units library does the arithmetic, but only behind this door. Left alone such a library reads "5 C" as coulombs and
"1 PS" as petasiemens; here a unit that is not listed under its kind is refused. Nothing of the library leaves this
file.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from headrace.physics.conductors import awg_diameter, wire_area

if TYPE_CHECKING:
    import pint

GAUGE = "AWG"  # of wire area: a place on a scale, not a measure


@dataclass(frozen=True)
class Kind:
    """One kind of quantity."""

    words: str  # with its article, for messages
    si: str  # as tables and results print it
    base: str  # the same for the units library
    example: str
    units: Mapping[str, str]  # as written (see ``spelled``) to the library's name, usual ones first
    inverse: frozenset[str] = frozenset()  # units of the reciprocal, such as rpm/V


def _kind(words: str, si: str, base: str, example: str, units: str, inverse: str = "", *, bare: bool = False) -> Kind:
    """Make a kind of a list such as ``"mm; in inch = inch"``: spellings, then what the library calls the unit."""
    names: dict[str, str] = {"": ""} if bare else {}
    for entry in f"{units}; {inverse}".split(";"):
        spellings, _, meaning = entry.partition("=")
        for spelling in spellings.split():
            names[spelling] = meaning.strip() or spelling
    return Kind(words, si, base, example, names, frozenset(inverse.partition("=")[0].split()))


KINDS: dict[str, Kind] = {
    "length": _kind(
        "a length",
        "m",
        "m",
        "42 cm",
        "cm; mm; m; um; km; in inch inches = inch; ft foot feet = foot; yd yard yards = yard; thou = thou",
    ),
    "area": _kind(
        "an area",
        "m²",
        "m^2",
        "1000 m²",
        "m^2; ha = hectare; km^2; acre acres = acre; ft^2 = foot^2; yd^2 = yard^2",
    ),
    "wire area": _kind("a metal section", "m²", "m^2", "10 mm²", "mm^2; cm^2; m^2; in^2 = inch^2; AWG"),
    "mass": _kind("a mass", "kg", "kg", "0.65 kg", "kg; g; t = metric_ton; lb lbs = pound; oz = ounce"),
    "force": _kind("a force", "N", "N", "100 N", "N; kN; kgf = force_kilogram; lbf lb = force_pound"),
    "speed": _kind(
        "a speed",
        "m/s",
        "m/s",
        "0.8 m/s",
        "m/s; cm/s; mm/s; cm/min = cm/minute; km/h kph = km/hour; m/min = m/minute; mph = mile/hour;"
        "ft/min fpm = foot/minute; ft/s = foot/second",
    ),
    "rotation": _kind(
        "a speed of rotation",
        "rad/s",
        "rad/s",
        "3000 rpm",
        "rpm rev/min r/min 1/min = revolution/minute; rad/s; rev/s r/s = revolution/second",
    ),
    "angle": _kind("an angle", "rad", "rad", "5 °", "° deg = degree; rad"),
    "torque": _kind(
        "a torque",
        "N·m",
        "N*m",
        "0.03 N·m",
        "N·m; mN·m; N·cm; lb·ft ft·lb lbf·ft ft·lbf = force_pound*foot; lb·in in·lb lbf·in in·lbf = force_pound*inch;"
        "oz·in in·oz ozf·in = force_ounce*inch",
    ),
    "torque per speed": _kind(
        "a torque that grows with speed",
        "N·m·s/rad",
        "N*m*s/rad",
        "0.0001 N·m·s/rad",
        "N·m·s/rad N·m·s N·m/(rad/s) = N*m*s/rad; mN·m/krpm = mN*m/krpm; N·m/krpm = N*m/krpm;"
        "N·m/rpm = N*m/rpm; oz·in/krpm = force_ounce*inch/krpm",
    ),
    "torque per speed squared": _kind(
        "a torque that grows with the square of speed",
        "N·m·s²/rad²",
        "N*m*s^2/rad^2",
        "0.000002 N·m·s²/rad²",
        "N·m·s^2/rad^2 N·m·s^2 N·m/(rad/s)^2 = N*m*s^2/rad^2; mN·m/krpm^2 = mN*m/krpm^2;"
        "oz·in/krpm^2 = force_ounce*inch/krpm^2",
    ),
    "inertia": _kind(
        "an inertia",
        "kg·m²",
        "kg*m^2",
        "0.01 kg·m²",
        "kg·m^2; kg·cm^2; g·m^2; g·cm^2; lb·ft^2 = pound*foot^2; lb·in^2 = pound*inch^2; oz·in^2 = ounce*inch^2",
    ),
    "power": _kind("a power", "W", "W", "800 W", "W; kW; mW; hp = horsepower; MW"),
    "energy": _kind(
        "an energy",
        "J",
        "J",
        "15.1 Wh",
        "Wh W·h = W*hour; kWh kW·h = kW*hour; mWh = mW*hour; J; kJ; MJ; BTU Btu = BTU",
    ),
    "charge": _kind("a charge", "A·s", "A*s", "4.2 Ah", "Ah A·h = A*hour; mAh mA·h = mA*hour; A·s As = A*s"),
    "current": _kind("a current", "A", "A", "45 A", "A; mA; kA"),
    "voltage": _kind("a voltage", "V", "V", "36 V", "V; mV; kV"),
    "resistance": _kind("a resistance", "Ω", "ohm", "75 mΩ", "ohm ohms = ohm; mohm = mohm; uohm = uohm; kohm = kohm"),
    "capacitance": _kind("a capacitance", "F", "F", "1 mF", "F; mF; uF; nF"),
    "resistance per length": _kind(
        "a resistance per length",
        "Ω/m",
        "ohm/m",
        "1.91 Ω/km",
        "ohm/km; mohm/m; ohm/m; mohm/ft = mohm/foot; ohm/kft = ohm/kft",
    ),
    "resistivity": _kind(
        "a resistivity",
        "Ω·m",
        "ohm*m",
        "0.0175 Ω·mm²/m",
        "ohm·mm^2/m; uohm·cm; nohm·m; uohm·m; ohm·m",
    ),
    "motor constant": _kind(
        "a motor constant",
        "V·s/rad",
        "V*s/rad",
        "96 rpm/V",
        "V·s/rad V·s V/(rad/s) = V*s/rad; mV·s/rad mV·s = mV*s/rad; N·m/A = N*m/A; mN·m/A = mN*m/A;"
        "V/krpm = V/krpm; V/rpm = V/rpm; mV/rpm = mV/rpm; oz·in/A = force_ounce*inch/A;"
        "lb·in/A = force_pound*inch/A; lb·ft/A = force_pound*foot/A",
        inverse="rpm/V = rpm/V",
    ),
    "temperature": _kind("a temperature", "K", "K", "20 °C", "°C degC = degC; °F degF = degF; K = kelvin"),
    "temperature difference": _kind(
        "a difference of temperatures",
        "K",
        "K",
        "40 K",
        "K = kelvin; °C degC = delta_degC; °F degF = delta_degF",
    ),
    "per kelvin": _kind(
        "a change per kelvin",
        "1/K",
        "1/K",
        "-0.2 %/K",
        "%/K %/°C = percent/kelvin; 1/K 1/°C = 1/kelvin; ppm/K ppm/°C = ppm/kelvin; %/°F = percent/delta_degF",
    ),
    "thermal resistance": _kind(
        "a thermal resistance",
        "K/W",
        "K/W",
        "0.25 K/W",
        "K/W °C/W = kelvin/W; °F/W = delta_degF/W; °F·h/BTU °F·h/Btu = delta_degF*hour/BTU",
    ),
    "heat capacity": _kind(
        "a heat capacity",
        "J/K",
        "J/K",
        "250 J/K",
        "J/K J/°C = J/kelvin; kJ/K kJ/°C = kJ/kelvin; Wh/K = W*hour/kelvin; BTU/°F Btu/°F = BTU/delta_degF",
    ),
    "specific heat": _kind(
        "a specific heat",
        "J/(kg·K)",
        "J/(kg*K)",
        "1000 J/(kg·K)",
        "J/(kg·K) J/kg/K J/kg·K J/(kg·°C) = J/(kg*kelvin); kJ/(kg·K) kJ/kg/K kJ/kg·K = kJ/(kg*kelvin);"
        "J/(g·K) J/g/K J/g·K = J/(g*kelvin); BTU/(lb·°F) Btu/(lb·°F) = BTU/(pound*delta_degF)",
    ),
    "film": _kind(
        "a film coefficient",
        "W/(m²·K)",
        "W/(m^2*K)",
        "6 W/(m²·K)",
        "W/(m^2·K) W/m^2/K W/m^2·K W/m^2K = W/(m^2*kelvin);"
        "BTU/(h·ft^2·°F) Btu/(h·ft^2·°F) = BTU/(hour*foot^2*delta_degF)",
    ),
    "sward": _kind(
        "a mass of grass per area",
        "kg/m²",
        "kg/m^2",
        "0.35 kg/m²",
        "kg/m^2; g/m^2; t/ha = metric_ton/hectare; kg/ha = kg/hectare; lb/ft^2 = pound/foot^2; lb/yd^2 = pound/yard^2;"
        "oz/ft^2 = ounce/foot^2; lb/acre = pound/acre",
    ),
    "specific energy": _kind(
        "an energy per mass",
        "J/kg",
        "J/kg",
        "1000 J/kg",
        "J/kg; kJ/kg; J/g; Wh/kg = W*hour/kg; BTU/lb Btu/lb = BTU/pound; ft·lb/lb ft·lbf/lb = foot*force_pound/pound",
    ),
    "energy per volume": _kind(
        "an energy per volume",
        "J/m³",
        "J/m^3",
        "150 kJ/m³",
        "J/m^3; kJ/m^3; MJ/m^3; J/cm^3; kPa; MPa; kWh/m^3 = kW*hour/m^3; ft·lb/ft^3 = foot*force_pound/foot^3",
    ),
    "density": _kind(
        "a density",
        "kg/m³",
        "kg/m^3",
        "1700 kg/m³",
        "kg/m^3; t/m^3 = metric_ton/m^3; g/cm^3; kg/l = kg/L; lb/ft^3 = pound/foot^3",
    ),
    "flow": _kind(
        "a flow",
        "m³/s",
        "m^3/s",
        "40 l/min",
        "m^3/s; m^3/min = m^3/minute; m^3/h = m^3/hour; l/s = L/s; l/min = L/minute; l/h = L/hour; gpm = gallon/minute;"
        "cfm ft^3/min = foot^3/minute",
    ),
    "mass flow": _kind(
        "a mass each second",
        "kg/s",
        "kg/s",
        "60 kg/h",
        "kg/s; kg/min = kg/minute; kg/h = kg/hour; t/h = metric_ton/hour; lb/min = pound/minute; lb/h = pound/hour",
    ),
    "pressure": _kind(
        "a pressure",
        "Pa",
        "Pa",
        "900 Pa",
        "Pa; hPa; kPa; mbar; bar; psi",
    ),
    "molar energy": _kind("an energy per mole", "J/mol", "J/mol", "27 kJ/mol", "kJ/mol; J/mol"),
    "time": _kind(
        "a time",
        "s",
        "s",
        "45 min",
        "min = minute; h hour hours = hour; s sec = second; ms; us; ns; d day days = day",
    ),
    "conductance": _kind("watts per volt squared", "W/V²", "W/V^2", "0.002 W/V²", "W/V^2; mW/V^2; S 1/ohm = siemens"),
    "frequency": _kind("a frequency", "Hz", "1/s", "20 kHz", "kHz = kHz; Hz 1/s = 1/s; MHz = MHz"),
    "fraction": _kind("a fraction", "-", "dimensionless", "10 %", "% = percent", bare=True),
    "number": _kind("a number", "-", "dimensionless", "1.5", "% = percent", bare=True),
    "money": _kind("an amount of money", "money", "dimensionless", "250", "", bare=True),
}

_SIGNS = str.maketrans({"µ": "u", "μ": "u", "²": "^2", "³": "^3", "*": "·", "⋅": "·", "∙": "·", "×": "·", "−": "-"})
_PRETTY = (("ohm", "Ω"), ("^2", "²"), ("^3", "³"), ("uΩ", "µΩ"))


@lru_cache(maxsize=4096)
def spelled(unit: str) -> str:
    """Return one spelling for all the ways to write a unit: dots for products, ``^2`` for squares, ``ohm`` for Ω."""
    text = unit.strip().replace("**", "^").translate(_SIGNS)
    text = re.sub("\u2126|Ω|Ohm", "ohm", text)  # the ohm sign, and the Greek letter
    text = re.sub(r"\s*([·/()^])\s*", r"\1", text)
    text = re.sub(r"\s+|-(?=[a-z])", "·", text)
    return re.sub(r"(?<=[a-z])([23])(?![0-9])", r"^\1", text)


def pretty(unit: str) -> str:
    """Return a unit, as ``spelled``, the way a person would print it."""
    for plain, sign in _PRETTY:
        unit = unit.replace(plain, sign)
    return unit


@cache
def _library() -> pint.UnitRegistry[float]:
    """Load the units library once, when the first quantity is read."""
    import pint

    library: pint.UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)
    library.define("krpm = 1000 * rpm")  # a prefix the library does not put before a turn
    library.define("kft = 1000 * foot")
    return library


@cache
def _unit(name: str) -> pint.Unit:
    return _library().Unit(name)


def to_si(number: float, kind: str, unit: str) -> float:
    """Return a number in SI.

    Parameters
    ----------
    number
        As written.
    kind
        A key of ``KINDS``.
    unit
        One of the kind's units, as ``spelled``; "" for a bare number.

    Raises
    ------
    ZeroDivisionError
        Nothing, in a unit of the reciprocal.
    """
    known = KINDS[kind]
    if not unit:
        return number
    if unit == GAUGE:
        return float(wire_area(awg_diameter(number)))
    if unit in known.inverse:
        return 1.0 / _turned(number, known.units[unit], f"1/({known.base})")
    return _turned(number, known.units[unit], known.base)


def from_si(value: float, kind: str, unit: str) -> float:
    """Return an SI value as a number of one of the kind's units, the reverse of ``to_si``; not for a wire gauge."""
    known = KINDS[kind]
    if not unit:
        return value
    if unit in known.inverse:
        if not value:
            return math.inf
        return _turned(1.0 / value, f"1/({known.base})", known.units[unit])
    return _turned(value, known.base, known.units[unit])


def kinds_of(unit: str) -> list[str]:
    """Return the kinds that know a unit, as ``spelled``."""
    return [name for name, kind in KINDS.items() if unit and unit in kind.units]


def _turned(number: float, unit: str, other: str) -> float:
    """Return a number of one unit as a number of another, both as the library names them."""
    return float(_library().Quantity(number, _unit(unit)).to(_unit(other)).magnitude)
