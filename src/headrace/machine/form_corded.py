"""The form of what comes from the mains: motors that run on alternating current, and boxes that make a voltage."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from headrace.machine.form_table import Name, Rows, Table
from headrace.machine.quantities import Quantity, Written


class FrameTable(Table):
    """What every motor of a plate may say about its frame."""

    name: Name = "motor"
    drag: Annotated[Written | None, Quantity("torque", 0.0, 20.0)] = None
    rotor_inertia: Annotated[Written | None, Quantity("inertia", 1e-7, 1.0)] = None
    winding_to_case: Annotated[Written | None, Quantity("thermal resistance", 0.005, 50.0)] = None
    case_to_air: Annotated[Written | None, Quantity("thermal resistance", 0.005, 50.0)] = None
    winding_heat: Annotated[Written | None, Quantity("heat capacity", 1.0, 1e5)] = None
    case_heat: Annotated[Written | None, Quantity("heat capacity", 5.0, 1e6)] = None
    rotor_share: Annotated[Written | None, Quantity("fraction", 0.0, 1.0)] = None
    winding_limit: Annotated[Written | None, Quantity("temperature", 353.15, 493.15, "written")] = None
    continuous_mark: bool = False


class SeriesMotorTable(FrameTable):
    """A universal motor, by its plate: ``power`` is what it takes in, as plates of power tools say.

    What the file leaves out is that of a usual motor of a power tool, wound for this voltage and sized for this power.
    """

    kind: Literal["series-motor"]
    voltage: Annotated[Written, Quantity("voltage", 6.0, 480.0, "written")]
    power: Annotated[Written, Quantity("power", 20.0, 5000.0, "written")]
    frequency: Annotated[Written | None, Quantity("frequency", 10.0, 500.0, "written")] = None
    constant: Annotated[Written | None, Quantity("motor constant", 1e-4, 10.0)] = None
    saturation_current: Annotated[Written | None, Quantity("current", 0.05, 500.0)] = None
    resistance: Annotated[Written | None, Quantity("resistance", 1e-3, 1000.0)] = None
    reactance: Annotated[Written | None, Quantity("resistance", 0.0, 1000.0)] = None
    iron: Annotated[Written | None, Quantity("conductance", 0.0, 0.1)] = None
    brush_drop: Annotated[Written | None, Quantity("voltage", 0.0, 5.0)] = None
    drag_square: Annotated[Written | None, Quantity("torque per speed squared", 1e-12, 1e-2)] = None


class InductionMotorTable(FrameTable):
    """A squirrel-cage motor on one phase, by its plate: ``power`` is what its shaft gives, as plates of motors say."""

    kind: Literal["induction-motor"]
    voltage: Annotated[Written, Quantity("voltage", 24.0, 480.0, "written")]
    power: Annotated[Written, Quantity("power", 20.0, 10_000.0, "written")]
    speed: Annotated[Written, Quantity("rotation", 10.0, 1000.0, "written")]
    frequency: Annotated[Written | None, Quantity("frequency", 10.0, 500.0, "written")] = None
    efficiency: Annotated[Written | None, Quantity("fraction", 0.1, 0.97)] = None
    power_factor: Annotated[Written | None, Quantity("fraction", 0.2, 1.0)] = None
    overload: Annotated[Written | None, Quantity("number", 1.05, 5.0)] = None
    start_multiple: Annotated[Written | None, Quantity("number", 1.5, 12.0)] = None
    stator_share: Annotated[Written | None, Quantity("fraction", 0.05, 0.95)] = None


Efficiency = Annotated[Written, Quantity("fraction", 0.01, 1.0, "none")]
Watts = Annotated[Written, Quantity("power", 0.1, 50_000.0, "none")]
OfPower = Annotated[tuple[Watts, Efficiency], Field(strict=False)]


class InverterTable(Table):
    """A mains inverter; ``input`` is the system voltage on its plate, to which cut-out and alarm go.

    It stays on while its chain is switched off, unless it ``sleeps``.
    """

    kind: Literal["inverter"]
    name: Name = "inverter"
    power: Annotated[Written, Quantity("power", 50.0, 20_000.0, "none")]
    input: Annotated[Written | None, Quantity("voltage", 6.0, 400.0, "none")] = None
    voltage: Annotated[Written | None, Quantity("voltage", 50.0, 480.0, "written")] = None
    frequency: Annotated[Written | None, Quantity("frequency", 10.0, 500.0, "written")] = None
    idle_power: Annotated[Written | None, Quantity("power", 0.0, 500.0)] = None
    linear: Annotated[Written | None, Quantity("number", 0.0, 0.5)] = None
    square: Annotated[Written | None, Quantity("number", 0.0, 0.5)] = None
    surge_multiple: Annotated[Written | None, Quantity("number", 1.0, 5.0)] = None
    surge_time: Annotated[Written | None, Quantity("time", 0.001, 60.0)] = None
    alarm: Annotated[Written | None, Quantity("voltage", 0.0, 400.0)] = None
    cut_out: Annotated[Written | None, Quantity("voltage", 0.0, 400.0)] = None
    restart: Annotated[Written | None, Quantity("voltage", 0.0, 400.0)] = None
    max_voltage: Annotated[Written | None, Quantity("voltage", 6.0, 1000.0, "none")] = None
    capacitance: Annotated[Written | None, Quantity("capacitance", 0.0, 1.0)] = None
    sleeps: bool = False
    efficiencies: Annotated[list[OfPower], Rows] | None = None


class DcDcTable(Table):
    """A converter that makes one direct voltage of another."""

    kind: Literal["dc-dc"]
    name: Name = "converter"
    power: Annotated[Written, Quantity("power", 1.0, 20_000.0, "none")]
    voltage: Annotated[Written, Quantity("voltage", 1.0, 400.0, "written")]
    efficiency: Annotated[Written | None, Quantity("fraction", 0.3, 0.995)] = None
    idle_power: Annotated[Written | None, Quantity("power", 0.0, 200.0)] = None
    cut_out: Annotated[Written | None, Quantity("voltage", 0.0, 400.0)] = None
    max_voltage: Annotated[Written | None, Quantity("voltage", 3.0, 1000.0, "none")] = None
    capacitance: Annotated[Written | None, Quantity("capacitance", 0.0, 1.0)] = None
    sleeps: bool = False
    efficiencies: Annotated[list[OfPower], Rows] | None = None
