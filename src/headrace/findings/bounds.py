"""Does the pack stay within kilograms, box and budget?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, finding
from headrace.wiring.bill_line import what_holds


@finding("too-heavy", level="stop", rejects_pack=True, source="limits.max_mass of the machine file")
def too_heavy(evidence: Evidence) -> Verdict:
    """The pack is heavier than wanted.

    To do: fewer cells, or cells with more energy for their mass.

    What is compared: cells with holders, strips and box against the largest mass wanted.

    How it comes about: the machine has to be pushed and lifted.

    Raised by:
        limits.max_mass = "500 g"

    Silenced by:
        limits.max_mass = "20 kg"

    Where it does not hold: none.

    The limit is from: the builder's own wish.
    """
    if evidence.machine.source.endless:
        return NOT_HELD
    limit = evidence.machine.limits.max_mass
    return Verdict(
        evidence.mass,
        limit,
        above(evidence.mass, limit),
        "kg",
        lambda v, m: "The pack weighs {} kg; {} kg are allowed.".format(*apart(v, m)),
        lambda v, m: "Take fewer cells, or cells with more energy for their mass.",
        parts=(what_holds(evidence.machine.source),),
    )


@finding("does-not-fit", level="stop", rejects_pack=True, source="limits.box of the machine file")
def does_not_fit(evidence: Evidence) -> Verdict:
    """The cells do not go into the box.

    To do: fewer cells or a larger box.

    What is compared: number of cells against those the box takes, upright in the best of three positions, square pitch.

    How it comes about: holders, insulation and walls take more room than the cells' own volume suggests.

    Raised by:
        limits.box = ["10 cm", "10 cm", "10 cm"]

    Silenced by:
        limits.box = ["60 cm", "40 cm", "30 cm"]

    Where it does not hold: a staggered pitch takes a few more; the board and cable exits take some room back.

    The limit is from: the builder's own box.
    """
    return Verdict(
        evidence.cells,
        evidence.room,
        evidence.cells > evidence.room,
        "cells",
        lambda v, m: f"There are {v:.0f} cells; the box takes {m:.0f}.",
        lambda v, m: "Take fewer cells or a larger box.",
        parts=(what_holds(evidence.machine.source),),
    )


@finding("over-budget", level="stop", rejects_pack=True, source="limits.budget of the machine file")
def over_budget(evidence: Evidence) -> Verdict:
    """The pack costs more than wanted.

    To do: fewer or cheaper cells.

    What is compared: price of the cells and what is added for board, strips and box, against the budget.

    How it comes about: it is better known before the order.

    Raised by:
        limits.budget = 10

    Silenced by:
        limits.budget = 5000

    Where it does not hold: not judged while a price is missing.

    The limit is from: the builder's own wish.
    """
    if evidence.machine.source.endless:
        return NOT_HELD
    limit = evidence.machine.limits.budget
    return Verdict(
        evidence.cost,
        limit,
        above(evidence.cost, limit),
        "money",
        lambda v, m: "The pack costs {}; the budget is {}.".format(*apart(v, m, 0)),
        lambda v, m: "Take fewer or cheaper cells.",
        parts=(what_holds(evidence.machine.source),),
    )
