"""What would a careful colleague say?

The order of the imports is the order of the list: what stops the machine from working first, doubts last.
"""

from headrace.findings import speed, volts, amps, warmth, minutes, bounds, safety, doubt  # noqa: F401, I001 - order is the list's
from headrace.findings.evidence import Corners, Days, Evidence, Stop, Swing
from headrace.findings.finding import RULES, Finding, Judged, Rule, judge, raised

__all__ = ["RULES", "Corners", "Days", "Evidence", "Finding", "Judged", "Rule", "Stop", "Swing", "judge", "raised"]
