"""What a careful reader doubts about the curves of a motor, one plain sentence each.

On which side of the controller the amps were read comes first, because nothing else can be read before that is
settled. Limits are conventions of ours, wide enough for instruments of a few per cent.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from headrace.bench.motor_set import MotorSet, departure
from headrace.bench.readings import Curve, Side
from headrace.physics import motors

APART = 2.0  # times between the duties of two curves from which their resistances can tell the sides apart
GAIN = 1.02  # power out over power in, above which meters of 1 % cannot be blamed
MISFIT = 0.05  # share of full scale
UNLIKE = 0.03  # by how much a curve's own ratios may differ from those at the highest voltage
CONSTANTS = 0.05  # between torque per amp and volts per speed of one curve
SAG = 0.05  # share of the source's voltage
IDLE = 1.5  # times between the drag of the fit and that of the run without load


def doubts(numbers: MotorSet, ordered: Sequence[Curve]) -> Iterator[str]:
    """Yield what to doubt about a fit to curves, which are given highest voltage first."""
    sides = [*_wrong_side(ordered), *_more_out_than_in(ordered)]
    if sides:
        yield from sides
        return
    full = ordered[0]
    yield from _two_constants(full)
    yield from _drag_without_load(numbers, full)
    yield from _sagging_source(numbers, full)
    for curve in ordered:
        yield from _misfit(numbers, curve, full)


def standstill_resistance(curve: Curve) -> float | None:
    """Return volts over motor amps with the shaft held; None without such a row. [Ω]"""
    return None if curve.still is None else curve.supply_voltage / float(curve.motor_current[curve.still])


def torque_per_amp(curve: Curve) -> float | None:
    """Return torque over motor amps with the shaft held; None without such a row. [N·m/A]"""
    return None if curve.still is None else float(curve.torque[curve.still] / curve.motor_current[curve.still])


def volts_per_speed(curve: Curve) -> float | None:
    """Return volts over speed without load; None without such a row. [V·s/rad]"""
    return None if curve.free is None else curve.supply_voltage / float(curve.speed[curve.free])


def _wrong_side(ordered: Sequence[Curve]) -> Iterator[str]:
    """Ask when the resistance at standstill follows the duty instead of staying what it is."""
    full, low = ordered[0], ordered[-1]
    ohms, other = standstill_resistance(full), standstill_resistance(low)
    smaller = full.duty / low.duty
    if ohms is None or other is None or smaller < APART:
        return
    # amps of the source taken for the motor's are too few by the duty, so the ohms too many; the other way round
    times = other / ohms
    expected = smaller if low.side is Side.MOTOR else 1.0 / smaller
    if abs(np.log(times / expected)) < abs(np.log(times)):
        yield (
            f"Read as {low.side}-side amps, volts over motor amps at standstill are {other:.3g} Ω at "
            f"{low.supply_voltage:g} V and {ohms:.3g} Ω at {full.supply_voltage:g} V, {_times(times)}, where source "
            f"over supply voltage is {low.source_voltage / low.supply_voltage:.1f} and "
            f"{full.source_voltage / full.supply_voltage:.1f}: these amps look like {low.side.other}-side amps."
        )


def _times(ratio: float) -> str:
    return f"{ratio:.1f} times too high" if ratio > 1.0 else f"{1.0 / ratio:.1f} times too low"


def _more_out_than_in(ordered: Sequence[Curve]) -> Iterator[str]:
    """Ask when more power leaves a shaft than enters its motor; said of the worst row of all."""
    worst = ("", GAIN)
    for curve in ordered:
        power_in = curve.supply_voltage * curve.motor_current
        # what is on the shaft takes torque times speed as any drag does
        power_out = np.asarray(motors.rotation_loss(curve.torque, curve.speed))
        gain = np.divide(power_out, power_in, out=np.zeros_like(power_out), where=power_in > 0.0)
        row = int(np.argmax(gain))
        if gain[row] > worst[1]:
            said = (
                f"At {curve.supply_voltage:g} V, with the amps read on the {curve.side} side, {power_out[row]:.3g} W "
                f"leave the shaft where {power_in[row]:.3g} W enter the motor: that cannot be."
            )
            worst = (said, float(gain[row]))
    if worst[0]:
        yield worst[0]


def _two_constants(full: Curve) -> Iterator[str]:
    """Ask when the curve at the highest voltage wants two motor constants."""
    held, turned = torque_per_amp(full), volts_per_speed(full)
    if held is not None and turned is not None and abs(held / turned - 1.0) > CONSTANTS:
        yield (
            f"At {full.supply_voltage:g} V the shaft held gives {held:.3g} N·m for each motor amp and the shaft "
            f"without load takes {turned:.3g} V·s/rad, {abs(held / turned - 1.0):.0%} apart: a motor has one constant, "
            "and the fit lies between. Held magnets warm and iron saturates; note the temperature."
        )


def _drag_without_load(numbers: MotorSet, full: Curve) -> Iterator[str]:
    """Ask when the drag of the fit is far from that of the run without load."""
    if full.free is None:
        return
    read = float(full.motor_current[full.free])
    drag = motors.rotation_torque(numbers.drag, numbers.drag_slope, 0.0, float(full.speed[full.free]))
    said = float(motors.motor_current(0.0, drag, numbers.constant))
    if not read / IDLE <= said <= read * IDLE:
        yield (
            f"The drag of the fit asks for {said:.2g} motor amps without load where {read:.2g} A were read: small "
            "beside full scale, but for idle losses take the drag from the run without load."
        )


def _sagging_source(numbers: MotorSet, full: Curve) -> Iterator[str]:
    """Ask for the volts at the controller when the fit says that the source sagged."""
    if full.still is None:
        return
    amps = float(full.source_current[full.still])
    bus = motors.back_voltage(full.source_voltage, amps, numbers.source_resistance, 0.0)
    if bus < (1.0 - SAG) * full.source_voltage:
        yield (
            f"The fit puts {numbers.source_resistance:.3g} Ω on the source's side, so that only {bus:.1f} of "
            f"{full.source_voltage:g} V reach the controller with the shaft held at {amps:.3g} A. A winding that warms "
            "while it is held looks much alike: note the volts at the controller's input."
        )


def _misfit(numbers: MotorSet, curve: Curve, full: Curve) -> Iterator[str]:
    """Say why the one set of numbers does not fit a curve."""
    torque, speed, current = (float(np.max(np.abs(shares))) for shares in departure(numbers, curve))
    if max(torque, speed, current) > MISFIT:
        why = "the curves it was fitted to disagree" if curve is full else _why(numbers, curve, full)
        yield (
            f"At {curve.supply_voltage:g} V the set misses by up to {torque:.0%} of full scale in torque, {speed:.0%} "
            f"in speed and {current:.0%} in current: {why}."
        )


def _why(numbers: MotorSet, curve: Curve, full: Curve) -> str:
    """Compare the plain ratios of a curve with those of the curve at the highest voltage."""
    held = ("torque per motor amp at standstill is", "N·m/A", torque_per_amp(curve), torque_per_amp(full))
    turned = ("volts per speed without load are", "V·s/rad", volts_per_speed(curve), volts_per_speed(full))
    ohms = ("volts over motor amps at standstill are", "Ω", standstill_resistance(curve), standstill_resistance(full))
    constants = [said for ratio in (held, turned) if (said := _unlike(*ratio))]
    if constants:
        there = f" at {full.supply_voltage:g} V, and no one motor constant has both"
        return " and ".join(constants) + there + _volts_it_had(numbers, curve)
    if said := _unlike(*ohms):
        return f"{said} at {full.supply_voltage:g} V"
    return "neither its torque per amp nor its volts per speed says why"


def _unlike(what: str, unit: str, here: float | None, there: float | None) -> str:
    """Say that a ratio is not what it is elsewhere; nothing where it is, or where there is none."""
    if here is None or there is None or abs(here / there - 1.0) <= UNLIKE:
        return ""
    return f"{what} {here:.3g} {unit} against {there:.3g}"


def _volts_it_had(numbers: MotorSet, curve: Curve) -> str:
    """Say the volts that the speed without load speaks of."""
    if curve.free is None:
        return ""
    speed, amps = float(curve.speed[curve.free]), float(curve.motor_current[curve.free])
    loop = motors.resistance_behind_chopper(numbers.resistance, numbers.source_resistance, curve.duty)
    had = motors.motor_voltage(numbers.constant, speed, amps, loop, numbers.brush_drop)
    return f"; without load it turns as on {had:.1f} V"
