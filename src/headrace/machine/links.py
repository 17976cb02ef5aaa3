"""The links of a chain in SI, from the work back to the terminals."""

from __future__ import annotations

import math
from dataclasses import dataclass

from headrace.machine.lanes import Lanes


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


@dataclass(frozen=True, kw_only=True)
class MotorFrame:
    """What every motor has: a frame that turns, warms and has its limits."""

    name: str
    resistance: Lanes  # ohm at 25 C, terminal to terminal; of all windings the current runs through
    brush_drop: Lanes  # V, both brushes; 0 without brushes
    drag: Lanes  # N m, of bearings and brushes; of a motor with magnets, hysteresis too
    rotor_inertia: Lanes  # kg m2
    winding_to_case: Lanes  # K/W
    case_to_air: Lanes  # K/W
    winding_heat: Lanes  # J/K
    case_heat: Lanes  # J/K
    rotor_share: Lanes  # -, share of rotation losses that heats the winding node
    winding_limit: Lanes  # K
    rated_power: Lanes  # W at the shaft, plate; nan when the file gives none
    continuous_mark: bool  # plate says S1
    max_voltage: Lanes  # V


@dataclass(frozen=True, kw_only=True)
class Motor(MotorFrame):
    """A permanent-magnet direct-current motor, brushed or as equivalent DC; its drag holds the iron's."""

    commutation: str  # brushed, electronic
    constant: Lanes  # V s/rad = N m/A at 25 C
    drag_square: Lanes  # N m s2/rad2, own fan
    drag_slope: Lanes  # N m s/rad, eddy currents
    magnet_slope: Lanes  # 1/K, change of the constant with magnet temperature
    magnet_rise: Lanes  # K, warm magnets above the air after work
    most_current: Lanes  # A, above which magnets or commutator are harmed; nan when the file gives none
    most_multiple: Lanes  # -, of the plate's current, that stands for it then


@dataclass(frozen=True, kw_only=True)
class SeriesMotor(MotorFrame):
    """A universal motor: field and armature in series, on alternating or on direct current."""

    constant: Lanes  # V s/rad, with the iron full
    saturation_current: Lanes  # A, at which the constant has reached 63 % of it
    reactance: Lanes  # ohm on the supply it hangs on; 0 on direct current
    drag_square: Lanes  # N m s2/rad2, own fan
    iron: Lanes  # W/V2, iron loss over back voltage squared


@dataclass(frozen=True, kw_only=True)
class InductionMotor(MotorFrame):
    """A squirrel-cage motor on one phase, in brief: its plate, and the slip its torque asks for."""

    voltage: Lanes  # V, of the plate
    synchronous: Lanes  # rad/s
    breakdown_torque: Lanes  # N m, at the voltage of the plate
    breakdown_slip: Lanes  # -
    standing_loss: Lanes  # W, of iron and fan
    idle_current: Lanes  # A, magnetising
    start_multiple: Lanes  # -, current at standstill over that of the plate
    rated_current: Lanes  # A


AnyMotor = Motor | SeriesMotor | InductionMotor


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
    capacitance: Lanes  # F, across its own terminals
    regenerates: bool  # whether it feeds back what a load gives that drives the motor


@dataclass(frozen=True)
class Converter:
    """A box that makes a voltage of its own out of the source's: a mains inverter, or one direct voltage of another."""

    name: str
    kind: str  # inverter, dc-dc
    voltage: Lanes  # V, effective, at its output
    frequency: Lanes  # Hz; 0 of direct current
    rated_power: Lanes  # W, or V A, of its plate
    idle_power: Lanes  # W, taken without load
    linear: Lanes  # -, loss over the power passed
    square: Lanes  # 1/W, loss over the square of the volt-amperes passed
    surge_multiple: Lanes  # -, of the rated power, for a moment
    surge_time: Lanes  # s, that the moment lasts
    alarm: Lanes  # V at its own input
    cut_out: Lanes  # V at its own input
    restart: Lanes  # V at its own input
    max_voltage: Lanes  # V at its own input
    capacitance: Lanes  # F, across its input
    sleeps: bool  # whether it is off when its chain is


@dataclass(frozen=True)
class Cable:
    """A pair of conductors, out and back."""

    name: str
    length: Lanes  # m, one way
    area: Lanes  # m2 of metal
    resistance_per_length: Lanes  # ohm/m of one conductor at 20 C
    temperature_slope: Lanes  # 1/K, of the metal's resistance, at 20 C
    temperature: Lanes  # K, of the metal at work
    rated_by: str = "iec-surface"  # table of ampacities it is held against


@dataclass(frozen=True)
class Contacts:
    """Lugs, plugs, fuses, contactors, a board's current path: anything bolted or plugged in series."""

    name: str
    count: Lanes  # -
    resistance: Lanes  # ohm, each
    max_voltage: Lanes  # V; inf when the file gives none
    max_current: Lanes = math.inf  # A, on its plate, for long; inf when the file gives none
    of: str = ""  # lug, bolt, plug, fuse, contactor, isolator, board; "" where the file does not say
    alternating: bool = False  # whether its plate knows alternating current only


Link = Bearings | Transmission | AnyMotor | Controller | Converter | Cable | Contacts
