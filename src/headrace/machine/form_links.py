"""The form of a chain: the links behind its work, each with its keys, their kinds and how far they may reach.

Hard limits are there to catch a slip of the unit or the key; they are wide on purpose and judge nothing.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from headrace.machine.form_corded import DcDcTable, InductionMotorTable, InverterTable, SeriesMotorTable
from headrace.machine.form_table import Few, Name, Rows, Table
from headrace.machine.form_works import WorkTable
from headrace.machine.quantities import Quantity, Written

Efficiency = Annotated[Written, Quantity("fraction", 0.01, 1.0, "none")]
Torque = Annotated[Written, Quantity("torque", 1e-4, 5000.0, "none")]
Turns = Annotated[Written, Quantity("rotation", 0.01, 5000.0, "none")]
Amps = Annotated[Written, Quantity("current", 0.01, 2000.0, "none")]
Volts = Annotated[Written, Quantity("voltage", 0.5, 1000.0, "none")]
OfTorque = Annotated[tuple[Torque, Efficiency], Field(strict=False)]
OfTurns = Annotated[tuple[Turns, Torque, Efficiency], Field(strict=False)]
OfAmps = Annotated[tuple[Amps, Volts, Efficiency], Field(strict=False)]


class BearingsTable(Table):
    """Bearings and seals of one shaft."""

    kind: Literal["bearings"]
    name: Name = "bearings"
    count: Few | None = None
    load: Annotated[Written | None, Quantity("force", 0.0, 20_000.0)] = None
    bore: Annotated[Written | None, Quantity("length", 0.002, 0.2, "written")] = None
    friction: Annotated[Written | None, Quantity("number", 0.0005, 0.05)] = None
    seal_drag: Annotated[Written | None, Quantity("torque", 0.0, 2.0)] = None


class TransmissionTable(Table):
    """A belt, roller chain or gear set; ratio counts turns of the motor's side for one of the tool's side."""

    kind: Literal["v-belt", "toothed-belt", "flat-belt", "roller-chain", "gears"]
    name: Name = "transmission"
    ratio: Annotated[Written, Quantity("number", 0.05, 200.0, "written")]
    efficiency: Annotated[Written | None, Quantity("fraction", 0.3, 1.0)] = None
    creep: Annotated[Written | None, Quantity("fraction", 0.0, 0.1)] = None
    drag: Annotated[Written | None, Quantity("torque", 0.0, 20.0)] = None
    drag_slope: Annotated[Written | None, Quantity("torque per speed", 0.0, 1.0)] = None
    efficiencies: Annotated[list[OfTorque], Rows] | None = None


class WormTable(Table):
    """A worm and its wheel: the lead angle and the friction give the efficiency, unless that is measured."""

    kind: Literal["worm"]
    name: Name = "worm"
    ratio: Annotated[Written, Quantity("number", 2.0, 200.0, "written")]
    lead_angle: Annotated[Written | None, Quantity("angle", 0.01, 1.0, "written")] = None
    friction: Annotated[Written | None, Quantity("number", 0.005, 0.3)] = None
    pressure_angle: Annotated[Written | None, Quantity("angle", 0.1, 0.6, "written")] = None
    efficiency: Annotated[Written | None, Quantity("fraction", 0.1, 1.0)] = None
    drag: Annotated[Written | None, Quantity("torque", 0.0, 20.0)] = None
    drag_slope: Annotated[Written | None, Quantity("torque per speed", 0.0, 1.0)] = None
    efficiencies: Annotated[list[OfTorque], Rows] | None = None


class MotorNumbers(Table):
    """What can be known of a permanent-magnet direct-current motor."""

    commutation: Literal["brushed", "electronic"] | None = None
    magnet: Literal["ferrite", "neodymium", "samarium-cobalt", "alnico"] | None = None
    constant: Annotated[Written | None, Quantity("motor constant", 0.002, 5.0)] = None
    resistance: Annotated[Written | None, Quantity("resistance", 1e-4, 50.0)] = None
    no_load_current: Annotated[Written | None, Quantity("current", 0.0, 50.0)] = None
    no_load_speed: Annotated[Written | None, Quantity("rotation", 1.0, 5000.0)] = None
    drag: Annotated[Written | None, Quantity("torque", 0.0, 20.0)] = None
    drag_slope: Annotated[Written | None, Quantity("torque per speed", 0.0, 1.0)] = None
    drag_square: Annotated[Written | None, Quantity("torque per speed squared", 0.0, 1e-2)] = None
    brush_drop: Annotated[Written | None, Quantity("voltage", 0.0, 5.0)] = None
    rotor_inertia: Annotated[Written | None, Quantity("inertia", 1e-7, 1.0)] = None
    winding_to_case: Annotated[Written | None, Quantity("thermal resistance", 0.005, 50.0)] = None
    case_to_air: Annotated[Written | None, Quantity("thermal resistance", 0.005, 50.0)] = None
    winding_heat: Annotated[Written | None, Quantity("heat capacity", 1.0, 1e5)] = None
    case_heat: Annotated[Written | None, Quantity("heat capacity", 5.0, 1e6)] = None
    rotor_share: Annotated[Written | None, Quantity("fraction", 0.0, 1.0)] = None
    winding_limit: Annotated[Written | None, Quantity("temperature", 353.15, 493.15, "written")] = None
    magnet_rise: Annotated[Written | None, Quantity("temperature difference", 0.0, 150.0)] = None
    rated_power: Annotated[Written | None, Quantity("power", 1.0, 50_000.0, "written")] = None
    continuous_mark: bool = False
    max_voltage: Annotated[Written | None, Quantity("voltage", 3.0, 1000.0, "none")] = None
    most_current: Annotated[Written | None, Quantity("current", 0.1, 5000.0, "written")] = None


class MotorTable(MotorNumbers):
    """A permanent-magnet direct-current motor, brushed or as equivalent DC.

    Without ``drag`` the friction is worked out of ``no_load_current``; where the file gives a part of it that grows
    with speed as well, the speed of that test is needed to tell them apart. More than ``most_current`` harms its
    magnets or its commutator.
    """

    kind: Literal["dc-motor"]
    name: Name = "motor"
    shelf: str | None = None
    efficiencies: Annotated[list[OfTurns], Rows] | None = None


class ControllerTable(Table):
    """A motor controller; a chain without one hangs on a bare switch. One that ``regenerates`` feeds back downhill."""

    kind: Literal["controller"]
    name: Name = "controller"
    mode: Literal["full", "governed"] = "full"
    speed: Annotated[Written | None, Quantity("rotation", 1.0, 5000.0, "written")] = None
    motor_current: Annotated[Written | None, Quantity("current", 0.1, 2000.0, "written")] = None
    battery_current: Annotated[Written | None, Quantity("current", 0.1, 2000.0, "written")] = None
    resistance: Annotated[Written | None, Quantity("resistance", 0.0, 1.0)] = None
    idle_power: Annotated[Written | None, Quantity("power", 0.0, 200.0)] = None
    switching_time: Annotated[Written | None, Quantity("time", 0.0, 1e-4)] = None
    switching_frequency: Annotated[Written | None, Quantity("frequency", 0.0, 500_000.0, "written")] = None
    cut_out: Annotated[Written | None, Quantity("voltage", 0.0, 1000.0, "written")] = None
    max_voltage: Annotated[Written | None, Quantity("voltage", 3.0, 1000.0, "none")] = None
    capacitance: Annotated[Written | None, Quantity("capacitance", 0.0, 1.0)] = None
    regenerates: bool = False
    efficiencies: Annotated[list[OfAmps], Rows] | None = None


# A published table of what wires carry: of 60364-5-52, of 310.16 and of 183.425 by what the insulation is good for.
RatedBy = Literal[
    "iec-surface", "iec-conduit", "nec-60", "nec-75", "nec-90",
    "cfr-60", "cfr-75", "cfr-80", "cfr-90", "cfr-105", "cfr-125", "cfr-200",
]  # fmt: skip


class CableTable(Table):
    """A pair of conductors, out and back; the length counts one way. ``rated_by`` names its table of amps."""

    kind: Literal["cable"]
    name: Name = "cable"
    length: Annotated[Written | None, Quantity("length", 0.01, 200.0, "written")] = None
    area: Annotated[Written | None, Quantity("wire area", 0.05e-6, 1e-3, "written")] = None
    resistance_per_length: Annotated[Written | None, Quantity("resistance per length", 1e-6, 1.0)] = None
    temperature: Annotated[Written | None, Quantity("temperature", 233.15, 473.15, "written")] = None
    rated_by: RatedBy = "iec-surface"


class ContactsTable(Table):
    """Anything bolted or plugged in series; ``of`` says what, for the usual resistance.

    A switch whose plate says volts of alternating current only is for ``alternating`` current.
    """

    kind: Literal["contacts"]
    name: Name = "contacts"
    of: Literal["lug", "bolt", "plug", "fuse", "contactor", "isolator", "board"] | None = None
    count: Few | None = None
    resistance: Annotated[Written | None, Quantity("resistance", 0.0, 1.0)] = None
    max_voltage: Annotated[Written | None, Quantity("voltage", 3.0, 1000.0, "none")] = None
    max_current: Annotated[Written | None, Quantity("current", 0.1, 5000.0, "none")] = None
    alternating: bool = False


LinkTable = Annotated[
    BearingsTable
    | TransmissionTable
    | WormTable
    | MotorTable
    | SeriesMotorTable
    | InductionMotorTable
    | ControllerTable
    | InverterTable
    | DcDcTable
    | CableTable
    | ContactsTable,
    Field(discriminator="kind"),
]


class ChainTable(Table):
    """One tool and the links that feed it, from the work back to the terminals."""

    name: Name
    work: WorkTable
    links: Annotated[list[LinkTable], Field(min_length=1, max_length=40)]


TRANSMISSIONS = ("v-belt", "toothed-belt", "flat-belt", "roller-chain", "gears")
MOTORS = ("dc-motor", "series-motor", "induction-motor")
CONVERTERS = ("inverter", "dc-dc")
LINK_KINDS: dict[str, type[Table]] = {
    "bearings": BearingsTable,
    **dict.fromkeys(TRANSMISSIONS, TransmissionTable),
    "worm": WormTable,
    "dc-motor": MotorTable,
    "series-motor": SeriesMotorTable,
    "induction-motor": InductionMotorTable,
    "controller": ControllerTable,
    "inverter": InverterTable,
    "dc-dc": DcDcTable,
    "cable": CableTable,
    "contacts": ContactsTable,
}
