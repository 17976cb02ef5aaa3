"""What a size of cable is called on every list: what is bought by its size has its price under this name."""

from __future__ import annotations

import re

BY_SIZE = ("cable", "cord", "lugs", "ferrules", "push-on sleeves")  # whose size the design says
OF_A_SIZE = re.compile(rf"({'|'.join(BY_SIZE)}) ([0-9]+(?:\.[0-9]+)?) mm²")
MILLIMETRES = 1e6  # square ones, of a square metre


def square(area: float) -> str:
    """Return a cross-section in the trade's unit: "10 mm²". [m²]"""
    return f"{MILLIMETRES * area:.3g} mm²"


def of_size(what: str, area: float) -> str:
    """Return what a thing of a size is called: "cable 10 mm²". [m²]"""
    return f"{what} {square(area)}"


def named_by_size(name: str) -> bool:
    """Return whether a thing of some size is called so, to the letter: a price under "cable 10.0 mm²" would be lost."""
    found = OF_A_SIZE.fullmatch(name)
    return found is not None and of_size(found[1], float(found[2]) / MILLIMETRES) == name
