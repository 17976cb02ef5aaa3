"""What is said of a machine whatever the numbers: the usual cautions of its pack and of its tools."""

from __future__ import annotations

from headrace.machine.records import Machine
from headrace.machine.works import Auger, Blade, Chipper, Fan, Measured, Pump, Saw, Shaft, Tiller, Wheels, Winch

LITHIUM = "Lithium packs burn: charge and store them where a fire can do no harm, and fuse them at the pack."
LEAD = (
    "Lead-acid batteries give off gas that explodes and acid that burns: charge them in the open, no flame near, and "
    "fuse them at the terminal."
)
SUPPLY = "A bench supply goes on with its limit set low, and its leads are fused for what it can give."
MAINS = (
    "What is on the mains, or behind an inverter, can kill: leave its box closed, keep its earth and its breaker, and "
    "have new wiring done by who may."
)
OF_SOURCES = {"batteries": LEAD, "wall-socket": MAINS, "bench-supply": SUPPLY}
OF_TOOLS = {
    Blade: "Blades cut and throw stones: unplug before you reach under the deck, and keep others away.",
    Tiller: "Tines catch feet and clothes: unplug before you clear them.",
    Auger: "An auger that catches a root throws who holds it: brace it, and let go must mean stop.",
    Saw: "A saw bench wants its riving knife, guard and push stick; unplug before you touch the blade.",
    Chipper: "A chipper draws in what its knives catch: no hand past the hopper; unplug and wait to clear it.",
    Fan: "A fan wants a guard on both sides before it is switched on.",
    Pump: (
        "Keep joints, and a pack, above the water and dry; no mains lead runs out to a pump in a pond. A pump sucks "
        "no higher than some 6 m: it has to stand, or hang, within that of the water."
    ),
    Shaft: "A turning shaft takes hold of sleeves and hair: guard it, and unplug before you reach in.",
    Measured: "What turns takes hold of sleeves and hair: guard it, and unplug before you reach in.",
    Winch: (
        "When the power goes only a brake that works unplugged holds the load: stand clear of the rope, and never lift "
        "people."
    ),
    Wheels: "When the power goes only a brake that works unplugged holds the machine on a slope.",
}
FIRST = "Local codes and licensed practice come before anything printed here."


def cautions(machine: Machine) -> tuple[str, ...]:
    """Return the cautions that go with a machine, in sentences."""
    kinds = dict.fromkeys(type(chain.work) for chain in machine.chains)
    said = [OF_SOURCES.get(machine.source.kind, LITHIUM)]
    if any(chain.alternating for chain in machine.chains) and MAINS not in said:
        said.append(MAINS)
    return (*said, *(OF_TOOLS[kind] for kind in kinds), FIRST)
