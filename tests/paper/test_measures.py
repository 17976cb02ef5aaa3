"""Every pace and every amount that a kind of tool has can be said."""

from __future__ import annotations

import pytest

from headrace.drive.tools import TOOLS, Tool
from headrace.paper.measures import AMOUNTS, PACES


@pytest.mark.parametrize("tool", TOOLS.values(), ids=[work.__name__ for work in TOOLS])
def test_pace_and_amount_of_a_tool_have_their_words(tool: Tool) -> None:
    assert PACES[tool.pace.field()].title
    assert AMOUNTS[tool.amount.field()].title
