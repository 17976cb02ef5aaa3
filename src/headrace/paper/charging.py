"""How the pack is charged and put away, in a few sentences."""

from __future__ import annotations

from typing import Any

from headrace.paper.against import against
from headrace.paper.units_of_words import of_the_record, said_in
from headrace.paper.words import celsius, minutes, percent, plain, typical, watt_hours, watts

Record = dict[str, Any]

KILO = 1e3
HOURS, TENTHS = of_the_record(2.0, "h"), of_the_record(10.0, "h")  # s, from which on hours, and up to which tenths
MONTHS = of_the_record(2.0, "months")  # s, from which on a time is said in months
LEAD = (
    " Near full a lead-acid battery takes no more amps than it lacks ampere-hours, and more and more of that makes "
    "gas: its last tenth takes hours, and cut short again and again it loses capacity."
)
PRACTICE = "This is common practice from memory: the sheet of the cells comes first, and where it forbids it, scrap it."

BATTERIES = "batteries"
WATCHED = (
    "Charge where a fire could do no harm, on something that does not burn, and not while asleep or away. A swollen, "
    "dented, leaking or hot pack is not charged again."
)
WATCHED_LEAD = (
    "Batteries on charge give off hydrogen, which a spark explodes: charge in the open or in moving air, no flame, no "
    "grinder, no plug pulled under load near them. Acid blinds and burns: goggles and gloves, water to rinse with "
    "within reach. A battery that is swollen, cracked, leaking or hot is not charged again."
)


def watched(record: Record) -> str:
    """Return the caution that stands beside every charge."""
    return WATCHED_LEAD if record["pack"]["source"] == BATTERIES else WATCHED


def stopped(record: Record) -> str:
    """Return what a stop says against the file's charger; "" without one."""
    return against(record, ("charger",))


def charging(whole: Record) -> list[str]:
    """Return the sentences on a pack's charging, which stands in the record of the whole machine."""
    record = typical(whole["charging"])
    said = [_charger(record, stopped(whole)), _once(record), _cold(record["cold"], record["current_A"])]
    said += [*_sensor(record["cold"]), *_windows(record)]
    if record["balancing_s"] is not None:
        gap = plain(100.0 * record["gap"], "%")
        said.append(f"Closing a gap of {gap} between its groups takes the board {hours(record['balancing_s'])}.")
    return [*said, _storage(record["storage"]), _forgotten(record["storage"])]


def hours(seconds: float | None) -> str:
    """Return a time in hours, or in minutes where it is short."""
    if seconds is None:
        return "–"
    if seconds < HOURS:
        return minutes(seconds)
    return said_in(seconds, "h", 0 if seconds > TENTHS else 1)


def _charger(record: Record, stop: str) -> str:
    volts, amps = plain(record["voltage_V"], "V"), plain(record["current_A"], "A")
    if stop:
        full, limit = plain(record["full_voltage_V"], "V"), plain(record["cell_limit_A"], "A")
        return (
            f"{stop} This pack asks for one that ends at {full} for {record['chemistry']}, of at most {limit}; what "
            "follows is told of the file's, which is not to be used."
        )
    if record["planned"]:
        return f"The charger holds {volts} at the end and drives {amps} until then."
    limit = plain(record["cell_limit_A"], "A")
    asks = f"one that ends at {volts} for {record['chemistry']}, of at most {limit}"
    return f"No charger is planned. This pack asks for {asks}; what follows is told of that one."


def _once(record: Record) -> str:
    """Return how long a charge takes and what it draws."""
    reached, taken = percent(record["charge"]), hours(record["duration_s"])
    if record["ended_because"] == "too-low":
        return f"It does not charge: {record['reason']}."
    lead = record["chemistry"] == "lead-acid"
    more = f"{LEAD} This is told by {record['model']}." if lead else ""
    return (
        f"From the reserve a charge takes {taken}, {hours(record['steady_s'])} of it at the full current, and reaches "
        f"{reached}; it draws {watt_hours(record['mains_J'])} from the mains, {watts(record['outlet_W'])} at most."
        f"{more}"
    )


def _cold(cold: Record, current: Any) -> str:
    coldest, limit = celsius(cold["coldest_K"]), cold["limit_A"]
    warm = f"it has to be at {celsius(cold['ready_K'])} for {plain(current, 'A')}"
    if cold["warming_s"] is None:
        late = "which this room does not reach"
    elif cold["warming_s"] == 0.0:
        return f"Put on at {coldest} it may take {plain(limit, 'A')}: it is warm enough."
    else:
        room = celsius(cold["room_K"])
        late = f"{hours(cold['warming_s'])} in a room of {room}, or {watt_hours(cold['heat_J'])} of heat at least"
    may = f"it may take {plain(limit, 'A')}" if limit else "it must not be charged"
    return f"Put on with cells at {coldest} {may}; {warm}: {late}. The cells' own temperature counts, not the air's."


def _sensor(cold: Record) -> list[str]:
    """Return what a meter reads at the sensor where cells may be charged no longer; nothing where none senses them."""
    if cold["sensor_ohm"] is None:
        return []
    reads, lowest = plain(cold["sensor_ohm"] / KILO, "kΩ"), celsius(cold["lowest_K"])
    usual = plain(cold["sensor_of_ohm"] / KILO, "kΩ", 0)
    said = (
        f"The usual sensor of {usual} reads {reads} at {lowest}, below which nothing charges: above "
        "those ohms the board has to refuse. That it is this sensor is assumed; the board's sheet says which."
    )
    return [said]


def _windows(record: Record) -> list[str]:
    """Return what a charger circuit that feels the cells does, as one is printed."""
    charging = [_window(one) for one in record["windows"] if one["voltage_V"] is not None]
    if not charging:
        return []
    ends = [one for one in record["windows"] if one["voltage_V"] is None]
    shut = f"nothing below {celsius(ends[0]['to_K'])} or above {celsius(ends[-1]['from_K'])}"
    said = "By the printed defaults of one charger circuit that feels the cells they would take at most"
    return [f"{said} {', '.join(charging)}; {shut}."]


def _window(one: Record) -> str:
    amps, volts = plain(one["current_A"], "A"), plain(one["voltage_V"], "V")
    return f"{amps} up to {volts} from {celsius(one['from_K'])} to {celsius(one['to_K'])}"


def _storage(storage: Record) -> str:
    after, look = storage["check_after_s"], storage["look_after_s"]
    put = f"Put it away at {percent(storage['charge'])} and look at it again every {long(look)}"
    if after is None:
        return f"{put}; {storage['check_reason']}."
    return f"{put}; left alone it falls to {percent(storage['check_charge'])} in {long(after)}."


def long(seconds: float) -> str:
    """Return a long time in months, or in days where it is short."""
    return said_in(seconds, "months" if seconds >= MONTHS else "days", 0)


def _forgotten(storage: Record) -> str:
    """Return what to do with a pack that is found below empty."""
    if storage["reason"]:
        return f"Found below empty: {storage['reason']}."
    empty, floor = storage["recover_of_a_group_V"], storage["scrap_of_a_group_V"]
    days = said_in(storage["scrap_after_s"], "days", 0)
    never = (
        f"With a group below {plain(floor, 'V', 2)}, below empty for more than {days} or "
        "nobody knows for how long, swollen or warm: never charge it again, take it where such packs are "
        "collected."
    )
    whole = f"{plain(empty, 'V', 2)}, or the pack below {plain(storage['recover_V'], 'V')}"
    if floor >= empty:
        return f"Found with a group below {whole}: there is nothing to recover. {never} {PRACTICE}"
    amps, time = plain(storage["recover_current_A"], "A", 2), minutes(storage["recover_time_s"])
    return (
        f"Found with a group below {whole}: bring it back outdoors, under watch, at {amps} at most and only to "
        f"{plain(empty, 'V', 2)} of every group; one that is not there within {time}, or falls again within days, is "
        f"scrap. {never} {PRACTICE}"
    )
