"""What comes back on the way down, and how fast it is held."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from headrace.drive.descent import Descent
from headrace.drive.links import parts
from headrace.drive.tools import paces_wanted
from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, finding, gravest, share_of
from headrace.findings.holding import Rated, chain_of, least_rated
from headrace.findings.rest import Slope
from headrace.machine.joins import part_of_link
from headrace.machine.values import first_number

ZERO = 273.15  # K
AMPERE_HOUR = 3600.0  # A s


@finding("too-fast-downhill", level="stop", source="the greatest pace in the limits of the file")
def too_fast_downhill(evidence: Evidence) -> Verdict:
    """Held by its motor on the way down, the machine is faster than the file allows.

    To do: a governed speed, a larger reduction, fewer volts, or a friction brake that is used all the way.

    What is compared: pace at which a full pack holds the machine down its slope against the greatest pace.

    How it comes about: going down the motor turns faster than without load, for its current flows the other way and
    lifts its volts above the pack's.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-8 °"
        limits.travel_speed_max = "1.2 m/s"

    Silenced by:
        limits.travel_speed_max = "4 m/s"

    Where it does not hold: where a friction brake holds the speed.

    The limit is from: the builder's own wish, ``limits.travel_speed_max`` and its like.
    """
    verdicts = []
    for one in evidence.slopes:
        work = chain_of(evidence, one).work
        if one.descent is not None:
            limit = paces_wanted(evidence.machine.limits, work)[1]
            pace = np.where(np.asarray(one.descent.driving) > 0.0, one.descent.pace, 0.0)
            verdicts.append(Verdict(pace, limit, above(pace, limit), "m/s", _fast(one), lambda v, m: SLOWER))
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


SLOWER = "Govern the speed, gear it down further, or hold it by a friction brake all the way."


def _fast(one: Slope) -> Callable[[float, float], str]:
    def says(v: float, m: float) -> str:
        pace, most = apart(v, m)
        return f"Held by the motor in {one.state} it comes down at {pace} m/s; {most} m/s is the most the file allows."

    return says


def _fed_back(evidence: Evidence, judged: Callable[[Slope, Descent], Verdict]) -> Verdict:
    """Return the gravest verdict on the descents whose controller feeds back, first of those that give something."""
    down = [(one, one.descent) for one in evidence.slopes if one.descent is not None and one.regenerates]
    verdicts = [judged(one, found) for one, found in down]
    strains = [
        np.where(np.asarray(found.given_back) > 0.0, share_of(verdict.value, verdict.limit), -np.inf)
        for (_, found), verdict in zip(down, verdicts, strict=True)
    ]
    return gravest(verdicts, strains)


def _controller(evidence: Evidence, one: Slope) -> tuple[str, ...]:
    """Return the controller that holds the machine on a slope."""
    return (part_of_link(one.chain, parts(chain_of(evidence, one)).controller),)


@finding("volts-past-rating-downhill", level="stop", rejects_pack=True, source="lowest rating of what sees the bus")
def volts_past_rating_downhill(evidence: Evidence) -> Verdict:
    """Feeding back into a full pack lifts the volts past what a part is rated for.

    To do: a controller and contacts rated for more volts, fewer cells in series, a controller that feeds nothing back,
    or a descent with room left in the pack; and a friction brake, for past its rating the controller lets go.

    What is compared: volts at the controller, full pack with worn cells on the coldest day, held at its speed down the
    steepest state, against the least rating of controller, contacts and motor.

    How it comes about: what comes back has to go through the resistance of leads and cells, and a full pack is
    high to start with. Protected boards open at that moment, and then nothing at all takes the current.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-8 °"
        chains.axle.controller.regenerates = true
        chains.axle.controller.max_voltage = "42.5 V"

    Silenced by:
        chains.axle.controller.max_voltage = "75 V"

    Where it does not hold: a controller that stops feeding back at a set voltage stays below it, and holds no longer.

    The limit is from: the sheets of the parts.
    """

    def judged(one: Slope, found: Descent, link: Rated) -> Verdict:
        held, part = f"Held by the motor in {one.state}", f"the {link.name}"
        return Verdict(
            found.bus_voltage,
            link.max_voltage,
            above(found.bus_voltage, link.max_voltage) & above(found.given_back, 0.0),
            "V",
            lambda v, m: "{held}, a full pack is lifted to {} V; {part} may have {} V at most.".format(
                *apart(v, m), held=held, part=part
            ),
            lambda v, m: "Let the controller feed nothing back, or take parts for more volts; brake by friction.",
            parts=(part_of_link(one.chain, link),),
        )

    return _fed_back(evidence, lambda one, found: least_rated(evidence, one, partial(judged, one, found)))


@finding("full-pack-downhill", level="stop", rejects_pack=True, source="the cell's full voltage")
def full_pack_downhill(evidence: Evidence) -> Verdict:
    """A full pack is charged on by a machine that is held back by its motor.

    To do: a controller that feeds nothing back, or one that stops at a voltage that can be set, with a friction brake
    for what it then leaves; or start down with so much room in the pack as is said.

    What is compared: volts of a cell, full pack with worn cells on the coldest day, held at its speed down the steepest
    state, against the cell's full voltage.

    How it comes about: a charger stops at the full voltage; a slope does not. Overcharged cells burn, and a board that
    opens to save them takes the brake away.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-8 °"
        chains.axle.controller.regenerates = true

    Silenced by:
        chains.axle.controller.regenerates = false

    Where it does not hold: a controller that stops feeding back below the full voltage; a pack that never starts full.

    The limit is from: the cell's sheet.
    """

    def judged(one: Slope, found: Descent) -> Verdict:
        source = evidence.machine.source
        cell, full = found.inside_voltage / source.series, source.cell.full_voltage
        room = first_number(one.headroom) / AMPERE_HOUR
        start = f"start down with {room:.1f} Ah out of the pack, and what comes back on the way besides"
        out = start if np.isfinite(room) else "take a larger pack: no room in this one is enough"
        return Verdict(
            cell,
            full,
            above(cell, full) & above(found.given_back, 0.0),
            "V",
            lambda v, m: "Held by the motor in {}, the cells of a full pack are charged to {} V; full is {} V.".format(
                one.state, *apart(v, m, 2)
            ),
            lambda v, m: f"Let the controller feed nothing back, or {out}; brake by friction.",
            parts=_controller(evidence, one),
        )

    return _fed_back(evidence, judged)


@finding("charged-too-fast-downhill", level="caution", source="the cell's charging current; usual rates from memory")
def charged_too_fast_downhill(evidence: Evidence) -> Verdict:
    """A machine held back by its motor charges the cells faster than they take it.

    To do: go down slower, more cells in parallel, or let a friction brake take a part of it.

    What is compared: current into a cell, held at its speed down the steepest state, against the cell's charging
    current.

    How it comes about: cells take less on charge than they give, a half of their capacity in an hour where a sheet says
    no more; a short slope passes that in a minute, and in the cold they take less still.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-15 °"
        source.parallel = 2
        chains.axle.controller.regenerates = true

    Silenced by:
        chains.axle.controller.regenerates = false

    Where it does not hold: seconds of it do little harm to warm cells.

    The limit is from: the cell's sheet where the file gives it; otherwise assumed from its capacity.
    """

    def judged(one: Slope, found: Descent) -> Verdict:
        source = evidence.machine.source
        amps, limit = found.into_pack / source.parallel, source.cell.charge_current
        return Verdict(
            amps,
            limit,
            above(amps, limit),
            "A",
            lambda v, m: "Held by the motor in {}, {} A go into each cell; it takes {} A.".format(
                one.state, *apart(v, m)
            ),
            lambda v, m: "Go down slower, or let a friction brake take a part of it.",
        )

    return _fed_back(evidence, judged)


@finding("charged-in-the-cold-downhill", level="stop", source="the cell's lowest charging temperature")
def charged_in_the_cold_downhill(evidence: Evidence) -> Verdict:
    """A machine held back by its motor charges cells that are too cold for it.

    To do: a controller that feeds nothing back in the cold, or warm the pack first; a friction brake either way.

    What is compared: the coldest weather against the lowest temperature the cells may be charged at.

    How it comes about: below freezing lithium plates onto the electrode, and on a slope no charger is there to refuse.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-8 °"
        chains.axle.controller.regenerates = true
        limits.ambient_cold = "-5 °C"

    Silenced by:
        limits.ambient_cold = "5 °C"

    Where it does not hold: a pack kept warmer than the air.

    The limit is from: cell sheets; 0 °C is common practice, some sheets say more.
    """

    def judged(one: Slope, found: Descent) -> Verdict:
        cold, limit = evidence.machine.limits.ambient_cold, evidence.machine.source.cell.charge_min_temperature
        failing = above(limit, cold) & above(found.given_back, 0.0)
        return Verdict(
            cold,
            limit,
            failing,
            "K",
            lambda v, m: "Held by the motor in {} at {} °C, cells are charged that must not be below {} °C.".format(
                one.state, *apart(v - ZERO, m - ZERO, 0)
            ),
            lambda v, m: "Let the controller feed nothing back in the cold; brake by friction.",
            parts=_controller(evidence, one),
        )

    return _fed_back(evidence, judged)


@finding("not-held-downhill", level="stop", source="the controller's limit on motor current against the load's torque")
def not_held_downhill(evidence: Evidence) -> Verdict:
    """The controller lets too few amps through to hold the machine on its way down.

    To do: a larger reduction, a higher limit, a gentler slope; and a friction brake.

    What is compared: motor current that holds the speed down the steepest state against the controller's limit.

    How it comes about: all the torque that holds is current in the motor, as in driving. At the limit the rest of the
    slope speeds the machine up.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-15 °"
        chains.axle.controller.regenerates = true
        chains.axle.controller.motor_current = "5 A"

    Silenced by:
        chains.axle.controller.motor_current = "60 A"

    Where it does not hold: some controllers have another limit for braking, often a lower one.

    The limit is from: the controller's setting.
    """

    def judged(one: Slope, found: Descent) -> Verdict:
        limit = parts(chain_of(evidence, one)).controller
        if np.all(np.isinf(limit.motor_current)):
            return NOT_HELD
        return Verdict(
            found.motor_current,
            limit.motor_current,
            above(found.motor_current, limit.motor_current),
            "A",
            lambda v, m: "Holding the machine in {} takes {} A in the motor; the controller lets {} A through.".format(
                one.state, *apart(v, m, 0)
            ),
            lambda v, m: "Gear it down further or raise the limit; brake by friction.",
            parts=_controller(evidence, one),
        )

    return _fed_back(evidence, judged)
