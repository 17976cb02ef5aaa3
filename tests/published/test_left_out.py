"""What is published and not worked out says why, and is not worked out after all."""

from __future__ import annotations

import tomllib
from pathlib import Path

HERE = Path(__file__).parent


def test_what_is_left_out_says_why_and_has_no_row() -> None:
    left = tomllib.loads((HERE / "left_out.toml").read_text(encoding="utf-8"))["left_out"]
    named = [one["id"] for one in left]
    assert len(named) == len(set(named))
    assert all(one["says"] and one["why"] for one in left)
    topics = [tomllib.loads(file.read_text(encoding="utf-8")) for file in HERE.glob("*.toml")]
    rows = {row["id"] for topic in topics for row in topic.get("check", ())}
    assert rows.isdisjoint(named)
