"""The wiring diagram: every wire of the netlist and no other, from terminal to terminal and through nothing.

The drawings are read back as a reader would: boxes, rings and lines from the SVG, and held against the record. That a
wire may cross another at right angles alone, and that a dot joins, are the conventions of circuit diagrams
(IEC 61082-1, from memory).
"""

from __future__ import annotations

import copy
import random
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import unescape
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from headrace import design
from headrace.design.netlist_record import netlist_record
from headrace.machine import edit, read, read_text, starter
from headrace.paper.drawings.circuit import circuit
from headrace.paper.drawings.wiring_diagram import lettered, said_size, wiring_diagram
from headrace.paper.report import report
from headrace.paper.svg import alone, wide
from headrace.paper.wired import UNDRAWN, compared, differs, missing, wires, wrong
from headrace.paper.words import typical
from tests.machines import evidence_of
from tests.paper.records import parsed
from tests.paper.records import record as invented

Record = dict[str, Any]
Point = tuple[float, float]

ROOT = Path(__file__).parent.parent.parent
STARTERS = sorted(path.stem for path in (ROOT / "src/headrace/machine/starters").glob("*.toml"))
EXAMPLES = sorted(str(path.relative_to(ROOT)) for path in (ROOT / "examples").rglob("*.toml"))
BAD = "tests/frontends/bad-mower.toml"
WAYS = pytest.mark.parametrize("narrow", [False, True])
SEEDS = range(15)


@cache
def record(name: str) -> Record:
    """Return the netlists of a starter or of a file."""
    evidence = evidence_of(name) if name in STARTERS else design.evidence(read(ROOT / name).machine)
    found: Record = typical(netlist_record(evidence))
    return found


def with_netlist() -> list[str]:
    return [*STARTERS, *(name for name in (*EXAMPLES, BAD) if not name.endswith("wall.toml"))]


@dataclass
class Seen:
    """What a reader sees in a drawing, in its own units."""

    size: Point
    boxes: list[tuple[str, tuple[float, float, float, float]]]
    rings: dict[str, Point]
    lines: list[tuple[tuple[str, str], list[Point]]]
    dots: list[Point]
    words: list[tuple[str, tuple[float, float, float, float]]]
    shift: Point

    def edges(self) -> Iterator[tuple[tuple[str, str], tuple[Point, Point]]]:
        """Yield every wire's steps of ten."""
        for ends, path in self.lines:
            for step in pairwise(stepped(path)):
                yield ends, step


def stepped(path: list[Point]) -> list[Point]:
    """Return a path as points ten apart."""
    points = [path[0]]
    for (x1, y1), (x2, y2) in pairwise(path):
        assert x1 == x2 or y1 == y2, "a wire runs along or across"
        steps = round(max(abs(x2 - x1), abs(y2 - y1)) / 10.0)
        points += [(x1 + (x2 - x1) * k / steps, y1 + (y2 - y1) * k / steps) for k in range(1, steps + 1)]
    return points


def seen(drawing: str) -> Seen:
    root = parsed(drawing)
    size = tuple(float(part) for part in root.attrib["viewBox"].split()[2:])
    (group,) = (child for child in root if child.tag.endswith("g"))
    shift = tuple(float(part) for part in re.findall(r"-?\d+", group.attrib["transform"]))

    def of(kind: str) -> list[ET.Element]:
        return [mark for mark in root.iter() if kind in mark.get("class", "").split()]

    rings = [
        (mark.attrib["data-terminal"], (float(mark.attrib["cx"]), float(mark.attrib["cy"]))) for mark in of("terminal")
    ]
    assert len(dict(rings)) == len(rings), "a terminal is drawn once"
    lines = []
    for mark in of("wire"):
        (path,) = (part.attrib["d"] for part in mark if part.tag.endswith("path"))
        numbers = [float(number) for number in re.findall(r"-?\d+", path)]
        ends = (mark.attrib["data-from"], mark.attrib["data-to"])
        lines.append((ends, list(zip(numbers[::2], numbers[1::2], strict=True))))
    boxes = [(m.attrib["data-part"], tuple(map(float, m.attrib["data-box"].split()))) for m in of("part")]
    dots = [(float(mark.attrib["cx"]), float(mark.attrib["cy"])) for mark in of("dot")]
    words = [_word(mark) for mark in root.iter() if mark.tag.endswith("text")]
    return Seen(size, boxes, dict(rings), lines, dots, words, shift)  # type: ignore[arg-type]


def _word(mark: ET.Element) -> tuple[str, tuple[float, float, float, float]]:
    said, x, y = "".join(mark.itertext()), float(mark.attrib["x"]), float(mark.attrib["y"])
    across = wide(said, 12.0)
    left = x - {"start": 0.0, "middle": across / 2.0, "end": across}[mark.get("text-anchor", "start")]
    return said, (left, y - 8.0, left + across, y + 2.0)


def meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def inside(point: Point, box: tuple[float, ...]) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def hold(netlist: Record, drawing: str) -> None:
    """Hold a drawing against its netlist, and against itself."""
    found = seen(drawing)
    ends = Counter(tuple(wire["ends"]) for wire in netlist["wires"])
    assert Counter(ends_ for ends_, _ in found.lines) == ends
    named = {f"{part['name']}.{end}" for part in netlist["parts"] for end in part["terminals"]}
    assert set(found.rings) == named
    for (one, other), path in found.lines:
        assert (path[0], path[-1]) == (found.rings[one], found.rings[other])
    for (_, box), (_, next_box) in combinations(found.boxes, 2):
        assert not meet(box, next_box)
    for _, path in found.lines:
        for point in stepped(path)[1:-1]:
            assert not any(inside(point, box) for _, box in found.boxes), point
    _crossings(netlist, found)
    _words(found)


def _crossings(netlist: Record, found: Seen) -> None:
    """Wires of two nets share no step and no bend; where three steps of one net meet there is a dot, and only there."""
    net = circuit(netlist).net
    steps: dict[Point, dict[int, set[Point]]] = defaultdict(lambda: defaultdict(set))
    for (end, _), (one, other) in found.edges():
        steps[one][net[end]].add((other[0] - one[0], other[1] - one[1]))
        steps[other][net[end]].add((one[0] - other[0], one[1] - other[1]))
    for at, nets in steps.items():
        if len(nets) > 1:
            first, second = nets.values()
            assert {frozenset(first), frozenset(second)} == {
                frozenset({(10.0, 0.0), (-10.0, 0.0)}),
                frozenset({(0.0, 10.0), (0.0, -10.0)}),
            }, at
    forks = {at for at, nets in steps.items() if any(len(ways) > 2 for ways in nets.values())}
    assert set(found.dots) == forks


def _words(found: Seen) -> None:
    """Words stand on the sheet, and not on each other."""
    for said, (left, top, right, bottom) in found.words:
        assert left + found.shift[0] >= 0.0, said
        assert top + found.shift[1] >= 0.0, said
        assert right + found.shift[0] <= found.size[0], said
        assert bottom + found.shift[1] <= found.size[1], said
    for (one, first), (other, second) in combinations(found.words, 2):
        assert not meet(first, second), (one, other)


# --- ours ----------------------------------------------------------------------------------------


@WAYS
@pytest.mark.parametrize("name", with_netlist())
def test_every_wire_is_drawn_from_terminal_to_terminal_through_nothing(name: str, narrow: bool) -> None:
    found = record(name)
    hold(found["netlist"], wiring_diagram(found, narrow=narrow))


@WAYS
def test_lamps_beside_the_tools_and_more_of_them_hang_in_columns_of_their_own(narrow: bool) -> None:
    lamps = {
        "auxiliaries": [
            {"name": name, "power": "12 W"} for name in ("lamp", "horn", "fan", "a very long name of a lamp")
        ]
    }
    machine = read_text(edit(starter("mower"), lamps)).machine
    found = typical(netlist_record(design.evidence(machine)))
    hold(found["netlist"], wiring_diagram(found, narrow=narrow))


def test_the_line_goes_through_fuse_isolator_and_contactor_and_the_pre_charge_around_the_last() -> None:
    read_off = circuit(record("mower")["netlist"])
    assert [piece.name for piece in read_off.line] == ["fuse", "isolator", "contactor"]
    (around,) = (branch for branch in read_off.branches if branch.meets is not None)
    assert (around.leaves, around.meets) == (2, 3)
    assert any(piece.kind == "resistor" for layer in around.layers for piece in layer)


def test_plus_is_above_minus_lying_and_the_pack_stands_left_of_the_loads() -> None:
    found = seen(wiring_diagram(record("mower")))
    assert found.rings["pack.plus"][1] < found.rings["pack.minus"][1]
    assert found.rings["fuse.in"][1] == found.rings["contactor.out"][1] < found.rings["pack.plus"][1]
    order = ["pack.plus", "fuse.in", "isolator.in", "contactor.in", "blade controller.plus", "blade motor.b"]
    places = [found.rings[end][0] for end in order]
    assert places == sorted(places)


def test_a_phone_of_360_px_shows_it_in_nearly_its_own_size() -> None:
    for name in with_netlist():
        assert seen(wiring_diagram(record(name), narrow=True)).size[0] <= 360.0, name


@WAYS
def test_sizes_are_those_of_the_record_and_none_else(narrow: bool) -> None:
    found = record("mower")
    known = {said_size(wire) for wire in found["netlist"]["wires"]} - {""}
    said = [word for word, _ in seen(wiring_diagram(found, narrow=narrow)).words if "mm²" in word]
    assert said
    assert {re.sub(r"^(\d+ × |each )", "", word) for word in said} <= known
    changed = copy.deepcopy(found)
    for wire in changed["netlist"]["wires"]:
        wire |= {"area_m2": None}
    assert not any("mm²" in word for word, _ in seen(wiring_diagram(changed, narrow=narrow)).words)


@WAYS
@pytest.mark.parametrize("name", with_netlist())
def test_the_thick_wires_of_every_motor_have_their_size_on_the_drawing(name: str, narrow: bool) -> None:
    found = record(name)
    said = " ".join(word for word, _ in seen(wiring_diagram(found, narrow=narrow)).words)
    thick = {said_size(wire) for wire in found["netlist"]["wires"] if wire["carries"] in ("main", "motor")} - {""}
    assert thick
    for size in thick:
        assert size in said or size.replace(", ", " ") in said, size  # on one line or on two


def test_what_a_part_is_made_for_stands_beside_its_name() -> None:
    found = record("mower")
    said = [word for word, _ in seen(wiring_diagram(found)).words]
    fuse = next(part for part in found["netlist"]["parts"] if part["name"] == "fuse")
    assert f"{fuse['current_A']:.0f} A, {fuse['voltage_V']:.1f} V" in said


def test_gauges_have_no_less_metal_than_asked() -> None:
    """ASTM B258: a gauge's diameter is 0.127 mm times 92 to the (36 - number) / 39."""
    for name in with_netlist():
        for wire in record(name)["netlist"]["wires"]:
            if wire["gauge"] is not None and wire["area_m2"] is not None:
                number = 1 - int(wire["gauge"][:-2]) if wire["gauge"].endswith("/0") else int(wire["gauge"])
                metal = 3.14159265 / 4.0 * (0.127e-3 * 92.0 ** ((36 - number) / 39)) ** 2
                assert metal >= wire["area_m2"] * (1.0 - 1e-6), wire


def test_a_part_of_a_kind_not_told_of_is_a_plain_rectangle_with_its_name() -> None:
    found = copy.deepcopy(record("mower"))
    for part in found["netlist"]["parts"]:
        if part["name"] in ("isolator", "blade controller"):
            part["kind"] = "novelty"
    drawing = wiring_diagram(found)
    hold(found["netlist"], drawing)
    assert 'data-sign="unknown"' in drawing
    assert "isolator" in [word for word, _ in seen(drawing).words]


def test_names_of_a_file_are_escaped() -> None:
    found = copy.deepcopy(record("mower"))
    for part in found["netlist"]["parts"]:
        part["name"] = part["name"].replace("blade", "<b>&")
    for wire in found["netlist"]["wires"]:
        wire["ends"] = [end.replace("blade", "<b>&") for end in wire["ends"]]
    hold(found["netlist"], wiring_diagram(found))


def test_what_never_empties_has_no_drawing_and_says_why() -> None:
    found = record("examples/cider-mill/wall.toml")
    assert wiring_diagram(found) == ""
    assert missing(found).startswith("No wiring is drawn: ")
    assert found["netlist"]["reason"] in missing(found)
    assert missing(record("mower")) == ""
    assert missing({}) == ""


def test_who_cannot_see_it_is_told_every_wire() -> None:
    found = record("mower")
    says = next(child.text or "" for child in parsed(wiring_diagram(found)) if child.tag.endswith("desc"))
    assert all(f"{one} to {other}" in says for one, other, _ in wires(found["netlist"]))
    assert all(size for _, _, size in wires(found["netlist"]))


def test_a_drawing_stands_alone_without_a_page() -> None:
    file = alone(wiring_diagram(record("mower")))
    root = ET.fromstring(file)  # noqa: S314 - our own
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert "var(" not in file
    assert "@media" not in file
    assert ".wiring .heavy path" in file


def test_the_report_draws_both_ways_and_lists_every_wire() -> None:
    html = report({**invented(), **record("mower")})
    assert html.count('class="wiring lying"') == html.count('class="wiring upright"') == 1
    assert 'class="pair"' not in html
    text = unescape(html).replace("<wbr>", "")
    for start, end, size in wires(record("mower")["netlist"]):
        assert f'<th scope="row">{start}</th><td>{end}</td><td>{size}</td>' in text
    assert UNDRAWN not in html


def test_the_report_puts_theirs_beside_ours_with_key_and_faults() -> None:
    html = report({**invented(), **record(BAD)})
    assert html.count('class="wiring lying"') == html.count('class="wiring upright"') == 2
    assert html.count('class="pair"') == 1
    text = unescape(html)
    for letter, says in differs(record(BAD)):
        assert f"<dt>{letter}</dt><dd>{says}</dd>" in text
    for says in wrong(record(BAD)):
        assert f"<li>{says}</li>" in text


def test_the_report_says_why_nothing_is_drawn() -> None:
    found = record("examples/cider-mill/wall.toml")
    html = report({**invented(), **found})
    assert "wiring lying" not in html
    assert missing(found) in unescape(html)


# --- theirs --------------------------------------------------------------------------------------


@WAYS
def test_a_crossed_sense_plug_is_drawn_crossed_and_lettered(narrow: bool) -> None:
    found = record(BAD)
    hold(found["built"], wiring_diagram(found, "built", narrow=narrow))
    letters = lettered(found)
    assert set(letters["built"]) == {frozenset({"pack.pin-4", "board.pin-3"}), frozenset({"pack.pin-3", "board.pin-4"})}
    assert set(letters["netlist"]) == {  # each in two pieces, with its fuse between them
        frozenset(pair)
        for pin in (3, 4)
        for pair in ((f"pack.pin-{pin}", f"sense {pin} fuse.in"), (f"sense {pin} fuse.out", f"board.pin-{pin}"))
    }
    assert len(set(letters["netlist"].values())) == 2
    said = [word for word, _ in seen(wiring_diagram(found, "built", narrow=narrow)).words]
    assert set(letters["built"].values()) <= set(said)
    assert wrong(found) == ["board.pin-3 goes to boundary 4.", "board.pin-4 goes to boundary 3."]
    assert "sense plug alone" in compared(found)


def joined(**changes: Any) -> Record:
    machine = read_text(edit(starter("mower"), changes)).machine
    found: Record = typical(netlist_record(design.evidence(machine)))
    return found


def test_our_own_wiring_as_built_differs_in_nothing() -> None:
    ours = [list(wire["ends"]) for wire in record("mower")["netlist"]["wires"]]
    joins = [ends for ends in ours if not any(".pin-" in end for end in ends)]
    pins = sum(end.startswith("pin-") for end in record("mower")["netlist"]["parts"][0]["terminals"])
    found = joined(**{"wiring.joins": joins, "wiring.sense": list(range(pins))})
    others = [ends for ends in ours if any(".pin-" in end for end in ends)]
    if all(end.startswith(("pack.", "board.")) for ends in others for end in ends):
        assert differs(found) == []
        assert "Both have the same wires." in compared(found)
    assert found["built"]["faults"] == []
    assert wrong(found) == []
    hold(found["built"], wiring_diagram(found, "built"))


def test_a_fault_as_built_is_dashed_lettered_and_said() -> None:
    joins = [["pack.plus", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"]]
    found = joined(**{"wiring.joins": [*joins, ["pack.minus", "blade controller.minus"]]})
    drawing = wiring_diagram(found, "built")
    hold(found["built"], drawing)
    keys = dict(differs(found))
    (letter,) = (key for key, says in keys.items() if says == "pack.plus to isolator.in, as built only")
    assert letter in [word for word, _ in seen(drawing).words]
    dashed = {
        (m.attrib["data-from"], m.attrib["data-to"])
        for m in parsed(drawing).iter()
        if "only" in m.get("class", "").split()
    }
    assert dashed == {
        tuple(wire["ends"]) for wire in found["built"]["wires"] if frozenset(wire["ends"]) in lettered(found)["built"]
    }
    assert any("pack.plus goes to isolator.in" in says for says in wrong(found))
    assert all(says.endswith(".") for says in wrong(found))


def test_what_tells_no_wiring_has_nothing_to_compare() -> None:
    found = record("mower")
    assert found["built"] is None
    assert (differs(found), wrong(found), compared(found), lettered(found)) == ([], [], "", {})
    assert wiring_diagram(found, "built") == ""


def test_letters_go_on_after_z() -> None:
    found = copy.deepcopy(record("strip-mower" if "strip-mower" in STARTERS else "examples/strip-mower.toml"))
    found["built"] = {**found["netlist"], "wires": found["netlist"]["wires"][:1]}
    letters = list(lettered(found)["netlist"].values())
    assert letters[:2] == ["a", "b"]
    assert letters[25:28] == ["z", "aa", "ab"]
    fuses = [part for part in found["netlist"]["parts"] if part["name"].startswith("sense")]
    assert len(letters) == len(found["netlist"]["wires"]) - 1
    assert len(set(letters)) == len(letters) - len(fuses)  # both pieces of a sense wire have one letter


def mangled(seed: int) -> Record:
    """Return a netlist with some of its wires taken out and others put in anywhere."""
    chance = random.Random(seed)  # noqa: S311 - for a test
    name = chance.choice(with_netlist())
    netlist: Record = copy.deepcopy(record(name)["netlist"])
    ends = [f"{part['name']}.{end}" for part in netlist["parts"] for end in part["terminals"]]
    for _ in range(chance.randint(1, 6)):
        netlist["wires"].pop(chance.randrange(len(netlist["wires"])))
    for _ in range(chance.randint(1, 5)):
        wire = {"ends": chance.sample(ends, 2), "carries": "", "area_m2": None, "reason": "x"}
        netlist["wires"].append(wire)
    chance.shuffle(netlist["wires"])
    return netlist


@WAYS
@pytest.mark.parametrize("seed", SEEDS)
def test_a_netlist_of_anything_is_drawn(seed: int, narrow: bool) -> None:
    netlist = mangled(seed)
    hold(netlist, wiring_diagram({"built": netlist}, "built", narrow=narrow))


def test_a_wire_from_a_terminal_to_itself_and_one_drawn_twice_are_drawn() -> None:
    netlist: Record = copy.deepcopy(record("mower")["netlist"])
    for ends in (["fuse.in", "fuse.in"], ["fuse.out", "isolator.in"]):
        netlist["wires"].append({"ends": ends, "carries": "", "area_m2": None, "reason": "x"})
    hold(netlist, wiring_diagram({"built": netlist}, "built"))
