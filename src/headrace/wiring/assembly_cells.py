"""A pack of bare cells, built group by group: no cell of it can be switched off."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.machine.naming import spoken
from headrace.machine.records import Machine, Source
from headrace.machine.values import first_number
from headrace.wiring.assembly_step import BY_A_PACK, AssemblyStep, dead, millimetres
from headrace.wiring.assembly_volts import ONE_HAND, Volts, beside, cells_apart, groups_of, live, volts_of
from headrace.wiring.guard import Guard

BLOCK = "block"
FEWEST_HALVED = 4  # groups, from which on a pack is built in two halves
AT_CELLS = ("meter", "insulated tools", "eye protection", "caps", "a lid over what is not worked at")
AT_WELDS = (*AT_CELLS, "welder", "heat-proof gloves off the welding hand", "a bucket of dry sand")
AT_THE_WELDER = "two at the welder, one everywhere else; the electrodes on one strip of one group only"
AT_BOLTS = (*AT_CELLS, "insulated torque wrench", "wire brush")


def cells(machine: Machine, guard: Guard) -> Iterator[AssemblyStep]:
    """Yield the steps from a box of cells to a pack with its two ends capped and its sense plug out."""
    source = machine.source
    welded = source.cell.form != BLOCK
    one, whole = volts_of(source, 1), volts_of(source)
    if welded:
        yield _coupon(source)
    yield _sorted(source, one, first_number(cells_apart(machine)))
    yield _rings(one, welded=welded)
    yield _grouped(source, one, welded=welded)
    yield from _joined(source, whole, welded=welded)
    if guard.pins:
        yield _sensed(source, one, whole)
    yield from _closed(machine, whole)


def _strip(source: Source) -> str:
    """Return the metal between the groups: "nickel strip 8 mm by 0.3 mm (all layers)"."""
    strips = source.strips
    width, thickness = (millimetres(first_number(size)) for size in (strips.width, strips.thickness))
    return f"{spoken(strips.metal)} strip {width} by {thickness} (all layers)"


def _coupon(source: Source) -> AssemblyStep:
    copper = " Copper takes no weld of a small welder by itself: a thin nickel-plated steel over it does."
    return dead(
        "weld coupon",
        f"With the cells put away, weld {_strip(source)}, layer by layer, to a plain plated steel sheet as thick "
        "as a cell's end, as many spots as a cell is to get. Change the setting until it tears right, and write it "
        f"down.{copper if source.strips.metal == 'copper' else ''}",
        "Cells stay in their closed box in another place.",
        ("welder", "pliers", "eye protection", "spare strip", "plain steel sheet"),
        "Tear each strip off with pliers: the strip tears and leaves its spots on the steel.",
        "The spot comes off whole: too little. A hole is blown through: too much. Neither setting goes near a cell.",
        "both hands on the electrodes, face aside",
    )


def _sorted(source: Source, one: Volts, apart: float) -> AssemblyStep:
    count = groups_of(source) * beside(source)
    return live(
        "cells",
        f"Count {count} cells out of their box and read each. Put away what is dented, rusty, leaking, warm, or of "
        "another kind or age; sort the rest by volts, then by ohms, and number "
        f"them. In one group go cells that are less than {apart:.2f} V apart.",
        "Cells stand in their trays, all plus ends up, never loose in a drawer or a pocket.",
        AT_CELLS,
        one,
        "each cell, plus to minus",
        one,
        "Far off from the others, or below the cell's empty volts: it does not go in. It goes to a collection point.",
    )


def _rings(one: Volts, *, welded: bool) -> AssemblyStep:
    if not welded:
        return live(
            "compressed",
            "Stand the blocks in a row, plus beside minus as the drawing has them, an insulating sheet between each, "
            "end plates as tight as the maker says.",
            "Every terminal, with its cap; the caps come off one pair at a time.",
            AT_BOLTS,
            one,
            "each block's case against its terminals",
            differs="A case that has volts against its terminal is common; two cases that touch are not.",
        )
    return live(
        "rings",
        "Put an insulating ring of fish paper on every plus end, and look at each sleeve.",
        "Every cell whose sleeve is torn gets a new one, or is put away.",
        AT_CELLS,
        one,
        "Each ring lies flat and covers the rim; each sleeve is whole.",
        differs="A bare rim is minus, a hair from plus: the strip over it is a short.",
    )


def _grouped(source: Source, one: Volts, *, welded: bool) -> AssemblyStep:
    many = beside(source)
    if many == 1:
        does = "Set the cells in their holder, each a group by itself, plus and minus by turns as the drawing has them."
    else:
        how = "Weld" if welded else "Bolt"
        does = (
            f"Set {many} cells of nearly the same volts side by side in the holder; look twice that all point one way. "
            f"{how} {_strip(source)} over one end, then over the other; one group, then the next."
        )
    return live(
        "groups",
        does,
        "Every group but the one that is worked at, with a lid that does not conduct; a pack is never left uncovered.",
        AT_WELDS if welded else AT_BOLTS,
        one,
        "each group, plus to minus",
        one,
        "Less than nothing or nothing: a cell the wrong way round. A group that warms: take it apart, outdoors, now.",
        hands=AT_THE_WELDER if welded else ONE_HAND,
    )


def _joined(source: Source, whole: Volts, *, welded: bool) -> Iterator[AssemblyStep]:
    count = groups_of(source)
    tools, how, hands = (AT_WELDS, "Weld", AT_THE_WELDER) if welded else (AT_BOLTS, "Bolt", ONE_HAND)
    if count == 1:
        return
    if count < FEWEST_HALVED:
        yield live(
            "row",
            f"{how} group to group in a row, plus to minus, with {_strip(source)}; read after each.",
            "Every group but the two being joined.",
            tools,
            whole,
            "the row's two ends",
            whole,
            "Less than the groups read before it add up to: one is turned round. Open that joint again.",
            hands=hands,
        )
        return
    lower = count // 2
    for name, groups, where in (("lower half", lower, "minus"), ("upper half", count - lower, "plus")):
        half = volts_of(source, groups)
        yield live(
            name,
            f"{how} {groups} groups in a row, plus to minus, with {_strip(source)}: the half at the {where} end. Read "
            "after each joint.",
            "Every group but the two being joined; a half that is joined already, with a lid on.",
            tools,
            half,
            "the half's two ends",
            half,
            "Less than the groups read before it add up to: one is turned round. Open that joint again.",
            hands=hands,
        )
    yield live(
        "whole",
        "Join the two halves, the last joint of all; from here on the whole pack's volts are within reach.",
        "Both outer ends, with caps; everything but the one joint.",
        tools,
        whole,
        "the pack's two ends, one cap off at a time",
        whole,
        "The volts of one half, or their difference: the joint is open, or one half is turned round.",
        hands=hands,
    )


def _sensed(source: Source, one: Volts, whole: Volts) -> AssemblyStep:
    return live(
        "sense wires",
        f"Fix {groups_of(source) + 1} thin wires, each with its own fuse at the pack's end, to the boundaries between "
        "groups, minus first; push each into its place of the plug at once. The plug goes nowhere.",
        "The plug, in a bag of its own; wires apart, never crossing a bare edge.",
        (*AT_CELLS, "soldering iron at the strip's tail, never at a cell", "small fuses"),
        whole,
        "neighbouring pins of the plug, each",
        one,
        "Twice as much, nothing, or less than nothing: wires swapped or off. Put it right before the next.",
    )


def _closed(machine: Machine, whole: Volts) -> Iterator[AssemblyStep]:
    source = machine.source
    if machine.board is not None:
        yield live(
            "board's place",
            "Fix the board beside the pack on an insulating sheet with air over it, and the probe of its heat between "
            "two cells in the middle. Nothing is plugged in or bolted to it.",
            "Both ends of the pack and the sense plug.",
            AT_CELLS,
            whole,
            "Nothing of the board touches a strip; its probe lies flat.",
            differs="A corner that touches chafes through in a season: move it.",
        )
    yield live(
        "leads",
        "Fix the two main leads, minus first, then its cap, then plus, then its cap; a clamp takes the pull.",
        "The end that is not worked at; each lead's lug, with a cap.",
        AT_CELLS,
        whole,
        "the two leads' lugs, one cap off at a time",
        whole,
        "Less than nothing: colours swapped. Nothing: a lug without contact.",
    )
    yield live(
        "wrapped",
        "Wrap the pack: sheet over every strip, edges first, then the whole; put its name, its volts and today's date "
        "on it.",
        "Both leads and the sense plug stay capped.",
        ("insulating sheet", "tape that holds when warm", "plastic rod", "meter", "eye protection"),
        whole,
        "By eye, and with a plastic rod along every edge, never with a finger: no strip shows, nothing comes through. "
        "Then the meter, one tip on the wrap, the other on each lead in turn: no volts",
        differs="An edge that shows or presses through, or any volts: another layer there before it is touched again.",
    )
    yield live(
        "rested",
        "Leave it by itself for days, the longer the better, where a fire could do no harm, half full; then read every "
        "group again and hold it against what it read before.",
        "As before; the plug's pins are read and capped again.",
        ("meter",),
        whole,
        "neighbouring pins of the plug, each" if groups_of(source) > 1 else "the two leads' lugs",
        volts_of(source, 1),
        "A group that has fallen behind the others: a cell in it leaks. Take the pack apart, outdoors.",
        never=BY_A_PACK,
    )
    boxed = (
        "Put the pack in its box, strap it, bring the leads out through glands; close the lid."
        if machine.board is None
        else "Put the pack with its board in the box, strap them, bring the pack's plus and the board's load side out "
        "through glands; the lid lies on until the connecting order has the sense plug in."
    )
    yield live(
        "in its box",
        boxed,
        "Both leads and the plug; the main fuse stays in your pocket.",
        ("meter", "screwdriver"),
        whole,
        "the plus against the metal of box and machine: no volts, after a blink",
        differs="Volts that stay: something of the pack touches metal. Out with it, before the other end touches too.",
    )
