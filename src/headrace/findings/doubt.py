"""Does the answer rest on numbers nobody measured?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence, Swing
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, finding, gravest, share_of
from headrace.machine.naming import named
from headrace.machine.records import Lanes
from headrace.machine.works import Measured, Shaft

SHARE = 0.5
RPM = 30.0 / np.pi  # in a rad/s
USUAL = "usual_"  # before a number of the usual part that stands for one of the file
HOW = {  # what a wattmeter at the source can tell apart
    "windage": "watts drawn without work, less those with the tool taken off",
    "throw_share": "watts in work, less those without, at two speeds of the blade; what grows is the throw",
    "shear_energy": "watts in work, less those without, at two speeds of the blade; what stays is the shear",
    "specific_work": "watts in work, less those with the tool turning free",
    "specific_energy": "watts in work, less those with the tool turning free",
    "idle_torque": "watts with the tool turning free, less those with it taken off",
    "rolling": "a spring balance on a rope, pulled on the level at a walk, over the weight",
    "load_friction": "a spring balance between rope and load, dragged on the level, over the weight",
    "work.efficiency": "its flow times its pressure, over the watts drawn less what is lost before it",
    "grip": "a spring balance on a machine held fast, at the moment its wheels spin",
    "sward": "mow a square metre, rake it up and weigh it",
}


@finding("assumed-numbers-carry", level="note", source="each number's band, one at a time")
def assumed_numbers_carry(evidence: Evidence) -> Verdict:
    """Most of the doubt in the answer comes from numbers that were assumed.

    To do: measure the named number first and write it in with ``basis = "measured"``.

    What is compared: share of the swing in power drawn, one number's band at a time, that comes from assumed numbers.

    How it comes about: a figure from a table of guesses looks like any other once printed. One hour with a wattmeter
    can be worth more than any calculation.

    Raised by:
        chains.blade.work.windage = { value = 0.010, low = 0.003, high = 0.03, basis = "assumed" }

    Silenced by:
        chains.blade.work.windage = { value = 0.010, low = 0.0099, high = 0.0101, basis = "measured" }
        chains.blade.work.shear_energy = { value = 1000, low = 990, high = 1010, unit = "J/kg", basis = "measured" }

    Where it does not hold: effects are added one at a time; numbers that work together are not seen.

    The limit is from: the bands of the file and of the tables.
    """
    total = sum(swing.width for swing in evidence.swings)
    assumed = sorted((s for s in evidence.swings if s.basis == "assumed"), key=lambda s: -s.width)
    value = sum(s.width for s in assumed) / total if total > 0.0 else 0.0
    return Verdict(
        value,
        SHARE,
        np.full(evidence.shape, value > SHARE),
        "-",
        lambda v, m: (
            f"{100.0 * v:.0f} % of the doubt in the watts drawn comes from assumed numbers: "
            f"{_listed(evidence, assumed)}."
        ),
        lambda v, m: f"Measure {_called(evidence, assumed[0])} first{_by(assumed[0])}.",
    )


def _by(swing: Swing) -> str:
    """Return how a number is measured, where a wattmeter at the source is enough."""
    *_, part, key = swing.address.replace(USUAL, "").split(".")
    how = HOW.get(f"{part}.{key}", HOW.get(key))
    return f": {how}" if how else ""


def _listed(evidence: Evidence, swings: list[Swing]) -> str:
    return ", ".join(f"{_called(evidence, s)} ({_between(s)})" for s in swings[:3])


def _between(swing: Swing) -> str:
    """Return the watts at both ends of a band, the less first: a tool that stalls takes less from tougher work."""
    return f"{min(swing.low, swing.high):.0f} to {max(swing.low, swing.high):.0f} W"


def _called(evidence: Evidence, swing: Swing) -> str:
    """Return what people call the number of a swing: "the blade's windage"."""
    chains = evidence.machine.chains
    tool = next((c.work.name for c in chains if swing.address.startswith(f"chains.{c.name}.")), "")
    return named(swing.address.replace(USUAL, ""), tool, chain=len(chains) > 1, source=evidence.machine.source.kind)


@finding("known-by-a-label", level="note", source="a plate says what a motor or engine may give, not what a work takes")
def known_by_a_label(evidence: Evidence) -> Verdict:
    """What a shaft takes is known only from the plate of what drove it before.

    To do: measure it: the watts of the old motor at work less those with its belt off, or the torque on an arm with a
    spring balance.

    What is compared: the shafts whose watts are worked out of a label; there should be none.

    How it comes about: an engine is bought for the worst minute, with some to spare, and its plate is its best day. The
    work may take a quarter of it, or nearly all.

    Raised by:
        starter = "shaft"
        chains.mill.work.label = "1.1 kW"
        job.filling.idle = false

    Silenced by:
        job.filling.demand = "40 W"

    Where it does not hold: a machine whose old motor was seen to stall at its work took all of it.

    The limit is from: common practice, no source; the share that is assumed stands among the numbers.
    """
    if not any(isinstance(chain.work, Shaft) for chain in evidence.machine.chains):
        return NOT_HELD
    pedigree = evidence.machine.pedigree
    labels = [f"chains.{chain.name}.work.label" for chain in evidence.machine.chains]
    known = [pedigree[label] for label in labels if label in pedigree]
    said = ", ".join(f"{origin.typical:.0f} W" for origin in known)
    return Verdict(
        float(len(known)),
        0.0,
        np.full(evidence.shape, bool(known)),
        "-",
        lambda v, m: f"What the work takes is known only from a label of {said}, and a label is no demand.",
        lambda v, m: "Measure the watts of the old motor at work, less those with its belt off.",
    )


@finding("past-the-table", level="note", source="the last row of the measured table")
def past_the_table(evidence: Evidence) -> Verdict:
    """A load known by a measured table can be turned faster than it was measured.

    To do: measure on to the speed named, or set a governed speed below the last row.

    What is compared: the speed after a full charge, without load, with the magnets warm from work, against the fastest
    row of the table.

    How it comes about: beyond its last row the torque of a table is held. A load that grows with the speed is then told
    too small, and the tool turns slower and takes more than is said here.

    Raised by:
        starter = "measured"
        chains.grinder.work.points = [["0 rpm", "6 N·m"], ["500 rpm", "4.4 N·m"]]

    Silenced by:
        chains.grinder.work.points = [["0 rpm", "6 N·m"], ["1000 rpm", "7 N·m"]]

    Where it does not hold: under its load the tool may never come to the speed it has without; losses says how fast it
    turns. Below its first row the table is held as well, which is not asked here.

    The limit is from: the file's own table.
    """
    verdicts = [
        _past(evidence.corners.fastest[place], float(chain.work.table_speed[-1]), chain.work.name)
        for place, chain in enumerate(evidence.machine.chains)
        if isinstance(chain.work, Measured)
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _past(fastest: Lanes, last: float, name: str) -> Verdict:
    def says(v: float, m: float) -> str:
        said, row = apart(v * RPM, m * RPM)
        return f"The {name} can turn at {said} rpm, and its table ends at {row} rpm: its torque is held from there."

    words = "Measure its torque on to that speed; one that grows with the speed is told too small beyond its table."
    return Verdict(fastest, last, above(fastest, last), "rad/s", says, lambda v, m: words)
