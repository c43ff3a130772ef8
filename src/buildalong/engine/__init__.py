"""The engine: what a circuit does over time, with real parts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildalong.engine._run import Action, Event, Extremes, Options, Run, Trial, Variation, Verdict

if TYPE_CHECKING:
    from buildalong.engine._measure import (
        MEASURES,
        Measure,
        MeasureError,
        NeverHappened,
        UnknownMeasure,
        measure,
    )
    from buildalong.engine._simulate import simulate, simulate_many

_LAZY = {
    "simulate": "_simulate", "simulate_many": "_simulate",
    "MEASURES": "_measure", "Measure": "_measure", "MeasureError": "_measure", "NeverHappened": "_measure",
    "UnknownMeasure": "_measure", "measure": "_measure",
}  # fmt: skip

__all__ = [
    "MEASURES", "Action", "Event", "Extremes", "Measure", "MeasureError", "NeverHappened", "Options", "Run",
    "Trial", "UnknownMeasure", "Variation", "Verdict", "measure", "simulate", "simulate_many",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """Load the kernels (and numba) only when something is simulated."""
    from importlib import import_module

    if name in _LAZY:
        return getattr(import_module(f"buildalong.engine.{_LAZY[name]}"), name)
    raise AttributeError(f"module 'buildalong.engine' has no attribute '{name}'")
