"""Which current suits what: refused at its line, with the way out."""

from __future__ import annotations

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, starter

FUSE = '[fuse]\nrating = "20 A"\nkind = "ceramic-10x38"\n'
SOCKET = '[source]\nkind = "wall-socket"\n'


def on_a_socket(name: str) -> str:
    text = starter(name)
    return text[: text.index("[source]")] + SOCKET + text[text.index("[job]") :]


def cage(speed: str) -> str:
    text = starter("corded")
    return text.replace('kind = "series-motor"', f'kind = "induction-motor"\nspeed = "{speed}"')


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (on_a_socket("shaft"), "dc-motor does not run on alternating current"),
        (on_a_socket("shaft") + FUSE, "guards a pack"),
        (on_a_socket("shaft"), "controller chops direct current only"),
        (on_a_socket("corded"), "inverter makes its voltage out of direct current"),
        (starter("corded").replace('kind = "inverter"', 'kind = "dc-dc"\nvoltage = "36 V"'), "no such key"),
        (cage("1500 rpm"), "is the speed of the field itself"),
        (cage("3100 rpm"), "is the speed of the field itself"),
        (
            starter("shaft").replace('kind = "dc-motor"', 'kind = "induction-motor"\nvoltage = "230 V"', 1),
            "induction-motor runs on alternating current only",
        ),
        (
            starter("corded").replace('kind = "agm', "").replace("[source]\n", '[source]\nkind = "a wall"\n'),
            "not one of",
        ),
    ],
)
def test_what_does_not_go_together_is_refused(text: str, says: str) -> None:
    with pytest.raises(MachineFileError) as caught:
        read_text(text)
    assert says in str(caught.value)


@pytest.mark.parametrize("speed", ["2850 rpm", "1440 rpm", "1400 rpm", "930 rpm"])
def test_the_speed_of_a_plate_is_read_as_that_of_its_poles(speed: str) -> None:
    motor = next(link for link in read_text(cage(speed)).machine.chains[0].links if link.name == "motor")
    poles = {"2850 rpm": 1, "1440 rpm": 2, "1400 rpm": 2, "930 rpm": 3}[speed]
    assert motor.synchronous == pytest.approx(314.159 / poles, rel=1e-5)  # type: ignore[union-attr]


def test_a_starter_with_a_plate_of_its_own_is_still_read() -> None:
    assert read_text(edit(starter("corded"), {"chains.mill.motor.power": "1400 W"})).machine.chains[0].alternating
