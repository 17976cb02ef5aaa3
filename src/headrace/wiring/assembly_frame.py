"""What is built before anything has volts: frame, drive, guards, controls, boxes and wires."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headrace.drive.links import parts
from headrace.drive.tools import tool_of
from headrace.machine.joins import BRAKE_RESISTOR, part_of
from headrace.machine.links import Motor, Transmission
from headrace.machine.naming import spoken
from headrace.machine.records import Chain, Machine
from headrace.machine.values import first_number
from headrace.machine.works import Wheels, Winch
from headrace.wiring.assembly_step import AssemblyStep, dead
from headrace.wiring.controls import by_hand
from headrace.wiring.guard import Guard
from headrace.wiring.let_run import bare_switch

TURNED = ": a motor with magnets gives volts when it is turned"
BOLTING = ("spanners", "torque wrench", "thread lock", "eye protection")
WIRING = ("crimping tool with the die of the lug", "cutter", "heat shrink", "meter", "labels")

# of each kind of transmission: what is done, and what is tried
TRANSMISSIONS = {
    "v-belt": (
        "Line up the pulleys with a straight edge and tension the belt as its maker says.",
        "Turn it by hand: the belt keeps to the middle of its grooves.",
        "It climbs or squeals: the pulleys are out of line.",
    ),
    "toothed-belt": (
        "Line up the pulleys with a straight edge and tension the toothed belt as its maker says.",
        "Turn it by hand: the belt does not lean on a flange.",
        "It leans or jumps: out of line, or too slack.",
    ),
    "flat-belt": (
        "Line up the pulleys and tension the flat belt as its maker says.",
        "Turn it by hand: the belt keeps to the middle.",
        "It wanders: the shafts are not parallel.",
    ),
    "roller-chain": (
        "Line up the sprockets with a straight edge, close the chain with its clip's closed end forward, oil it.",
        "Turn it by hand: it runs free and is never tight anywhere on its way round.",
        "Tight in one place: a bent sprocket or a shaft out of true.",
    ),
    "gears": (
        "Bolt the gearbox down on all its feet and fill in the oil or grease its maker names.",
        "Turn it by hand: even all the way round, no oil at the seals.",
        "It catches: a foot is twisted, or shafts are out of line.",
    ),
    "worm": (
        "Bolt the worm gearbox down on all its feet, fill it to its mark, keep its vent upwards.",
        "Turn the worm by hand: even all the way round, no oil at the seals.",
        "It catches: a foot is twisted, or shafts are out of line.",
    ),
}


def frame(machine: Machine, guard: Guard | None) -> Iterator[AssemblyStep]:
    """Yield the steps at which nothing within reach has volts."""
    yield from _begun(machine)
    for chain in machine.chains:
        for step in (*_drive(chain, guard), *_electronics(chain)):
            yield _of_its_chain(step, chain) if len(machine.chains) > 1 else step
    yield from _controls(machine)
    if guard is not None:
        yield from _boxes(machine, guard)
    yield _cords(machine) if machine.source.at_a_socket else _wires(machine, guard)
    yield from _brakes(guard)


def _of_its_chain(step: AssemblyStep, chain: Chain) -> AssemblyStep:
    """Return a step of one of several chains, which says of which."""
    return replace(step, does=f"{spoken(chain.name).capitalize()}: {step.does}")


PUT_AWAY = {"wall-socket": "The plug stays out of every socket.", "bench-supply": "The supply stays switched off."}


def _begun(machine: Machine) -> Iterator[AssemblyStep]:
    fire = "a way out that nothing blocks, and a place outdoors where a burning pack could be left"
    if machine.source.endless:
        fire = "a way out that nothing blocks"
    yield dead(
        "place",
        f"Choose the place: dry, light, nothing on it that conducts, {fire}. Say who is within call.",
        PUT_AWAY.get(machine.source.kind, "Cells and batteries stay packed away."),
        ("eye protection", "a first-aid box", "a clock"),
        "Everybody has said what is done when something smokes: leave it, get out, call the fire brigade.",
        "Somebody has not: tell them before anything is unpacked.",
    )
    out = [part.name for part in machine.balance.out] if machine.balance is not None else []
    yield dead(
        "strip",
        f"Take out what is not needed any more{': ' + ', '.join(out) if out else ''}. Fuel, oil and old batteries go "
        "outdoors first, then to a collection point.",
        "The tool's edges, with a sleeve or tape; the machine on blocks, not on a jack.",
        BOLTING,
        "Push, tilt and turn what is left by hand: nothing rubs, nothing is cracked.",
        "A crack or a bent shaft: mend it first; a quiet motor hides what an engine shook loose.",
    )


def _drive(chain: Chain, guard: Guard | None) -> Iterator[AssemblyStep]:
    row, late = parts(chain), "these steps" if guard is None else "the connecting order"
    yield dead(
        f"{chain.name} motor",
        f"Bolt the {spoken(row.motor.name)} down, its air openings free and away from what is thrown.",
        f"The motor's leads, each end by itself{TURNED if isinstance(row.motor, Motor) else ''}.",
        BOLTING,
        "Turn the shaft by hand: even, no rub.",
        "It catches: out of line, or a bolt reaches inside.",
    )
    stages = [link for link in reversed(row.mechanical) if isinstance(link, Transmission)]  # from the motor on
    for link in stages:
        does, read, differs = TRANSMISSIONS[link.kind]
        yield dead(f"{chain.name} {link.name}", does, "Fingers out of every pinch.", BOLTING, read, differs)
    if not stages:
        yield dead(
            f"{chain.name} coupling",
            "Join motor and tool shaft: key, hub and locking screw, the hub pushed fully home.",
            "The tool itself stays off.",
            BOLTING,
            "Turn it by hand and look along it: it does not wobble.",
            "It wobbles: the hub is askew or the shaft is bent.",
        )
    turns = tool_of(chain.work).cuts
    yield dead(
        f"{chain.name} guards",
        f"Fix the guards {'round the tool and ' if turns else ''}over everything that turns, with screws that want a "
        f"tool; the tool itself stays off until the end of {late}.",
        "Every place a finger reaches.",
        (*BOLTING, "a rod as thick as a finger"),
        "Push the rod at every opening: it touches nothing that turns.",
        "It does: a finger would. Close the opening.",
    )


def _electronics(chain: Chain) -> Iterator[AssemblyStep]:
    row = parts(chain)
    bare = bare_switch(row)
    box = (
        "the switch where a hand finds it"
        if bare
        else f"the {spoken(row.controller.name)} on bare metal that takes its heat"
    )
    yield dead(
        f"{chain.name} {row.controller.name}",
        f"Mount {box}, terminals downwards or sideways, out of spray.",
        "Its terminals, behind their cover: who may work on the mains joins them."
        if row.alternating
        else "Its plus and minus, with caps; capacitors of a used one are emptied over a resistor first.",
        BOLTING,
        "Ohms from each terminal to the frame: none joins it.",
        "A few ohms: a terminal or a screw touches the frame.",
    )
    if row.converter is None:
        return
    mains = row.converter.kind == "inverter"
    yield dead(
        f"{chain.name} {row.converter.name}",
        f"Mount the {spoken(row.converter.name)} dry, level, a hand's breadth of air all round."
        + (" What its mains side feeds, and its earth, is joined by who may: mains kills." if mains else ""),
        "Its mains terminals, behind their cover." if mains else "Its plus and minus, with caps.",
        BOLTING,
        "Its plate: the direct volts of this source, watts for this motor.",
        "Another plate: do not mount it.",
    )


def _controls(machine: Machine) -> Iterator[AssemblyStep]:
    safety, mains = machine.safety, machine.source.at_a_socket
    several = len(by_hand(machine)) > 1
    held, them, their = ("and the control that has to be held ", "them", "their") if several else ("", "it", "its")
    wires = f"who may work on the mains joins {them}" if mains else f"run {their} wires where nothing chafes"
    yield dead(
        "controls",
        f"Fix the emergency stop {held}where a hand finds {them} without looking; {wires}.",
        f"Everything that would be fed by {them}: nothing is joined to a source yet.",
        ("meter", "screwdriver") if mains else (*WIRING, "screwdriver"),
        "Ohms across each: closed when pulled out or held, open when pressed or let go.",
        "The other way round, or always closed: it would not stop the machine.",
    )
    if safety.friction_brake:
        yield dead(
            "friction brake",
            "Fit and set the mechanical brake; it works without volts.",
            "Chock the wheels; no load on a rope.",
            BOLTING,
            f"With nothing joined to a source, {_by_hand(machine)}. Whether it holds the whole weight is tried where "
            "something moves: before the first work.",
            "It slips or drags: set it before anything else is done.",
        )


def _by_hand(machine: Machine) -> str:
    """Return how a hand tries what only a weight will try in earnest."""
    works = {type(chain.work) for chain in machine.chains}
    tries = {Wheels: "push the machine, its chocks out", Winch: "turn the bare drum by hand"}
    said = " and ".join(does for kind, does in tries.items() if kind in works) or "turn the shaft by hand"
    return f"{said}: with the brake on nothing moves, with it let off all runs free"


def _brakes(guard: Guard | None) -> Iterator[AssemblyStep]:
    """Yield how a brake across a motor of two wires is mounted; one of three its controller brakes."""
    found = [] if guard is None else [one for one in guard.brakes if not one.by_controller]
    for one in found:
        ohms = f"{first_number(one.brake.resistance):.2g} Ω"
        yield dead(
            BRAKE_RESISTOR if len(found) == 1 else part_of(one.chain, BRAKE_RESISTOR),
            f"Mount the brake's resistor of {ohms} on metal in the air, away from the pack, and beside it the brake "
            "relay: its contact closes by a spring. Read both before a wire is on them; then join their wires.",
            "It gets hot at every stop: a guard that lets air through.",
            (*WIRING, "screwdriver"),
            f"Ohms of the resistor alone, less those of the meter's tips held together: {ohms}. Across the contact, "
            "its coil not fed: as the tips held together.",
            "Joined beside the motor no meter in the hand tells it from a short, so it is read alone. No ohms: "
            "shorted. Very many: broken, or a contact that does not close.",
        )


def _boxes(machine: Machine, guard: Guard) -> Iterator[AssemblyStep]:
    does = guard.switches
    made = f"{first_number(does.voltage):.1f} V of direct current and {first_number(does.rated):.0f} A"
    filling = " and the pre-charge resistor on metal, with its own contact" if guard.inrush is not None else ""
    yield dead(
        "contactor box",
        f"Mount fuse holder, isolator, contactor{filling}: all made for at least {made}. The holder stays empty.",
        "The box stays open until the wires are in; then its cover is screwed down.",
        (*BOLTING, "screwdriver"),
        "The print on each part: direct volts and amps at least these.",
        "Alternating volts only, or fewer: it will not break the arc. Change it.",
    )
    if machine.charger is not None:
        yield dead(
            "charge port",
            "Fit the charge port with its own fuse and a cap, so shaped that the charger's plug fits one way only.",
            "Its pins, with the cap.",
            (*WIRING, "screwdriver"),
            "Ohms from each pin to the frame: none joins it.",
            "A few ohms: a pin touches the box.",
        )
    yield _place(machine)


def _place(machine: Machine) -> AssemblyStep:
    """Return how the place of the pack is made; batteries of lead-acid stand upright in it, in moving air."""
    if machine.source.kind == "batteries":
        return dead(
            "pack's place",
            "Make the place of the batteries: upright and level, no edge that chafes, straps or clamps that hold them "
            "over a bump, open to the air above so that gas goes out, a tray that acid does not eat, no spark, fuel or "
            "hot part beside it.",
            "Edges, with a strip of rubber.",
            BOLTING,
            "An empty box of their size goes in and out without force; nothing closes it off above.",
            "It jams, or gas has no way out: make it wider. A battery is never pressed or knocked in.",
        )
    return dead(
        "pack's place",
        "Make the place of the pack: no edge that chafes, straps or bolts that hold it upside down, a way for water to "
        "run out, no fuel or hot part beside it.",
        "Edges, with a strip of rubber.",
        BOLTING,
        "The empty box goes in and out without force, and its lid closes.",
        "It jams: a pack is never pressed, knocked or filed in.",
    )


def _cords(machine: Machine) -> AssemblyStep:
    """Return how cords are laid where mains comes out of a wall: none of them is made by whoever builds."""
    boxes = " and ".join(dict.fromkeys(spoken(parts(chain).controller.name) for chain in machine.chains))
    return dead(
        "cords",
        f"Lay the cord in one piece, from the {boxes} to where the plug will hang: a gland where it enters a "
        "box, a clamp within a hand of each end. Nothing is joined to it: that is for who may work on the mains.",
        "The plug, in a bag tied to the machine.",
        ("screwdriver", "glands and clamps", "eye protection"),
        "Look along it and pull at every clamp: no cut, no flat place, nothing slips.",
        "A cut or a flat place: a new cord, not tape.",
    )


def _wires(machine: Machine, guard: Guard | None) -> AssemblyStep:
    lamps = f"; {', '.join(one.name for one in machine.auxiliaries)} each behind a fuse" if machine.auxiliaries else ""
    sense = " and the sense plug" if guard is not None and guard.pins else ""
    last = "the ends at the supply" if machine.source.endless else f"the pack's two ends{sense}"
    each = "each lead" if machine.source.endless else "each wire of the wiring drawing"
    return dead(
        "wires",
        f"Cut, crimp and label {each}, but for {last}{lamps}; a gland where it enters a box, "
        "a clamp within a hand of each end.",
        "Lugs that are meant for the source, with caps.",
        WIRING,
        "Pull at every lug with the weight of an arm; ohms from plus to minus: not a short.",
        "A lug that moves is cut off and made again. A short is found now.",
    )
