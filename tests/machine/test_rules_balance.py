"""What does not go together in a balance: refused at its line, with the way out, or asked about."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, read_variants, starter

SOUND = {
    "balance.wheelbase": "70 cm",
    "balance.front": "14 kg",
    "balance.rear": "21 kg",
    "balance.pack_position": "50 cm",
}
PART = {"name": "engine", "mass": "12 kg", "position": "25 cm"}


def without(*keys: str) -> dict[str, Any]:
    return {key: value for key, value in SOUND.items() if key.removeprefix("balance.") not in keys}


def told(values: dict[str, Any], name: str = "mower") -> list[str]:
    """Return every problem, key and words."""
    with pytest.raises(MachineFileError) as caught:
        read_text(edit(starter(name), values))
    return [f"{problem.key}: {problem.limit}" for problem in caught.value.problems]


def test_a_sound_balance_is_read() -> None:
    machine = read_text(edit(starter("mower"), SOUND)).machine
    assert machine.balance is not None
    assert float(machine.balance.mass) == pytest.approx(35.0)
    assert float(machine.balance.centre) == pytest.approx(0.42)
    origin = machine.pedigree["balance.centre"]
    assert origin.low < origin.typical < origin.high


def test_mass_and_centre_say_the_same_as_the_loads() -> None:
    whole = {**without("front", "rear"), "balance.mass": "35 kg", "balance.centre": "42 cm"}
    machine = read_text(edit(starter("mower"), whole)).machine
    assert machine.balance is not None
    assert float(machine.balance.centre) == pytest.approx(0.42)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (without("front", "rear"), ["balance.front: is missing; give front and rear"]),
        (without("front"), ["balance.front: is missing; rear alone"]),
        ({**SOUND, "balance.mass": "35 kg"}, ["balance.mass: says the same as front", "balance.centre: is missing"]),
        (without("pack_position"), ["balance.pack_position: is missing"]),
        ({**SOUND, "balance.height": "30 cm"}, ["balance.pack_height: is missing"]),
        ({**SOUND, "balance.pack_height": "30 cm"}, ["balance.pack_height: is used only with the height"]),
        (
            {**SOUND, "balance.height": "30 cm", "balance.pack_height": "30 cm", "balance.out": [PART]},
            ["balance.out.engine.height: is missing"],
        ),
        (
            {**SOUND, "balance.put_in": [{**PART, "height": "1 ft"}]},
            ["balance.put_in.engine.height: is used only with the height"],
        ),
        ({**SOUND, "balance.out": [{**PART, "mass": "40 kg"}]}, ["balance.out: takes out all the machine weighs"]),
        ({**SOUND, "balance.out": [PART, PART]}, ["balance.out[1].name: stands 2 times"]),
        ({**SOUND, "balance.ground": "sand", "balance.rolling": 0.1}, ["balance.ground: says the same as rolling"]),
        (without("wheelbase"), ["balance.wheelbase: is missing"]),
        ({**SOUND, "balance.wheel": "1 m"}, ["balance.wheel: no such key"]),
    ],
)
def test_what_does_not_go_together_is_refused(values: dict[str, Any], says: list[str]) -> None:
    found = told(values)
    assert len(found) == len(says), found
    assert all(one.startswith(start) for one, start in zip(sorted(found), sorted(says), strict=True)), found


def test_driven_wheels_say_their_own_rolling_and_share() -> None:
    found = told({**SOUND, "balance.ground": "sand"}, "cart")
    assert found == ["balance.ground: belongs to the driven wheels, chains.axle.work"]
    found = told({**SOUND, "balance.driven": "rear", "chains.axle.work.driven_share": 0.5}, "cart")
    assert found == ["balance.driven: says the same as driven_share of chains.axle.work; give one of them"]


def test_a_machine_on_a_cord_carries_no_pack() -> None:
    text = starter("shaft")
    text = text[: text.index("[source]")] + '[source]\nkind = "wall-socket"\n\n' + text[text.index("[job]") :]
    with pytest.raises(MachineFileError) as caught:
        read_text(edit(text, SOUND))
    keys = {problem.key: problem.limit for problem in caught.value.problems}
    assert keys["balance.pack_position"] == "is that of a pack, and the machine carries none"


def test_a_variant_may_put_the_pack_elsewhere() -> None:
    text = edit(starter("mower"), {**SOUND, "balance.out": [PART]})
    other = {"balance.pack_position": "10 cm", "balance.out.engine.mass": "9 kg"}
    (variant,) = read_variants(read_text(edit(text, {"variants": [{"name": "ahead", "set": other}]}))).values()
    assert variant.machine.balance is not None
    assert float(variant.machine.balance.pack_position) == pytest.approx(0.10)
    assert float(variant.machine.balance.out[0].mass) == pytest.approx(9.0)
    lost = read_text(edit(text, {"variants": [{"name": "ahead", "set": {"balance.out.engin.mass": "9 kg"}}]}))
    with pytest.raises(MachineFileError, match="did you mean engine"):
        read_variants(lost)


def test_wheels_that_weigh_something_else_are_asked_about() -> None:
    def asked(rear: str) -> list[str]:
        reading = read_text(edit(starter("cart"), {**SOUND, "balance.front": "20 kg", "balance.rear": rear}))
        return [f"{doubt.key}: {doubt.limit}" for doubt in reading.doubts]

    assert asked("25 kg") == []  # 45 kg, as the wheels say
    assert asked("40 kg") == ["chains.axle.work.mass: but the balance comes to 60 kg without the pack: which is right?"]
