"""A mower planned as badly as they come: each fault of its file is named, and nothing else stops it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from headrace.frontends.cli.main import main
from headrace.machine import edit

FILE = Path(__file__).parent / "bad-mower.toml"
STOPS: dict[str, dict[str, Any]] = {  # what is wrong in the file, and what makes it right
    "fuse-too-few-volts": {"fuse.max_voltage": "58 V"},
    "dead-man-missing": {"safety.dead_man": True},
    "switch-too-few-volts": {"chains.blade.switch.alternating": False},
    "charger-too-high": {"charger.voltage": "42 V"},
    "charged-below-freezing": {"safety.charging.coldest": "10 °C"},
    "wired-sense-crossed": {"wiring.sense": list(range(11))},
}


def found(file: Path) -> tuple[int, dict[str, set[str]]]:
    """Return the exit code of ``check``, and what it finds by level."""
    result = CliRunner().invoke(main, ["check", str(file), "--draws", "0", "--json"])
    findings = json.loads(result.stdout)["findings"]
    by_level = {level: {one["slug"] for one in findings if one["level"] == level} for level in ("stop", "caution")}
    return result.exit_code, by_level


def test_every_fault_is_named_and_nothing_else_stops_it() -> None:
    code, levels = found(FILE)
    assert code == 1
    assert levels["stop"] == set(STOPS)
    assert levels["caution"] == {"no-pre-charge"}


def test_put_right_it_has_none_of_them(tmp_path: Path) -> None:
    text = FILE.read_text(encoding="utf-8")
    for cure in STOPS.values():
        text = edit(text, cure)
    good = tmp_path / "good.toml"
    good.write_text(edit(text, {"pre_charge.resistance": "15 ohm", "pre_charge.time": "1 s"}), encoding="utf-8")
    assert found(good) == (0, {"stop": set(), "caution": set()})
