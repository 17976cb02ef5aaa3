"""Do the wheels hold on the ground?"""

from __future__ import annotations

from headrace.drive.tools.travelling import force_gripped, held_force, steady_force
from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, apart, finding, gravest, share_of
from headrace.machine.records import Chain, DutyState
from headrace.machine.works import Wheels


@finding("wheels-spin", level="stop", source="Coulomb friction; the grip is assumed unless the file gives it")
def wheels_spin(evidence: Evidence) -> Verdict:
    """A load or a slope asks the driven wheels for more than the ground holds.

    To do: more weight on the driven axle, all wheels driven, tyres with more grip, a lighter load, or a gentler slope.

    What is compared: rolling, grade and drawbar of each loaded state, at a steady pace, against grip times the weight
    on the driven wheels.

    How it comes about: the motor may be strong enough and the wheels still spin: they put no more on the ground than
    the weight on them times the grip. Wet grass has half the grip of dry.

    Raised by:
        starter = "cart"
        chains.axle.work.grip = 0.1

    Silenced by:
        chains.axle.work.grip = 0.8

    Where it does not hold: setting off takes more than a steady pace, and a climb moves weight to the lower axle; give
    the share as it is on the slope.

    The limit is from: Coulomb friction.
    """
    verdicts = [
        _in_state(chain, chain.work, state)
        for chain in evidence.machine.chains
        if isinstance(chain.work, Wheels)
        for state in evidence.machine.job.states
        if state.loads(chain)
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


@finding("wheels-slide", level="caution", source="Coulomb friction; the grip is assumed unless the file gives it")
def wheels_slide(evidence: Evidence) -> Verdict:
    """A slope pushes the machine on harder than the driven wheels can hold.

    To do: a brake on all wheels, more weight on the axle that is held, a lighter load, or another way down.

    What is compared: grade less rolling and drawbar of each loaded state that goes down, at a steady pace, against grip
    times the weight on the driven wheels.

    How it comes about: a motor, or a brake on its shaft, holds by the driven wheels alone. Once they slide nothing
    holds and nothing steers, on wet grass at half the slope of dry.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-20 °"
        chains.axle.work.grip = 0.3

    Silenced by:
        chains.axle.work.grip = 0.8

    Where it does not hold: a brake on all wheels holds more; going down moves weight to the front axle; stopping takes
    more than a steady pace.

    The limit is from: Coulomb friction.
    """
    verdicts = [
        _held(chain, chain.work, state)
        for chain in evidence.machine.chains
        if isinstance(chain.work, Wheels)
        for state in evidence.machine.job.states
        if state.loads(chain)
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _held(chain: Chain, wheels: Wheels, state: DutyState) -> Verdict:
    value, limit = held_force(wheels, state), force_gripped(wheels, state)
    return Verdict(
        value,
        limit,
        above(value, limit),
        "N",
        lambda v, m: "In {} the {} have to hold {} N; the ground holds {} N before they slide.".format(
            state.name, chain.work.name, *apart(v, m, 0)
        ),
        lambda v, m: "Brake all wheels, put more weight on the axle that is held, or go down less of a slope.",
    )


def _in_state(chain: Chain, wheels: Wheels, state: DutyState) -> Verdict:
    value, limit = steady_force(wheels, state), force_gripped(wheels, state)
    return Verdict(
        value,
        limit,
        above(value, limit),
        "N",
        lambda v, m: "In {} the {} have to push with {} N; the ground holds {} N before they spin.".format(
            state.name, chain.work.name, *apart(v, m, 0)
        ),
        lambda v, m: "Put more weight on the driven axle, drive all wheels, or carry less up less of a slope.",
    )
