"""Does it stand on its wheels, steer, drive and let itself be pushed once the engine is out?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, below, finding, gravest, share_of
from headrace.findings.poise import Balanced, Poise
from headrace.machine.records import Lanes
from headrace.machine.works import Wheels

DEGREES = 180.0 / np.pi
DRIVEN_LEAST = 0.45  # of the weight on an axle that drives alone; common practice, most machines have 45 to 80 %
STEERED_LEAST = 0.2  # of the weight on the axle that steers
PUSH_MOST = 147.0  # N, 15 kg on a spring balance
NEAR = "Move the pack towards the {} wheels, or bolt ballast there."
AXLES = {"front": "rear", "rear": "front"}  # each with the one that stays down


@finding("tips-over", level="stop", source="balance of moments; 10° where the file names no slope is a convention")
def tips_over(evidence: Evidence) -> Verdict:
    """The converted machine tips over its front or its rear axle.

    To do: move the pack towards the axle that lifts, or lower; else ballast there. Until then nobody stands below it on
    a slope.

    What is compared: the load on each axle on the level against nothing; and, with a height of the centre in the file,
    the grade on which it tips, nose uphill and nose downhill, against the steepest slope of the file, at least that of
    the balance.

    How it comes about: an engine sits over or before one axle. It goes out, a pack as heavy goes in where there is
    room, and what held that axle down is gone.

    Raised by:
        balance.wheelbase = "60 cm"
        balance.front = "10 kg"
        balance.rear = "20 kg"
        balance.pack_position = "90 cm"
        balance.out = [{ name = "engine", mass = "13 kg", position = "20 cm" }]

    Silenced by:
        balance.pack_position = "20 cm"

    Where it does not hold: it stands still on hard ground, nobody at the handle and nothing on it. Setting off uphill,
    a bump, a load and a wheel in a hole come earlier; tipping sideways is not judged.

    The limit is from: statics; the slope is the file's, or a convention.
    """
    balanced = evidence.balance
    if balanced is None:
        return NOT_HELD
    after, steepest = balanced.after, balanced.steepest
    verdicts = [_lifting(after.front, "front"), _lifting(after.rear, "rear")]
    strains: list[Lanes] = [-after.front_share, -after.rear_share]
    for angle, over, nose in ((after.tips_backward, "rear", "up"), (after.tips_forward, "front", "down")):
        verdicts.append(_tipping(angle, steepest, over, nose))
        strains.append(1.0 - share_of(angle, steepest))
    return gravest(verdicts, strains)


def _lifting(load: Lanes, axle: str) -> Verdict:
    return Verdict(
        load,
        0.0,
        below(load, 0.0),
        "N",
        lambda v, m: f"On the level the {axle} wheels lift off: it would take {-v:.0f} N to hold them down.",
        lambda v, m: NEAR.format(axle),
    )


def _tipping(angle: Lanes, steepest: Lanes, over: str, nose: str) -> Verdict:
    return Verdict(
        angle,
        steepest,
        below(angle, steepest),
        "rad",
        lambda v, m: "With its nose {}hill it tips over its {} wheels at {}°; the steepest slope is {}°.".format(
            nose, over, *apart(v * DEGREES, m * DEGREES, 0)
        ),
        lambda v, m: f"{NEAR.format(AXLES[over])} Set the pack lower as well, and keep off such slopes until then.",
    )


@finding("light-on-driven-axle", level="caution", source="common practice; from memory")
def light_on_driven_axle(evidence: Evidence) -> Verdict:
    """Little of the weight is on the wheels that drive.

    To do: put the pack nearer to the driven axle, or ballast on it.

    What is compared: share of the weight on the driven axle, on the level, against 45 %. The pull that comes of it
    stands beside it in the record; whether a slope asks for more is the finding wheels-spin.

    How it comes about: the engine sat over the wheels it drove; the pack went where there was room.

    Raised by:
        starter = "cart"
        balance.wheelbase = "80 cm"
        balance.front = "25 kg"
        balance.rear = "20 kg"
        balance.pack_position = "10 cm"
        balance.driven = "rear"

    Silenced by:
        balance.pack_position = "90 cm"

    Where it does not hold: a load carried over the driven axle makes up for it; with all wheels driven it is not asked.

    The limit is from: common practice, from memory; there is no standard behind it.
    """
    balanced, driven = evidence.balance, _driven(evidence)
    if balanced is None or driven not in AXLES:
        return NOT_HELD
    return _light(balanced.after, driven, DRIVEN_LEAST, "which drive, and may spin on wet grass or a climb")


@finding(
    "steers-lightly",
    level="caution",
    source="20 % of the weight, as type-approval rules ask of lorries and manuals of tractors; seen second-hand",
)
def steers_lightly(evidence: Evidence) -> Verdict:
    """Little of the weight is on the wheels that steer.

    To do: put the pack nearer to the axle that does not drive, or ballast on it.

    What is compared: share of the weight on the axle that does not drive, on the level, against 20 %.

    How it comes about: with the engine gone from the nose, the front wheels carry little; they skid in turns, and a
    climb takes the rest off them.

    Raised by:
        starter = "cart"
        balance.wheelbase = "80 cm"
        balance.front = "9 kg"
        balance.rear = "36 kg"
        balance.pack_position = "75 cm"
        balance.driven = "rear"

    Silenced by:
        balance.pack_position = "0 cm"

    Where it does not hold: machines that steer by their driven wheels, or by a hand on the handle, want a light axle.

    The limit is from: rules for the masses of road vehicles, and operating manuals of tractors, which ask for 20 % on
    the steered axle; quoted second-hand, and made for faster machines.
    """
    balanced, driven = evidence.balance, _driven(evidence)
    if balanced is None or driven not in AXLES:
        return NOT_HELD
    return _light(balanced.after, AXLES[driven], STEERED_LEAST, "which steer, and may skid in a turn")


def _driven(evidence: Evidence) -> str:
    plan = evidence.machine.balance
    return "" if plan is None else plan.driven


def _light(after: Poise, axle: str, least: float, what: str) -> Verdict:
    share = {"front": after.front_share, "rear": after.rear_share}[axle]
    return Verdict(
        share,
        least,
        below(share, least),
        "-",
        lambda v, m: "On the {} wheels, {}, is {} % of the weight; it should be {} % at least.".format(
            axle, what, *apart(100.0 * v, 100.0 * m, 0)
        ),
        lambda v, m: NEAR.format(axle),
    )


@finding(
    "hard-to-push",
    level="note",
    source="HSE Research Report 228 (2004): 15 kg for women, 20 kg for men, to start or stop a load; seen second-hand",
)
def hard_to_push(evidence: Evidence) -> Verdict:
    """Pushing the machine up its steepest slope takes more than most people should push.

    To do: less mass, larger or harder wheels, a gentler way up, or a motor on the wheels.

    What is compared: rolling and grade at a steady pace up the steepest slope of the file, against 147 N, what a spring
    balance shows as 15 kg. Only of machines that no wheels drive.

    How it comes about: a pack for a long day is heavy, and each kilogram is pushed up every slope.

    Raised by:
        balance.wheelbase = "60 cm"
        balance.front = "20 kg"
        balance.rear = "30 kg"
        balance.pack_position = "30 cm"
        balance.slope = "20 °"

    Silenced by:
        balance.slope = "5 °"

    Where it does not hold: it takes more to set off than to keep going, and less is right for a long push, for whoever
    is not well or on bad footing.

    The limit is from: a filter for pushing at work, over no more than about 20 m, for starting and stopping; the
    smaller of its two figures. Local rules for work come first.
    """
    balanced = evidence.balance
    if balanced is None or any(isinstance(chain.work, Wheels) for chain in evidence.machine.chains):
        return NOT_HELD
    return _pushed(balanced)


def _pushed(balanced: Balanced) -> Verdict:
    value = balanced.after.climb
    return Verdict(
        value,
        PUSH_MOST,
        above(value, PUSH_MOST),
        "N",
        lambda v, m: "Up its steepest slope it takes {} N to push; {} N is as much as most should.".format(
            *apart(v, m, 0)
        ),
        lambda v, m: "Take a gentler way up or another pair of hands, or save mass.",
    )
