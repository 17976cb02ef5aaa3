"""Lines of the shopping list: the mechanical brake of each chain that a weight drives."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headrace.machine.joins import FRICTION_BRAKE
from headrace.machine.values import typical_of
from headrace.machine.works import Wheels, Winch
from headrace.physics import duty
from headrace.wiring.bill_line import Line, Plan, Rating, bought, single

LEVEL = "no state of the job has a slope: the most that it may ever stand or hang on"


def brake_lines(plan: Plan) -> Iterator[Line]:
    """Yield a brake for each chain that drives wheels or a rope, where the file plans one."""
    if not plan.machine.safety.friction_brake:
        return
    for chain in plan.machine.chains:
        if isinstance(chain.work, Wheels | Winch):
            weights = plan.weights.get(chain.name, ())
            most = typical_of(duty.greatest([typical_of(weight) for weight in weights])) if weights else np.nan
            holds = Rating("holds, where the tool's shaft turns", "N_m", most, LEVEL)
            yield bought(f"{chain.name} {FRICTION_BRAKE}", single(), [holds], like=FRICTION_BRAKE)
