"""The engine: what a circuit does over time, with real parts.

``simulate`` turns a circuit and a trial into a :class:`Run`; ``measure`` takes numbers from it;
``check_ratings`` and ``verdict_findings`` judge it; ``Live`` goes on for as long as it is asked to.
Equations, method and limits: docs/engine.md.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from buildalong.engine._run import Action, Event, Extremes, Options, Run, Trial, Variation, Verdict
from buildalong.lazy import lazily

if TYPE_CHECKING:
    from buildalong.engine._live import Live, LiveState
    from buildalong.engine._measure import (
        MEASURES,
        Measure,
        MeasureError,
        NeverHappened,
        UnknownMeasure,
        measure,
    )
    from buildalong.engine._operating import OperatingPoint, moment, operating_point
    from buildalong.engine._power_up import power_up_variants
    from buildalong.engine._ratings import GRADES, Damage, check_ratings, damages, overloads
    from buildalong.engine._simulate import simulate, simulate_many
    from buildalong.engine._verdicts import verdict_findings

_HOME = {
    "_live": (
        "Live",
        "LiveState",
    ),
    "_measure": (
        "MEASURES",
        "Measure",
        "MeasureError",
        "NeverHappened",
        "UnknownMeasure",
        "measure",
    ),
    "_operating": (
        "OperatingPoint",
        "moment",
        "operating_point",
    ),
    "_power_up": ("power_up_variants",),
    "_ratings": (
        "Damage",
        "GRADES",
        "check_ratings",
        "damages",
        "overloads",
    ),
    "_simulate": (
        "simulate",
        "simulate_many",
    ),
    "_verdicts": ("verdict_findings",),
}

__all__ = [
    "GRADES",
    "MEASURES",
    "Action",
    "Damage",
    "Event",
    "Extremes",
    "Live",
    "LiveState",
    "Measure",
    "MeasureError",
    "NeverHappened",
    "OperatingPoint",
    "Options",
    "Run",
    "Trial",
    "UnknownMeasure",
    "Variation",
    "Verdict",
    "check_ratings",
    "damages",
    "measure",
    "moment",
    "operating_point",
    "overloads",
    "power_up_variants",
    "simulate",
    "simulate_many",
    "verdict_findings",
]

__getattr__ = lazily(__name__, _HOME)
"""The kernels (and numba) are loaded only when something is simulated."""
