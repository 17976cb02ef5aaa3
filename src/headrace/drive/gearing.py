"""Between motor and tool: the stage that may be geared otherwise, and wheels that can be bought for a ratio."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from headrace.drive.links import parts
from headrace.drive.tools import paces_wanted, tool_of
from headrace.machine.links import Link, Motor, Transmission
from headrace.machine.printed import printed
from headrace.machine.records import Chain, Lanes, Limits
from headrace.physics import duty, motors, transmission
from headrace.physics.working import leaves
from headrace.tables import Row, load, sources

SHOWN = 3  # pairs of wheels for a ratio
OFFERED = "toothed-belt"  # kind of stage for a chain that has none
FIELDS = ("efficiency", "creep", "drag", "drag_slope")  # of a stage, beside its ratio


@dataclass(frozen=True)
class Pair:
    """Two wheels for one ratio.

    Attributes
    ----------
    driver, driven
        Teeth, or diameter in metres.
    by
        "teeth" or "m".
    ratio
        Input turns per output turn, without creep. [-]
    note
        What speaks against so small a wheel; "" where nothing does.
    source
        Where that is from.
    """

    driver: Lanes
    driven: Lanes
    by: str
    ratio: Lanes
    note: str
    source: str

    @property
    def said(self) -> str:
        """The pair as it is asked for in a shop."""
        ends = [float(wheel) * (1.0 if self.by == "teeth" else 1000.0) for wheel in (self.driver, self.driven)]
        return "{:.0f} to {:.0f}".format(*ends) + (" teeth" if self.by == "teeth" else " mm")


def stage_of(chain: Chain) -> Transmission | None:
    """Return the stage next to the motor, None where the motor turns the tool itself."""
    stages = [link for link in chain.links if isinstance(link, Transmission)]
    return stages[-1] if stages else None


def usual_stage() -> Transmission:
    """Return a stage for a chain that has none, with the usual numbers of its kind, one to one."""
    usual = {
        row["key"].rpartition(".")[2]: printed(row, "typical")
        for row in load("defaults")
        if row["key"] in {f"{OFFERED}.{name}" for name in FIELDS}
    }
    return Transmission("stage", OFFERED, 1.0, **usual)


def geared(chain: Chain, stage: Transmission, ratio: Lanes) -> Chain:
    """Return a chain with another ratio of the stage next to its motor; with the stage, where it has none."""
    links: list[Link] = list(chain.links)
    own, changed = stage_of(chain), replace(stage, ratio=ratio)
    if own is None:
        links.insert(links.index(parts(chain).motor), changed)
    else:
        links[links.index(own)] = changed
    return replace(chain, links=tuple(links))


def rewound(chain: Chain, turns: Lanes) -> Chain:
    """Return a chain with its motor rewound in the same frame; turns are those after over those before."""
    links = (rewound_motor(link, turns) if isinstance(link, Motor) else link for link in chain.links)
    return replace(chain, links=tuple(links))


def rewound_motor(motor: Motor, turns: Lanes) -> Motor:
    """Return a motor rewound in the same frame."""
    ohms = motors.rewound_resistance(motor.resistance, turns)
    return replace(motor, constant=turns * motor.constant, resistance=ohms)


def wanted_pace(chain: Chain, limits: Limits) -> Lanes | None:
    """Return the pace a tool is to be geared for, None where the file does not say.

    That of the set speed where the controller holds one, else the middle between the least and the greatest.
    """
    row, tool = parts(chain), tool_of(chain.work)
    if math.isfinite(row.controller.speed):
        turns: Lanes = 1.0
        for link in row.mechanical:
            if isinstance(link, Transmission):
                turns = transmission.input_speed(turns, link.ratio, link.creep)
        return tool.pace_at(chain.work, row.controller.speed / turns)
    least, most = paces_wanted(limits, chain.work)
    if not (least > 0.0 and math.isfinite(most)):
        return None
    return duty.mean((0.5, 0.5), (least, most))


def pairs_for(kind: str, ratio: float, least: float = 0.0) -> list[Pair]:
    """Return the pairs of stocked wheels nearest to a ratio, nearest first; none of a kind that is not so made.

    Of pairs with the same ratio the smallest that is not too small. Wheels below the usual least are only offered where
    no others come near.

    Parameters
    ----------
    kind
        Of the stage.
    ratio
        Wanted. [-]
    least
        Ratios below this are not offered. [-]
    """
    rows = [row for row in load("wheels") if row["kind"] == kind]
    limit = next((row for row in load("least_wheels") if row["kind"] == kind), None)
    if limit is None:
        return []
    by = "teeth" if math.isfinite(limit["teeth"]) else "diameter"
    title = sources()[rows[0]["source"]].title
    sizes = [row[by] for row in rows]
    found = [(driver, driven) for driver in sizes for driven in sizes if driven / driver >= least]
    fine = [pair for pair in found if min(pair) >= limit[by]]
    near = _nearest(fine, ratio)
    if not near or _off(near[0], ratio) > _widest_gap(sizes):
        near = _nearest(found, ratio)
    return [_pair(leaves(pair, "table", title), by, *_note(pair, limit, by)) for pair in near]


def _off(pair: tuple[float, float], ratio: float) -> float:
    return abs(math.log(pair[1] / pair[0] / ratio))


def _widest_gap(sizes: list[float]) -> float:
    """Return by how much two neighbouring sizes differ at most: nearer than that a ratio can be met."""
    return max(math.log(b / a) for a, b in pairwise(sizes))


def _nearest(pairs: list[tuple[float, float]], ratio: float) -> list[tuple[float, float]]:
    """Return the few pairs nearest to a ratio, of each ratio the smallest."""
    smallest: dict[float, tuple[float, float]] = {}
    for pair in sorted(pairs, key=sum):
        smallest.setdefault(round(pair[1] / pair[0], 9), pair)
    return sorted(smallest.values(), key=lambda pair: _off(pair, ratio))[:SHOWN]


def _pair(wheels: tuple[Lanes, Lanes], by: str, note: str, source: str) -> Pair:
    driver, driven = wheels
    return Pair(driver, driven, by if by == "teeth" else "m", transmission.ratio_of(driver, driven), note, source)


def _note(pair: tuple[float, float], limit: Row, by: str) -> tuple[str, str]:
    """Return what speaks against the smaller of two wheels, and where that is from."""
    if min(pair) >= limit[by]:
        return "", ""
    least = f"{limit[by]:.0f} teeth" if by == "teeth" else f"{1000.0 * limit[by]:.0f} mm"
    return f"below {least} {limit['below']}", sources()[limit["source"]].title
