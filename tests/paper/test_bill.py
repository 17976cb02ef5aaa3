"""What to buy and what to cut, in words: whole sentences in the units of the bench, from the record alone."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from headrace.design.cuts_record import NO_CABLE
from headrace.design.wiring_record import wiring_record
from headrace.paper import bill, cuts
from headrace.paper.report import report
from headrace.paper.words import typical
from tests.paper.records import record as invented
from tests.wiring.machines import ALL, Record, evidence, lists, machine

NUMBER = re.compile(r"\d+\.\d{4,}|\de[+-]?\d")


def of(name: str) -> Record:
    found, cut = lists(name)
    runs = wiring_record(machine(name), evidence(name))["conductors"]
    return {"bill": found, "cuts": cut, "findings": [], "conductors": typical(runs)}


def line(**values: Any) -> Record:
    """Return an invented line."""
    plain = {"name": "thing", "says": None, "count": 3.0, "length_m": None, "spares": 0.0, "reason": None}
    money = {"price": None, "cost": None, "price_reason": "the file gives no price for it", "whole": None}
    return {**plain, "ratings": [], **money, **values}


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({}, "3"),
        ({"spares": 1.0}, "3 and 1 spare"),
        ({"count": None, "length_m": 1.54}, "1.5 m"),
        ({"count": None, "reason": "nobody knows"}, "nobody knows"),
    ],
)
def test_how_much(values: Record, said: str) -> None:
    assert bill.amount(line(**values)) == said


@pytest.mark.parametrize(
    ("rating", "said"),
    [
        ({"name": "carries", "value_A": 50.0, "reason": None}, "carries 50 A"),
        ({"name": "carries", "value_A": 0.3095, "reason": None}, "carries 0.31 A"),
        ({"name": "breaks", "value_A": 10000.0, "reason": None}, "breaks 10000 A"),
        ({"name": "holds, each", "value_A_s": 18000.0, "reason": None}, "holds, each 5 Ah"),
        ({"name": "metal", "value_m2": 1e-5, "reason": None}, "metal 10 mm²"),
        ({"name": "wide", "value_m": 0.008, "reason": None}, "wide 8 mm"),
        ({"name": "gives", "value_W": 1000.0, "reason": None}, "gives 1000 W"),
        ({"name": "of", "value_ohm": 15.0, "reason": None}, "of 15 Ω"),
        ({"name": "groups in series", "value": 10.0, "reason": None}, "groups in series 10"),
        ({"name": "carries", "value_A": None, "reason": "no cable there"}, "carries: no cable there"),
    ],
)
def test_what_it_is_made_for(rating: Record, said: str) -> None:
    assert bill.ratings(line(ratings=[rating])) == said


def test_a_price_is_said_or_where_it_is_and_else_nothing_and_never_zero() -> None:
    assert bill.price(line(cost=12.0, price_reason=None)) == "12.00"
    assert bill.price(line(price_reason="it is in prices.tools", whole="prices.tools")) == "in prices.tools"
    assert bill.price(line()) == ""


def test_sums_say_how_many_lines_have_no_price() -> None:
    text = " ".join(bill.sums(of("alley-mower")))
    totals = of("alley-mower")["bill"]["totals"]
    assert f"The parts of the machine come to {totals['parts']['cost']:.2f}; " in text
    assert f"{totals['parts']['unpriced']:.0f} of {totals['parts']['lines']:.0f} lines have no price yet." in text
    assert "Tools and what protects people come to 150.00; every line has a price." in text
    assert "prices.tools, 150.00, is for 15 lines together." in text
    assert "no sum: no line of it has a price." in " ".join(bill.sums(of("wall")))


def test_prices_that_are_not_needed_are_named() -> None:
    held = of("wall")
    assert "does not need: cable 2.5 mm²." in bill.sums({"bill": {**held["bill"], "unused": ["cable 2.5 mm²"]}})[-1]


@pytest.mark.parametrize("name", ALL)
def test_every_line_and_piece_has_its_words(name: str) -> None:
    held = of(name)
    grouped = bill.buying(held)
    assert sum(len(lines) for _, lines in grouped) == len(held["bill"]["lines"])
    said = [part for _, lines in grouped for one in lines for part in (bill.amount(one), bill.ratings(one))]
    said += [part for row in (*cuts.pieces(held), *cuts.sizes(held)) for part in row]
    said += [*cuts.runs(held), *bill.sums(held)]
    assert all(bill.amount(one) for _, lines in grouped for one in lines)
    assert all(part for row in cuts.pieces(held) for part in row)
    assert "None" not in " ".join(said)
    assert not [part for part in said if NUMBER.search(part)]
    assert len(cuts.pieces(held)) == len(held["cuts"]["pieces"])


def test_pieces_in_words() -> None:
    rows = {way: rest for way, *rest in cuts.pieces(of("alley-mower"))}
    cable, long, ends = rows["pack.plus to fuse.in"]
    assert cable == "10 mm², gauge 6"
    assert long.startswith("source's side of the blade: one of several pieces")
    assert ends == "ring lug at both ends"
    assert rows["held control.out to delay relay.in"][1:] == ["0.70 m, an estimate", "ferrule and push-on sleeve"]
    first, *_ = cuts.runs(of("alley-mower"))
    assert first == "Source's side of the blade: 0.70 m one way, so 6 pieces are together 1.40 m out and back."
    assert ("cable 10 mm²", "1.5 m", "12 lugs 10 mm²") in cuts.sizes(of("alley-mower"))


def test_the_report_folds_both_and_says_the_cautions_before_them() -> None:
    html = unescape(report({**invented(), **of("alley-mower")}))
    section = html[html.index('id="buying"') :]
    section = section[: section.index("</section>")]
    assert section.index("licensed practice come first") < section.index("<details>")
    assert section.count("<details>") == 2
    held = of("alley-mower")
    assert f"<summary>What to buy, {len(held['bill']['lines'])} lines</summary>" in section
    assert f"<summary>Cables to cut, {len(held['cuts']['pieces'])} pieces</summary>" in section
    assert all(one["name"] in section for one in of("alley-mower")["bill"]["lines"])
    assert "a loose lug burns" in section


def test_the_report_of_a_socket_s_machine_has_its_cord_or_says_why_there_is_none() -> None:
    html = unescape(report({**invented(), **of("wall")}))
    assert "plug to mill switch" in html
    none = {**of("wall")["cuts"], "pieces": [], "sizes": [], "reason": NO_CABLE}
    html = unescape(report({**invented(), **of("wall"), "cuts": none}))
    assert f"No pieces are known: {NO_CABLE}." in html


def test_a_record_without_lists_has_no_such_section() -> None:
    assert 'id="buying"' not in report(invented())
