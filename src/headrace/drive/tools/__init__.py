"""The kinds of tool: what turns a machine's torque into work."""

from headrace.drive.tools.blowing import BLOWING
from headrace.drive.tools.hauling import HAULING
from headrace.drive.tools.mowing import MOWING
from headrace.drive.tools.pumping import PUMPING
from headrace.drive.tools.soil import BORING, TILLING
from headrace.drive.tools.tabled import BY_TABLE
from headrace.drive.tools.tool import Measure, Tool, Waste
from headrace.drive.tools.travelling import TRAVELLING
from headrace.drive.tools.turning import TURNING
from headrace.drive.tools.wood import CHIPPING, SAWING
from headrace.machine.records import DutyState, Job, Lanes, Limits
from headrace.machine.works import Auger, Blade, Chipper, Fan, Measured, Pump, Saw, Shaft, Tiller, Wheels, Winch, Work
from headrace.physics import torque_terms

TOOLS: dict[type, Tool] = {
    Blade: MOWING,
    Tiller: TILLING,
    Auger: BORING,
    Saw: SAWING,
    Chipper: CHIPPING,
    Fan: BLOWING,
    Winch: HAULING,
    Wheels: TRAVELLING,
    Pump: PUMPING,
    Shaft: TURNING,
    Measured: BY_TABLE,
}

__all__ = ["TOOLS", "Measure", "Tool", "Waste", "paces_wanted", "tool_of", "torque_taken"]


def tool_of(work: Work) -> Tool:
    """Return what the stages may ask of a tool."""
    return TOOLS[type(work)]


def torque_taken(work: Work, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> Lanes:
    """Return the torque a tool takes in a duty state at a speed of its shaft, above zero. [N·m]"""
    tool = tool_of(work)
    of_terms = torque_terms.torque_at(tool.torque(work, state, job, air), speed)
    curve = tool.curve(work, state) if state.loaded else None
    return of_terms if curve is None else of_terms + curve.torque(speed)


def paces_wanted(limits: Limits, work: Work) -> tuple[Lanes, Lanes]:
    """Return the least and the greatest pace the builder, or a rule, allows a tool."""
    key = tool_of(work).pace.key
    return getattr(limits, f"{key}_min"), getattr(limits, f"{key}_max")
