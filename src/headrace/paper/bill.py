"""What to buy, group by group, with ratings, counts and prices as the record has them."""

from __future__ import annotations

from typing import Any

from headrace.machine.sizes import square
from headrace.paper.against import against
from headrace.paper.protection import brief
from headrace.paper.units_of_words import ALIKE, symbol, turned
from headrace.paper.words import digits_of, plain

Record = dict[str, Any]

FIRST = {"batteries": "For batteries and for mains, local", "wall-socket": "For mains, local", "bench-supply": "Local"}


def before(record: Record) -> str:
    """Return what is said before anything is bought."""
    local = FIRST.get(record["pack"]["source"], "For a lithium pack and for mains, local")
    return (
        f"By ratings, never by name: whatever is bought has at least these. {local} codes and licensed practice come "
        "first. Ratings are those of this plan: a change of the machine changes them."
    )


LARGE = 100.0  # from which no digit behind the point is said
BELOW_A_METRE = 1.0


def amount(line: Record) -> str:
    """Return how much of it: "60 and 2 spare", "1.5 m", or why nobody can say."""
    if line["reason"] is not None:
        return str(line["reason"])
    if line["length_m"] is not None:
        return plain(line["length_m"], "m")
    spare = f" and {plain(line['spares'], 'spare', 0)}" if line["spares"] else ""
    return f"{plain(line['count'], '', 0)}{spare}"


def ratings(line: Record) -> str:
    """Return what it has to be made for: "carries 50 A; direct current of 58 V"."""
    return "; ".join(_rating(rating) for rating in line["ratings"])


def _rating(rating: Record) -> str:
    key = next(key for key in rating if key.startswith("value"))
    value = rating[key]
    if value is None:
        return f"{rating['name']}: {rating['reason']}"
    return f"{rating['name']} {_said(value, key.removeprefix('value').removeprefix('_'))}"


def _said(value: float, unit: str) -> str:
    """Return a number in the unit of the bench."""
    if unit in ALIKE:
        return ALIKE[unit](value)
    if unit == "A_s":
        return f"{_short(turned(value, 'Ah'))} Ah"
    if unit == "s":
        return brief(value)
    if unit == "m2":
        return square(value)
    if unit == "m" and value < BELOW_A_METRE:
        return f"{_short(turned(value, 'mm'))} mm"
    return f"{_short(value)} {symbol(unit)}".strip()


def _short(value: float) -> str:
    return digits_of(value) if value >= LARGE else f"{value:.3g}" if value >= 1.0 else f"{value:.2g}"


def made_for(record: Record, line: Record) -> str:
    """Return what it has to bear; where a stop stands against it that first, and the ratings as what they are."""
    stop = against(record, (line["name"], *line["parts"]))
    told = "; ".join(part for part in (ratings(line), line["says"]) if part) or "nothing to bear"
    return f"{stop} The file's own, not to be bought: {told}" if stop else told


def price(line: Record) -> str:
    """Return what it costs, or in which other price it is; "" where the file has no price."""
    if line["cost"] is not None:
        return plain(line["cost"], "", 2)
    return str(line["price_reason"]).removeprefix("it is ") if line["whole"] else ""


def buying(record: Record) -> list[tuple[str, list[Record]]]:
    """Return the groups that have something in them, each with its lines."""
    bill = record["bill"]
    groups = dict.fromkeys(line["group"] for line in bill["lines"])
    return [(group, [line for line in bill["lines"] if line["group"] == group]) for group in groups]


def sums(record: Record) -> list[str]:
    """Return what it comes to, and how much of it has no price; money is the file's own."""
    bill = record["bill"]
    totals = bill["totals"]
    said = [_sum("The parts of the machine", totals["parts"]), _sum("Tools and what protects people", totals["tools"])]
    if totals["spares_cost"] is not None:
        said.append(f"Spares of what has a price come to {plain(totals['spares_cost'], '', 2)} more.")
    said += [
        f"{whole['name']}, {plain(whole['cost'], '', 2)}, is for {len(whole['of'])} lines together."
        for whole in bill["wholes"]
    ]
    if bill["unused"]:
        said.append(f"Prices of the file that this list does not need: {', '.join(bill['unused'])}.")
    return said


def _sum(what: str, group: Record) -> str:
    lines, without = (plain(group[key], "", 0) for key in ("lines", "unpriced"))
    if group["cost"] is None:
        return f"{what}: {lines} lines, no sum: {group['reason']}."
    rest = "every line has a price" if not group["unpriced"] else f"{without} of {lines} lines have no price yet"
    return f"{what} come to {plain(group['cost'], '', 2)}; {rest}."
