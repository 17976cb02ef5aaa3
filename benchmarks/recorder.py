"""What it costs that every law could be listened to, while nobody listens."""

from __future__ import annotations

import sys

from benchmarks.side_by_side import least_times
from headrace import design, machine
from headrace.physics.law import relations
from headrace.runs.march import march

WORKED = 600.0  # s of the day marched before its middle is looked at


def put(*, bare: bool) -> None:
    """Let every room that knows a law by name know it wrapped, or bare."""
    functions = {}
    for entry in relations():
        module = sys.modules[entry.function.__module__]
        functions[entry.name] = (module.__dict__.get(f"__wrapped_{entry.name}") or getattr(module, entry.name), entry)
        module.__dict__[f"__wrapped_{entry.name}"] = functions[entry.name][0]
    for name, (wrapped, entry) in functions.items():
        for module in [m for key, m in sys.modules.items() if key.startswith("headrace.")]:
            known = module.__dict__.get(name)
            if known is wrapped or known is entry.function:
                module.__dict__[name] = entry.function if bare else wrapped


def main(rounds: int = 15) -> None:
    """Time both and state their agreement."""
    plan = machine.read("examples/alley-mower.toml").machine
    found = {}

    def losses(name: str, *, bare: bool) -> None:
        put(bare=bare)
        found[name] = design.losses(plan, march(plan, WORKED, keep_trace=True))

    def settle() -> None:
        put(bare=False)

    contenders = {"bare": lambda: losses("bare", bare=True), "wrapped": lambda: losses("wrapped", bare=False)}
    least = least_times(contenders, rounds)
    settle()
    assert all(
        float(one.chains[0].ledger.source) == float(other.chains[0].ledger.source)
        for one, other in zip(found["bare"], found["wrapped"], strict=True)
    )
    print(f"recorder, nobody listening: {100.0 * (least['wrapped'] / least['bare'] - 1.0):.1f} % of losses")
    print(f"  agreement: the same watts to the last digit; laws wrapped: {len(relations())}")
