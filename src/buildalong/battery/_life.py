"""How long a supply lasts at a load, from the maker's chart of charge over steady load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from buildalong.circuit import Circuit, Part
from buildalong.engine import Trial, measure, simulate
from buildalong.parts import Capacity, PartType
from buildalong.quantity import parse_as

__all__ = ["Life", "Use", "charge_at", "given_at", "lives", "used"]

GIVEN = "given_at_"


@dataclass(frozen=True, slots=True)
class Use:
    """The mean current [A] that the supply gives in one trial."""

    trial: str
    current: float


@dataclass(frozen=True)
class Life:
    """How long one kind of supply lasts: ``hours``, or None with the reason in ``why``.

    ``own`` marks the circuit's own supply; ``cells`` is how many are joined in series; ``beyond`` is
    "light" where the load is lighter than the chart's lightest, so that the figure is on the safe side.
    """

    type: PartType = field(repr=False)
    cells: int
    volts: float
    current: float
    hours: float | None
    why: str = ""
    beyond: str = ""
    own: bool = False

    def until(self, volts: float | None) -> float | None:
        """Hours until all its cells together have fallen to ``volts`` without load; None where unknown."""
        given = None if volts is None else given_at(self.type, volts / self.cells)
        return None if given is None or self.hours is None else given * self.hours


def used(circuit: Circuit, trials: Sequence[Trial]) -> tuple[Use, ...]:
    """Measure the mean supply current of each trial."""
    return tuple(Use(t.name, measure(simulate(circuit, t), "supply_current").value) for t in trials)


def charge_at(chart: Sequence[Capacity], current: float) -> float | None:
    """The charge [Ah] that a supply gives at a steady load [A]; None above the heaviest of the chart.

    Between two points of the chart charge follows load as a power, a straight line on logarithmic paper
    (Peukert's law between the two); below the lightest its charge is taken.  Raises ValueError without a
    chart.
    """
    points = sorted((parse_as(c.load, "A"), parse_as(c.charge, "Ah")) for c in chart)
    if not points:
        raise ValueError("this supply has no chart of charge over load")
    if current <= points[0][0]:
        return points[0][1]
    for (low, more), (high, less) in pairwise(points):
        if current <= high:
            share = math.log(current / low) / math.log(high / low)
            return float(more * (less / more) ** share)
    return None


def given_at(kind: PartType, volts: float) -> float | None:
    """The share of its charge that a supply has given when each cell has fallen to ``volts`` without load.

    Straight lines between the points that its data names (``given_at_1v2``), from fresh (0) to spent (1).
    None for a supply without such points.
    """
    figures = kind.figures
    points = {
        parse_as(name.removeprefix(GIVEN).replace("v", "."), ""): figure.value
        for name, figure in figures.items()
        if name.startswith(GIVEN)
    }
    if not points or "end_voltage" not in figures:
        return None
    fresh = figures["fresh_voltage"].high if "fresh_voltage" in figures else figures["voltage"].high
    points |= {fresh: 0.0, figures["end_voltage"].low: 1.0}
    known = sorted(points)
    return float(np.interp(volts, known, [points[v] for v in known]))


def lives(circuit: Circuit, current: float, supplies: Sequence[PartType]) -> tuple[Life, ...]:
    """How long the circuit's own supply, then each other that gives about its voltage, lasts at a load [A].

    A supply serves where some number of its cells comes within 15 % of the nominal voltage; the load is
    taken as the same.  Supplies without a chart (USB) are left out.
    """
    own = circuit.supply
    nominal = _volts(own.type) * own.setting("count", 1.0)
    found = [replace(_life(own.type, _cells(own), current), own=True)]
    for kind in supplies:
        if kind.id == own.type.id or not kind.capacity or "voltage" not in kind.figures:
            continue
        setting = kind.settings.get("count")
        most = int(parse_as(setting.most, "")) if setting is not None else 1
        cells = min(max(round(nominal / _volts(kind)), 1), most)
        if abs(cells * _volts(kind) / nominal - 1.0) <= 0.15:
            found.append(_life(kind, cells, current))
    return tuple(life for life in found if life.type.capacity)


def _cells(supply: Part) -> int:
    return round(supply.setting("count", 1.0))


def _volts(kind: PartType) -> float:
    return kind.figures["voltage"].value


def _life(kind: PartType, cells: int, current: float) -> Life:
    volts = _volts(kind) * cells
    if not kind.capacity or not current > 0.0:
        return Life(kind, cells, volts, current, None, "no charge flows")
    charge = charge_at(kind.capacity, current)
    if charge is None:
        return Life(kind, cells, volts, current, None, "the load is heavier than any in the maker's chart")
    lightest = min(parse_as(c.load, "A") for c in kind.capacity)
    beyond = "light" if current < lightest else ""
    return Life(kind, cells, volts, current, charge / current, beyond=beyond)
