"""How verbs are asked for: help in whole sentences, and slips refused with the way out."""

from __future__ import annotations

import pytest
from click.testing import CliRunner, Result

from headrace.frontends.cli.main import main
from headrace.machine import STARTERS


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words), prog_name="headrace")


def test_the_help_tells_every_verb_in_a_whole_sentence() -> None:
    _, _, said = run("--help").stdout.partition("Commands:")
    assert "..." not in said
    told = " ".join(said.split())
    for verb in main.commands.values():
        assert verb.help is not None
        assert verb.help.split(".")[0].replace("\n", " ") in told, verb.name


VERBS = "check, choose, compare, day, design, explain, losses, new, packs, sheets, shelf"
KINDS, HOW = ", ".join(STARTERS), " how to ask"


@pytest.mark.parametrize("verb", list(main.commands))
def test_examples_stand_on_lines_of_their_own(verb: str) -> None:
    said = run(verb, "--help").stdout
    assert "\\b" not in said
    assert "\b" not in said
    examples = [line.strip() for line in said.splitlines() if "headrace " in line and not line.startswith("Usage")]
    assert len(examples) == (3 if verb == "explain" else 1)
    assert all(line.removeprefix("Example:  ").startswith(f"headrace {verb} ") for line in examples)
    assert examples[0].startswith("Example:")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("losess my.toml", "losess is no verb of headrace\n  way out: did you mean losses?"),
        (
            "xyz",
            f"xyz is no verb of headrace\n  way out: verbs are: {VERBS}",
        ),
        ("day", "headrace day needs FILE\n  way out: headrace day my-mower.toml"),
        (
            "compare",
            "headrace compare needs FILE\n  way out: headrace compare my-mower.toml other-mower.toml",
        ),
        (
            "packs my.toml --draws -3",
            "--draws = -3 must be a whole number from 0 to 1000\n  way out: headrace packs --help   shows how to ask",
        ),
        (
            "day my.toml --seed one",
            "--seed = one must be a whole number of at least 0\n  way out: headrace day --help   shows how to ask",
        ),
        (
            "new mowr my.toml",
            f"STARTER = mowr must be one of {KINDS}\n  way out: headrace new --help   shows{HOW}",
        ),
        ("day my.toml --drws 3", "--drws is no option of headrace day\n  way out: did you mean --draws?"),
    ],
)
def test_a_slip_in_the_asking_is_refused_with_the_way_out(words: str, said: str) -> None:
    found = run(*words.split())
    assert found.exit_code == 2
    assert found.stdout == ""
    assert found.stderr == f"error: {said}\n"
