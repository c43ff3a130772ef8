"""The decision tree: at each node the reading that tells most for its effort."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from buildalong.mistakes import DANGERS, Lab, Outcome
from buildalong.trace._effort import RISK
from buildalong.trace._forecast import Forecast, forecast_of
from buildalong.trace._reading import Answer, Reading
from buildalong.trace._readings import all_readings
from buildalong.trace._split import split
from buildalong.words import say

__all__ = ["Node", "Search", "cause_of"]

LEAST_GAIN = 1e-6
Weights = Mapping[int, float]


@dataclass(frozen=True)
class Node:
    """Where a search stands: who is suspected, and the next reading with what each answer leads to.

    ``suspects``: ids of mistakes with their shares, likeliest first.  A leaf has no reading: it is one
    cause, or what no reading tells apart.  ``readings`` and ``effort`` are what is expected from here on.
    """

    suspects: tuple[tuple[str, float], ...]
    reading: Reading | None
    branches: tuple[tuple[Answer, Node], ...]
    cautions: tuple[str, ...]
    readings: float
    effort: float
    causes: int
    """How many different causes are left."""


def cause_of(outcome: Outcome) -> str:
    """What counts as one cause: loose contacts of one part or wire are mended by one push."""
    mistake = outcome.mistake
    return f"loose {mistake.subjects[0]}" if mistake.comes_and_goes else mistake.id


class Search:
    """The search among some outcomes of a laboratory."""

    def __init__(self, lab: Lab, suspects: Iterable[Outcome]) -> None:
        self.lab = lab
        self.suspects = tuple(suspects)
        self.weights = {i: o.mistake.weight for i, o in enumerate(self.suspects)}
        self.causes = [cause_of(o) for o in self.suspects]
        self.dangers = [o.danger for o in self.suspects]
        self.hot = any(o.symptom == "battery-hot" for o in self.suspects)
        self.forecasts = [forecast_of(r, lab, self.suspects) for r in all_readings(lab)]

    def tree(self, weights: Weights | None = None, used: frozenset[str] = frozenset()) -> Node:
        """The tree from here on."""
        weights = self.weights if weights is None else weights
        best = self.best(weights, used)
        if best is None:
            return self.node(weights, None, ())
        used |= {best.reading.id}
        branches = tuple(
            (answer, self.tree(group, used)) for answer, group in split(best, weights, self.suspects)
        )
        return self.node(weights, best.reading, branches)

    def node(
        self, weights: Weights, reading: Reading | None, branches: tuple[tuple[Answer, Node], ...]
    ) -> Node:
        """A node with what is expected from it on."""
        total = sum(weights.values())
        order = sorted(weights, key=lambda i: (-weights[i], i))
        suspects = tuple((self.suspects[i].mistake.id, weights[i] / total) for i in order)
        readings = effort = 0.0
        if reading is not None:
            shares = self._shares(reading, weights)
            readings = 1 + sum(s * n.readings for s, (_, n) in zip(shares, branches, strict=True))
            effort = self.effort(reading, weights) + sum(
                s * n.effort for s, (_, n) in zip(shares, branches, strict=True)
            )
        cautions = self.cautions(weights) if reading is not None and reading.under_power else ()
        causes = len({self.causes[i] for i in weights})
        return Node(suspects, reading, branches, cautions, readings, effort, causes)

    def _shares(self, reading: Reading, weights: Weights) -> list[float]:
        forecast = next(f for f in self.forecasts if f.reading is reading)
        total = sum(weights.values())
        return [sum(group.values()) / total for _, group in split(forecast, weights, self.suspects)]

    def best(self, weights: Weights, used: frozenset[str]) -> Forecast | None:
        """The reading that tells most for its effort; None where nothing is left to tell."""
        before = self.doubt(weights)
        if before < LEAST_GAIN:
            return None
        found: tuple[float, int] | None = None
        for number, forecast in enumerate(self.forecasts):
            if forecast.reading.id in used or not self.allowed(forecast.reading, weights):
                continue
            gain = self.gain(forecast, weights, before)
            if gain > LEAST_GAIN:
                score = (gain / self.effort(forecast.reading, weights), -number)
                found = score if found is None or score > found else found
        return self.forecasts[-found[1]] if found else None

    def gain(self, forecast: Forecast, weights: Weights, before: float) -> float:
        """By how many bits a reading is expected to lessen the doubt about the cause."""
        total = sum(weights.values())
        groups = [group for _, group in split(forecast, weights, self.suspects)]
        if len(groups) < 2:
            return 0.0
        return before - sum(sum(g.values()) / total * self.doubt(g) for g in groups)

    def doubt(self, weights: Weights) -> float:
        """Entropy of the causes [bit]."""
        sums: dict[str, float] = {}
        for i, weight in weights.items():
            sums[self.causes[i]] = sums.get(self.causes[i], 0.0) + weight
        total = sum(sums.values())
        return -sum(w / total * math.log2(w / total) for w in sums.values())

    def effort(self, reading: Reading, weights: Weights) -> float:
        """Effort of a reading, with what it costs to be careful."""
        risky = reading.under_power and any(self.dangers[i] for i in weights)
        return reading.effort + (RISK if risky else 0.0)

    def allowed(self, reading: Reading, weights: Weights) -> bool:
        """No power on a shorted supply; nobody touches what may be hot."""
        if reading.under_power and self.hot:
            return False
        return reading.kind != "feel" or not any(self.dangers[i] for i in weights)

    def cautions(self, weights: Weights) -> tuple[str, ...]:
        """What to heed while a suspect could hurt."""
        found = {self.dangers[i] for i in weights}
        return tuple(say(words) for danger, words in DANGERS.items() if danger in found)
