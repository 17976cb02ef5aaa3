"""The report: one self-contained page a builder can read, print, pin to the wall and act on."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import PurePath
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from headrace.machine.fed import fed
from headrace.machine.naming import named
from headrace.paper import bill, cuts, words
from headrace.paper import facts as packed
from headrace.paper.advice import coded
from headrace.paper.assembly import before as before_building
from headrace.paper.assembly import building, kept_away, touching, without_cells
from headrace.paper.balance import balance
from headrace.paper.charging import charging, watched
from headrace.paper.charts.day import curves
from headrace.paper.charts.still import still
from headrace.paper.connecting import BEFORE, connecting
from headrace.paper.drawings import pack_map
from headrace.paper.drawings.bars import bar
from headrace.paper.drawings.course import course
from headrace.paper.drawings.side_view import side_view
from headrace.paper.drawings.wiring_diagram import wiring_diagram
from headrace.paper.gears import gears
from headrace.paper.lettering import lettering
from headrace.paper.measures import PACES, done, pace, power_left
from headrace.paper.pack_grid import window
from headrace.paper.protection import WRONG, joints, protection
from headrace.paper.readings import before as before_reading
from headrace.paper.readings import meanings as reading_meanings
from headrace.paper.readings import readings, rested_for, two_loads, unread
from headrace.paper.readings import resting as rest_volts
from headrace.paper.resting import sloping, stopping
from headrace.paper.risks import risks
from headrace.paper.seasons import seasons
from headrace.paper.starting import starting
from headrace.paper.sureness import stopped, surest
from headrace.paper.trial import BEFORE as BEFORE_TRIAL
from headrace.paper.trial import at_work, charges, first, has_limits, last, meanings, steps, told_cold
from headrace.paper.upkeep import upkeep
from headrace.paper.warming import warming
from headrace.paper.wired import CAUTION, FOLLOWS, READS, UNDRAWN, compared, differs, missing, wires, wrong
from headrace.paper.wiring import conductor, fuse
from headrace.paper.working import lines

Record = dict[str, Any]

FONTS = "/* the type */"  # where the page's own letters go, once it is known which they are
OF_A_BLADE, OF_A_SHAFT = "tip_speed_m_s", "tool_speed_rad_s"
TOP, TOP_EACH = 8, 5  # numbers shown with a bar, of one answer and of each of several
ANSWERS = {
    "run_time": "How long it lasts",
    **{said.key: f"How fast the {said.name} still runs {{}}" for said in PACES.values()},
    "pack_size": "How many cells it takes",
}


def report(record: Record) -> str:
    """Return the page for the record of ``design``.

    Parameters
    ----------
    record
        What ``results.json`` holds; the page holds no number it lacks.
    """
    typical = words.typical(record)
    page = (
        _pages()
        .get_template("report.html")
        .render(
            record=typical,
            banded=record,
            drawn=record["draws"]["count"] > 0,
            pace=pace(record["day"]),
            done=done,
            headlines=_headlines(record),
            chains=_chains(record["losses"]),
            **_mapped(record["packs"]),
            wirings=_wirings(typical),
            charts=[(chart, still(chart.spec, chart.name, chart.says)) for chart in curves(record)],
            gears=gears(record),
            carried=_carried(record),
            unsure=_unsure(record),
            coded=coded,
            breaks=_breaks,
            fonts=Markup(FONTS),  # noqa: S704 - ours
        )
    )
    return page.replace(FONTS, lettering(page), 1)


def _pages() -> Environment:
    pages = Environment(
        loader=PackageLoader("headrace.paper", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    said = (
        "giver",
        "middle",
        "empties",
        "pack_name",
        "watts",
        "watt_hours",
        "minutes",
        "rpm",
        "celsius",
        "percent",
        "plain",
        "size",
        "band",
        "spread",
        "spoken",
    )
    pages.globals.update({name: getattr(words, name) for name in said})
    pages.globals.update(starting=starting, stopping=stopping, sloping=sloping, warming=warming, power_left=power_left)
    pages.globals.update(balance=balance, side_view=side_view, conductor=conductor, fuse=fuse)
    pages.globals.update(protection=protection, joints=joints, wrong_pin=WRONG)
    pages.globals.update(charging=charging, seasons=seasons, connecting=connecting, before_connecting=BEFORE)
    pages.globals.update(
        buying=bill.buying, bill_amount=bill.amount, bill_made_for=bill.made_for, bill_price=bill.price
    )
    pages.globals.update(bill_sums=bill.sums, before_buying=bill.before, before_cutting=cuts.before)
    pages.globals.update(cut_pieces=cuts.pieces, cut_runs=cuts.runs, cut_sizes=cuts.sizes)
    pages.globals.update(facts=packed.facts, limits=packed.limits, volts=packed.volts, questions=packed.questions)
    pages.globals.update(building=building, without_cells=without_cells, before_building=before_building)
    pages.globals.update(touching=touching, kept_away=kept_away, upkeep=upkeep, risks=risks)
    pages.globals.update(
        fed=fed,
        watched=watched,
        before_reading=before_reading,
        before_trial=BEFORE_TRIAL,
        trial_first=first,
        trial_steps=steps,
        trial_last=last,
        trial_meanings=meanings,
    )
    pages.globals.update(trial_charges=charges, trial_at_work=at_work, trial_limits=has_limits, told_cold=told_cold)
    pages.globals.update(readings=readings, two_loads=two_loads, rest_volts=rest_volts, rested_for=rested_for)
    pages.globals.update(reading_meanings=reading_meanings, unread=unread)
    pages.globals.update(wires=wires, differs=differs, wrong=wrong, compared=compared, missing=missing)
    pages.globals.update(wired=f"{FOLLOWS} {READS}", wired_caution=CAUTION, undrawn=UNDRAWN)
    pages.globals["stopped"], pages.globals["surest"] = stopped, surest
    return pages


def _headlines(record: Record) -> list[Record]:
    """Return the three numbers of the head with their bands, what they mean and the working behind each."""
    day, pack = record["day"], record["pack"]
    lasts, wanted = (words.middle(day[k]) for k in ("lasts_s", "wanted_s"))
    fast = pace(record["day"]) if day["pace"] != OF_A_BLADE else PACES[OF_A_SHAFT]  # a blade is geared by its turns
    full, empty = fast.field("full"), words.middle(day[fast.field("empty")])
    mass = words.plain(words.middle(pack["mass_kg"]), "kg")
    run_out = f"; {fast.say(empty)} when it has run out." if words.empties(pack) else "."
    shown: list[tuple[str, Any, Callable[[Any], str], str, str]] = [
        (
            "day.lasts_to_reserve_s",
            day["lasts_to_reserve_s"],
            words.minutes,
            "new pack",
            f"down to the reserve; {words.minutes(wanted)} wanted. After {words.minutes(lasts)} {day['lasts_reason']}.",
        ),
        (
            f"day.{full}",
            day[full],
            fast.say,
            "full pack",
            f"in the heaviest work{run_out}",
        ),
        (
            "pack.energy_J",
            pack["energy_J"],
            words.watt_hours,
            "full to empty",
            f"in {words.plain(words.middle(pack['cells']), words.giver(pack).removeprefix('the '), 0)}, {mass}.",
        ),
    ]
    if not words.empties(pack):
        address, value, say, _, says = shown[1]
        shown = [_worked(day, wanted), (address, value, say, "on " + words.spoken(pack["source"]), says)]
    workings, file = record.get("workings") or {}, PurePath(record["file"] or "the file").name
    return [
        {
            "address": address,
            "number": say(words.middle(value)),
            "beside": ", ".join(part for part in (words.spread(value, say), state) if part),
            "says": says,
            "working": lines(workings[address], file, source=pack["source"]) if address in workings else None,
        }
        for address, value, say, state, says in shown
    ]


def _worked(day: Record, wanted: float) -> tuple[str, Any, Callable[[Any], str], str, str]:
    """Return the headline of a machine whose source never empties: how long it works."""
    says = f"{words.minutes(wanted)} wanted: {day['reason']}"
    return "day.duration_s", day["duration_s"], words.minutes, "at work", says


def _chains(losses: Record) -> list[Record]:
    """Return every chain with its duty states, each drawn lying and upright to one scale."""
    chains = words.chains_of(losses)
    full = max((words.middle(s["source_W"]) for chain in chains for s in chain["states"] if s["links"]), default=1.0)
    return [
        {
            "name": chain["name"],
            "states": [
                {
                    "banded": state,
                    "typical": words.typical(state),
                    "lying": course(state, full),
                    "upright": course(state, full, upright=True),
                }
                for state in chain["states"]
            ],
        }
        for chain in chains
    ]


def _mapped(packs: Record | None) -> Record:
    """Return the map of packs with all that stands beside it; nothing of a source without cells."""
    if packs is None:
        return {"map": "", "key": (), "squares": (), "rejected": ()}
    return {
        "map": pack_map.pack_map(packs),
        "key": pack_map.key(packs),
        "squares": _squares(packs),
        "rejected": _rejected(packs),
    }


def _wirings(record: Record) -> list[Record]:
    """Return the wiring as planned, and as built where the file tells it, each drawn lying and upright."""
    return [
        {
            "name": name,
            "lying": wiring_diagram(record, which),
            "upright": wiring_diagram(record, which, narrow=True),
            "netlist": record[which],
        }
        for which, name in (("netlist", "As planned"), ("built", "As built"))
        if (record.get(which) or {}).get("parts")
    ]


def _squares(packs: Record) -> list[tuple[str, str, str]]:
    """Return the packs of the map in words, for whoever cannot point at them."""
    series, parallel = window(packs)
    shown = [c for c in packs["candidates"] if c["series"] in series and c["parallel"] in parallel]
    drawn = packs["draws"]["count"] > 0
    return [
        (words.size(c["series"], c["parallel"]), words.percent(c["often"]) if drawn else "", pack_map.reason(c))
        for c in shown
    ]


def _rejected(packs: Record) -> list[str]:
    """Return what speaks against the planned pack."""
    planned = (packs["planned"]["series"], packs["planned"]["parallel"])
    found = (c for c in packs["candidates"] if (c["series"], c["parallel"]) == planned)
    return [reason["says"] for candidate in found for reason in candidate["reasons"]]


def _breaks(address: str) -> Markup:
    """Return an address that may be broken after its dots and underscores, and nowhere else."""
    return Markup(re.sub(r"([._/])(?=.)", r"\1<wbr>", str(escape(address))))  # noqa: S704 - escaped here


def _unsure(record: Record) -> str:
    """Return by how much the shares of the answers differ under another sample; "" where there are none."""
    gaps = [number["gap"] for ranked in (record.get("carries") or {}).values() for number in ranked[:TOP_EACH]]
    return f"{math.ceil(100.0 * max(gaps))} %" if gaps else ""


def _carried(record: Record) -> list[Record]:
    """Return what the answers rest on, heaviest first: for each answer, or for the watts drawn."""
    carries, several = record.get("carries"), len(record["losses"].get("chains") or ()) > 1
    source, end = record["pack"]["source"], "at the reserve" if words.empties(record["pack"]) else "under load"
    if carries:
        return [
            {
                "answer": ANSWERS.get(name, words.spoken(name).capitalize()).format(end),
                "rows": [_row(n, source, several=several) for n in ranked[:TOP_EACH]],
            }
            for name, ranked in carries.items()
            if ranked
        ]
    swings = record["swings"][:TOP]
    if not swings:
        return []
    whole = max(swing["width_W"] for swing in swings)
    return [
        {
            "answer": f"The watts drawn from {words.giver(record['pack'])}",
            "rows": [
                {
                    "name": named(s["address"], chain=several, source=record["pack"]["source"]),
                    "address": s["address"],
                    "basis": s["basis"],
                    "says": _from_to(s["source_low_W"], s["source_high_W"]),
                    "bar": bar(s["width_W"] / whole, s["basis"]),
                }
                for s in swings
            ],
        }
    ]


def _from_to(one: float, other: float) -> str:
    low, high = sorted((one, other))
    return f"{words.watts(low).removesuffix(' W')} to {words.watts(high)}"


def _row(number: Record, source: str, *, several: bool) -> Record:
    return {
        "name": named(number["address"], chain=several, source=source),
        "address": number["address"],
        "basis": number["basis"],
        "says": f"{words.percent(number['total'])} ± {math.ceil(100.0 * number['gap'])}",
        "bar": bar(number["total"], number["basis"], alone=number["first"]),
    }
