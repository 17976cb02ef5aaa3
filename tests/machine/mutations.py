"""Machine files spoiled in every way we could think of, and files that only look different.

``mutate`` gives what a slip of the hand, a half-saved file or a cat on the keyboard would leave. ``rewrite`` gives the
same machine in other words: order of keys and tables, spacing, comments, equal values in other units. Both take their
chance from the generator they are handed, so a case is found again by its seed.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Callable
from random import Random

# --- spoiled --------------------------------------------------------------------------------------

JUNK = (
    '""',
    '"?"',
    '"3,5 A"',
    '"1 1/4 in"',
    '"1/0 in"',
    '"5 C"',
    '"2 h 30 min"',
    '"19,000 ft/min"',
    '"1e400 A"',
    '"nan V"',
    '"0 rpm/V"',
    '"-1 kg"',
    '"800 Wh"',
    '"15 kWh"',
    '"..5 A"',
    '"5.. A"',
    '"2..1 kg"',
    '"½ m"',
    '"٣ m"',
    '"1_000 W"',
    '"12 AWG"',
    '"\\u0000"',
    "nan",
    "-inf",
    "true",
    "0",
    "-1",
    "1e308",
    "1e-320",
    "9" * 400,
    "0x" + "f" * 4000,
    "9" * 5000,
    "0x_1",
    "[]",
    "{}",
    "[[]]",
    "1979-05-27",
    "07:32:00",
    '["30 cm"]',
    '{ value = "3 A" }',
    "{ value = 3, low = 5, high = 1 }",
    '{ low = "1 A" }',
    "{ value = true }",
    '{ value = { value = "1 A" } }',
    '{ value = "1 A", basis = "sure" }',
    '{ value = "1 A", basis = { x = 1 } }',
    '{ value = "1 A", source = 3, unit = [] }',
    '{ value = "1..2 A", low = "0 A", high = "3 A" }',
    '{ basis = "measured" }',
    "[" * 60 + "]" * 60,
    "[" * 5000,
    "'''",
    '"',
)
SIGNS = "abcZ019.,;:=[]{}\"'#\\ \t\nµΩ²°·–\u0000\u200b\U0001f600"
UNITS = (
    "mm",
    "kg",
    "Wh",
    "W",
    "rpm",
    "rpm/V",
    "V·s/rad",
    "°C",
    "K",
    "C",
    "%",
    "A",
    "Ah",
    "furlong",
    "AWG",
    "",
    "kg/m²",
    "Ω",
)
HEADERS = (
    *("[machine]", "[[machine]]", "[chains]", "[[chains]]", "[source]", "[[job.states]]", "[limits.box]"),
    *("[a.b]", "[[x]]", "["),
)

_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_VALUE = re.compile(r"(=\s*)(.+)$")
_QUANTITY = re.compile(r'"([-+.\d]+(?:\.\.[-+.\d]+)?) ?([^"]*)"')

Spoil = Callable[[list[str], Random], None]


def chance(seed: int) -> Random:
    """Return the generator of a case, so that it is found again."""
    return Random(seed)  # noqa: S311 - no secret hangs on it


def mutate(text: str, rng: Random) -> str:
    """Return the text with one to four things done to it that may spoil it."""
    lines = text.split("\n")
    for _ in range(rng.randint(1, 4)):
        rng.choice(SPOILS)(lines, rng)
        lines = "\n".join(lines).split("\n") or [""]
    return "\n".join(lines)


def _at(lines: list[str], rng: Random, *, holding: str = "") -> int:
    """Return the place of a line, one that holds a sign where there is any."""
    places = [place for place, line in enumerate(lines) if holding in line]
    return rng.choice(places or [0])


def _drop(lines: list[str], rng: Random) -> None:
    del lines[_at(lines, rng)]
    if not lines:
        lines.append("")


def _double(lines: list[str], rng: Random) -> None:
    lines.insert(rng.randrange(len(lines) + 1), lines[_at(lines, rng)])


def _swap(lines: list[str], rng: Random) -> None:
    first, second = _at(lines, rng), _at(lines, rng)
    lines[first], lines[second] = lines[second], lines[first]


def _cut(lines: list[str], rng: Random) -> None:
    del lines[max(1, rng.randrange(len(lines) + 1)) :]


def _junk_value(lines: list[str], rng: Random) -> None:
    place = _at(lines, rng, holding="=")
    junk = rng.choice(JUNK)
    lines[place] = _VALUE.sub(lambda found: found[1] + junk, lines[place])


def _other_value(lines: list[str], rng: Random) -> None:
    place, other = _at(lines, rng, holding="="), _VALUE.search(lines[_at(lines, rng, holding="=")])
    if other:
        lines[place] = _VALUE.sub(lambda found: found[1] + other[2], lines[place])


def _other_number(lines: list[str], rng: Random) -> None:
    place = _at(lines, rng, holding="=")
    factor = rng.choice((0.0, 1e-6, 0.1, 10.0, 1e3, 3.6e3, 1e9, -1.0))
    lines[place] = _NUMBER.sub(lambda found: f"{float(found[0]) * factor:.6g}", lines[place], count=1)


def _other_unit(lines: list[str], rng: Random) -> None:
    place, unit = _at(lines, rng, holding='"'), rng.choice(UNITS)
    lines[place] = _QUANTITY.sub(lambda found: f'"{found[1]} {unit}"', lines[place], count=1)


def _other_key(lines: list[str], rng: Random) -> None:
    place = _at(lines, rng, holding="=")
    key, sign, value = lines[place].partition("=")
    spoiled = rng.choice((key[1:], key.strip() + "s ", key.upper(), key.strip() + ".x ", f'"{key.strip()}" ', "kind "))
    lines[place] = spoiled + sign + value


def _other_header(lines: list[str], rng: Random) -> None:
    lines[_at(lines, rng, holding="[")] = rng.choice(HEADERS)


def _new_header(lines: list[str], rng: Random) -> None:
    lines.insert(rng.randrange(len(lines) + 1), rng.choice(HEADERS))


def _sign(lines: list[str], rng: Random) -> None:
    place = _at(lines, rng)
    at = rng.randrange(len(lines[place]) + 1)
    kept = at + rng.randint(0, 1)
    lines[place] = lines[place][:at] + rng.choice((*SIGNS, "")) + lines[place][kept:]


SPOILS: tuple[Spoil, ...] = (
    *(_drop, _double, _swap, _cut, _junk_value, _junk_value, _other_value, _other_number, _other_number),
    *(_other_unit, _other_unit, _other_key, _other_header, _new_header, _sign),
)

# --- only other words -----------------------------------------------------------------------------

# Equal values: (unit as files have it) to the units it may be turned into, with what to multiply by. The factors are
# definitions, typed in here a second time on purpose.
INCH, POUND, FORCE = 0.0254, 0.45359237, 0.45359237 * 9.80665
EQUAL: dict[str, tuple[tuple[str, float], ...]] = {
    "cm": (("mm", 10.0), ("m", 0.01), ("in", 0.01 / INCH)),
    "mm": (("cm", 0.1), ("m", 1e-3), ("in", 1e-3 / INCH)),
    "m": (("cm", 100.0), ("ft", 1.0 / (12.0 * INCH))),
    "mm²": (("mm^2", 1.0), ("cm²", 0.01)),
    "m²": (("m^2", 1.0), ("ha", 1e-4), ("ft²", 1.0 / (12.0 * INCH) ** 2)),
    "kg": (("g", 1000.0), ("lb", 1.0 / POUND)),
    "g": (("kg", 1e-3), ("oz", 16e-3 / POUND)),
    "N": (("kN", 1e-3), ("lbf", 1.0 / FORCE), ("kgf", 1.0 / 9.80665)),
    "N·m": (("N m", 1.0), ("N*m", 1.0), ("mN·m", 1000.0), ("lb·in", 1.0 / (FORCE * INCH))),
    "m/s": (("km/h", 3.6), ("ft/min", 60.0 / (12.0 * INCH)), ("ft/s", 1.0 / (12.0 * INCH))),
    "ft/min": (("m/s", 12.0 * INCH / 60.0), ("ft/s", 1.0 / 60.0)),
    "kg·m²": (("kg m^2", 1.0), ("g·m²", 1000.0), ("kg·cm²", 1e4)),
    "W": (("kW", 1e-3), ("hp", 1.0 / (550.0 * FORCE * 12.0 * INCH))),
    "Wh": (("kWh", 1e-3), ("J", 3600.0), ("kJ", 3.6)),
    "Ah": (("mAh", 1000.0), ("A·s", 3600.0), ("A·h", 1.0)),
    "A": (("mA", 1000.0),),
    "V": (("mV", 1000.0), ("kV", 1e-3)),
    "mΩ": (("mohm", 1.0), ("Ω", 1e-3), ("ohm", 1e-3)),
    "Ω": (("ohm", 1.0), ("mΩ", 1000.0)),
    "ohm": (("Ω", 1.0), ("mΩ", 1000.0)),
    "K/W": (("°C/W", 1.0), ("°F/W", 1.8)),
    "J/K": (("kJ/K", 1e-3), ("J/°C", 1.0)),
    "kg/m²": (("kg/m^2", 1.0), ("t/ha", 10.0), ("g/m²", 1000.0), ("lb/ft²", (12.0 * INCH) ** 2 / POUND)),
    "min": (("s", 60.0), ("h", 1.0 / 60.0)),
    "%": (("", 0.01),),
}
SHARES = ("reserve", "field_efficiency", "end_of_life_capacity", "share")
ORDERED = "chains"  # links stand from the work back to the terminals, so their order is no matter of taste

_PLAIN = re.compile(r'"([-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?) ?([^"\d.][^"]*|)"')
_BAND = re.compile(r'"(\d+(?:\.\d+)?)\.\.(\d+(?:\.\d+)?) ?([^"]*)"')


def rewrite(text: str, rng: Random) -> str:
    """Return a text that says the same in other words; the order of the links of a chain stays."""
    tables = [[_statement(part, rng) for part in table] for table in _tables(text)]
    for table in tables:
        keys = table[1:]
        rng.shuffle(keys)
        table[1:] = keys
    return "\n".join(_line(part, rng) for table in _shuffled(tables, rng) for part in table) + "\n"


def _tables(text: str) -> list[list[str]]:
    """Return the tables of a file: header, then whole statements; comments fall away."""
    tables, held = [[""]], ""
    for line in text.split("\n"):
        if not held and (not line.strip() or line.lstrip().startswith("#")):
            continue
        if not held and line.startswith("["):
            tables.append([line.split("#")[0].strip()])
            continue
        held = f"{held}\n{line}" if held else line
        try:
            tomllib.loads(held)
        except tomllib.TOMLDecodeError:
            continue
        tables[-1].append(held)
        held = ""
    return [table for table in tables if len(table) > 1 or table[0]]


def _shuffled(tables: list[list[str]], rng: Random) -> list[list[str]]:
    """Shuffle the top tables, each with what stands under it, and under all but the chains the plain tables too."""
    groups: dict[str, list[list[str]]] = {}
    for table in tables:
        groups.setdefault(table[0].strip("[] ").split(".")[0], []).append(table)
    top = groups.pop("", [])
    names = list(groups)
    rng.shuffle(names)
    ordered = [*top]
    for name in names:
        group = groups[name]
        if name != ORDERED and not any(table[0].startswith("[[") for table in group):
            rng.shuffle(group)
        ordered += group
    return ordered


def _statement(statement: str, rng: Random) -> str:
    key, sign, value = statement.partition("=")
    if not sign or statement.startswith("["):
        return statement
    if key.strip() in SHARES and re.fullmatch(r"\s*[\d.]+\s*", value) and rng.random() < 0.5:
        return f'{key}= "{float(value) * 100.0!r} %"'
    if key.strip() == "magnet_rise":  # a difference: its kelvin are not those of a thermometer
        return statement
    turned = _PLAIN.sub(lambda found: _equal(found, rng), value)
    return key + sign + _BAND.sub(lambda found: _equal_band(found, rng), turned)


def _equal(found: re.Match[str], rng: Random) -> str:
    number, unit = float(found[1]), found[2].strip()
    if unit == "°C":
        return rng.choice((found[0], f'"{number + 273.15!r} K"', f'"{number * 1.8 + 32.0!r} °F"'))
    if unit == "rpm/V":
        constant = 30.0 / (math.pi * number)
        return rng.choice(
            (found[0], f'"{constant!r} V·s/rad"', f'"{constant!r} N·m/A"', f'"{1000.0 / number!r} V/krpm"')
        )
    other = rng.choice((*EQUAL.get(unit, ()), None))
    return found[0] if other is None else f'"{number * other[1]!r} {other[0]}"'.replace(' "', '"')


def _equal_band(found: re.Match[str], rng: Random) -> str:
    other = rng.choice((*EQUAL.get(found[3].strip(), ()), None))
    if other is None:
        return found[0]
    low, high = (float(end) * other[1] for end in (found[1], found[2]))
    return f'"{low!r}..{high!r} {other[0]}"'


def _line(statement: str, rng: Random) -> str:
    """Return a statement in other spacing, with comments that say nothing."""
    if statement and not statement.startswith("["):
        key, _, value = statement.partition("=")
        before, left, right = (" " * rng.randint(0, 3) for _ in range(3))
        statement = f"{before}{key.strip()}{left}={right}{value.strip()}"
    after = rng.choice(("", "", "  # as told", ' # [limits] = "no table"', "\n", "\n# a line of its own\n"))
    return statement + after
