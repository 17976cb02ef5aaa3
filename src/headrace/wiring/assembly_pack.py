"""How the source is built: of bare cells, of batteries, of finished packs; or how a socket or a supply comes in."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from headrace.machine.records import Lanes, Machine
from headrace.machine.values import first_number
from headrace.wiring.assembly_cells import cells
from headrace.wiring.assembly_run import first_run
from headrace.wiring.assembly_step import ON_THE_BODY, AssemblyStep
from headrace.wiring.assembly_volts import Volts, beside, cells_apart, groups_of, live, rows_apart, volts_of
from headrace.wiring.controls import by_hand
from headrace.wiring.guard import Guard

AT_A_PACK = ("meter", "insulated tools", "caps", "eye protection")
AT_BATTERIES = (*AT_A_PACK, "insulated torque wrench", "gloves against acid", "water to rinse with")


def pack(machine: Machine, guard: Guard | None) -> tuple[AssemblyStep, ...]:
    """Return how the source of the file is built."""
    if guard is None:
        return tuple(SUPPLIES[machine.source.kind](machine))
    if machine.source.kind == "batteries":
        return tuple(_batteries(machine))
    if machine.source.ready_made:
        return tuple(_finished(machine))
    return (*cells(machine, guard), *_more(machine))


def bought(machine: Machine, guard: Guard | None) -> tuple[AssemblyStep, ...]:
    """Return how the source comes in where nobody handles a bare cell: a finished pack in place of many steps."""
    if guard is None or machine.source.kind == "batteries" or machine.source.ready_made:
        return pack(machine, guard)
    return tuple(_finished(machine))


def _finished(machine: Machine) -> Iterator[AssemblyStep]:
    whole, source = volts_of(machine.source), machine.source
    many = beside(source) if source.ready_made else 1
    board = machine.board
    amps = f", a board inside that gives {first_number(board.continuous):.0f} A for long" if board is not None else ""
    yield live(
        "finished pack",
        f"Take {'a finished pack' if many == 1 else f'{many} finished packs'} of {first_number(whole.full):.1f} V when "
        f"full{amps}; look at it for dents, read it, strap it in its place. It is not opened.",
        "Both ends of the pack, with caps; the main fuse stays in your pocket.",
        AT_A_PACK,
        whole,
        "the pack's two ends, one cap off at a time",
        whole,
        "Nothing: its board sleeps, some wake on their charger. Other volts: another pack than the one on the label.",
    )
    if many > 1:
        yield _side_by_side(machine, "packs side by side", f"the {many} packs", whole)
    yield from _more(machine)


def _side_by_side(machine: Machine, name: str, what: str, whole: Volts) -> AssemblyStep:
    apart = f"{first_number(rows_apart(machine)):.2f} V"
    return live(
        name,
        f"Charge {what} by themselves until they read less than {apart} apart, then join them side by side, each over "
        "a fuse of its own at its plus, as the words on packs side by side have it.",
        "Every end that is not being joined.",
        AT_A_PACK,
        whole,
        f"between the plus ends of any two, their minus ends joined, the fuses out: less than {apart}",
        differs=f"{apart} or more: more amps rush into the lower one than it is charged with. Charge it first.",
    )


def _batteries(machine: Machine) -> Iterator[AssemblyStep]:
    source = machine.source
    one, whole = volts_of(source, 1), volts_of(source)
    rows, count = groups_of(source), beside(source)
    yield live(
        "batteries",
        f"Unpack {rows * count} batteries of one kind and one age, upright, where air moves and nothing sparks; read "
        "each. They are heavy: two people, or one at a time from the knees.",
        "Every terminal, with a cap that does not conduct; nothing is laid on top of a battery.",
        AT_BATTERIES,
        one,
        "each battery, plus to minus",
        one,
        f"More than {first_number(cells_apart(machine)):.2f} V behind the others: charge it by itself, rest it, read "
        "again; else another one.",
    )
    yield live(
        "strapped",
        "Strap each one down in a tray that acid does not eat, with room for its vents; no lid that keeps gas in.",
        "As before.",
        AT_BATTERIES,
        one,
        "Pull at each: none moves.",
        differs="It shifts: a case that works against a bolt leaks in a season.",
    )
    if rows > 1:
        yield live(
            "row",
            f"Bolt {rows} in a row, plus to minus, links short and as thick as the main wires; the last link last.",
            "Every terminal but the two being joined.",
            AT_BATTERIES,
            whole,
            "the row's two ends, one cap off at a time",
            whole,
            "Less than the batteries read before it add up to: one is turned round. Open that link again.",
        )
    if count > 1:
        what = f"the {count} rows" if rows > 1 else f"the {count} batteries"
        yield _side_by_side(machine, "rows side by side", what, whole)
    yield live(
        "leads",
        "Fix the two main leads, plus first while the minus is capped, to the firmness the maker names; grease them.",
        "The end that is not worked at; each lead's lug, with a cap.",
        AT_BATTERIES,
        whole,
        "the two leads' lugs, one cap off at a time",
        whole,
        "Less than nothing: colours swapped. Nothing: a lug without contact.",
    )
    yield from _more(machine)


def _more(machine: Machine) -> Iterator[AssemblyStep]:
    turns = round(first_number(machine.source.in_turn))
    if turns > 1:
        yield live(
            "packs in turn",
            f"Make {turns} of them ready alike, each with its own fuse and plug; only one is ever plugged in.",
            "The ends of those that wait, with caps, in a box of their own.",
            AT_A_PACK,
            volts_of(machine.source),
            "each pack's two ends, one cap off at a time",
            volts_of(machine.source),
            "One that differs from the others was counted or charged differently: find out before it is used.",
        )


def _mains(machine: Machine) -> Iterator[AssemblyStep]:
    volts: Lanes = machine.source.cell.nominal_voltage
    reach = Volts(volts, np.nan)
    yield live(
        "mains",
        f"Who may work on the mains joins cord, plug, earth, switch, {' and '.join(by_hand(machine))} behind a "
        "residual-current device, tests them and the breaker of the socket, and closes the boxes; the plug lies in "
        "sight, pulled out, until then. Licensed practice and local codes come first.",
        "Every mains part, behind a cover that wants a tool.",
        ("those of who may work on the mains",),
        reach,
        "the socket, by who may: its volts, and earth joined",
        reach,
        "Other volts, no earth, a device that does not trip on its button: it stays unplugged.",
        hands="none inside the box while the plug is in",
        never=(*ON_THE_BODY, "liquids", "an open box"),
    )
    yield from first_run(machine, reach)


def _supply(machine: Machine) -> Iterator[AssemblyStep]:
    volts: Lanes = machine.source.cell.nominal_voltage
    reach = Volts(volts, np.nan)
    yield live(
        "supply",
        "Set the supply's volts with nothing joined and its amps low; switch it off; join minus, then plus, over the "
        "fuse of the leads; switch it on standing clear.",
        "The leads' ends, with caps, until they are joined.",
        AT_A_PACK,
        reach,
        "the supply's two ends, before anything is joined",
        reach,
        "Other volts, or less than nothing: set it again, or turn the leads.",
        never=(*ON_THE_BODY, "tools without insulated handles", "liquids", "off-cuts of bare wire"),
    )
    yield from first_run(machine, reach)


SUPPLIES: dict[str, Callable[[Machine], Iterator[AssemblyStep]]] = {"wall-socket": _mains, "bench-supply": _supply}
