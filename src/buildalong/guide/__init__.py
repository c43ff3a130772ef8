"""The guide: from what a learner sees to its causes, with the checks that prove them and the cures."""

from buildalong.guide._badness import QUIET, SEVERITY, Badness, badness, severity
from buildalong.guide._cause import Cause, Reading, Symptom, Way
from buildalong.guide._flow import Flow, Row, flows_of
from buildalong.guide._guide import Guide, guide_of
from buildalong.guide._safety import Caution, Check

__all__ = [
    "QUIET",
    "SEVERITY",
    "Badness",
    "Cause",
    "Caution",
    "Check",
    "Flow",
    "Guide",
    "Reading",
    "Row",
    "Symptom",
    "Way",
    "badness",
    "flows_of",
    "guide_of",
    "severity",
]  # fmt: skip
