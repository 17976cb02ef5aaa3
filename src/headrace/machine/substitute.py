"""A machine with another motor and other cells of the shelf in the place of its own."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

from headrace.machine.complete import complete
from headrace.machine.form import File
from headrace.machine.form_links import MOTORS
from headrace.machine.reading import Reading
from headrace.machine.records import Machine

KEPT = ("extra_mass", "extra_cost", "gap", "wall", "film", "in_turn")  # of a pack, whichever cells are in it


def with_shelf_parts(reading: Reading, motor: str, cell: str) -> Machine:
    """Return what a file describes, its first chain's motor and its source's cells taken from the shelf.

    Parameters
    ----------
    reading
        The file, sound.
    motor, cell
        Names on the shelf. What the file says of its own motor and cells goes with them; counts in series and parallel
        are 1, for whoever asks puts others in their place.
    """
    data: dict[str, Any] = copy.deepcopy(tomllib.loads(reading.text))
    links = data["chains"][0]["links"]
    place = next(k for k, link in enumerate(links) if link["kind"] in MOTORS)
    links[place] = {"kind": "dc-motor", "name": links[place].get("name", "motor"), "shelf": motor}
    kept = {key: value for key, value in data["source"].items() if key in KEPT}
    data["source"] = {"cell": cell, "series": 1, "parallel": 1, **kept}
    data.pop("variants", None)
    return complete(File.model_validate(data), reading.machine.file, {}, reading.shelf)
