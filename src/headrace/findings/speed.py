"""Is the blade too fast, is it too slow?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.drive.tools import paces_wanted, tool_of, torque_taken
from headrace.findings.evidence import Evidence
from headrace.findings.finding import (
    Verdict,
    above,
    apart,
    at_its_worst,
    below,
    by_source,
    finding,
    gravest,
    share_of,
)
from headrace.machine.records import DutyState, Lanes
from headrace.machine.values import first_lane, first_number
from headrace.machine.works import Blade


@dataclass(frozen=True)
class Runs:
    """How a pace is told, in the unit it is read in."""

    words: str
    unit: str
    scale: float = 1.0
    ends: str = "stops the {}"  # what a load does that is too much

    def say(self, value: float, limit: float) -> tuple[str, str]:
        """Return a value and its limit with their unit, told apart."""
        said, beside = apart(value * self.scale, limit * self.scale)
        return f"{said} {self.unit}", f"{beside} {self.unit}"


RUNS = {
    "tip_speed": Runs("the tip runs at", "m/s"),
    "tool_speed": Runs("the tool turns at", "rpm", 30.0 / np.pi),
    "flow": Runs("the flow is", "l/min", 60_000.0, "leaves the {} without flow"),
    "load_speed": Runs("the load moves at", "m/s"),
    "travel_speed": Runs("the machine travels at", "m/s"),
}
UNITS = {"m/s": "m/s", "rpm": "rad/s", "l/min": "m³/s"}  # SI unit of each
TOO_FAST = (
    "Take fewer cells in series if the tool is then still fast enough near the end of the charge (packs says so); if "
    "not, a slower motor, a larger reduction, or a governed speed."
)
TOO_FAST_SUPPLIED = "Take a slower motor, a larger reduction, or a governed speed."


STOPPED_SUPPLIED = "Work lighter, or gear it down further."
STOPPED = "Add cells in parallel, take cells that mind the cold less, or bring the pack warm from indoors."
TOO_SLOW = (
    "Add cells in series (volts are speed) as far as the full pack may run; beyond that govern the speed, or lose "
    "fewer volts on the way: more cells in parallel, thicker cable, lighter work. Where a limit on current sets the "
    "speed (losses says so) volts do not help: raise that limit, or gear down; a "
    "governed speed is raised where it is set."
)
TOO_SLOW_SUPPLIED = (
    "Gear it for more speed or take a faster motor as far as the fastest that is allowed; beyond that govern the "
    "speed, or lose fewer volts on the way: a shorter or thicker lead, lighter work."
)


@finding(
    "tip-too-fast",
    level="stop",
    rejects_pack=True,
    source="ANSI/OPEI B71.1 (19,000 ft/min); 16 CFR 1205.3(a)(8) judges after a full charge",
)
def tip_too_fast(evidence: Evidence) -> Verdict:
    """The blade's tip runs faster than it may.

    To do: fewer cells in series, a motor wound slower, a larger reduction, or a governed speed.

    What is compared: tip speed after a full charge, without grass, with the magnets warm from work, against the limit.

    How it comes about: a blade that breaks or throws a stone does harm with the square of its speed. A fresh pack
    stands 15 % above its nominal voltage, and warm ferrite magnets let the motor turn faster still.

    Raised by:
        source.series = 13

    Silenced by:
        source.series = 10

    Where it does not hold: a controller that governs the speed holds it down; then the set speed counts.

    The limit is from: ANSI/OPEI B71.1, 19,000 ft/min (96.5 m/s); 16 CFR 1205.3(a)(8): maximum speed of a battery mower
    is the speed after a full charge. Both seen second-hand; the text of the standard comes first.
    """
    return _too_fast(evidence, [isinstance(chain.work, Blade) for chain in evidence.machine.chains])


@finding("too-fast-when-full", level="stop", rejects_pack=True, source="the greatest pace in the limits of the file")
def too_fast_when_full(evidence: Evidence) -> Verdict:
    """A tool other than a mowing blade runs faster than the builder allows.

    To do: fewer cells in series, a motor wound slower, a larger reduction, or a governed speed.

    What is compared: the pace of the tool after a full charge, without load, with the magnets warm from work, against
    the greatest pace that [limits] gives for its kind.

    How it comes about: a fresh pack stands 15 % above its nominal voltage, and without load nothing holds the motor
    back.

    Raised by:
        starter = "saw"
        limits.tip_speed_max = "46 m/s"

    Silenced by:
        limits.tip_speed_max = "150 m/s"

    Where it does not hold: a controller that governs the speed holds it down; then the set speed counts. A saw blade,
    a disc or a wheel has a greatest speed of its own, stamped on it: that comes first.

    The limit is from: the builder's own, ``limits.tip_speed_max`` and its like for other paces; none unless given.
    """
    return _too_fast(evidence, [not isinstance(chain.work, Blade) for chain in evidence.machine.chains])


def _too_fast(evidence: Evidence, judged: list[bool]) -> Verdict:
    """Return the verdict on the fastest of some chains, each held against its own greatest pace."""
    places = [place for place, holds in enumerate(judged) if holds]
    verdicts = [_fast(evidence, place) for place in places]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _fast(evidence: Evidence, place: int) -> Verdict:
    value, limit, runs = evidence.corners.fastest[place], _wanted(evidence, place)[1], _runs(evidence, place)

    def says(v: float, m: float) -> str:
        said, most = runs.say(v, m)
        return f"{when} {runs.words} {said} without load and with warm magnets; the limit is {most}."

    when = by_source(evidence, "After a full charge", "At full volts")
    cure = by_source(evidence, TOO_FAST, TOO_FAST_SUPPLIED)
    return Verdict(value, limit, above(value, limit), UNITS[runs.unit], says, lambda v, m: cure)


@finding("too-slow-when-empty", level="stop", rejects_pack=True, source="the least pace in the limits of the file")
def too_slow_when_empty(evidence: Evidence) -> Verdict:
    """At the end of the charge a tool is too slow for its work.

    To do: more cells in series as long as the full pack stays below the fastest that is allowed; beyond that a governed
    speed with volts to spare, or fewer volts lost on the way: more cells in parallel, thicker cable, lighter work.

    What is compared: pace of the tool in the hardest duty state when only the reserve is left, cells at end of life.

    How it comes about: voltage is speed. A pack that is right when full can be a quarter slower when nearly empty, and
    a slow blade tears the grass and can be stopped by a tuft.

    Raised by:
        source.series = 6

    Silenced by:
        source.series = 10

    Where it does not hold: a governed speed with voltage to spare does not sag.

    The limit is from: the builder's own wish, ``limits.tip_speed_min`` and its like for other paces; for a mowing blade
    50 to 90 m/s is usual, a figure from memory.
    """
    places = range(len(evidence.machine.chains))
    verdicts = [_slow(evidence, place) for place in places]
    return gravest(verdicts, [-_share(verdict.value, verdict.limit) for verdict in verdicts])


def _share(value: Lanes, limit: Lanes) -> Lanes:
    """Return a pace as a share of the least wanted; of a tool that stands, nothing, whatever is wanted. [-]"""
    return np.where(np.asarray(value) > 0.0, share_of(value, limit), 0.0)


def _slow(evidence: Evidence, place: int) -> Verdict:
    value, limit, runs = evidence.corners.slowest[place], _wanted(evidence, place)[0], _runs(evidence, place)
    heaviest = _heaviest(evidence, place)

    def says(v: float, m: float) -> str:
        said, least = runs.say(v, m)
        if v <= 0.0:
            ends = runs.ends.format(evidence.machine.chains[place].work.name)
            return f"{when} {heaviest} {ends}{_asking(evidence, place, m)}."
        return f"{when} {runs.words} {said} in {heaviest}; {least} is wanted."

    when = by_source(evidence, "With worn cells near the end of the charge", "Under load")
    cure = by_source(evidence, TOO_SLOW, TOO_SLOW_SUPPLIED)

    stopped_or_slow = below(value, limit) | (np.asarray(value) <= 0.0)
    return Verdict(value, limit, stopped_or_slow, UNITS[runs.unit], says, lambda v, m: cure)


def _asking(evidence: Evidence, place: int, least: float) -> str:
    """Return in words what the heaviest state asks of a tool at the least pace wanted; nothing where none is."""
    machine = first_lane(evidence.machine)
    chain = machine.chains[place]
    speed = first_number(tool_of(chain.work).speed_at(chain.work, least)) if least > 0.0 else 0.0
    if speed <= 0.0:
        return ""
    working = [state for state in machine.job.states if state.loads(chain)]
    most = max(float(torque_taken(chain.work, state, machine.job, machine.job.ambient, speed)) for state in working)
    said, _ = _runs(evidence, place).say(least, 0.0)
    return f"; at {said} it asks {most * speed:.0f} W at the tool"


@finding("stopped-by-the-cold", level="stop", rejects_pack=True, source="no speed at which the drive holds the load")
def stopped_by_the_cold(evidence: Evidence) -> Verdict:
    """In the cold, at the end of the charge, the load stops a tool that it does not stop on a usual day.

    To do: more cells in parallel, so that fewer volts are lost in cold ones, or cells that mind the cold less; or keep
    the pack indoors until it is needed.

    What is compared: whether the drive holds the load of every duty state with only the reserve left, cells at end of
    life, in the coldest weather. A motor that stands draws few amps from the battery, so neither a cut-out nor a cell's
    lowest voltage speaks of it.

    How it comes about: cold cells have two to four times the resistance, and what sags with it is the most power there
    is. A load that asks for about as much all the time, such as soil or wood, then finds no speed at which it is met.

    Raised by:
        starter = "tiller"
        source.series = 13
        source.parallel = 3

    Silenced by:
        source.parallel = 9

    Where it does not hold: where the tool is taken out only in the warm.

    The limit is from: the operating point itself.
    """
    places = range(len(evidence.machine.chains))
    verdicts = [_stopped(evidence, place) for place in places]
    return gravest(verdicts, [np.where(np.asarray(verdict.value) > 0.0, 0.0, 1.0) for verdict in verdicts])


def _stopped(evidence: Evidence, place: int) -> Verdict:
    value, runs = evidence.corners.coldest[place], _runs(evidence, place)
    heaviest = _heaviest(evidence, place)

    ends = f"{heaviest} {runs.ends.format(evidence.machine.chains[place].work.name)}"
    words = f"{at_its_worst(evidence)} {ends}."
    cure = by_source(evidence, STOPPED, STOPPED_SUPPLIED)
    only_then = (np.asarray(value) <= 0.0) & (np.asarray(evidence.corners.slowest[place]) > 0.0)
    return Verdict(value, 0.0, only_then, UNITS[runs.unit], lambda v, m: words, lambda v, m: cure)


def _wanted(evidence: Evidence, place: int) -> tuple[Lanes, Lanes]:
    return paces_wanted(evidence.machine.limits, evidence.machine.chains[place].work)


def _runs(evidence: Evidence, place: int) -> Runs:
    return RUNS[tool_of(evidence.machine.chains[place].work).pace.key]


def _heaviest(evidence: Evidence, place: int) -> str:
    """Return in words the state that takes most from a chain's tool, typical machine, at the tool's fastest."""
    machine = first_lane(evidence.machine)
    chain = machine.chains[place]
    tool = tool_of(chain.work)
    speed = tool.speed_at(chain.work, first_lane(evidence.corners.fastest[place]))
    working = [state for state in machine.job.states if state.loads(chain)]

    def taken(state: DutyState) -> float:
        if speed <= 0.0:
            return 0.0
        return float(torque_taken(chain.work, state, machine.job, machine.job.ambient, speed) * speed)

    heaviest = max(working, key=taken)
    return ", ".join([heaviest.name, *_load(heaviest)])


def _load(state: DutyState) -> list[str]:
    """Return what a state asks for, in bench units."""
    told = (
        (state.sward, 1.0, ".2f", "kg/m²"),
        (state.depth, 100.0, ".3g", "cm deep"),
        (state.feed, 100.0, ".3g", "cm/s of feed"),
        (state.material, 3600.0, ".3g", "kg/h"),
        (state.portion, 100.0, ".3g", "% of its table"),
        (state.load, 1.0, ".4g", "kg"),
        (state.slope, 180.0 / np.pi, ".3g", "° up"),
        (state.drawbar, 1.0, ".3g", "N behind"),
        (state.power, 1.0, ".0f", "W"),
    )
    return [f"{value * scale:{form}} {unit}" for value, scale, form, unit in told if value > 0.0]
