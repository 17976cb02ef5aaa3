"""The form of the work at the end of a chain: each kind of tool with its keys, and what it asks of a duty state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from headrace.machine.form_table import Few, Name, Table
from headrace.machine.quantities import Quantity, Written

Idle = Annotated[Written | None, Quantity("torque", 0.0, 50.0)]
Inertia = Annotated[Written | None, Quantity("inertia", 1e-6, 200.0)]
Windage = Annotated[Written | None, Quantity("number", 0.0, 0.2)]
Soil = Annotated[Written | None, Quantity("energy per volume", 1e3, 5e6)]
Ground = Literal["hard-road", "gravel", "loose-gravel", "soil", "sand", "short-grass", "long-grass"]


class BladeTable(Table):
    """A rotary mowing blade in its deck."""

    kind: Literal["mowing-blade"]
    name: Name = "blade"
    diameter: Annotated[Written, Quantity("length", 0.1, 1.5, "written")]
    mass: Annotated[Written | None, Quantity("mass", 0.02, 20.0)] = None
    inertia: Annotated[Written | None, Quantity("inertia", 1e-5, 5.0)] = None
    windage: Annotated[Written | None, Quantity("number", 0.0005, 0.1)] = None
    shear_energy: Annotated[Written | None, Quantity("specific energy", 50.0, 10_000.0)] = None
    throw_share: Annotated[Written | None, Quantity("number", 0.0, 2.0)] = None


class TillerTable(Table):
    """Tines on a shaft that loosen soil; wheels or a hand move them on."""

    kind: Literal["tiller"]
    name: Name = "tines"
    diameter: Annotated[Written, Quantity("length", 0.05, 1.5, "written")]
    width: Annotated[Written, Quantity("length", 0.05, 3.0, "written")]
    specific_work: Soil = None
    idle_torque: Idle = None
    inertia: Inertia = None


class AugerTable(Table):
    """An earth auger, its feed held by the hand on it."""

    kind: Literal["auger"]
    name: Name = "auger"
    diameter: Annotated[Written, Quantity("length", 0.02, 1.0, "written")]
    height: Annotated[Written, Quantity("length", 0.05, 5.0, "written")]
    specific_work: Soil = None
    soil_density: Annotated[Written | None, Quantity("density", 500.0, 3000.0)] = None
    lift_factor: Annotated[Written | None, Quantity("number", 1.0, 20.0)] = None
    idle_torque: Idle = None
    inertia: Inertia = None


class SawTable(Table):
    """A circular saw in wood."""

    kind: Literal["circular-saw"]
    name: Name = "saw"
    diameter: Annotated[Written, Quantity("length", 0.08, 1.5, "written")]
    kerf: Annotated[Written | None, Quantity("length", 0.0005, 0.02, "written")] = None
    specific_energy: Annotated[Written | None, Quantity("energy per volume", 1e5, 1e9)] = None
    windage: Windage = None
    idle_torque: Idle = None
    inertia: Inertia = None


class ChipperTable(Table):
    """A disc or drum that chips wood; the inertia counts a flywheel with it."""

    kind: Literal["chipper"]
    name: Name = "chipper"
    diameter: Annotated[Written, Quantity("length", 0.08, 1.5, "written")]
    specific_energy: Annotated[Written | None, Quantity("specific energy", 100.0, 500_000.0)] = None
    windage: Windage = None
    idle_torque: Idle = None
    inertia: Inertia = None


class FanTable(Table):
    """A fan on its duct: one measured point, flow and pressure at a speed, gives all others."""

    kind: Literal["fan"]
    name: Name = "fan"
    flow: Annotated[Written, Quantity("flow", 1e-5, 50.0)]
    pressure: Annotated[Written, Quantity("pressure", 1.0, 1e5)]
    speed: Annotated[Written, Quantity("rotation", 1.0, 5000.0, "written")]
    efficiency: Annotated[Written | None, Quantity("fraction", 0.05, 0.9)] = None
    idle_torque: Idle = None
    inertia: Inertia = None


class WinchTable(Table):
    """A drum that winds rope; ``layer`` is the one the rope leaves from, ``parts`` carry the load in a tackle.

    With ``laps`` it is a capstan: so many turns go round it and a hand keeps the tail tight.
    """

    kind: Literal["winch"]
    name: Name = "drum"
    diameter: Annotated[Written, Quantity("length", 0.01, 2.0, "written")]
    rope: Annotated[Written, Quantity("length", 5e-4, 0.05, "written")]
    layer: Few = 1
    spacing: Annotated[Written | None, Quantity("number", 0.8, 1.0)] = None
    parts: Annotated[int, Field(ge=1, le=12)] = 1
    leads: Annotated[int, Field(ge=0, le=8)] = 0
    sheave_efficiency: Annotated[Written | None, Quantity("fraction", 0.3, 1.0)] = None
    load_friction: Annotated[Written | None, Quantity("number", 0.0, 2.0)] = None
    laps: Annotated[int, Field(ge=0, le=12)] = 0
    rope_friction: Annotated[Written | None, Quantity("number", 0.02, 1.0)] = None
    idle_torque: Idle = None
    inertia: Inertia = None


class WheelsTable(Table):
    """Driven wheels; ``mass`` is that of everything but the load and the pack, ``ground`` the usual rolling."""

    kind: Literal["wheels"]
    name: Name = "wheels"
    diameter: Annotated[Written, Quantity("length", 0.05, 2.0, "written")]
    mass: Annotated[Written, Quantity("mass", 0.5, 5000.0)]
    ground: Ground = "short-grass"
    rolling: Annotated[Written | None, Quantity("number", 0.0, 1.0)] = None
    slip: Annotated[Written | None, Quantity("fraction", 0.0, 0.9)] = None
    drag_area: Annotated[Written | None, Quantity("area", 0.0, 10.0)] = None
    driven_share: Annotated[Written | None, Quantity("fraction", 0.05, 1.0)] = None
    grip: Annotated[Written | None, Quantity("number", 0.05, 1.5)] = None
    inertia: Inertia = None


class PumpTable(Table):
    """A centrifugal pump by its best point, and the pipe it lifts through."""

    kind: Literal["centrifugal-pump"]
    name: Name = "pump"
    flow: Annotated[Written, Quantity("flow", 1e-6, 1.0)]
    head: Annotated[Written, Quantity("length", 0.2, 300.0, "written")]
    speed: Annotated[Written, Quantity("rotation", 10.0, 2000.0, "written")]
    efficiency: Annotated[Written | None, Quantity("fraction", 0.2, 0.92)] = None
    shut_off_head: Annotated[Written | None, Quantity("length", 0.2, 500.0, "written")] = None
    no_flow_share: Annotated[Written | None, Quantity("number", 0.1, 1.5)] = None
    lift: Annotated[Written, Quantity("length", 0.0, 300.0, "written")]
    bore: Annotated[Written, Quantity("length", 0.003, 1.0, "written")]
    length: Annotated[Written, Quantity("length", 0.1, 5000.0, "written")]
    wall: Literal["hose", "steel-pipe"] = "hose"
    roughness: Annotated[Written | None, Quantity("length", 0.0, 0.005)] = None
    fittings: Annotated[Written | None, Quantity("number", 0.0, 500.0)] = None
    water: Annotated[Written | None, Quantity("temperature", 273.2, 333.0, "written")] = None
    inertia: Inertia = None


class ShaftTable(Table):
    """Anything that turns, known by the watts it takes at one speed; ``label`` is the plate of what drove it before."""

    kind: Literal["shaft"]
    name: Name = "shaft"
    speed: Annotated[Written, Quantity("rotation", 1.0, 3000.0, "written")]
    torque: Literal["the-same", "grows-with-speed", "grows-with-its-square"] = "the-same"
    label: Annotated[Written | None, Quantity("power", 1.0, 20_000.0)] = None
    inertia: Inertia = None


Speed = Annotated[Written, Quantity("rotation", 0.0, 3000.0, "none")]
Torque = Annotated[Written, Quantity("torque", 0.0, 5000.0, "none")]
Point = Annotated[tuple[Speed, Torque], Field(strict=False)]  # a list is one, as the file has no other


class MeasuredTable(Table):
    """Anything that turns, known by a measured table: rows of speed and torque, speeds rising, its ends held.

    ``spread`` is how much more or less the whole curve may be than was measured.
    """

    kind: Literal["measured"]
    name: Name = "load"
    points: Annotated[list[Point], Field(min_length=2, max_length=60)]
    spread: Annotated[Written | None, Quantity("number", 0.2, 3.0)] = None
    inertia: Inertia = None


WorkTable = Annotated[
    BladeTable
    | TillerTable
    | AugerTable
    | SawTable
    | ChipperTable
    | FanTable
    | WinchTable
    | WheelsTable
    | PumpTable
    | ShaftTable
    | MeasuredTable,
    Field(discriminator="kind"),
]


@dataclass(frozen=True)
class Asks:
    """What a kind of tool asks of the states it works in, and of the job."""

    table: type[Table]
    needs: tuple[str, ...] = ()  # keys of a loaded state that only the builder can know
    takes: tuple[str, ...] = ()  # keys that have a usual value
    over_ground: bool = False  # whether it works its way over ground: width and walking pace are the job's


OVER_GROUND = ("mowing", "tilling")  # kinds of job that work their way over ground
# keys of a state
LOADS = ("sward", "wet_factor", "depth", "feed", "material", "load", "slope", "drawbar", "demand", "portion")
FACTORS = ("wet_factor",)  # those that only multiply a load
MATERIAL = ("sward", "depth", "feed", "material", "demand", "portion")  # those that a power given stands for
NEVER_IDLE = {"wheels": "wheels that turn move the machine", "centrifugal-pump": "a pump that turns pumps"}
PACES = ("tip_speed", "tool_speed", "flow", "load_speed", "travel_speed")  # each with two limits
WORKS: dict[str, Asks] = {
    "mowing-blade": Asks(BladeTable, takes=("sward", "wet_factor"), over_ground=True),
    "tiller": Asks(TillerTable, needs=("depth",), over_ground=True),
    "auger": Asks(AugerTable, needs=("feed",)),
    "circular-saw": Asks(SawTable, needs=("depth", "feed")),
    "chipper": Asks(ChipperTable, needs=("material",)),
    "fan": Asks(FanTable),
    "winch": Asks(WinchTable, needs=("load", "slope")),
    "centrifugal-pump": Asks(PumpTable),
    "shaft": Asks(ShaftTable, takes=("demand",)),
    "measured": Asks(MeasuredTable, takes=("portion",)),
    "wheels": Asks(WheelsTable, takes=("load", "slope", "drawbar")),
}
