"""A weighed machine at the command line: sentences of the typical one, their bands, the working of a number."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from click.testing import CliRunner

from headrace.frontends.cli.main import main
from headrace.machine import edit
from tests.laws.test_weights import WEIGHED
from tests.machines import SMALL_TEXT


@cache
def weighed() -> Path:
    """Return a file of the small mower, weighed."""
    file = Path(mkdtemp()) / "mower.toml"
    file.write_text(edit(SMALL_TEXT, WEIGHED), encoding="utf-8")
    return file


def out(*words: str) -> str:
    result = CliRunner().invoke(main, [words[0], str(weighed()), *words[1:]])
    assert result.exit_code in (0, 1), result.stderr
    return result.stdout


def test_check_says_it_and_how_sure_it_is() -> None:
    text, record = out("check", "--draws", "6"), json.loads(out("check", "--draws", "6", "--json"))["balance"]
    mass, share = record["after"]["mass_kg"], record["after"]["front_share"]
    assert mass["low"] < mass["typical"] < mass["high"]
    assert f"now {mass['typical']:.1f} kg, " in text
    ends = [f"{100.0 * share[end]:.0f} %" for end in ("typical", "low", "high")]
    assert "on the front wheels     {}, {} to {}".format(*ends) in text
    assert "tips forward at" in text


def test_explain_shows_the_working_of_an_axle_s_load() -> None:
    text = out("explain", "balance.after.front_N", "--draws", "0")
    assert text.startswith("balance.after.front_N = ")
    for words in ("load on an axle on the level", "the engine's mass = 12 kg", "the machine's rear = 21 kg", "pack"):
        assert words in text
