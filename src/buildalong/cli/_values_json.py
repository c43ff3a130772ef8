"""The JSON documents of choose, spread, battery and compare, of the form described in docs/json.md."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, finding_object, number, quantity_object
from buildalong.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from buildalong.battery import Life, Lowest, Use
    from buildalong.choose import Choice
    from buildalong.finding import Finding
    from buildalong.measured import Comparison
    from buildalong.spread import Outcome, Spread, Target

__all__ = ["battery_document", "choose_document", "compare_document", "spread_document"]


def _target(target: Target) -> dict[str, Any]:
    low, high = target.limits
    return {
        "that": str(target),
        "trial": target.trial,
        "wanted": quantity_object(target.wanted),
        "low": number(low),
        "high": number(high),
        "weight": number(target.weight),
    }


def choose_document(choice: Choice, faults: Sequence[Finding]) -> dict[str, Any]:
    """Targets, candidates (best first), what was refused and how far the search went."""
    units = {free.part.id: free.unit for free in choice.free}
    shown = {free.part.id: free for free in choice.free}
    return {
        "schema": SCHEMA,
        "targets": [_target(target) for target in choice.targets],
        "candidates": [
            {
                "values": {
                    name: {
                        "value": number(c.value),
                        "unit": units[name],
                        "shown": shown[name].shown(c),
                        "pair": [number(v) for v in c.pair],
                        "joined": c.joined,
                        "where": c.where,
                    }
                    for name, c in option.candidates.items()
                },
                "measures": {
                    str(t): quantity_object(Quantity(v, t.wanted.unit))
                    for t, v in option.measured(choice.targets)
                },
                "error": number(option.error),
                "kept": option.kept,
                "spread": number(option.spread),
                "different": option.different,
                "shared": option.shared,
                "cost": None if option.cost is None else number(option.cost),
            }
            for option in choice.options
        ],
        "refused": [
            {"values": {k: number(v) for k, v in r.values.items()}, "code": r.code, "why": r.why}
            for r in choice.refused
        ],
        "grid": choice.grid,
        "simulated": choice.simulated,
        "exact": choice.exact,
        "miss": number(choice.miss),
        "findings": [finding_object(fault) for fault in faults],
    }


def _outcome(outcome: Outcome, sentence: str) -> dict[str, Any]:
    return {
        **_target(outcome.target),
        "nominal": number(outcome.nominal),
        "yield": number(outcome.kept),
        "yield_interval": [number(v) for v in outcome.sure],
        "never": outcome.failed,
        "low": number(outcome.low),
        "high": number(outcome.high),
        "limits": [number(v) for v in outcome.target.limits],
        "quantiles": {
            f"{level:g}": {"value": number(v), "interval": [number(a), number(b)]}
            for level, (v, a, b) in outcome.quantiles.items()
        },
        "shares": {part: number(share) for part, share in outcome.shares.items()},
        "worst": [number(outcome.least.value), number(outcome.most.value)],
        "sentence": sentence,
    }


def spread_document(spread: Spread, sentences: Sequence[str]) -> dict[str, Any]:
    """One entry for each promise, with what was varied."""
    around = spread.surroundings
    return {
        "schema": SCHEMA,
        "samples": spread.samples,
        "seed": spread.seed,
        "temperature": list(around.temperature),
        "supply": None if around.supply is None else list(around.supply),
        "factors": [
            {"part": f.part, "name": f.name, "low": number(f.low), "high": number(f.high), "source": f.source}
            for f in spread.factors
        ],
        "promises": [_outcome(o, s) for o, s in zip(spread.outcomes, sentences, strict=True)],
    }


def _hours(hours: float | None) -> Any:
    return None if hours is None else number(hours)


def battery_document(
    uses: Sequence[Use],
    lives: Mapping[str, Sequence[Life]],
    lowest: Sequence[Lowest],
    least: tuple[float, str],
    off: float,
) -> dict[str, Any]:
    """Current of each trial, hours on each supply, lowest voltages."""
    return {
        "schema": SCHEMA,
        "trials": [
            {
                "trial": use.trial,
                "current": number(use.current),
                "supplies": [
                    {
                        "supply": life.type.id,
                        "cells": life.cells,
                        "volts": number(life.volts),
                        "hours": None if life.hours is None else number(life.hours),
                        "why": life.why,
                        "at_least": life.beyond == "light",
                        "hours_to_switch_off": _hours(life.until(off)),
                    }
                    for life in lives[use.trial]
                ],
            }
            for use in uses
        ],
        "promises": [
            {
                **_target(low.target),
                "lowest": None if low.volts is None else number(low.volts),
                "to_the_end": low.to_the_end,
                "hours": {
                    use.trial: _hours(life.until(low.volts))
                    for use in uses
                    for life in lives[use.trial]
                    if life.own
                },
            }
            for low in lowest
        ],
        "least_supply": {"volts": number(least[0]), "part": least[1]},
        "switch_off": number(off),
    }


def compare_document(comparisons: Sequence[Comparison]) -> dict[str, Any]:
    """One entry for each measurement."""
    return {
        "schema": SCHEMA,
        "measurements": [
            {
                **_target(c.target),
                "measured": number(c.value),
                "predicted": number(c.predicted),
                "low": number(c.low),
                "high": number(c.high),
                "below": number(c.below),
                "inside": c.inside,
                "explanations": [
                    {
                        "part": e.part,
                        "nominal": number(e.nominal),
                        "value": number(e.value),
                        "off": number(e.off),
                        "within": e.within,
                    }
                    for e in c.explanations
                ],
            }
            for c in comparisons
        ],
    }
