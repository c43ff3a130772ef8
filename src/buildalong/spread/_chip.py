"""The chip itself: how far an IC's comparators are off, from what its maker states.

A timer's sheet states its error as one of time: 1 % typical and 3 % at most for a one-shot (TI SLFS022F).
Here it becomes what causes it, an offset of the comparator's level, so that it moves on time, off time and
duty each as it would in the circuit, and nothing where the timer only remembers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from buildalong.circuit import Part, supply_voltages
from buildalong.parts import Figure
from buildalong.spread._factors import Factor, Surroundings

__all__ = ["ERRORS", "chip"]

ERRORS = {"one_shot": "as one-shot", "astable": "as astable"}
"""The kinds of timing error that sheets state, and how they are told."""

_ONE_SHOT = 3.0 / math.log(3.0)
"""dt/t of R·C·ln(V / (V - a)) for each a/V, at a = 2/3 V."""
_UPPER, _LOWER = 7.5 / (3.0 * math.log(2.0)), 6.0 / (3.0 * math.log(2.0))
"""dT/T of R·C·(2·ln((V - b) / (V - a)) + ln(a/b)) for each a/V and b/V: the sheets' test with RA = RB."""
_TIMES = 3.0
"""Where a sheet states no largest error: so many times the typical one, as 1 % and 3 % of the same sheets."""


def chip(part: Part, supply: Part | None, around: Surroundings) -> Iterator[Factor]:
    """The levels of a chip's comparators, as far as its data says how far they may be off."""
    known: set[str] = set()
    for cell in part.type.model.get("cells", ()):
        for watcher in cell["watchers"]:
            level = Figure.model_validate(watcher["level"])
            name = watcher["name"]
            if name not in known and level.high > level.low and name not in dict(part.settings):
                yield Factor(part.id, name, level.low, level.high, level.value, level.source)
            known.add(name)
    if supply is None or not {"threshold", "trigger"} <= known:
        return
    volts = supply_voltages(supply)[1]
    upper, lower = _offsets(part.type.figures, around, _moved(supply, around))
    sheet = next(
        (
            part.type.figures[f"{kind}_error"].source
            for kind in ERRORS
            if f"{kind}_error" in part.type.figures
        ),
        "",
    )
    source = part.type.sources.get(sheet, sheet)
    for name, share in (("threshold", upper), ("trigger", lower)):
        if share > 0.0:
            yield Factor(part.id, name, -share * volts, share * volts, 0.0, source)


def _offsets(figures: Mapping[str, Figure], around: Surroundings, moved: float) -> tuple[float, float]:
    """How far the upper and the lower level may be off, as shares of the supply.

    The upper level alone makes the error of a one-shot, both together that of an astable; where only the
    latter is stated, both are off alike.
    """
    one_shot, astable = (_error(figures, kind, around, moved) for kind in ERRORS)
    if one_shot <= 0.0:
        both = astable / math.hypot(_UPPER, _LOWER)
        return both, both
    upper = one_shot / _ONE_SHOT
    rest = astable**2 - (_UPPER * upper) ** 2
    return upper, math.sqrt(rest) / _LOWER if rest > 0.0 else 0.0


def _error(figures: Mapping[str, Figure], kind: str, around: Surroundings, moved: float) -> float:
    """The largest error of time, as a share: that of a new chip, and what warmth and supply add at worst."""
    initial = figures.get(f"{kind}_error")
    if initial is None:
        return 0.0
    most = initial.high if initial.max is not None else _TIMES * initial.value
    away = max(abs(t - 25.0) for t in around.temperature)
    drift, supply = figures.get(f"{kind}_drift"), figures.get(f"{kind}_supply_drift")
    most += drift.high * away if drift is not None else 0.0
    return most + (supply.high * moved if supply is not None else 0.0)


def _moved(supply: Part, around: Surroundings) -> float:
    """How far the supply goes from its nominal voltage [V]."""
    if around.supply is None:
        return 0.0
    end, nominal, fresh = supply_voltages(supply)
    return max(abs(end + share * (fresh - end) - nominal) for share in around.supply)
