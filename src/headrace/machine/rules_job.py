"""Rules between the job and the tools that do it: its kind, its states, their shares, what they ask of it."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from typing import Any

from headrace.machine.form import JobTable, StateTable
from headrace.machine.form_table import Table
from headrace.machine.form_works import LOADS, MATERIAL, NEVER_IDLE, OVER_GROUND, WORKS, Asks, BladeTable, TillerTable
from headrace.machine.loose import number, table, tables, text
from headrace.machine.places import Path
from headrace.machine.wording import NOTHING, Said, did_you_mean

CLOSE = 1e-3  # shares add up to 1 within this: three thirds written with three digits do
ENDLESS = ("wall-socket", "bench-supply")
WIDE: dict[str, tuple[type[Table], str]] = {"mowing-blade": (BladeTable, "diameter"), "tiller": (TillerTable, "width")}


def job_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between the job and the tools."""
    yield from _kinds(data)
    yield from _states(data)
    yield from _width(data)
    kind = text(table(data.get("source")).get("kind"))
    if kind in ENDLESS and "top_up" in table(data.get("job")):
        yield ("job", "top_up"), NOTHING, f"belongs to a battery; a {kind} never empties", "leave it out"
    of_parts = "prices" in data and set(table(data["prices"])) == {"parts"}  # which every machine has
    for key in ("charger", *(() if of_parts else ("prices",))):
        if kind in ENDLESS and key in data:
            way_out = "leave it out" if key == "charger" else "leave it out, but for prices.parts"
            yield (key,), NOTHING, f"belongs to a battery; a {kind} never empties", way_out


def _kinds(data: dict[str, Any]) -> Iterator[Said]:
    """Hold the kind of job against the tools: some work their way over ground, and need its width."""
    job = table(data.get("job"))
    over_ground = job.get("kind") in OVER_GROUND
    for chain in tables(data.get("chains")):
        kind = text(table(chain.get("work")).get("kind"))
        if kind in WORKS and WORKS[kind].over_ground and not over_ground and "kind" in job:
            said = f"is not for a {kind}, which works its way over ground"
            yield ("job", "kind"), job["kind"], said, f"write one of {', '.join(OVER_GROUND)}"
    for key in ("width", "area", "speed", "field_efficiency"):
        if not over_ground and "kind" in job and key in job:
            yield ("job", key), job[key], f'belongs to work over ground; the job is "{job["kind"]}"', "leave it out"
    if over_ground and "width" not in job:
        yield ("job", "width"), NOTHING, "is missing; work over ground has a width that one pass does", ""


def _states(data: dict[str, Any]) -> Iterator[Said]:
    job, path = table(data.get("job")), ("job", "states")
    states, over_ground = tables(job.get("states")), job.get("kind") in OVER_GROUND
    cutting = [state for state in states if state.get("turning") is not True]
    if states and not any(state.get("idle") is not True for state in cutting):
        yield path, NOTHING, "must have at least one state that works", ""
        return
    yield from _shares(path, cutting)
    yield from _never_at_work(cutting, tables(data.get("chains")))
    turning = 0
    for k, state in enumerate(states):
        turning += state.get("turning") is True
        if state.get("turning") is True and turning > 1:
            yield (*path, k), NOTHING, "may have one turning state at most", ""
        if state.get("turning") is True and not over_ground:
            said = "belongs to work over ground; a tool that turns without load is idle = true"
            yield (*path, k, "turning"), True, said, ""
        for key in (*LOADS, "power", "share", "time"):
            if state.get("turning") is True and key in state:
                yield (*path, k, key), state[key], "turning is without load and takes the time that is left", ""
        yield from _loads((*path, k), state, data)


def _never_at_work(cutting: list[dict[str, Any]], chains: list[dict[str, Any]]) -> Iterator[Said]:
    """Say which chains no state works: nothing could be said of them."""
    working = [_off(state) for state in cutting if state.get("idle") is not True]
    for k, chain in enumerate(chains):
        if working and all(text(chain.get("name")) in off for off in working):
            said = "is never at work: every state is idle, turning, or has it in off"
            yield ("chains", k), NOTHING, said, "let one state of [job] work it"


def _off(state: dict[str, Any]) -> list[str]:
    said = state.get("off")
    return [name for name in said if isinstance(name, str)] if isinstance(said, list) else []


def _loads(path: Path, state: dict[str, Any], data: dict[str, Any]) -> Iterator[Said]:
    """Hold what a state asks of its tools against what those take."""
    kinds = yield from _at_work(path, state, data)
    asks = [WORKS[kind] for kind in kinds if kind in WORKS]
    if len(asks) < len(kinds):
        return  # one of the tools cannot be read
    taken = [key for ask in asks for key in (*ask.needs, *ask.takes)]
    for key in (key for key in LOADS if key in state):
        if key not in taken:
            yield (*path, key), state[key], f"is nothing that {' or '.join(kinds) or 'a chain at rest'} takes", ""
        if state.get("idle") is True:
            yield (*path, key), state[key], "is a load, and the state is idle", "leave one of them out"
    for kind in (kind for kind in NEVER_IDLE if state.get("idle") is True and kind in kinds):
        said = f"is not for {kind}: {NEVER_IDLE[kind]}"
        yield (*path, "idle"), True, said, "name the chain in off where it stands"
    if state.get("turning") is not True and state.get("idle") is not True:
        yield from _needed(path, state, asks)
        yield from _demanded(path, state, tables(data.get("chains")))


def _demanded(path: Path, state: dict[str, Any], chains: list[dict[str, Any]]) -> Iterator[Said]:
    """Hold a shaft without a label against a state that does not say what it takes."""
    works = {text(chain.get("name")): table(chain.get("work")) for chain in chains}
    bare = [name for name, work in works.items() if work.get("kind") == "shaft" and "label" not in work]
    if "demand" not in state and "power" not in state and any(name not in _off(state) for name in bare):
        said = "is missing; a shaft without a label needs it, or a power"
        yield (*path, "demand"), NOTHING, said, "write the watts it takes at the speed of its table"


def _at_work(path: Path, state: dict[str, Any], data: dict[str, Any]) -> Generator[Said, None, list[str]]:
    """Return the kinds of tool that work in a state; say what is neither a chain nor an auxiliary."""
    chains, others = tables(data.get("chains")), tables(data.get("auxiliaries"))
    named = [text(chain.get("name")) for chain in chains]
    known = [*named, *(text(one.get("name")) for one in others)]
    off = _off(state)
    for name in off:
        if name not in known:
            what = "no chain and no auxiliary" if others else "no chain"
            yield (*path, "off"), name, f"is {what}; there are {', '.join(known)}", did_you_mean(name, known)
    working = [chain for chain, name in zip(chains, named, strict=True) if name not in off]
    return [text(table(chain.get("work")).get("kind")) for chain in working]


def _needed(path: Path, state: dict[str, Any], asks: list[Asks]) -> Iterator[Said]:
    for key in MATERIAL:
        if key in state and "power" in state:
            yield (*path, "power"), state["power"], f"says the same as {key}; give one of them", ""
    kinds = dict.fromkeys(_kind_of(ask) for ask in asks)
    if "power" in state and len(kinds) > 1:
        said = f"would be asked of each of {' and '.join(kinds)}"
        yield (*path, "power"), state["power"], said, "name the other chains in off in this state, or give their loads"
    for ask in asks:
        for key in ask.needs:
            if key not in state and not ("power" in state and key in MATERIAL):
                or_power = ", or a power" if key in MATERIAL else ""
                yield (*path, key), NOTHING, f"is missing; the {_kind_of(ask)} needs it{or_power}", ""


def _kind_of(asks: Asks) -> str:
    return next(kind for kind, known in WORKS.items() if known is asks)


def _shares(path: Path, cutting: list[dict[str, Any]]) -> Iterator[Said]:
    """Hold shares, or times, of the states that cut."""
    shares, times = (sum(key in state for state in cutting) for key in ("share", "time"))
    if shares and times:
        yield path, NOTHING, "must give each state a share, or each a time", ""
    elif len(cutting) > 1 and shares + times < len(cutting):
        yield path, NOTHING, "must give each state a share, or each a time; turning takes what is left", ""
    elif shares:
        read = [number(StateTable, state, "share") for state in cutting]
        total = sum(share for share in read if share is not None)
        if None not in read and abs(total - 1.0) > CLOSE:
            yield path, NOTHING, f"shares of the time at work must add up to 1; they add up to {total:.6g}", ""


def _width(data: dict[str, Any]) -> Iterator[Said]:
    """Hold the width that is cut against the widest tool."""
    job = table(data.get("job"))
    width = number(JobTable, job, "width")
    works = [table(chain.get("work")) for chain in tables(data.get("chains"))]
    wide = [(WIDE[kind], work) for work in works if (kind := text(work.get("kind"))) in WIDE]
    sizes = [size for (form, key), work in wide if (size := number(form, work, key)) is not None]
    if width is not None and sizes and width > max(sizes) * (1.0 + CLOSE):
        yield ("job", "width"), job["width"], "must not be wider than the tool", "give the width one pass really does"
