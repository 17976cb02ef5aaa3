"""Bench units and builder's words for the numbers of a record. The records stay SI; only what is read is turned."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from headrace.machine.naming import spoken as spoken

RPM = 60.0 / (2.0 * math.pi)
ZERO = 273.15

# What each reason is called in a line of the map, and the shape it has there. Meaning is never by colour alone.
SHAPES = {
    "tip-too-fast": ("∧", "too fast"),
    "too-fast-when-full": ("∧", "too fast"),
    "too-slow-when-empty": ("∨", "too slow"),
    "stopped-by-the-cold": ("*", "stands in the cold"),
    "part-over-voltage": ("┃", "over volts"),
    "volts-past-rating-downhill": ("┃", "over volts"),
    "full-pack-downhill": ("⊓", "no room downhill"),
    "cuts-out-under-load": ("╳", "cuts out"),
    "cell-pulled-too-low": ("┴", "cell too low"),
    "cell-current-continuous": ("━", "amps, for long"),
    "cell-current-peak": ("─", "amps, at peak"),
    "source-past-its-amps": ("▭", "past its fuse"),
    "cells-too-hot": ("≈", "cells too hot"),
    "winding-too-hot": ("≋", "winding too hot"),
    "too-short-new": ("◔", "too few minutes"),
    "too-short-aged": ("◑", "too few minutes when aged"),
    "too-heavy": ("▾", "too heavy"),
    "does-not-fit": ("□", "does not fit"),
    "over-budget": ("¤", "over budget"),
}
WORKS = "●"
OTHER = ("◇", "another limit")  # one this room has not been told of


def capital(text: str) -> str:
    """Return a text with a capital at its start; the rest as it is, so that "mower A" keeps its A."""
    return text[:1].upper() + text[1:]


def digits_of(value: float, digits: int = 0) -> str:
    """Return a number to so many digits behind the point; what rounds to nothing is 0, never -0."""
    said = f"{value:.{digits}f}"
    return said.lstrip("-") if float(said) == 0.0 else said


def watts(value: float | None) -> str:
    """Return a power, to three digits at most."""
    if value is None:
        return "–"
    if abs(value) < 9.95:
        return f"{digits_of(value, 1)} W"
    return f"{value:.0f} W" if abs(value) < 9999.5 else f"{value / 1000:.1f} kW"


def watt_hours(joules: float | None) -> str:
    """Return an energy in watt-hours."""
    return "–" if joules is None else f"{digits_of(joules / 3600)} Wh"


def minutes(seconds: float | None) -> str:
    """Return a time in minutes, hours when long, seconds when short."""
    if seconds is None:
        return "–"
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    if seconds < 3.0 * 3600.0:
        return f"{seconds / 60:.0f} min"
    return f"{seconds / 3600:.1f} h"


def rpm(speed: float | None) -> str:
    """Return a speed of rotation in turns a minute."""
    return "–" if speed is None else f"{digits_of(speed * RPM)} rpm"


def celsius(kelvin: float | None) -> str:
    """Return a temperature in degrees Celsius."""
    return "–" if kelvin is None else f"{digits_of(kelvin - ZERO)} °C".replace("-", "−")


def percent(share: float | None) -> str:
    """Return a share in per cent."""
    return "–" if share is None else f"{digits_of(share * 100)} %"


def some(share: float) -> str:
    """Return a share of the draws in per cent; neither nothing nor all where it is only close to it."""
    said = percent(share)
    if said == "0 %" and share > 0.0:
        return "< 1 %"
    return "> 99 %" if said == "100 %" and share < 1.0 else said


def plain(value: float | None, unit: str, digits: int = 1) -> str:
    """Return a number with its unit, or a dash."""
    return "–" if value is None else f"{digits_of(value, digits)} {unit}".strip()


def size(series: float, parallel: float) -> str:
    """Return a pack's counts as they are said."""
    return f"{series:.0f}s{parallel:.0f}p"


def band(value: Any, say: Callable[[Any], str]) -> str:
    """Return a number of the record with its band in the same words: "33 min, 19 min to 47 min"."""
    if not isinstance(value, dict):
        return say(value)
    return f"{say(value['typical'])}, {say(value['low'])} to {say(value['high'])}"


GIVERS = {"batteries": "the batteries", "wall-socket": "the socket", "bench-supply": "the supply"}
ENDLESS = ("wall-socket", "bench-supply")


def giver(record: dict[str, Any]) -> str:
    """Return what a machine draws from: "the cells", "the socket"."""
    return GIVERS.get(record["source"], "the cells")


def its_side(record: dict[str, Any]) -> str:
    """Return the side of a chain that carries what it draws: "pack's side", "socket's side"."""
    return "pack's side" if empties(record) else f"{giver(record).removeprefix('the ')}'s side"


def empties(record: dict[str, Any]) -> bool:
    """Return whether what a machine draws from ever is empty."""
    return record["source"] not in ENDLESS


def moment(record: dict[str, Any]) -> str:
    """Return at which moment of the day the losses are told, how full the pack is by then and how warm the motors."""
    losses = record["losses"]
    when = "in the middle of the day, motors as warm as by then" if losses["time_s"] > 0.0 else "at first, motors cold"
    left = f", {percent(middle(losses['charge']))} of the charge left" if empties(record["pack"]) else ""
    return f"{when}{left}"


def pack_name(pack: dict[str, Any]) -> str:
    """Return what a machine draws from, with its counts where it has some: "10s4p of energy-18650"."""
    if pack["source"] in ENDLESS:
        return spoken(pack["source"])
    return f"{size(pack['series'], pack['parallel'])} of {pack['cell']}"


def chains_of(losses: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the chains of a record of losses, each with its states; one without a name where there is one."""
    return losses.get("chains") or [{"name": "", "states": losses["states"]}]


def spread(value: Any, say: Callable[[Any], str]) -> str:
    """Return the ends of a band as they stand beside its number, the unit said once: "47 to 123"; "" without a band."""
    if not isinstance(value, dict):
        return ""
    said = [say(value[end]) for end in ("typical", "low", "high")]
    if said[1] == said[2]:
        return ""
    split = [part.rpartition(" ") for part in said]
    bare = {unit for _, _, unit in split} == {split[0][2]} and all(number for number, _, _ in split)
    return f"{split[1][0]} to {split[2][0]}" if bare else f"{said[1]} to {said[2]}"


def middle(value: Any) -> Any:
    """Return the typical end of a number of the record, with a band or without."""
    return value["typical"] if isinstance(value, dict) else value


def typical(record: Any) -> Any:
    """Return a record with every band cut down to its typical number."""
    if isinstance(record, dict):
        if record.keys() == BAND:
            return record["typical"]
        return {key: typical(value) for key, value in record.items()}
    return [typical(item) for item in record] if isinstance(record, list) else record


BAND = {"typical", "low", "high"}


# What TeX writes in a law's docstring, as one line of plain text.
SPOKEN = {
    r"\\[,;!]": " ", r"\\(bigl|bigr|Bigl|Bigr|left|right|text|mathrm)\b": "", r"\\tfrac\{1\}\{2\}": "½", r"\\quad": " ",
    r"\\(dot|bar) ?\{?(\w)\}?": r"\2", r"\\sqrt\{([^{}]*)\}": r"√(\1)", r"\\beta": "β", r"\\gamma": "γ",
    r"\\le\b": "≤", r"\\sum": "Σ", r"\\cdot": "·", r"\\min": "min", r"\\max": "max",
    r"\\exp": "exp", r"\\ln": "ln", r"\\alpha": "α", r"\\omega": "ω", r"\\rho": "ρ", r"\\eta": "η", r"\\mu": "μ",
    r"\\pi": "π", r"\\infty": "∞", r"\\tau": "τ", r"\\zeta": "ζ", r"\\sigma": "σ",
    r"\\Delta": "Δ", r"\\lfloor": "⌊", r"\\rfloor": "⌋",
}  # fmt: skip
FRACTION = re.compile(r"\\t?frac\{([^{}]*)\}\{([^{}]*)\}")


def formula(tex: str) -> str:
    """Return a formula of a docstring as one line of plain text."""
    said = re.sub(r"([_^])\{([^{}]*)\}", r"\1\2", tex)
    for pattern, plain_text in SPOKEN.items():
        said = re.sub(pattern, plain_text, said)
    while FRACTION.search(said):
        said = FRACTION.sub(r"(\1)/(\2)", said)
    return " ".join(re.sub(r"[{}]|\\", "", said).split())
