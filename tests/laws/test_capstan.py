"""A capstan: a few turns of rope and a hand, worked out by hand, and refused where it makes no sense."""

from __future__ import annotations

import math

import pytest

from headrace import design
from headrace.drive.tools.hauling import tail_pull
from headrace.errors import MachineFileError
from headrace.findings import judge, raised
from headrace.machine import read_text, starter
from headrace.machine.records import Machine
from headrace.machine.works import Winch
from tests.machines import book, point


def capstan(laps: int, layer: str = "") -> Machine:
    """The winch's starter with its drum as a capstan."""
    lines = [line for line in starter("winch").splitlines() if not line.startswith("layer")]
    text = "\n".join(lines).replace('rope = "6 mm"', f'rope = "6 mm"\nlaps = {laps}\nrope_friction = 0.2\n{layer}')
    return read_text(text, file="winch.toml").machine


def test_pull_speed_and_watts_by_hand() -> None:
    plan = capstan(3)
    state = next(s for s in plan.job.states if s.load > 0.0)
    # load 180 kg up 20° with a friction of 0.5: 180 * 9.81 * (sin 20° + 0.5 cos 20°) = 1434 N
    pull = 180.0 * 9.80665 * (math.sin(math.radians(20.0)) + 0.5 * math.cos(math.radians(20.0)))
    # three turns at 0.2: the hand holds exp(-0.2 * 3 * 2 pi) = 2.3 % of it, 33 N
    tail = pull * math.exp(-0.2 * 3.0 * 2.0 * math.pi)
    work = plan.chains[0].work
    assert isinstance(work, Winch)
    assert float(tail_pull(work, state)) == pytest.approx(tail, rel=0.02)
    # the rope lies in one layer: 4 cm and half of 6 mm; at the drum's speed w the drum gives (pull - tail) * 0.043 * w
    found, lines = point(plan, state), book(plan, state)
    speed = float(found.tool_speed)
    drum = (pull - tail) * 0.043 * speed
    told = float(lines.useful) + sum(float(k.loss) for k in lines.lines if k.kind in ("rubbing", "tackle"))
    assert told == pytest.approx(drum, rel=0.02)
    assert float(lines.closure) < 1e-9


def test_each_turn_takes_the_same_factor_off_the_tail() -> None:
    tails = []
    for laps in (1, 2, 3):
        plan = capstan(laps)
        work, state = plan.chains[0].work, next(s for s in plan.job.states if s.load > 0.0)
        assert isinstance(work, Winch)
        tails.append(float(tail_pull(work, state)))
    assert tails[0] / tails[1] == pytest.approx(math.exp(0.2 * 2.0 * math.pi), rel=1e-9)
    assert tails[1] / tails[2] == pytest.approx(tails[0] / tails[1], rel=1e-9)


def test_a_drum_that_winds_has_no_tail() -> None:
    plan = read_text(starter("winch")).machine
    work = plan.chains[0].work
    assert isinstance(work, Winch)
    assert tail_pull(work, plan.job.states[0]) == 0.0
    judged = {j.rule.slug: j for j in judge(design.evidence(plan))}
    assert not judged["tail-pulls-hard"].verdict.held


def test_one_turn_is_too_much_for_a_hand() -> None:
    slugs = {finding.slug for finding in raised(judge(design.evidence(capstan(1))), ())}
    assert "tail-pulls-hard" in slugs


@pytest.mark.parametrize(
    ("keys", "said"), [("laps = 3\nlayer = 2", "one layer"), ("rope_friction = 0.2", "is of a capstan")]
)
def test_what_is_no_capstan_is_refused(keys: str, said: str) -> None:
    lines = [line for line in starter("winch").splitlines() if not line.startswith("layer")]
    with pytest.raises(MachineFileError, match=said):
        read_text("\n".join(lines).replace('rope = "6 mm"', f'rope = "6 mm"\n{keys}'))
