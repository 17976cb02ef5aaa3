"""Numbers of a machine by their address: read one, or put others in their place, in any number of lanes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache, partial
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from headrace.machine.records import Lanes, Machine, Origin
from headrace.machine.worked import followed
from headrace.physics.working import Node, Traced, heard, leaves

Record = TypeVar("Record")

BETWEEN = re.compile(r"[^\w.\[\]]+")  # what stands as one dash in an address
TABLES = ("ocv_", "entropy_", "table_")  # fields whose arrays run over charge or speed, not over lanes

# Numbers that slow a freely turning tool; the corner of longest coasting takes each at its low end.
DRAG = (
    "windage", "friction", "seal_drag", "idle_torque", "drag", "drag_slope", "drag_square", "rolling", "load_friction",
)  # fmt: skip


# Numbers that say how much of a load is passed on.
EFFICIENCIES = ("efficiency", "sheave_efficiency")


def slug(name: str) -> str:
    """Return a name as it stands in an address of the record: "tall-grass" for "tall grass"."""
    return BETWEEN.sub("-", name).strip("-")


def with_values(machine: Machine, values: Mapping[str, Lanes]) -> Machine:
    """Return the machine with other numbers at some addresses.

    Parameters
    ----------
    machine
        The machine.
    values
        SI numbers, floats or lanes, by address as in ``machine.pedigree``.

    Raises
    ------
    KeyError
        An address names nothing in the machine.
    """
    chains, top = list(machine.chains), machine
    for address, value in values.items():
        head, *rest = address.split(".")
        if head == "chains":
            place = _named(chains, rest[0], address)
            chains[place] = _in_chain(chains[place], rest[1], rest[2], value, address)
        else:
            top = _put(top, [head, *rest], value, address)
    return replace(top, chains=tuple(chains))


def with_numbers(machine: Machine, values: Mapping[str, Lanes]) -> Machine:
    """Return the machine with other numbers at some addresses, and what is made of them worked out anew.

    Parameters
    ----------
    machine
        The machine, floats or lanes.
    values
        SI numbers, floats or lanes, by address as in ``machine.pedigree``; those that are no field of a record only
        move what is made of them.
    """
    moved = {**values, **followed(machine.worked, partial(value_at, machine), values)}
    return with_values(machine, {address: v for address, v in moved.items() if not machine.pedigree[address].inner})


def value_at(machine: Machine, address: str) -> Lanes:
    """Return the number at an address, as it stands in the machine; of one that is no field, the typical one."""
    if machine.pedigree[address].inner:
        return machine.pedigree[address].typical
    head, *rest = address.split(".")
    if head == "chains":
        chain = machine.chains[_named(list(machine.chains), rest[0], address)]
        record: Any = chain.work if rest[1] in ("work", chain.work.name) else None
        record = record or chain.links[_named(list(chain.links), rest[1], address)]
        return _get(record, rest[2:], address)
    return _get(getattr(machine, head), rest, address)


def leaf(origin: Origin, value: float) -> float:
    """Return a number of an origin, knowing it when somebody listens to workings."""
    if heard() is None:
        return value
    return Traced(Node(float(value), "given", origin.address, origin=origin))


def with_leaves(machine: Machine) -> Machine:
    """Return the machine with every number knowing its origin, when somebody listens to workings."""
    return with_numbers(machine, known_numbers(machine))


def known_numbers(machine: Machine) -> dict[str, Lanes]:
    """Return every number of a machine by its address; knowing its origin, or what it is made of, when one listens."""
    known: dict[str, Lanes] = {
        address: leaf(o, o.typical) for address, o in machine.pedigree.items() if address not in machine.worked
    }
    return {**known, **followed(machine.worked, partial(value_at, machine), known)}


def low_drag(machine: Machine) -> Machine:
    """Return the machine with everything that slows a freely turning tool at the low end of its band."""
    return with_values(machine, _at_ends(machine, DRAG, "low"))


def low_loss(machine: Machine) -> Machine:
    """Return the machine with everything that passes a load on at the high end of its band."""
    return with_values(machine, _at_ends(machine, EFFICIENCIES, "high"))


def _at_ends(machine: Machine, names: tuple[str, ...], end: str) -> dict[str, Lanes]:
    """Return those ends of the bands of the numbers of all chains that go by some names, by address."""
    return {
        address: leaf(origin, getattr(origin, end))
        for address, origin in machine.pedigree.items()
        if address.startswith("chains.") and address.rsplit(".", 1)[1] in names and not origin.inner
    }


def lanes_of(record: object) -> tuple[int, ...]:
    """Return the shape of a record's lanes: that to which all its arrays broadcast; tables do not count."""
    shapes = set(_shapes(record))
    return shapes.pop() if len(shapes) == 1 else np.broadcast_shapes(*shapes)


def _shapes(record: object) -> Iterator[tuple[int, ...]]:
    """Yield the shape of every array of lanes in a record."""
    if isinstance(record, np.ndarray):
        yield record.shape
    elif isinstance(record, tuple):
        for part in record:
            yield from _shapes(part)
    else:
        kind: Any = type(record)
        for name in _lane_fields(kind):
            yield from _shapes(getattr(record, name))


@cache
def _lane_fields(kind: type) -> tuple[str, ...]:
    """Return the fields of a kind of record that can hold lanes; none of what is no record."""
    if not is_dataclass(kind):
        return ()
    return tuple(f.name for f in fields(kind) if not f.name.startswith(TABLES))


def first_number(lanes: Lanes) -> float:
    """Return the number of the typical machine out of lanes."""
    return float(np.asarray(lanes).flat[0])


def typical_of(value: Lanes) -> float:
    """Return the number of the typical machine, with its working where it has one."""
    return value if isinstance(value, float) else first_number(value)


def is_known(value: Lanes) -> bool:
    """Return whether there is such a number for the typical machine."""
    return bool(np.isfinite(first_number(value)))


def counted(number: int, words: str) -> float:
    """Return a count of things, as a number that says what was counted."""
    count: float = leaves(float(number), "search", words)
    return count


def first_lane(record: Record) -> Record:
    """Return a record with every array of lanes cut down to its first lane; tables stay whole."""
    first: Record = _each(record, lambda lanes: float(lanes.flat[0]))
    return first


def some_lanes(record: Record, shape: tuple[int, ...], chosen: npt.NDArray[np.intp]) -> Record:
    """Return a record with every array of lanes cut down to some lanes, in one row; tables stay whole.

    Parameters
    ----------
    record
        A record, or a number or lanes by themselves.
    shape
        To which all its lanes broadcast.
    chosen
        Places among the lanes of that shape, counted row by row.
    """
    some: Record = _each(record, lambda lanes: np.broadcast_to(lanes, shape).reshape(-1)[chosen])
    return some


def in_one_row(record: Record, shape: tuple[int, ...]) -> Record:
    """Return a record with every array of lanes broadcast to a shape and laid in one row; numbers stay numbers."""
    row: Record = _each(record, lambda lanes: np.broadcast_to(lanes, shape).reshape(-1))
    return row


def _each(value: Any, change: Callable[[npt.NDArray[Any]], Any]) -> Any:
    """Return a value with every array of lanes in it changed; a record or tuple that holds none is itself."""
    if isinstance(value, np.ndarray):
        return change(value)
    if isinstance(value, (tuple, list)):
        items = [_each(item, change) for item in value]
        if all(item is part for item, part in zip(items, value, strict=True)):
            return value
        return type(value)(*items) if hasattr(value, "_fields") else type(value)(items)
    kind: Any = type(value)
    parts = {name: getattr(value, name) for name in _lane_fields(kind)}
    changed = {name: _each(part, change) for name, part in parts.items()}
    moved = {name: part for name, part in changed.items() if part is not parts[name]}
    return replace(value, **moved) if moved else value


def _named(items: list[Any], name: str, address: str) -> int:
    for place, item in enumerate(items):
        if item.name == name:
            return place
    raise KeyError(address)


def _in_chain(chain: Any, link: str, field: str, value: Lanes, address: str) -> Any:
    if link in ("work", chain.work.name):
        return replace(chain, work=_put(chain.work, [field], value, address))
    links = list(chain.links)
    place = _named(links, link, address)
    links[place] = _put(links[place], [field], value, address)
    return replace(chain, links=tuple(links))


def _get(record: Any, path: list[str], address: str) -> Lanes:
    """Return a value out of a record, a tuple of named records, or an element of a tuple of numbers."""
    name, *rest = path
    name, _, place = name.rstrip("]").partition("[")
    if isinstance(record, tuple):
        found = record[_named(list(record), name, address)]
    elif name not in {f.name for f in fields(record)} and hasattr(record, "states"):
        return _get(record.states, path, address)
    else:
        found = getattr(record, name)
    found = found[int(place)] if place else found
    number: Lanes = found if not rest else _get(found, rest, address)
    return number


def _put(record: Any, path: list[str], value: Lanes, address: str) -> Any:
    """Put a value into a record, a tuple of named records, or an element of a tuple of numbers."""
    name, *rest = path
    if isinstance(record, tuple):
        place = _named(list(record), name, address)
        return (*record[:place], _put(record[place], rest, value, address), *record[place + 1 :])
    if not rest and "[" in name:
        name, index = name.rstrip("]").split("[")
        numbers = list(getattr(record, name))
        numbers[int(index)] = value
        return replace(record, **{name: tuple(numbers)})
    if name not in {f.name for f in fields(record)}:
        if rest and hasattr(record, "states"):  # job.<state>.<field>
            return replace(record, states=_put(record.states, path, value, address))
        raise KeyError(address)
    inner = value if not rest else _put(getattr(record, name), rest, value, address)
    return replace(record, **{name: inner})
