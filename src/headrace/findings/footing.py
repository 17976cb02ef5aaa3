"""Do the wheels hold on the ground, and does the hand hold the rope?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.tools.hauling import tail_pull
from headrace.drive.tools.travelling import force_gripped, held_force, steady_force
from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, apart, finding, gravest, share_of
from headrace.machine.records import Chain, DutyState
from headrace.machine.values import leaf
from headrace.machine.works import Wheels, Winch

HAND = 150.0  # N, that a hand holds for minutes


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


@finding("tail-pulls-hard", level="caution", source="common practice, no source: what a hand holds for minutes")
def tail_pulls_hard(evidence: Evidence) -> Verdict:
    """The hand on the tail of a capstan has to hold more than a hand holds for long.

    To do: another turn round the capstan, a dry rope and a clean drum, or a cleat that takes the tail; a lighter load.

    What is compared: pull on the tail that keeps the rope from slipping in the hardest state, at the low end of the
    friction of rope on drum, against 150 N.

    How it comes about: each turn takes the same factor off the pull, and the factor has the friction in its exponent. A
    wet rope has half the friction: three turns that left the hand with a fiftieth of the load leave it with a seventh.

    Raised by:
        starter = "winch"
        chains.winch.work.layer = 1
        chains.winch.work.laps = 1

    Silenced by:
        chains.winch.work.laps = 4

    Where it does not hold: a capstan with a gripping jaw or a second drum needs no hand.

    The limit is from: common practice, no source.
    """
    pulls = [
        tail_pull(_slippery(evidence, chain, chain.work), state)
        for chain in evidence.machine.chains
        if isinstance(chain.work, Winch) and np.all(np.asarray(chain.work.laps) > 0.0)
        for state in evidence.machine.job.states
        if state.loads(chain)
    ]

    def says(v: float, m: float) -> str:
        return "The hand on the tail has to hold {} N; {} N is what a hand holds for minutes.".format(*apart(v, m, 0))

    verdicts = [
        Verdict(
            pull, HAND, above(pull, HAND), "N", says, lambda v, m: "Lay on another turn, and keep rope and drum dry."
        )
        for pull in pulls
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _slippery(evidence: Evidence, chain: Chain, work: Winch) -> Winch:
    """Return a capstan whose rope has the least friction of its band: ropes get wet."""
    origin = evidence.machine.pedigree.get(f"chains.{chain.name}.work.rope_friction")
    return work if origin is None else replace(work, rope_friction=leaf(origin, origin.low))


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
