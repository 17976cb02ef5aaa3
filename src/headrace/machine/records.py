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

from headrace.machine.lanes import Lanes as Lanes
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


# --- links, from the work back to the terminals ---------------------------------------------------


@dataclass(frozen=True)
class Bearings:
    """Bearings and seals of one shaft."""

    name: str
    count: Lanes  # -
    load: Lanes  # N, on each bearing
    bore: Lanes  # m
    friction: Lanes  # -, rolling friction coefficient
    seal_drag: Lanes  # N m, seals and grease of each bearing


@dataclass(frozen=True)
class Transmission:
    """A belt, roller chain, gear set or worm."""

    name: str
    kind: str  # v-belt, toothed-belt, flat-belt, roller-chain, gears, worm
    ratio: Lanes  # -, input turns per output turn without creep
    efficiency: Lanes  # -, of the part that grows with load
    creep: Lanes  # -, share of speed lost; 0 for toothed parts
    drag: Lanes  # N m at the input shaft, load or not
    drag_slope: Lanes  # N m s/rad at the input shaft


@dataclass(frozen=True)
class Motor:
    """A permanent-magnet direct-current motor, brushed or as equivalent DC."""

    name: str
    commutation: str  # brushed, electronic
    constant: Lanes  # V s/rad = N m/A at 25 C
    resistance: Lanes  # ohm at 25 C, terminal to terminal
    brush_drop: Lanes  # V, both brushes; 0 when commutated electronically
    drag: Lanes  # N m, friction and hysteresis
    drag_slope: Lanes  # N m s/rad, eddy currents
    drag_square: Lanes  # N m s2/rad2, own fan
    rotor_inertia: Lanes  # kg m2
    magnet_slope: Lanes  # 1/K, change of the constant with magnet temperature
    winding_to_case: Lanes  # K/W
    case_to_air: Lanes  # K/W
    winding_heat: Lanes  # J/K
    case_heat: Lanes  # J/K
    rotor_share: Lanes  # -, share of rotation losses that heats the winding node
    winding_limit: Lanes  # K
    magnet_rise: Lanes  # K, warm magnets above the air after work
    rated_power: Lanes  # W at the shaft, plate; nan when the file gives none
    continuous_mark: bool  # plate says S1
    max_voltage: Lanes  # V


@dataclass(frozen=True)
class Controller:
    """The motor controller, or the bare switch when it only connects (mode "full")."""

    name: str
    mode: str  # full, governed
    speed: Lanes  # rad/s at the motor shaft; inf in mode full
    motor_current: Lanes  # A, limit on the motor side; inf without one
    battery_current: Lanes  # A, limit on the battery side; inf without one
    resistance: Lanes  # ohm, of the path the motor current takes
    idle_power: Lanes  # W
    switching_time: Lanes  # s, rise and fall together
    switching_frequency: Lanes  # Hz
    cut_out: Lanes  # V at its own terminals
    max_voltage: Lanes  # V


@dataclass(frozen=True)
class Cable:
    """A pair of conductors, out and back."""

    name: str
    length: Lanes  # m, one way
    area: Lanes  # m2 of metal
    resistance_per_length: Lanes  # ohm/m of one conductor at 20 C
    temperature_slope: Lanes  # 1/K, of the metal's resistance, at 20 C
    temperature: Lanes  # K, of the metal at work


@dataclass(frozen=True)
class Contacts:
    """Lugs, plugs, fuses, contactors, a board's current path: anything bolted or plugged in series."""

    name: str
    count: Lanes  # -
    resistance: Lanes  # ohm, each
    max_voltage: Lanes  # V; inf when the file gives none


Link = Bearings | Transmission | Motor | Controller | Cable | Contacts


@dataclass(frozen=True)
class Chain:
    """One tool and the row of links that feeds it."""

    name: str
    work: Work
    links: tuple[Link, ...]


# --- the source ----------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Cell:
    """One cell, new, at 25 C and half charge unless a field says otherwise."""

    name: str
    chemistry: str  # NMC, LFP ...
    form: str  # cylinder
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
    max_temperature: Lanes  # K, discharging
    charge_min_temperature: Lanes  # K
    mass: Lanes  # kg
    specific_heat: Lanes  # J/(kg K)
    diameter: Lanes  # m
    length: Lanes  # m
    price: Lanes  # money each; nan when unknown


@dataclass(frozen=True)
class Strips:
    """The metal that joins the groups; one strip path per cell from group to group."""

    resistivity: Lanes  # ohm m at 20 C
    temperature_slope: Lanes  # 1/K at 20 C
    width: Lanes  # m
    thickness: Lanes  # m, all layers
    length: Lanes  # m, centre to centre of neighbouring cells


@dataclass(frozen=True)
class Source:
    """Cells in series and parallel with what joins and wraps them."""

    cell: Cell
    series: Lanes  # whole number
    parallel: Lanes  # whole number
    strips: Strips
    extra_mass: Lanes  # -, holders, strips, box and board as a share of the cells' mass
    extra_cost: Lanes  # money, board, strips, box
    gap: Lanes  # m, between neighbouring cells
    wall: Lanes  # m, insulation and box on each side
    film: Lanes  # W/(m2 K), from the box's surface to the air


# --- the job, the limits, the safety -----------------------------------------------------------------


@dataclass(frozen=True)
class DutyState:
    """One thing the machine does during its job."""

    name: str
    share: float  # -, of the time
    loaded: bool  # False where the tool turns without load; wheels that turn roll all the same
    power: Lanes = 0.0  # W at the tool, asked for whatever the speed; 0 where the kind of work says it
    off: tuple[str, ...] = ()  # chains that stand still
    lifted: bool = False  # True where wheels turn in the air
    # mowing
    sward: Lanes = 0.0  # kg/m2 fresh mass removed
    wet_factor: Lanes = 1.0  # -, multiplies the power into the grass
    # tilling, boring, sawing, chipping
    depth: Lanes = 0.0  # m, of soil or of the cut
    feed: Lanes = 0.0  # m/s, of the tool into the work
    material: Lanes = 0.0  # kg/s into the chipper
    demand: Lanes = 0.0  # W, of a shaft at the speed its watts are known at
    # hoisting, hauling, travel
    load: Lanes = 0.0  # kg on the rope, or carried
    slope: Lanes = 0.0  # rad, upward; a right angle for a free lift
    drawbar: Lanes = 0.0  # N pulled behind

    def at_work(self, chain: Chain) -> bool:
        """Return whether a chain is switched on."""
        return chain.name not in self.off

    def loads(self, chain: Chain) -> bool:
        """Return whether a chain is switched on and works against a load."""
        return self.loaded and self.at_work(chain)


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
    worked: Mapping[str, Worked] = field(default_factory=dict, compare=False)  # by address, each after its parents
