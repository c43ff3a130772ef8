"""The JSON documents of the studies, of the form described in docs/json.md."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, number

if TYPE_CHECKING:
    from buildalong.engine import OperatingPoint
    from buildalong.study import Parameter, Sensitivity, Sweep

__all__ = ["moment_document", "sensitivity_document", "sweep_document"]


def _parameter(parameter: Parameter) -> dict[str, Any]:
    return {
        "part": parameter.part,
        "name": parameter.name,
        "value": {"value": number(parameter.value), "unit": parameter.unit},
    }


def sweep_document(found: Sweep, files: Sequence[str]) -> dict[str, Any]:
    """Values, and for each measure its numbers, null where there is none, and why."""
    return {
        "schema": SCHEMA,
        "trial": found.trial.name,
        "moved": _parameter(found.parameter),
        "values": [number(value) for value in found.values],
        "measures": [
            {
                "that": str(column.asked),
                "unit": column.asked.unit,
                "values": [number(value) for value in column.values],
                "why": list(column.why),
            }
            for column in found.columns
        ],
        "files": list(files),
        "findings": [],
    }


def sensitivity_document(found: Sensitivity) -> dict[str, Any]:
    """Each measure, and how strongly each number moves it."""
    return {
        "schema": SCHEMA,
        "trial": found.trial.name,
        "measures": [
            {
                "that": str(asked),
                "value": {"value": number(value), "unit": asked.unit},
                "influences": [
                    {
                        **_parameter(influence.parameter),
                        "relative": number(influence.relative),
                        "smooth": influence.smooth,
                        "why": influence.why,
                    }
                    for influence in found.influences
                    if influence.asked == asked
                ],
            }
            for asked, value in found.usual
        ],
        "findings": [],
    }


def moment_document(point: OperatingPoint, time: float, files: Sequence[str]) -> dict[str, Any]:
    """Voltages of nets, currents into terminals, states of chips."""
    currents: dict[str, dict[str, float | None]] = {}
    for (part, terminal), flow in point.currents.items():
        currents.setdefault(part, {})[terminal] = number(flow)
    return {
        "schema": SCHEMA,
        "time": number(time),
        "voltages": {net: number(volts) for net, volts in point.voltages.items()},
        "currents": currents,
        "states": dict(point.states),
        "files": list(files),
        "findings": [],
    }
