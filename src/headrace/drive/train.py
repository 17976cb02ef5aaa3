"""A chain as the solvers see it: a motor current that depends on speed, and volts that depend on both.

``demand`` has walked the mechanical links; here comes what changes with temperature, and what stands between the motor
and its source. All of it only hands values from law to law.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from headrace.drive.curve import CurveAtMotor, SeriesLoad, ShaftLoad
from headrace.drive.demand import Demand
from headrace.drive.links import Parts, Wiring
from headrace.machine.links import Cable, Converter, InductionMotor, SeriesMotor
from headrace.machine.records import Auxiliary, Chain, DutyState, Lanes
from headrace.physics import conductors, converters, margins, motors, torque_terms
from headrace.physics.torque_terms import TorqueTerms

NO_TERMS = TorqueTerms(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Warmth:
    """Temperatures the drive works at, in lanes. [K]"""

    winding: Lanes
    magnets: Lanes
    air: Lanes


@dataclass(frozen=True)
class Train:
    """A chain with brushes or magnets in one duty state at one warmth, reduced to what fixes its operating point."""

    current: TorqueTerms  # A, motor current asked for as terms in the motor speed
    turns: Lanes  # motor turns per turn of the tool
    constant: Lanes  # V s/rad, warm; of a series motor with the iron full
    resistance: Lanes  # ohm, all that carries the motor's current
    brush_drop: Lanes  # V
    idle_power: Lanes  # W
    switching_share: Lanes  # -
    wiring: Lanes  # ohm, between the controller and the source
    set_speed: Lanes  # rad/s at the motor; inf at full voltage
    motor_limit: Lanes  # A
    battery_limit: Lanes  # A
    cut_out: Lanes  # V at the controller
    curve: CurveAtMotor | None = None  # motor current asked for beyond the terms
    series: SeriesLoad | None = None  # where field and armature are in series: all of its load
    reactance: Lanes = 0.0  # ohm
    alternating: bool = False

    @property
    def plain(self) -> bool:
        """Whether terms in the speed say it all."""
        return self.curve is None and self.series is None

    def current_at(self, speed: Lanes) -> Lanes:
        """Return the motor current that holds a speed of the motor's shaft, above zero. [A]"""
        if self.series is not None:
            return self.series.current(speed)
        asked, _ = margins.current_asked(self.current, speed)
        return asked if self.curve is None else asked + self.curve.current(speed)

    def constant_at(self, current: Lanes) -> Lanes:
        """Return the motor constant at a current. [V·s/rad]"""
        return self.constant if self.series is None else self.series.constant_at(current)


@dataclass(frozen=True)
class InductionTrain:
    """A chain with an induction motor in one duty state at one warmth."""

    load: ShaftLoad
    turns: Lanes  # motor turns per turn of the tool
    resistance: Lanes  # ohm, all that carries the motor's current
    voltage: Lanes  # V, of the plate
    synchronous: Lanes  # rad/s
    breakdown_torque: Lanes  # N m, at the voltage of the plate
    breakdown_slip: Lanes  # -
    standing_loss: Lanes  # W
    idle_current: Lanes  # A
    start_current: Lanes  # A, at the voltage of the plate
    wiring: Lanes  # ohm, between the switch and the source


@dataclass(frozen=True)
class Converted:
    """A chain that hangs on a converter, which makes its voltage out of the source's."""

    inner: Train | InductionTrain
    box: Converter
    wiring: Lanes  # ohm, between the converter and the source

    @property
    def turns(self) -> Lanes:
        """Motor turns per turn of the tool."""
        return self.inner.turns


@dataclass(frozen=True)
class Resting:
    """Watts taken while nothing turns: an auxiliary, or a chain that is off while its converter stays on."""

    power: Lanes  # W
    wiring: Lanes  # ohm, to the source


Turning = Train | InductionTrain | Converted
AnyTrain = Turning | Resting


def resting(chain: Parts) -> Resting | None:
    """Return what a chain that is switched off still draws with, None where nothing stays on."""
    if chain.converter is None or chain.converter.sleeps:
        return None
    return Resting(chain.converter.idle_power, ohms(chain.battery_leads))


def train(chain: Parts, work: Demand, warmth: Warmth) -> Turning:
    """Reduce a chain at one warmth."""
    leads = ohms(chain.battery_leads if chain.converter is None else chain.feed_leads)
    inner = _motor_train(chain, work, warmth, leads)
    return inner if chain.converter is None else Converted(inner, chain.converter, ohms(chain.battery_leads))


def trains_in(
    state: DutyState,
    chains: Sequence[Chain],
    rows: Sequence[Parts],
    demands: Sequence[Demand],
    warmths: Sequence[Warmth],
    auxiliaries: Sequence[Auxiliary] = (),
) -> list[AnyTrain | None]:
    """Return every chain reduced in one duty state, and after them the auxiliaries; None where nothing is drawn.

    Of a chain that is switched off, what stays on.
    """
    turning = [
        train(row, demand, warmth) if state.at_work(chain) else resting(row)
        for chain, row, demand, warmth in zip(chains, rows, demands, warmths, strict=True)
    ]
    return [*turning, *(Resting(one.power, 0.0) if state.at_work(one) else None for one in auxiliaries)]


def _motor_train(chain: Parts, work: Demand, warmth: Warmth, leads: Lanes) -> Train | InductionTrain:
    motor = chain.motor
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    resistance = winding + chain.controller.resistance + ohms(chain.motor_leads)
    load = ShaftLoad(work.terms, work.turns, work.curve, work.gain)
    if isinstance(motor, InductionMotor):
        return InductionTrain(
            load=load,
            turns=work.turns,
            resistance=resistance,
            voltage=motor.voltage,
            synchronous=motor.synchronous,
            breakdown_torque=motor.breakdown_torque,
            breakdown_slip=motor.breakdown_slip,
            standing_loss=motor.standing_loss,
            idle_current=motor.idle_current,
            start_current=motor.start_multiple * motor.rated_current,
            wiring=leads,
        )
    if isinstance(motor, SeriesMotor):
        series = SeriesLoad(load, motor.constant, motor.saturation_current, motor.iron)
        return _fed(chain, work, leads, motor.constant, NO_TERMS, resistance, None, series)
    constant = motors.magnet_constant(motor.constant, motor.magnet_slope, warmth.magnets)
    terms = torque_terms.current_terms(work.terms, constant)
    curve = None if work.curve is None else CurveAtMotor(work.curve, work.turns, work.gain / constant)
    return _fed(chain, work, leads, constant, terms, resistance, curve, None)


def _fed(
    chain: Parts,
    work: Demand,
    leads: Lanes,
    constant: Lanes,
    terms: TorqueTerms,
    resistance: Lanes,
    curve: CurveAtMotor | None,
    series: SeriesLoad | None,
) -> Train:
    """Return a train with what its controller, or its switch, puts in the way."""
    motor, controller = chain.motor, chain.controller
    return Train(
        current=terms,
        turns=work.turns,
        constant=constant,
        resistance=resistance,
        brush_drop=motor.brush_drop,
        idle_power=controller.idle_power,
        switching_share=converters.switching_share(controller.switching_time, controller.switching_frequency),
        wiring=leads,
        set_speed=controller.speed,
        motor_limit=controller.motor_current,
        battery_limit=controller.battery_current,
        cut_out=controller.cut_out,
        curve=curve,
        series=series,
        reactance=motor.reactance if isinstance(motor, SeriesMotor) else 0.0,
        alternating=chain.alternating,
    )


def wiring_resistance(link: Wiring) -> Lanes:
    """Return the resistance a pair of conductors, or a row of contacts, puts in the way. [Ω]"""
    if isinstance(link, Cable):
        return conductors.pair_resistance(
            link.length, link.resistance_per_length, link.temperature_slope, link.temperature
        )
    return link.count * link.resistance


def ohms(links: Iterable[Wiring]) -> Lanes:
    """Add up the resistance of links in series. [Ω]"""
    total: Lanes = 0.0
    for link in links:
        total = total + wiring_resistance(link)
    return total
