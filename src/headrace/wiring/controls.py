"""What stops a machine by hand: an emergency stop always, and the control that has to be held where one is planned."""

from __future__ import annotations

from headrace.machine.records import Machine

STOP, HELD = "emergency stop", "held control"


def by_hand(machine: Machine) -> tuple[str, ...]:
    """Return what a hand has to find without looking."""
    return (STOP, HELD) if machine.safety.dead_man else (STOP,)
