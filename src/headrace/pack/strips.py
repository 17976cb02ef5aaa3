"""The metal between the groups."""

from __future__ import annotations

from headrace.machine.records import Lanes, Source
from headrace.physics import conductors


def joint_resistance(source: Source, temperature: Lanes) -> Lanes:
    """Return the resistance of all strips in the current's way. [Ω]

    Every cell has its own strip to its partner in the next group, so a step from group to group is as many strips
    side by side as cells in parallel; there is one step less than groups, and one more to the take-offs.
    """
    strips = source.strips
    one = conductors.strip_resistance(
        strips.length, strips.width, strips.thickness, strips.resistivity, strips.temperature_slope, temperature
    )
    return one * source.series / source.parallel
