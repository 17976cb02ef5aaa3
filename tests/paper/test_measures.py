"""Every pace and every amount that a kind of tool has can be said."""

from __future__ import annotations

import pytest

from headrace.drive.tools import TOOLS, Tool
from headrace.paper.measures import AMOUNTS, PACES


@pytest.mark.parametrize("tool", TOOLS.values(), ids=[work.__name__ for work in TOOLS])
def test_pace_and_amount_of_a_tool_have_their_words(tool: Tool) -> None:
    assert PACES[tool.pace.field()].title
    assert AMOUNTS[tool.amount.field()].title


@pytest.mark.parametrize(
    ("tip", "said"), [(79.4, "79 m/s"), (10.2, "10 m/s"), (1.69, "1.7 m/s"), (0.0, "0 m/s"), (None, "–")]
)
def test_what_is_below_ten_keeps_a_digit(tip: float | None, said: str) -> None:
    assert PACES["tip_speed_m_s"].say(tip) == said
