"""Every combination of the shelf looked at in lanes against looking at them one at a time."""

from __future__ import annotations

import time

import numpy as np

from headrace.explore.looking import look, looked_through, thinkable, whole_shelf
from headrace.machine import read_text, starter
from headrace.machine.substitute import with_shelf_parts

SAMPLE = 60  # combinations looked at alone, spread over all


def main() -> None:
    """Time both and hold a sample of the lanes against the same combinations alone."""
    reading = read_text(starter("shaft"))
    shelf = whole_shelf(reading)
    began = time.process_time()
    groups = list(looked_through(reading, shelf))
    together = time.process_time() - began
    looked_at = sum(group.axes.shape[1] for group in groups)
    draw = np.random.default_rng(3)
    chosen = [groups[k] for k in draw.integers(0, len(groups), SAMPLE)]
    lanes = [int(draw.integers(0, group.axes.shape[1])) for group in chosen]
    plans = {id(group): with_shelf_parts(reading, group.motor, group.cell) for group in chosen}
    gap, same, began = 0.0, True, time.process_time()
    found = []
    for group, lane in zip(chosen, lanes, strict=True):
        axes = group.axes[:, [lane]]
        assert thinkable(plans[id(group)], axes).all()
        found.append(look(plans[id(group)], axes, group.row))
    alone = (time.process_time() - began) / SAMPLE
    for group, lane, one in zip(chosen, lanes, found, strict=True):
        same &= bool(one.works[0]) == bool(group.looked.works[lane])
        due = float(group.looked.time[lane])
        gap = max(gap, abs(float(one.time[0]) / due - 1.0) if due > 0.0 else abs(float(one.time[0])))
    print(f"choose: {shelf.count:,} combinations, {looked_at:,} of them looked at in {together:.1f} s of processor")
    print(f"  one at a time {1e3 * alone:.1f} ms each: {alone * looked_at / together:.0f} times that (goal 200)")
    print(f"  a sample of {SAMPLE}: the same ones work: {same}; run times agree to {gap:.1e}")


if __name__ == "__main__":
    main()
