"""Output levels and input currents of ICs, read from the curves of their models."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import Any

from buildalong.circuit import Part
from buildalong.quantity import parse_as

__all__ = ["input_current", "output_drop"]

_number = lru_cache(maxsize=4096)(parse_as)

Points = tuple[tuple[float, float], ...]


def _curves(part: Part, **ends: str) -> Iterator[dict[str, Any]]:
    """Curves between these terminals: ``source`` and ``sink``, either may be left out."""
    for curve in part.type.model.get("curves", ()):
        wanted = (("from", ends.get("source")), ("to", ends.get("sink")))
        if all(end is None or curve.get(key) == end for key, end in wanted):
            yield curve


def _points(curve: dict[str, Any], supply: float) -> Points:
    """The curve's points (volt, ampere) at a supply voltage, between its neighbours in proportion."""
    known = [
        (
            _number(entry["supply"], "V"),
            tuple((_number(v, "V"), _number(i, "A")) for v, i in entry["points"]),
        )
        for entry in curve["at"]
    ]
    if supply <= known[0][0]:
        return known[0][1]
    for (low, first), (high, second) in pairwise(known):
        if supply <= high:
            share = (supply - low) / (high - low)
            return tuple(
                (v0 + share * (v1 - v0), i0 + share * (i1 - i0))
                for (v0, i0), (v1, i1) in zip(first, second, strict=True)
            )
    return known[-1][1]


def output_drop(part: Part, terminal: str, supply: float, current: float, *, high: bool) -> float:
    """How far an output stays from its rail while it carries a current [V]; 0 without a model."""
    rails = part.type.model.get("supply", ("", ""))
    ends = {"source": rails[0], "sink": terminal} if high else {"source": terminal, "sink": rails[1]}
    for curve in _curves(part, **ends):
        points = _points(curve, supply)
        for (v0, i0), (v1, i1) in pairwise(points):
            if i0 <= current < i1:
                return v0 + (v1 - v0) * (current - i0) / (i1 - i0)
        return points[-1][0]
    return 0.0


def input_current(part: Part, *terminals: str, supply: float) -> float:
    """The current that inputs deliver into their net [A]; negative where they draw it.

    A curve from the supply into an input delivers, a curve from an input to ground draws; the value
    is that of the flat part of the curve, well above 0 V.
    """
    rails = part.type.model.get("supply", ("", ""))
    total = 0.0
    for terminal in terminals:
        for sign, ends in ((1.0, {"source": rails[0], "sink": terminal}), (-1.0, {"source": terminal})):
            for curve in _curves(part, **ends):
                total += sign * _points(curve, supply)[-1][1]
    return total
