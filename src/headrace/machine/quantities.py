"""Quantities as people write them: a number and a unit, a band of two, or a table that says how sure they are.

The grammar of numbers is strict on purpose: a decimal comma, a fraction or two units in one text are refused with the
way to write them, never read as something else.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from headrace.machine.slips import NUMBER, slip_of_the_number, slip_of_the_unit
from headrace.machine.units import GAUGE, KINDS, from_si, pretty, spelled, to_si
from headrace.tables import load

BASES = ("given", "measured", "datasheet", "table", "assumed")
ENDS = ("value", "low", "high")
TABLE_KEYS = (*ENDS, "unit", "basis", "source")
LARGEST_GAUGE = 40.0
ONE = "must be one number: a wish, a limit, a count or a point of a table has no low and high"

_PLAIN = re.compile(rf"^({NUMBER})\s*(.*)$", re.DOTALL)
_BAND = re.compile(rf"^({NUMBER})\s*\.\.\s*({NUMBER})\s*(.*)$", re.DOTALL)
_THICK = re.compile(rf"^([1-4])/0\s*{GAUGE}$")  # gauges above 0, on the other side of the scale's nought

TABLE_SCHEMA: dict[str, Any] = {
    "type": "object",
    "additionalProperties": False,
    "properties": {
        **{key: {"type": ["string", "number"]} for key in ENDS},
        "unit": {"type": "string"},
        "basis": {"enum": list(BASES)},
        "source": {"type": "string"},
    },
}

Band = Literal["usual", "written", "none"]


@dataclass(frozen=True)
class Written:
    """A quantity from a file, in SI.

    Attributes
    ----------
    text
        As written.
    typical, low, high
        SI; low and high equal typical where there is no band.
    basis, source
        Basis "given" and no source where the file does not say.
    elsewhere
        Stands in a file of parts, which the source names, and not in the machine file.
    """

    text: str
    typical: float
    low: float
    high: float
    basis: str = "given"
    source: str = ""
    elsewhere: bool = False


@dataclass(frozen=True)
class Wrong:
    """One thing that is wrong with a quantity."""

    limit: str
    hint: str = ""
    inside: tuple[str, ...] = ()  # key of the quantity's own table


class NotAQuantity(ValueError):  # noqa: N818 - it is what the value is
    """A value that cannot be read as the quantity it should be: everything that is wrong with it."""

    def __init__(self, *wrongs: Wrong) -> None:
        super().__init__(wrongs[0].limit)
        self.wrongs = wrongs


@dataclass(frozen=True)
class Quantity:
    """What a key of the file takes: a kind of quantity, hard limits, and whether it has a band.

    Attributes
    ----------
    kind
        A key of ``KINDS``.
    low, high
        Hard limits, both allowed. [SI]
    band
        "usual": where the file gives no band, the usual one of its basis. "written": only what the file gives, as for a
        length that is read off a tape.
        "none": a wish or a count has no band.
    """

    kind: str
    low: float = 0.0
    high: float = math.inf
    band: Band = "usual"

    def read(self, value: Any) -> Written:
        """Return what a value from a file says.

        Raises
        ------
        NotAQuantity
            It cannot be read, is of another kind, or is beyond the limits.
        """
        if isinstance(value, dict):
            return self._read_table(value)
        text = self._text(value)
        return self._banded(text, self._ends(text), "given", "")

    def _text(self, value: Any) -> str:
        """Return a text or a bare number as text."""
        known = KINDS[self.kind]
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise NotAQuantity(Wrong(f'must be {known.words}, for example "{known.example}"'))
        if isinstance(value, float) and not math.isfinite(value):
            raise NotAQuantity(Wrong("must be a finite number"))
        if isinstance(value, str):
            return value.strip()
        if "" not in known.units:
            raise NotAQuantity(Wrong(*slip_of_the_unit("", repr(value), self.kind)))
        return repr(value)

    def _ends(self, text: str) -> tuple[float, ...]:
        """Return one number, or low and high, within the limits."""
        ends, numbers, unit = _parsed(text, self.kind)
        if len(ends) > 1 and self.band == "none":
            raise NotAQuantity(Wrong(ONE))
        slack = 1e-12 * max(abs(self.low), abs(ends[0]), 1e-300)  # a limit written in its own unit lies inside
        if not all(self.low - slack <= end <= self.high + slack for end in ends):
            raise NotAQuantity(Wrong(self._limit(unit), self._meant(numbers[0], unit)))
        return ends

    def _limit(self, unit: str) -> str:
        """Return the limits in the unit the person used."""
        known = KINDS[self.kind]
        shown = "mm^2" if unit == GAUGE else unit
        low, high = (from_si(edge, self.kind, shown) for edge in (self.low, self.high))
        if unit in known.inverse:
            low, high = high, low
        name = f" {pretty(shown)}" if shown else ""
        if math.isinf(high):
            return f"must be at least {low:.6g}{name}"
        return f"must be {low:.6g} to {high:.6g}{name}"

    def _meant(self, number: str, unit: str) -> str:
        """Look for a unit in which the same number would be in order."""
        known = KINDS[self.kind]
        for other in (*known.inverse, *known.units):
            if GAUGE in (unit, other) or other in ("", unit):
                continue
            try:
                value = to_si(float(number), self.kind, other)
            except (ZeroDivisionError, OverflowError):
                continue
            if self.low <= value <= self.high:
                if other == "rpm":
                    return f'{number} looks like rev/min; write "{number} rpm"'
                return f'did you mean "{number} {pretty(other)}"?'
        return ""

    def _middle(self, low: float, high: float) -> float:
        """Return the typical value of a band of two: geometric where both are positive, but not between degrees."""
        if low > 0.0 and self.kind != "temperature":
            return math.sqrt(low) * math.sqrt(high)
        return 0.5 * low + 0.5 * high

    def _usual(self, typical: float, basis: str) -> tuple[float, float]:
        """Return the usual band of a basis, held within the hard limits."""
        if self.band != "usual":
            return typical, typical
        low, high = usual_band(typical, basis)
        return max(low, self.low), min(high, self.high)

    def _read_table(self, table: dict[str, Any]) -> Written:
        """Return what ``{ value, low, high, unit, basis, source }`` says."""
        wrongs = [
            Wrong("no such key for a quantity", f"known are {', '.join(TABLE_KEYS)}", (key,))
            for key in table
            if key not in TABLE_KEYS
        ]
        basis, source, unit = table.get("basis", "given"), table.get("source", ""), table.get("unit", "")
        if basis not in BASES:
            wrongs.append(Wrong(f"must be one of {', '.join(BASES)}", inside=("basis",)))
        texts = (key for key in ("source", "unit") if not isinstance(table.get(key, ""), str))
        wrongs += [Wrong("must be text", inside=(key,)) for key in texts]
        read: dict[str, tuple[float, ...]] = {}
        for key in ENDS:
            if key in table and isinstance(unit, str):
                try:
                    read[key] = self._ends(self._text(_with_unit(table[key], unit)))
                except NotAQuantity as trouble:
                    wrongs += [Wrong(wrong.limit, wrong.hint, (key,)) for wrong in trouble.wrongs]
        if not wrongs:
            wrongs += _shape(read, self.band)
        if wrongs:
            raise NotAQuantity(*wrongs)
        text = " ".join(f"{table.get('value', _as_band(table))} {unit}".split())
        if "low" not in read:
            return self._banded(text, read["value"], basis, source)
        low, high = sorted((read["low"][0], read["high"][0]))
        typical = read["value"][0] if "value" in read else self._middle(low, high)
        return Written(text, typical, low, high, basis, source)

    def _banded(self, text: str, ends: tuple[float, ...], basis: str, source: str) -> Written:
        """Return a quantity from one number, with the usual band, or from low and high."""
        if len(ends) > 1:
            low, high = ends
            return Written(text, self._middle(low, high), low, high, basis, source)
        low, high = self._usual(ends[0], basis)
        return Written(text, ends[0], low, high, basis, source)

    # --- how the form asks for it ---------------------------------------------------------------

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let the form read the key by ``read``, and hand its complaints on."""

        def read(value: Any) -> Written:
            try:
                return self.read(value)
            except NotAQuantity as trouble:
                raise PydanticCustomError("quantity", "not a quantity", {"wrongs": trouble.wrongs}) from trouble

        return core_schema.no_info_plain_validator_function(read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Describe the key to an editor."""
        known = KINDS[self.kind]
        plain = {"type": ["string", "number"] if "" in known.units else "string", "examples": [known.example]}
        reach = f"{self.low:g} to {self.high:g} {known.si}".removesuffix(" -")
        return {"description": f"{known.words}, for example {known.example}; {reach}", "anyOf": [plain, TABLE_SCHEMA]}


def usual_band(typical: float, basis: str) -> tuple[float, float]:
    """Return the 5 % and 95 % ends a bare number is given by its basis."""
    row = next(row for row in load("usual_bands") if row["basis"] == basis)
    low, high = sorted((typical * float(row["low"]), typical * float(row["high"])))
    return low, high


def _with_unit(value: Any, unit: str) -> Any:
    """Put the table's unit behind a bare number; a text keeps its own."""
    if unit and isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value!r} {unit}"
    return value


def _as_band(table: dict[str, Any]) -> str:
    return f"{table.get('low')}..{table.get('high')}"


def _shape(read: dict[str, tuple[float, ...]], band: Band) -> list[Wrong]:
    """Return what is wrong with which of value, low and high there are, and their order."""
    if band == "none" and ("low" in read or "high" in read):
        return [Wrong(ONE)]
    if ("low" in read) != ("high" in read):
        return [Wrong("must have both low and high, or neither")]
    if "value" not in read and "low" not in read:
        return [Wrong("needs a value, or low and high")]
    if "low" in read:
        if any(len(ends) > 1 for ends in read.values()):
            return [Wrong("must have one number each for value, low and high")]
        low, high = sorted((read["low"][0], read["high"][0]))
        if not low <= read.get("value", (low,))[0] <= high:
            return [Wrong("must have its value between low and high")]
    return []


@lru_cache(maxsize=20_000)
def _parsed(text: str, kind: str) -> tuple[tuple[float, ...], tuple[str, ...], str]:
    """Return one SI number or low and high, the numbers as written, and the unit as ``spelled``."""
    known = KINDS[kind]
    thick = _THICK.match(text) if GAUGE in known.units else None
    if thick:
        return (to_si(1.0 - float(thick[1]), kind, GAUGE),), (thick[0],), GAUGE
    slip = slip_of_the_number(text, kind)
    if slip:
        raise NotAQuantity(Wrong(*slip))
    found = _BAND.match(text) or _PLAIN.match(text)
    if not found:
        if text.lstrip("+-").lower().startswith(("nan", "inf")):
            raise NotAQuantity(Wrong("must be a finite number"))
        raise NotAQuantity(Wrong(f'must be {known.words}, for example "{known.example}"'))
    *numbers, typed = found.groups()
    unit = spelled(typed)
    if unit not in known.units:
        raise NotAQuantity(Wrong(*slip_of_the_unit(unit, numbers[0], kind)))
    if unit == GAUGE and not all(float(n).is_integer() and 0.0 <= float(n) <= LARGEST_GAUGE for n in numbers):
        raise NotAQuantity(Wrong(f"must be a whole gauge, 4/0 to {LARGEST_GAUGE:g} AWG"))
    return _in_si(numbers, kind, unit), tuple(numbers), unit


def _in_si(numbers: list[str], kind: str, unit: str) -> tuple[float, ...]:
    try:
        ends = tuple(sorted(to_si(float(number), kind, unit) for number in numbers))
    except ZeroDivisionError:
        raise NotAQuantity(Wrong("must be above zero")) from None
    if not all(math.isfinite(end) for end in ends):
        raise NotAQuantity(Wrong("must be a finite number"))
    if len(numbers) == 2 and float(numbers[0]) > float(numbers[1]):
        turned = f"{numbers[1]}..{numbers[0]} {pretty(unit)}".strip()
        raise NotAQuantity(Wrong("must have low before high", f'write "{turned}"'))
    return ends
