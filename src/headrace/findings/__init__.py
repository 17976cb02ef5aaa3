"""What would a careful colleague say?

The order of the imports is the order of the list: what stops the machine from working first, doubts last.
"""

from headrace.findings import speed, starting, bogging, footing, balance  # noqa: F401, I001 - order is the list's
from headrace.findings import volts, ratings, amps, warmth, minutes, bounds, safety  # noqa: F401 - as above
from headrace.findings import charging, board, switching, joined, joined_loosely  # noqa: F401 - as above
from headrace.findings import braking, holding, slopes, wires, fuses, fuse_amps, doubt  # noqa: F401 - as above
from headrace.findings.cautions import cautions
from headrace.findings.evidence import Corners, Days, Enduring, Evidence, Starting, Swing
from headrace.findings.rest import Slope, Stop, Stopping, Timed
from headrace.findings.finding import RULES, Finding, Judged, Rule, judge, raised
from headrace.findings.poise import Balanced, Poise

TOO_FAST = ("tip-too-fast", "too-fast-when-full")  # whichever holds for a kind of tool

__all__ = [
    "RULES",
    "TOO_FAST",
    "Balanced",
    "Corners",
    "Days",
    "Enduring",
    "Evidence",
    "Finding",
    "Judged",
    "Poise",
    "Rule",
    "Slope",
    "Starting",
    "Stop",
    "Stopping",
    "Swing",
    "Timed",
    "cautions",
    "judge",
    "raised",
]
