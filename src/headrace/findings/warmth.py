"""Does anything get too hot?"""

from __future__ import annotations

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Enduring, Evidence
from headrace.findings.finding import Verdict, above, apart, below, finding, gravest, share_of
from headrace.machine.joins import part_of_link
from headrace.machine.links import AnyMotor
from headrace.machine.records import Lanes

MINUTE = 60.0  # s

ZERO = 273.15  # K


@finding("cells-too-hot", level="stop", rejects_pack=True, source="the cell's highest temperature while discharging")
def cells_too_hot(evidence: Evidence) -> Verdict:
    """The cells get hotter than they may.

    To do: more cells in parallel, a ventilated box, or rests.

    What is compared: highest cell temperature over the job in the hottest weather, with new or with worn cells.

    How it comes about: heat ages a cell and, far enough, sets it off. In a closed box a cell sheds a fifth of what it
    does alone.

    Raised by:
        limits.ambient_hot = "60 °C"

    Silenced by:
        limits.ambient_hot = "35 °C"

    Where it does not hold: one temperature stands for all cells; the middle of the pack is warmer.

    The limit is from: the cell's sheet; 60 °C is the usual figure.
    """
    value, limit = evidence.days.hottest_cell, evidence.machine.source.cell.max_temperature
    return Verdict(
        value,
        limit,
        value >= limit,
        "K",
        lambda v, m: "On the hottest day the cells reach {} °C; {} °C is their limit.".format(
            *apart(v - ZERO, m - ZERO, 0)
        ),
        lambda v, m: "Add cells in parallel, let air to the pack, or plan rests.",
        parts=("pack",),
    )


@finding("winding-too-hot", level="stop", rejects_pack=True, source="the motor's insulation class")
def winding_too_hot(evidence: Evidence) -> Verdict:
    """The motor's winding gets hotter than its insulation may.

    To do: a larger or cooled motor, a slower tool, lighter work, or rests.

    What is compared: highest winding temperature over the job in the hottest weather, with new or with worn cells.

    How it comes about: hot copper has more resistance and makes more heat; above a certain current there is no steady
    temperature.

    Raised by:
        chains.blade.motor.winding_to_case = "1.5 K/W"

    Silenced by:
        chains.blade.motor.winding_to_case = "0.25 K/W"

    Where it does not hold: a motor with its own fan cools better than the still-air figure.

    The limit is from: insulation classes B, F, H: 130, 155, 180 °C.
    """
    limit = np.min(np.broadcast_arrays(*_winding_limits(evidence)), axis=0)
    value = evidence.days.hottest_winding
    return Verdict(
        value,
        limit,
        value >= limit,
        "K",
        lambda v, m: "On the hottest day the winding reaches {} °C; its insulation stands {} °C.".format(
            *apart(v - ZERO, m - ZERO, 0)
        ),
        lambda v, m: "Take a larger or better cooled motor, work lighter, or plan rests.",
        parts=_only_motor(evidence),
    )


def _only_motor(evidence: Evidence) -> tuple[str, ...]:
    """Return the motor of a machine with one; of several nothing says which of them is the hottest."""
    motors = [
        part_of_link(chain.name, link)
        for chain in evidence.machine.chains
        for link in chain.links
        if isinstance(link, AnyMotor)
    ]
    return tuple(motors) if len(motors) == 1 else ()


def _winding_limits(evidence: Evidence) -> list[Lanes]:
    return [
        link.winding_limit for chain in evidence.machine.chains for link in chain.links if isinstance(link, AnyMotor)
    ]


@finding("too-hot-without-a-pause", level="caution", source="two-node model of the motor in the hottest weather")
def too_hot_without_a_pause(evidence: Evidence) -> Verdict:
    """A motor that the job's changes keep cool gets too hot where one state is kept up.

    To do: plan the pauses, and keep them; a larger or better cooled motor where the work comes in one go.

    What is compared: minutes in one duty state without a pause until the winding is at its limit, from cold in the
    hottest weather, against all the minutes the job spends in that state.

    How it comes about: the day is worked in cycles, a minute long unless the file says otherwise. Whoever mills the
    whole heap in one go has no pauses.

    Raised by:
        chains.blade.motor.case_to_air = "0.9 K/W"

    Silenced by:
        chains.blade.motor.case_to_air = "0.2 K/W"

    Where it does not hold: where the work itself forces the pauses, as walking back does.

    The limit is from: heat balance of winding and case.
    """
    wanted = {state.name: state.share * evidence.machine.limits.time_wanted for state in evidence.machine.job.states}
    verdicts = [_kept_up(one, wanted[one.state]) for one in evidence.endures]
    strains = [np.where(np.isnan(v.value), 0.0, share_of(v.limit, v.value)) for v in verdicts]
    return gravest(verdicts, strains)


def _kept_up(one: Enduring, whole: Lanes) -> Verdict:
    value = one.warming.to_limit
    words = f"Kept at {one.state} without a pause in the hottest weather, the winding is too hot after"
    return Verdict(
        value,
        whole,
        below(value, whole),
        "s",
        lambda v, m: f"{words} {v / MINUTE:.0f} min; the job holds {m / MINUTE:.0f} min of it.",
        lambda v, m: "Plan pauses and keep them, or take a larger or better cooled motor.",
    )


@finding(
    "motor-past-continuous",
    level="caution",
    source="two-node model of the motor, 15 K below the insulation's limit in the hottest weather",
)
def motor_past_continuous(evidence: Evidence) -> Verdict:
    """The motor carries more than it can carry for hours.

    To do: plan rests, cool the motor, or take the next larger one.

    What is compared: root mean square of the motor's current over the job against the current that settles 15 K below
    the limit of its winding in the hottest weather. A plate marked S1 is taken at its word: then its watts are the
    limit.

    How it comes about: plate power is a short-time figure unless the plate says S1. Taken as continuous it is often
    wrong by two.

    Raised by:
        chains.blade.motor.case_to_air = "1.2 K/W"

    Silenced by:
        chains.blade.motor.case_to_air = "0.25 K/W"

    Where it does not hold: a job shorter than the motor needs to warm up may still be in order; ``winding-too-hot``
    judges that.

    The limit is from: heat balance of winding and case; the margin of 15 K is common practice.
    """
    verdicts = [_carried(evidence, place) for place in range(len(evidence.machine.chains))]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _carried(evidence: Evidence, place: int) -> Verdict:
    """Return the verdict on the motor of one chain."""
    chain, found = evidence.machine.chains[place], evidence.corners
    motor = parts(chain).motor
    name = "motor" if len(evidence.machine.chains) == 1 else f"{chain.name}'s motor"
    if motor.continuous_mark and np.all(np.isfinite(motor.rated_power)):
        power, plate = found.shaft_power[place], motor.rated_power
        return Verdict(
            power,
            plate,
            above(power, plate),
            "W",
            lambda v, m: "The {} gives {} W at its shaft over the job; its plate says {} W, marked S1.".format(
                name, *apart(v, m, 0)
            ),
            lambda v, m: "Plan rests, work lighter, or take a larger motor.",
        )
    value, limit = found.motor_current[place], evidence.motor_continuous[place]
    return Verdict(
        value,
        limit,
        above(value, limit),
        "A",
        lambda v, m: "The {} carries {} A over the job; {} A is what it can carry for hours.".format(
            name, *apart(v, m, 0)
        ),
        lambda v, m: "Plan rests, cool the motor, or take a larger one; plate power is short-time unless marked S1.",
    )
