"""Wires that the netlist has and the file has no cable for: the size they need, proposed by the rules of the file's.

Nothing is judged on them and nothing of the day counts their loss: they are what to buy until the file has a cable.
"""

from __future__ import annotations

from dataclasses import replace

from headrace.machine.links import Cable
from headrace.machine.practice import practice
from headrace.machine.printed import printed
from headrace.machine.records import Lanes
from headrace.physics.working import leaves
from headrace.tables import load
from headrace.wiring.ampacities import strands
from headrace.wiring.conductors import METRIC, Conductor, Line, conductor, guarded, limited, offered

NAME = "cable"


def assumed() -> Cable:
    """Return a cable to begin with: the thinnest there is, as long and as warm as one that the file says nothing of."""
    copper = next(row for row in load("metals") if row["name"] == "copper")
    slope = printed(copper, "temperature_slope")
    thinnest = leaves(offered(Cable.rated_by, METRIC)[0], "table", "a standard size")
    length, warm = practice("cable.length"), practice("cable.temperature")
    return Cable(NAME, length, thinnest, strands(thinnest), slope, warm)


def proposal(
    line: Line, rating: Lanes | None, ambient: Lanes, most_drop: Lanes, limit: Lanes | None = None
) -> Conductor:
    """Return the run of one side with the smallest size that does; nan where none does.

    Parameters
    ----------
    line
        What it carries, its cable as ``assumed``.
    rating
        Of the main fuse, where it alone guards the wire, which then bears it for long; None behind a limit. [A]
    ambient
        Of the hottest weather. [K]
    most_drop
        Share of the volts that may be left in it. [-]
    limit
        Of the controller on the motor's current, which the wire then bears for long; None where there is none. [A]
    """
    sought = conductor(line, ambient, most_drop)
    if rating is not None:
        sought = guarded(sought, rating, ambient)
    if limit is not None:
        sought = limited(sought, limit, ambient)
    area = sought.needed
    cable = replace(line.cable, area=area, resistance_per_length=strands(area))
    return replace(
        conductor(replace(line, cable=cable), ambient, most_drop),
        planned=False,
        limit=sought.limit,
        by_limit=sought.by_limit,
        by_fuse=sought.by_fuse,
        needed=area,
        gauge_area=sought.gauge_area,
    )
