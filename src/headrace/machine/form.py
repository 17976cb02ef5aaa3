"""The form of a machine file: its tables and keys, the kind of each quantity, and how far it may reach.

Whatever is left out is filled in from the tables as assumed, but for what only the builder can know.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from headrace.machine.form_balance import BalanceTable
from headrace.machine.form_charger import ChargerTable
from headrace.machine.form_fuse import FuseTable
from headrace.machine.form_links import ChainTable
from headrace.machine.form_prices import PricesTable
from headrace.machine.form_protection import BoardTable, PreChargeTable
from headrace.machine.form_source import SourceTable
from headrace.machine.form_table import Name, Table
from headrace.machine.form_wiring import WiringTable
from headrace.machine.quantities import Quantity, Written

Side = Annotated[Written, Quantity("length", 0.01, 10.0, "none")]


class MachineTable(Table):
    """What the machine is called; ``parts`` names a file of the builder's own cells and motors."""

    name: Annotated[str, Field(min_length=1, max_length=120)]
    about: str = ""
    parts: Annotated[str, Field(min_length=1, max_length=500)] | None = None


class StateTable(Table):
    """One thing the machine does; which keys a state takes, the kinds of tool at its chains say.

    Shares, or times, are of the whole time; of work over ground they are of the time spent on it, and turning takes
    what is left. A chain named in ``off`` stands still, an auxiliary is switched off.
    """

    name: Name
    share: Annotated[Written | None, Quantity("fraction", 0.0, 1.0, "none")] = None
    time: Annotated[Written | None, Quantity("time", 1.0, 86_400.0, "none")] = None
    sward: Annotated[Written | None, Quantity("sward", 0.0, 5.0)] = None
    power: Annotated[Written | None, Quantity("power", 0.0, 20_000.0)] = None
    wet_factor: Annotated[Written | None, Quantity("number", 0.8, 3.0)] = None
    depth: Annotated[Written | None, Quantity("length", 0.0, 1.0)] = None
    feed: Annotated[Written | None, Quantity("speed", 0.0, 2.0)] = None
    material: Annotated[Written | None, Quantity("mass flow", 0.0, 50.0)] = None
    load: Annotated[Written | None, Quantity("mass", 0.0, 20_000.0)] = None
    demand: Annotated[Written | None, Quantity("power", 0.0, 20_000.0)] = None
    portion: Annotated[Written | None, Quantity("fraction", 0.0, 3.0, "written")] = None
    slope: Annotated[Written | None, Quantity("angle", -1.5708, 1.5708, "written")] = None
    drawbar: Annotated[Written | None, Quantity("force", 0.0, 50_000.0)] = None
    turning: bool = False
    idle: bool = False
    off: list[Name] = Field(default_factory=list)


class TopUpTable(Table):
    """A rest in the middle of the work in which the pack is charged with the ``current`` of a charger."""

    after: Annotated[Written, Quantity("time", 60.0, 86_400.0, "written")]
    time: Annotated[Written, Quantity("time", 60.0, 86_400.0, "written")]
    current: Annotated[Written, Quantity("current", 0.1, 500.0, "written")]


class JobTable(Table):
    """What has to be done on one charge: mowing and tilling work their way over ground, other work counts its time."""

    kind: Literal["mowing", "tilling", "work"]
    area: Annotated[Written | None, Quantity("area", 1.0, 1e6, "none")] = None
    width: Annotated[Written | None, Quantity("length", 0.05, 2.0)] = None
    speed: Annotated[Written | None, Quantity("speed", 0.05, 5.0)] = None
    field_efficiency: Annotated[Written | None, Quantity("fraction", 0.1, 1.0, "written")] = None
    cycle: Annotated[Written | None, Quantity("time", 2.0, 3600.0, "none")] = None
    ambient: Annotated[Written | None, Quantity("temperature", 243.15, 333.15, "written")] = None
    top_up: TopUpTable | None = None
    states: Annotated[list[StateTable], Field(min_length=1, max_length=12)]


class LimitsTable(Table):
    """What the builder wants and will accept."""

    time: Annotated[Written | None, Quantity("time", 10.0, 86_400.0, "none")] = None
    reserve: Annotated[Written | None, Quantity("fraction", 0.0, 0.9, "none")] = None
    end_of_life_capacity: Annotated[Written | None, Quantity("fraction", 0.3, 1.0, "none")] = None
    end_of_life_resistance: Annotated[Written | None, Quantity("number", 1.0, 5.0, "none")] = None
    max_mass: Annotated[Written | None, Quantity("mass", 0.05, 1000.0, "none")] = None
    box: Annotated[list[Side], Field(min_length=3, max_length=3)] | None = None
    budget: Annotated[Written | None, Quantity("money", 0.0, 1e7, "none")] = None
    cable_drop: Annotated[Written | None, Quantity("fraction", 0.001, 0.5, "none")] = None
    ambient_hot: Annotated[Written | None, Quantity("temperature", 253.15, 333.15, "none")] = None
    ambient_cold: Annotated[Written | None, Quantity("temperature", 243.15, 313.15, "none")] = None
    tip_speed_min: Annotated[Written | None, Quantity("speed", 0.0, 200.0, "none")] = None
    tip_speed_max: Annotated[Written | None, Quantity("speed", 1.0, 200.0, "none")] = None
    tool_speed_min: Annotated[Written | None, Quantity("rotation", 0.0, 5000.0, "none")] = None
    tool_speed_max: Annotated[Written | None, Quantity("rotation", 0.01, 5000.0, "none")] = None
    flow_min: Annotated[Written | None, Quantity("flow", 0.0, 50.0, "none")] = None
    flow_max: Annotated[Written | None, Quantity("flow", 1e-6, 50.0, "none")] = None
    load_speed_min: Annotated[Written | None, Quantity("speed", 0.0, 20.0, "none")] = None
    load_speed_max: Annotated[Written | None, Quantity("speed", 1e-4, 20.0, "none")] = None
    travel_speed_min: Annotated[Written | None, Quantity("speed", 0.0, 30.0, "none")] = None
    travel_speed_max: Annotated[Written | None, Quantity("speed", 0.01, 30.0, "none")] = None


class AuxiliaryTable(Table):
    """A lamp, a horn, a small fan on the source: the watts it takes there, with what its own supply loses."""

    name: Name
    power: Annotated[Written, Quantity("power", 0.0, 5000.0)]


class ChargingTable(Table):
    """How the pack will be charged: the coldest the cells will be, and whether something then refuses."""

    coldest: Annotated[Written | None, Quantity("temperature", 233.15, 323.15, "none")] = None
    cold_lock: bool = False


class SafetyTable(Table):
    """Controls that are planned, or not."""

    dead_man: bool | None = None
    brake_resistance: Annotated[Written | None, Quantity("resistance", 0.0, 1000.0, "written")] = None
    brake_works_unplugged: bool = False
    friction_brake: bool = False
    charging: ChargingTable = Field(default_factory=ChargingTable)


class VariantTable(Table):
    """A machine like the file's but for the values that ``set`` puts at their addresses; ``compare`` reads it."""

    name: Name
    set: Annotated[dict[str, Any], Field(min_length=1)]


class File(Table):
    """A whole machine file."""

    machine: MachineTable
    chains: Annotated[list[ChainTable], Field(min_length=1, max_length=6)]
    auxiliaries: Annotated[list[AuxiliaryTable], Field(max_length=8)] = Field(default_factory=list)
    source: SourceTable
    job: JobTable
    balance: BalanceTable | None = None
    charger: ChargerTable | None = None
    prices: PricesTable | None = None
    fuse: FuseTable | None = None
    limits: LimitsTable = Field(default_factory=LimitsTable)
    safety: SafetyTable = Field(default_factory=SafetyTable)
    board: BoardTable | None = None
    pre_charge: PreChargeTable | None = None
    wiring: WiringTable | None = None
    variants: Annotated[list[VariantTable], Field(max_length=24)] = Field(default_factory=list)


def quantity_of(table: type[Table], key: str) -> Quantity | None:
    """Return what a key takes, or None where it takes something else than a quantity."""
    return next((m for m in table.model_fields[key].metadata if isinstance(m, Quantity)), None)
