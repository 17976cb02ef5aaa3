"""Where a plug of the file stands, which no drawing has: in two wires of the netlist at once."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.drive.links import parts
from headrace.machine.links import Contacts
from headrace.machine.records import Chain, Machine
from headrace.wiring.netlist import back_of
from headrace.wiring.netlist_parts import first_of

PULLED = "not drawn"
AT_THE_PACK = (
    f"{PULLED}: stands in the two main leads at the pack, from fuse.out and from {{}}, its covered sockets to the pack"
)
OF_A_CHAIN = f"{PULLED}: stands in the two leads to {{0}}.plus and {{0}}.minus, its covered sockets to the pack"
AT_A_SOURCE = f"{PULLED}: stands in the two leads of the source, its covered sockets to the source"
AT_THE_MOTOR = f"{PULLED}: stands in the leads to the motor, its covered sockets to the controller"
BEHIND = f"{PULLED}: stands in the two leads behind the converter, its covered sockets to the converter"


def stands(machine: Machine, chain: Chain, plug: Contacts) -> str:
    """Return in which leads a plug of a chain stands, and which way round."""
    row = parts(chain)
    if plug in row.motor_leads:
        return AT_THE_MOTOR
    if plug in row.feed_leads:
        return BEHIND
    if machine.source.endless:
        return AT_A_SOURCE
    if len(machine.chains) > 1:
        return OF_A_CHAIN.format(f"{chain.name} {first_of(chain).name}")
    return AT_THE_PACK.format(back_of(machine))


def at_the_pack(machine: Machine) -> Iterator[str]:
    """Yield the names of the plugs that part the pack from the machine."""
    if machine.source.endless or len(machine.chains) > 1:
        return
    (chain,) = machine.chains
    for link in parts(chain).battery_leads:
        if isinstance(link, Contacts) and link.of == "plug":
            yield f"{chain.name} {link.name}"
