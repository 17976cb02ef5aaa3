"""What would a careful colleague say?

The order of the imports is the order of the list: what stops the machine from working first, doubts last.
"""

from headrace.findings import speed, starting, footing, volts, ratings, amps, warmth, minutes, bounds  # noqa: F401, I001 - order is the list's
from headrace.findings import safety, braking, slopes, doubt  # noqa: F401 - the same
from headrace.findings.cautions import cautions
from headrace.findings.evidence import WHY, Corners, Days, Enduring, Evidence, Slope, Starting, Stop, Stopping, Swing
from headrace.findings.finding import RULES, Finding, Judged, Rule, judge, raised

TOO_FAST = ("tip-too-fast", "too-fast-when-full")  # whichever holds for a kind of tool

__all__ = [
    "RULES",
    "TOO_FAST",
    "WHY",
    "Corners",
    "Days",
    "Enduring",
    "Evidence",
    "Finding",
    "Judged",
    "Rule",
    "Slope",
    "Starting",
    "Stop",
    "Stopping",
    "Swing",
    "cautions",
    "judge",
    "raised",
]
