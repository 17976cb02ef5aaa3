"""The readings on the bench as rows: what, where and when, what is expected, what is still fine, what it means."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from headrace.paper.charging import hours
from headrace.paper.starting import seconds
from headrace.paper.units_of_words import ALIKE, said_in, symbol
from headrace.paper.words import empties, middle, plain

Record = dict[str, Any]
SMALL = 1.0  # V and Ω, below which thousandths are told
FINE = {"draws": "from the bands of your numbers", "twice": "twice what is expected", "usual": "usual"}
MEANS = {
    "draws": "From the bands of your numbers: nine machines in ten that fit your file lie within.",
    "usual": "Usual: how far such a reading is commonly off though nothing is wrong; common practice, from memory.",
}
AT_MAINS = (
    "A power meter goes between plug and socket while the plug is out; stand clear while it turns. No tip of a meter "
    "goes near mains."
)
WITH_TIPS = (
    "Set the meter before its tips touch; one hand, one tip at a time, nothing bridged. Expected of the typical "
    "machine{}; at other amps a drop is larger or smaller in proportion."
)


def before(record: Record) -> str:
    """Return what is said before anything is read."""
    if record["pack"]["source"] == "wall-socket":
        return f"{AT_MAINS} Expected of the typical machine."
    return WITH_TIPS.format(" with new cells" if empties(record["pack"]) else "")


def readings(record: Record) -> list[tuple[str, str, str, str, str]]:
    """Return a row for each reading there is: name, where and when, what is expected, what is still fine, if not."""
    return [
        (one["name"], f"{one['where']}; {_when(one)}", _expected(one), _fine(one), one["differs"])
        for one in record["bench_readings"]
        if middle(_of(one, "expected")) is not None
    ]


def meanings(record: Record) -> list[str]:
    """Return what stands behind the words in brackets."""
    used = {one["fine_by"] for one in record["bench_readings"] if middle(_of(one, "expected")) is not None}
    return [says for by, says in MEANS.items() if by in used]


def unread(record: Record) -> list[str]:
    """Return what is not read, a sentence for each reason."""
    by_reason: dict[str, list[str]] = {}
    for one in record["bench_readings"]:
        if middle(_of(one, "expected")) is None:
            by_reason.setdefault(str(one["reason"]), []).append(str(one["name"]))
    return [f"Not read: {', '.join(names)}. The reason: {reason}." for reason, names in by_reason.items()]


def _when(one: Record) -> str:
    amps = middle(one["current_A"])
    flows = "" if amps is None else plain(amps, "A")
    return ", ".join(said for said in (at_rest(one), one["when"], flows) if said)


def _expected(one: Record) -> str:
    return ("at most " if one["kind"] == "apart" else "") + _say(one)(middle(_of(one, "expected")))


def _fine(one: Record) -> str:
    """Return what is still fine, by the draws where there are some, else what is usual; "" where no end is told."""
    value = _of(one, "expected")
    say = _say(one)
    if isinstance(value, dict):
        low, high = value["low"], value["high"]
    else:
        low, high = middle(_of(one, "usual_from")), middle(_of(one, "usual_to"))
    if low == high:
        return ""
    ends = f"up to {say(high)}" if low == 0.0 else f"{say(low)} to {say(high)}"
    return f"{ends} ({FINE[one['fine_by']]})"


def _say(one: Record) -> Callable[[float], str]:
    """Return how a number of a reading is told: as fine as what is expected."""
    unit, value = _unit(one), middle(_of(one, "expected"))
    if unit in ("V", "ohm") and value < SMALL:
        return lambda number: said_in(number, "mV" if unit == "V" else "mΩ")
    words: dict[str, Callable[[float], str]] = {
        **ALIKE,
        "V": partial(plain, unit="V"),
        "A": partial(plain, unit="A"),
        "ohm": partial(plain, unit=symbol("ohm"), digits=2),
        "s": seconds,
    }
    return words[unit]


def _unit(one: Record) -> str:
    """Return the ending under which the record holds the numbers of a reading."""
    return next(key for key in one if key.startswith("expected_")).removeprefix("expected_")


def _of(one: Record, name: str) -> Any:
    return one[f"{name}_{_unit(one)}"]


def two_loads(record: Record) -> str:
    """Return how the pack's resistance is read from two loads; "" of what never empties."""
    one = record["two_loads"]
    if one.get("resistance_ohm") is None:
        return ""
    light, heavy = (
        f"{plain(middle(one[f'{load}_current_A']), 'A')} for {plain(middle(one[f'{load}_time_s']), 's', 0)}"
        for load in ("light", "heavy")
    )
    volts = [plain(middle(one[f"{load}_voltage_V"]), "V", 2) for load in ("light", "heavy")]
    ohms = [said_in(middle(one[f"{key}_ohm"]), "mΩ") for key in ("resistance", "at_once", "lasting")]
    lasting = plain(middle(one["after_s"]), "s", 0)
    return (
        f"The resistance of the pack from two loads: draw {light} and read {volts[0]}, then at once {heavy} and read "
        f"{volts[1]}; the volts between them over the amps between them are {ohms[0]}. What answers at once is "
        f"{ohms[1]}, and {lasting} of the heavy load show {ohms[2]}. Draw them behind the main fuse, with lamps "
        f"or a load resistor made for these amps and volts. {_amps(one)} IEC 61960's test, "
        f"which begins on a full cell; here the pack is half full, where its volts at rest hardly fall meanwhile."
    )


def _amps(one: Record) -> str:
    if one["limited"]:
        return "The heavy load is held to what pack and main fuse let through; the rest is as in"
    return "Amps and times are those of"


def at_rest(one: Record) -> str:
    """Return after how long a rest something is read; "" of what is not read at rest."""
    rested = middle(one["rested_s"])
    return "" if rested is None else f"rested for {hours(rested)}"


def rested_for(record: Record) -> str:
    """Return after how long a rest the volts of the table are read."""
    return f"{at_rest(record['pack'])}, nothing connected"


def resting(record: Record) -> list[tuple[str, str, str, str]]:
    """Return a row for each tenth of the charge: volts of pack and cell at rest, and where they tell nothing."""
    return [
        (
            one["name"],
            plain(middle(one["voltage_V"]), "V"),
            plain(middle(one["cell_voltage_V"]), "V", 3),
            one["reason"] or "",
        )
        for one in record["pack"]["rest"]
    ]
