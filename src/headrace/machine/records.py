"""The machine in SI: what the rest of the house works with.

Text has become numbers by the time a record exists. Every number is a float, or an array with one value per
lane; which of the two makes no difference to the stages. Records are frozen: a changed machine is a new record
(``dataclasses.replace``). Where a number came from is kept beside the records, in ``Machine.pedigree``.

Units are those of the field comments: kg, m, s, K (absolute), A, V, W, J, ohm, rad/s, A s; fractions are bare.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from headrace.machine.charger import Charger
from headrace.machine.fuse import Fuse
from headrace.machine.joins import Joins
from headrace.machine.lanes import Lanes as Lanes
from headrace.machine.links import Link
from headrace.machine.prices import PartPrice, Prices
from headrace.machine.protection import Board, PreCharge
from headrace.machine.weights import Balance
from headrace.machine.worked import Worked
from headrace.machine.works import Work


@dataclass(frozen=True)
class Origin:
    """Where one number came from, and how sure it is."""

    address: str
    basis: str  # given, measured, datasheet, table, assumed
    source: str  # key of tables/sources.toml, or the builder's own words
    typical: float  # SI
    low: float  # 5 % end of the band, SI; equals typical where there is no band
    high: float  # 95 % end of the band, SI
    unit: str  # SI unit as printed
    written: str  # as the file has it; "" where a table filled the gap
    line: int  # in the machine file; 0 where a table filled the gap
    least: float = -math.inf  # the key takes nothing below, SI; a draw never goes there
    most: float = math.inf  # nor above
    inner: bool = False  # no field of a record: others are worked out of it


@dataclass(frozen=True)
class Chain:
    """One tool and the row of links that feeds it."""

    name: str
    work: Work
    links: tuple[Link, ...]
    alternating: bool = False  # whether its motor runs on alternating current


@dataclass(frozen=True)
class Auxiliary:
    """A lamp, a horn, a small fan: watts taken from the source, whatever its voltage."""

    name: str
    power: Lanes  # W


# --- the source ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Wells:
    """Two wells of charge: one next to the plates that feeds the terminals, one behind it that feeds the first."""

    share: Lanes  # -, of the first in the whole
    rate: Lanes  # 1/s, at which a rest brings them to one height
    excess: Lanes  # -, what both hold over the rated capacity


@dataclass(frozen=True, eq=False)
class Cell:
    """One cell, new, at 25 C and half charge unless a field says otherwise."""

    name: str
    chemistry: str  # NMC, LFP ...
    form: str  # cylinder, block (made in every size), supply (never empties)
    ocv_table: str  # name in tables/ocv.csv
    ocv_charge: npt.NDArray[np.float64]  # fraction, rising
    ocv_volts: npt.NDArray[np.float64]  # V
    plateau: tuple[float, float] | None  # volts between which charge cannot be read from voltage
    entropy_charge: npt.NDArray[np.float64]  # fraction, rising
    entropy_slope: npt.NDArray[np.float64]  # V/K, d(open-circuit voltage)/dT
    capacity: Lanes  # A s
    full_voltage: Lanes  # V, end of charge
    empty_voltage: Lanes  # V, end of discharge under load
    nominal_voltage: Lanes  # V
    resistance: Lanes  # ohm, first second
    slow_resistance: tuple[Lanes, Lanes]  # ohm, the two RC pairs
    slow_time: tuple[Lanes, Lanes]  # s, the two RC pairs
    empty_rise: Lanes  # -, growth of resistance towards empty
    activation_energy: Lanes  # J/mol
    cold_loss: Lanes  # 1/K, capacity lost per kelvin below 25 C
    continuous_current: Lanes  # A
    peak_current: Lanes  # A
    charge_current: Lanes  # A, most it takes on charge, warm
    max_temperature: Lanes  # K, discharging
    charge_min_temperature: Lanes  # K
    mass: Lanes  # kg
    specific_heat: Lanes  # J/(kg K)
    diameter: Lanes  # m
    length: Lanes  # m
    price: Lanes  # money each; nan when unknown
    wells: Wells | None = None  # None where all charge is at hand


@dataclass(frozen=True)
class Strips:
    """The metal that joins the groups; one strip path per cell from group to group."""

    resistivity: Lanes  # ohm m at 20 C
    temperature_slope: Lanes  # 1/K at 20 C
    width: Lanes  # m
    thickness: Lanes  # m, all layers
    length: Lanes  # m, centre to centre of neighbouring cells
    metal: str = ""  # row in tables/metals.csv; "" of what has no strips


@dataclass(frozen=True)
class Source:
    """Cells in series and parallel with what joins and wraps them; a socket or a supply as one cell without end."""

    cell: Cell
    series: Lanes  # whole number
    parallel: Lanes  # whole number
    strips: Strips
    extra_mass: Lanes  # -, holders, strips, box and board as a share of the cells' mass
    extra_cost: Lanes  # money, board, strips, box
    gap: Lanes  # m, between neighbouring cells
    wall: Lanes  # m, insulation and box on each side
    film: Lanes  # W/(m2 K), from the box's surface to the air
    current_limit: Lanes = math.inf  # A at the terminals that a board or fuse of its own lets through; inf without one
    frequency: Lanes = 0.0  # Hz; 0 of direct current
    in_turn: Lanes = 1.0  # whole number of such packs, worked one after the other
    scatter: Lanes = 0.0  # -, standard deviation of capacity and resistance between its cells, over their mean
    ready_made: bool = False  # finished packs known by their label, board inside; ``parallel`` of them side by side

    @property
    def endless(self) -> bool:
        """Whether it never empties, as a socket and a bench supply do not."""
        return self.cell.form == "supply"

    @property
    def at_a_socket(self) -> bool:
        """Whether it is a socket in a wall: mains, which only who may joins."""
        return self.kind == "wall-socket"

    @property
    def kind(self) -> str:
        """What gives the current, as a record says it: cells, batteries, wall-socket, bench-supply."""
        if self.endless:
            return self.cell.name
        return "batteries" if self.cell.chemistry == "lead-acid" else "cells"


# --- the job, the limits, the safety -----------------------------------------------------------------


@dataclass(frozen=True)
class DutyState:
    """One thing the machine does during its job."""

    name: str
    share: float  # -, of the time
    loaded: bool  # False where the tool turns without load; wheels that turn roll all the same
    power: Lanes = 0.0  # W at the tool, asked for whatever the speed; 0 where the kind of work says it
    off: tuple[str, ...] = ()  # chains that stand still, and auxiliaries that are switched off
    lifted: bool = False  # True where wheels turn in the air
    # mowing
    sward: Lanes = 0.0  # kg/m2 fresh mass removed
    wet_factor: Lanes = 1.0  # -, multiplies the power into the grass
    # tilling, boring, sawing, chipping
    depth: Lanes = 0.0  # m, of soil or of the cut
    feed: Lanes = 0.0  # m/s, of the tool into the work
    material: Lanes = 0.0  # kg/s into the chipper
    demand: Lanes = 0.0  # W, of a shaft at the speed its watts are known at
    portion: Lanes = 0.0  # -, of the torque of a measured table
    # hoisting, hauling, travel
    load: Lanes = 0.0  # kg on the rope, or carried
    slope: Lanes = 0.0  # rad, upward; a right angle for a free lift; below 0 downhill, or lowering
    drawbar: Lanes = 0.0  # N pulled behind

    def at_work(self, one: Chain | Auxiliary) -> bool:
        """Return whether a chain or an auxiliary is switched on."""
        return one.name not in self.off

    def loads(self, chain: Chain) -> bool:
        """Return whether a chain is switched on and works against a load."""
        return self.loaded and self.at_work(chain)


@dataclass(frozen=True)
class TopUp:
    """A rest in the middle of the work in which the pack is charged."""

    after: Lanes  # s of work
    time: Lanes  # s
    current: Lanes  # A of the charger


@dataclass(frozen=True)
class Job:
    """What has to be done on one charge."""

    states: tuple[DutyState, ...]  # shares add up to 1
    cycle: float  # s, in which every state comes up once
    area: Lanes  # m2; nan when the job is only a time
    width: Lanes  # m, effective; 0 where nothing works its way over ground
    travel_speed: Lanes  # m/s; 0 likewise
    field_efficiency: Lanes  # -
    ambient: Lanes  # K
    top_up: TopUp | None = None


@dataclass(frozen=True)
class Limits:
    """What the builder wants and will accept; inf or 0 where the file sets none."""

    time_wanted: Lanes  # s
    reserve: Lanes  # -, charge to be left
    end_of_life_capacity: Lanes  # -, of new
    end_of_life_resistance: Lanes  # -, of new
    max_mass: Lanes  # kg, of the pack
    box: tuple[Lanes, Lanes, Lanes]  # m; inf when free
    budget: Lanes  # money, of the pack
    cable_drop: Lanes  # -, of the volts, that a cable may take out and back
    ambient_hot: Lanes  # K
    ambient_cold: Lanes  # K
    tip_speed_min: Lanes  # m/s, and so on: the pace of each kind of tool has its two limits
    tip_speed_max: Lanes  # m/s
    tool_speed_min: Lanes  # rad/s
    tool_speed_max: Lanes  # rad/s
    flow_min: Lanes  # m3/s
    flow_max: Lanes  # m3/s
    load_speed_min: Lanes  # m/s
    load_speed_max: Lanes  # m/s
    travel_speed_min: Lanes  # m/s
    travel_speed_max: Lanes  # m/s


@dataclass(frozen=True)
class Safety:
    """Controls the builder has, or has not, planned."""

    dead_man: bool | None  # None: the file does not say
    brake_resistance: Lanes  # ohm across the motor on release; nan without a brake
    brake_works_unplugged: bool
    friction_brake: bool  # a mechanical brake that holds with the pack unplugged
    charging_cold: Lanes  # K, coldest the cells will be when put on charge
    charging_lock: bool  # something refuses to charge cells that are too cold


@dataclass(frozen=True)
class Machine:
    """Everything one file says, completed from the tables."""

    name: str
    file: str
    chains: tuple[Chain, ...]
    source: Source
    job: Job
    limits: Limits
    safety: Safety
    pedigree: Mapping[str, Origin]
    auxiliaries: tuple[Auxiliary, ...] = ()  # on the source beside the chains
    balance: Balance | None = None  # None where the file does not say what it weighs
    charger: Charger | None = None  # None of a source that never empties
    prices: Prices | None = None  # None likewise
    part_prices: tuple[PartPrice, ...] = ()  # of things on the shopping list
    fuse: Fuse | None = None  # None where the file has no such table
    board: Board | None = None  # None where there is none: lead-acid, a socket, a supply
    pre_charge: PreCharge | None = None  # None where none is planned
    wiring: Joins | None = None  # None where the file does not say what is joined
    worked: Mapping[str, Worked] = field(default_factory=dict, compare=False)  # by address, each after its parents
