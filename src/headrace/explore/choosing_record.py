"""The record of ``choose``: the front, the few of it that were marched, and what nearly made it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from headrace.drive.gearing import stage_of
from headrace.explore.choosing import Chosen, Loser
from headrace.explore.front import Pick
from headrace.explore.looking import Choice
from headrace.machine.values import value_at

Record = dict[str, Any]
SUREST = "surest"
BEST: dict[str, Callable[[Pick], float]] = {
    "cheapest": lambda pick: pick.cost,
    "lightest": lambda pick: pick.mass,
    "longest": lambda pick: -pick.time,
    SUREST: lambda pick: -(pick.often or 0.0),
}


def choice_record(chosen: Chosen, count: int, seed: int) -> Record:
    """Return what the shelf offers a machine.

    ``front`` lists every combination that passes a march and that none beats, its times at a glance; ``candidates`` a
    few of it with the time marched and the share of the draws in which each works, and the surest of all that work;
    ``dropped`` what a march did not let pass.
    """
    return {
        "machine": chosen.machine.name,
        "draws": {"count": count, "seed": seed if count else None},
        "combinations": chosen.offer.count,
        "looked_at": chosen.looked_at,
        "works": chosen.works,
        "wanted_s": float(chosen.machine.limits.time_wanted),
        "front": [{**_choice(chosen, pick.choice), **_numbers(pick)} for pick in chosen.front],
        "candidates": [
            _shown(chosen, pick, name) for name, pick in zip(_names(chosen.shown), chosen.shown, strict=True)
        ],
        "dropped": [
            {**_choice(chosen, pick.choice), **_numbers(pick), "reasons": _broken(pick)} for pick in chosen.dropped
        ],
        "losers": [_loser(chosen, loser) for loser in chosen.losers],
    }


def _names(shown: tuple[Pick, ...]) -> list[str]:
    """Return a name for each: what it is best at, else a letter."""
    names = ["" for _ in shown]
    for word, best in BEST.items():
        if shown and (word != SUREST or shown[0].often is not None):
            place = min(range(len(shown)), key=lambda k: best(shown[k]))
            names[place] = f"{names[place]}, {word}" if names[place] else word
    letters = iter("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return [name or f"between {next(letters)}" for name in names]


def _choice(chosen: Chosen, choice: Choice) -> Record:
    return {
        "motor": choice.motor,
        "winding": choice.winding,
        "constant_V_s_rad": choice.winding * float(chosen.motors[choice.motor]["constant"]),
        "rated_W": float(chosen.motors[choice.motor]["rated_power"]),
        "ratio": _ratio(chosen, choice),
        "cell": choice.cell,
        "series": choice.series,
        "parallel": choice.parallel,
    }


def _ratio(chosen: Chosen, choice: Choice) -> float | None:
    """Return turns of the motor for one of the next shaft; None where nothing stands between them."""
    chain = chosen.machine.chains[0]
    stage = stage_of(chain)
    if stage is None:
        return None
    return choice.ratio * float(value_at(chosen.machine, f"chains.{chain.name}.{stage.name}.ratio"))


def _numbers(pick: Pick) -> Record:
    return {"cost": pick.cost, "mass_kg": pick.mass, "lasts_to_reserve_s": pick.time}


def _shown(chosen: Chosen, pick: Pick, name: str) -> Record:
    return {"name": name, **_choice(chosen, pick.choice), **_numbers(pick), "often": pick.often}


def _broken(pick: Pick) -> list[Record]:
    if pick.marched is None:
        return []
    found = [j.at((pick.lane,)) for j in pick.marched.judged if bool(j.failing[pick.lane])]
    return [{"slug": finding.slug, "says": finding.says} for finding in found]


def _loser(chosen: Chosen, loser: Loser) -> Record:
    return {
        **_choice(chosen, loser.choice),
        "better": loser.better,
        "reasons": [{"slug": finding.slug, "says": finding.says} for finding in loser.reasons],
    }
