"""What a person calls a number of the file: "the blade's windage" for ``chains.mower.work.windage``."""

from __future__ import annotations

import re

# how a name in a record says its unit, longest first
ENDINGS = {
    "rad_s_N_m": "rad/(s·N·m)", "rad_s": "rad/s", "m3_s": "m³/s", "kg_s": "kg/s", "m_s": "m/s", "N_m": "N·m",
    "ohm": "Ω", "kg": "kg", "m2": "m²", "m3": "m³",
    "N_m_s_rad": "N·m·s/rad", "N_m_s2_rad2": "N·m·s²/rad²", "V_s_rad": "V·s/rad", "kg_m2": "kg·m²",
    "J_kg_K": "J/(kg·K)", "J_mol": "J/mol", "J_K": "J/K", "K_W": "K/W", "A_s": "A·s", "per_K": "1/K", "per_s": "1/s",
    "rad": "rad", "Hz": "Hz", "F": "F", "H": "H",
    "N": "N", "W": "W", "J": "J", "V": "V", "A": "A", "s": "s", "K": "K", "m": "m",
}  # fmt: skip
UNIT = re.compile(rf"_({'|'.join(ENDINGS)})$")
ORDER = ("", ", second", ", third", ", fourth")
AT = re.compile(r"_(\d\d)$")
OWNERS = {
    "source.cell": "the cell's", "source.strips": "the strips'", "source": "the pack's", "job": "the job's",
    "balance": "the machine's", "fuse": "the fuse's", "board": "the board's", "pre_charge": "the pre-charge's",
    "charger": "the charger's",
}  # fmt: skip
# whose numbers those of the source are, where they are no pack's of cells
FROM = {
    "batteries": {"source.cell": "the battery's"},
    "wall-socket": {"source.cell": "the socket's", "source": "the socket's"},
    "bench-supply": {"source.cell": "the supply's", "source": "the supply's"},
}
# what a limit is called where it is asked for
LIMITS = {
    "time_wanted": "minutes wanted",
    "box[0]": "box for the pack, long",
    "box[1]": "box for the pack, wide",
    "box[2]": "box for the pack, high",
    "reserve": "charge kept in reserve",
    "end_of_life_capacity": "capacity of worn cells",
    "end_of_life_resistance": "resistance of worn cells, times that of new ones",
    "max_mass": "mass of the pack, at most",
    "budget": "money for the cells",
    "ambient_hot": "hottest weather",
    "ambient_cold": "coldest weather",
    "cable_drop": "volts lost in cables, at most",
}


def named(address: str, tool: str = "", *, chain: bool = False, source: str = "") -> str:
    """Return what the number at an address is called.

    Parameters
    ----------
    address
        As in ``machine.pedigree``.
    tool
        What the work of a chain is called; left out, as the chain is.
    chain
        Name the chain as well: there are several.
    source
        Kind of the machine's source; left out, a pack of cells.
    """
    *path, last = address.split(".")
    said = quantity(last)
    if path[:1] == ["chains"] and len(path) == 3:
        owner = spoken(path[2] if path[2] != "work" else tool or path[1])
        return f"{_of(owner)} {said}" + (f" ({spoken(path[1])})" if chain else "")
    if path[:1] == ["balance"] and len(path) == 3:  # a part taken out or put in
        return f"{_of(spoken(path[2]))} {said}"
    if path[:1] == ["part_prices"]:
        return f"the price of {path[1].replace('·', '.')}"
    if path[:1] == ["job"] and len(path) == 2:
        return f"the {said} of {spoken(path[1])}"
    whose = {**OWNERS, **FROM.get(source, {})}.get(".".join(path))
    return f"{whose} {said}" if whose else said


def quantity(name: str) -> str:
    """Return the name of a field or a parameter as words: "resistance at 25 °C", "slow time, second"."""
    bare, _, place = name.rstrip("]").partition("[")
    at, order = AT.search(bare), ORDER[min(int(place or 0), len(ORDER) - 1)]
    return spoken(AT.sub("", bare)) + (f" at {at[1]} °C" if at else "") + order


def spoken(slug: str) -> str:
    """Return a slug as words."""
    return slug.replace("-", " ").replace("_", " ")


def _of(owner: str) -> str:
    return f"the {owner}'" if owner.endswith("s") else f"the {owner}'s"
