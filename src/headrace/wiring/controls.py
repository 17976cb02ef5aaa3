"""What stops a machine by hand: an emergency stop, and the control that has to be held: planned, or on the diagram."""

from __future__ import annotations

from headrace.machine.records import Machine

STOP, HELD = "emergency stop", "held control"


def by_hand(machine: Machine) -> tuple[str, ...]:
    """Return what a hand has to find without looking."""
    drawn = not machine.source.endless
    return (STOP, HELD) if drawn or machine.safety.dead_man else (STOP,)
