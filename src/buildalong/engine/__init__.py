"""The engine: what a circuit does over time, with real parts.

``simulate`` turns a circuit and a trial into a :class:`Run`; ``measure`` takes numbers from it;
``check_ratings`` and ``verdict_findings`` judge it; ``Live`` goes on for as long as it is asked to.
Equations, method and limits: docs/engine.md.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildalong.engine._run import Action, Event, Extremes, Options, Run, Trial, Variation, Verdict

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

_LAZY = {
    "Damage": "_ratings",
    "GRADES": "_ratings",
    "Live": "_live",
    "LiveState": "_live",
    "MEASURES": "_measure",
    "Measure": "_measure",
    "MeasureError": "_measure",
    "NeverHappened": "_measure",
    "OperatingPoint": "_operating",
    "UnknownMeasure": "_measure",
    "check_ratings": "_ratings",
    "damages": "_ratings",
    "measure": "_measure",
    "moment": "_operating",
    "operating_point": "_operating",
    "overloads": "_ratings",
    "power_up_variants": "_power_up",
    "simulate": "_simulate",
    "simulate_many": "_simulate",
    "verdict_findings": "_verdicts",
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


def __getattr__(name: str) -> Any:
    """Load the kernels (and numba) only when something is simulated."""
    from importlib import import_module

    if name in _LAZY:
        return getattr(import_module(f"buildalong.engine.{_LAZY[name]}"), name)
    raise AttributeError(f"module 'buildalong.engine' has no attribute '{name}'")
