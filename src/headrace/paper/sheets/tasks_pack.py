"""Tasks of a machine with a pack: volts, amps, minutes and its charge."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.paper.charging import hours
from headrace.paper.sheets.task import LIKEWISE, PAPER, WHEN, Asked, Record, Task, at_terminals
from headrace.paper.told import told
from headrace.paper.units_of_words import said_in
from headrace.paper.words import empties, minutes, moment, percent, plain, rpm, watt_hours, watts

AT_THE_PLUG = "by the teacher, at the closed pack's plug"


def volts(record: Record, _: Record) -> Iterator[Task]:
    """Yield the task of cells in series; none where the groups are not wired one by one."""
    pins = record["sense"].get("pins") or ()
    if not empties(record["pack"]) or not pins:
        return
    known, asked = _alone(record)
    yield Task(
        "volts",
        "Cells in series: which volts, and so which speed?",
        [
            ("cells in series", plain(record["pack"]["series"], "", 0)),
            ("a cell at rest, full", plain(pins[1]["full_V"], "V", 2)),
            ("a cell at rest, half full", plain(pins[1]["half_V"], "V", 2)),
            *known,
        ],
        "In series the volts add up and the amps stay. A motor with magnets turns as fast as its volts let it.",
        (
            Asked("volts of the pack, full", AT_THE_PLUG, plain(pins[-1]["full_V"], "V")),
            Asked("volts of the pack, half full", LIKEWISE, plain(pins[-1]["half_V"], "V")),
            *asked,
        ),
        "Only the teacher holds a meter to a pack, a finished and covered one; the class reads the display. The motor "
        "runs alone, screwed down, without its tool, on the supply.",
        "Reckoning with the volts on the label: a pack stands above them when full and below when worked.",
    )


def _alone(record: Record) -> tuple[list[tuple[str, str]], list[Asked]]:
    """Return what is known of the first motor that is run alone on the supply, and how fast it turns there."""
    constants = [n for n in record["numbers"] if n["address"].endswith(".constant") and n["unit"] == "V·s/rad"]
    for chain in record["trial"]["chains"]:
        steps = [step for step in chain["steps"] if step["reason"] is None]
        constant = [n for n in constants if n["address"].split(".")[1] == chain["name"]]
        if not steps or not constant:
            continue
        known = [("turns of the motor for each volt", told(constant[0]))]
        asked = [
            Asked(
                f"speed of the motor alone, cold, at {plain(step['supply_V'], 'V')}",
                "a tachometer that needs no touch",
                rpm(step["motor_speed_rad_s"]),
            )
            for step in steps
        ]
        return known, asked
    return [], []


def amps(record: Record, heavy: Record) -> Iterator[Task]:
    """Yield the task of cells or batteries in parallel."""
    if not empties(record["pack"]):
        return
    several = record["pack"]["parallel"] > 1.0
    each = [Asked("amps of one of them", PAPER, plain(heavy["cell_current_A"], "A"))] if several else []
    beside = [("cells or batteries in parallel", plain(record["pack"]["parallel"], "", 0))] if several else []
    yield Task(
        "amps",
        "In parallel: how many amps does each give?" if several else "How many amps does it draw?",
        [
            (WHEN, moment(record)),
            (f"watts at the terminals in {heavy['name']}", watts(at_terminals(heavy))),
            ("volts there", plain(heavy["terminal_voltage_V"], "V")),
            *beside,
        ],
        "In parallel the amps add up and the volts stay. Amps in the motor make the torque; amps of the pack make heat "
        "in its cells.",
        (
            Asked("amps of the pack", "clamp meter on the plus, zeroed first", plain(heavy["battery_current_A"], "A")),
            *each,
        ),
        "The clamp goes on while it is dead. One wire in the clamp, never both.",
        "Taking the motor's amps for the pack's: at part throttle they differ.",
    )


def lasting(record: Record, _: Record) -> Iterator[Task]:
    """Yield the task of how long a pack works."""
    day, pack = record["day"], record["pack"]
    if not empties(pack):
        return
    doubted = any(one["reason"] for one in pack["rest"])  # a plateau hides the charge
    tells = PAPER if doubted else "volts at rest, and the table of the charging card"
    yield Task(
        "minutes",
        "How long does a full pack work?",
        [
            ("energy of the pack, full to empty", watt_hours(pack["energy_J"])),
            ("energy used in the job", watt_hours(day["energy_J"])),
            ("the job takes", minutes(day["duration_s"])),
            ("charge left after it", percent(day["charge_left"])),
        ],
        "Minutes are energy by power. Power is the job's energy by its time; some charge stays in reserve.",
        (
            Asked("charge left after the job", tells, percent(day["charge_left"])),
            Asked("minutes down to the reserve", "a stopwatch, in the field", minutes(day["lasts_to_reserve_s"])),
            Asked("minutes until it cuts out", PAPER, minutes(day["lasts_s"])),
        ),
        "Stop at the reserve. Running a pack until it cuts out wears its weakest group.",
        "Dividing the energy on the label by the power on the motor's plate: neither is what this work takes.",
    )


def charge(record: Record, _: Record) -> Iterator[Task]:
    """Yield the task of the charger; none where it does not charge."""
    charging = record.get("charging")
    if not charging or charging["ended_because"] == "too-low":
        return
    yield Task(
        "charging",
        "How long does a charge take, and what does it cost?",
        [
            ("put into the pack", said_in(charging["put_in_A_s"], "Ah")),
            ("amps of the charger", plain(charging["current_A"], "A")),
            ("volts it ends at", plain(charging["voltage_V"], "V")),
            ("energy into the pack", watt_hours(charging["energy_J"])),
        ],
        "Hours are ampere-hours by amps, and then some: near full the amps fade. Some of the mains' energy stays in "
        "the charger as heat.",
        (
            Asked("hours at full amps", "note when the amps begin to fade", hours(charging["steady_s"])),
            Asked("hours in all", "until the charger says full", hours(charging["duration_s"])),
            Asked("watt-hours from the mains", "a meter between plug and socket", watt_hours(charging["mains_J"])),
        ),
        "Charging is watched by an adult, on a surface that does not burn, never over a break or a night.",
        "Leaving out the fading end, or the charger's own loss.",
    )
