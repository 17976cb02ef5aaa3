"""What charges a pack, and how it is put away, in SI."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.lanes import Lanes


@dataclass(frozen=True)
class Charger:
    """The charger of a pack; where the file plans none, the one the pack asks for."""

    planned: bool  # whether the file has one
    chemistry: str  # that its plate says it is for; "" where the file does not say
    voltage: Lanes  # V, held at the end
    current: Lanes  # A, until then
    end_current: Lanes  # A, at which it switches off
    efficiency: Lanes  # -, from the mains to the pack
    kept: Lanes  # -, of the charge put in
    gap: Lanes  # -, of charge between groups, to be closed
    drain: Lanes  # A, from a pack that stands
    self_discharge: Lanes  # 1/s, of the cells
    storage: Lanes  # -, charge it is put away at
    check: Lanes  # -, charge at which it has to be seen to
    room: Lanes  # K, where it is charged and warmed up
    recover_share: Lanes  # -, of the current its cells take, for groups found below their empty voltage
    recover_time: Lanes  # s, within which they have to be back above it
    scrap: Lanes  # V of a group, below which it is never charged again; nan of a chemistry without such a rule
    scrap_after: Lanes  # s, below the empty voltage, after which the same holds
