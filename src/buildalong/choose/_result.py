"""What a choice of values gives: a ranked table, and why the rest was refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from buildalong.choose._candidate import Candidate, Free
from buildalong.circuit import Circuit
from buildalong.spread import Target

__all__ = ["Choice", "Option", "Refusal"]


@dataclass(frozen=True)
class Option:
    """One way to fill the free places.

    ``measures`` in the order of the targets; ``error`` is the root of the weighted mean square of their
    distances, 1 at the edge of what is allowed; ``kept`` says whether every target is within its limits.
    ``spread`` is the largest share by which tolerances alone may move any target, all the worst way.
    ``different`` counts the different values of the whole circuit's valued parts, ``known`` names the free
    parts whose value another part of the lesson has already; ``cost`` is the price of the free parts, None
    unknown.
    """

    candidates: Mapping[str, Candidate]
    measures: tuple[float, ...]
    error: float
    kept: bool
    spread: float
    different: int
    known: frozenset[str]
    cost: float | None
    circuit: Circuit = field(repr=False)

    @property
    def shared(self) -> int:
        """How many of the chosen values another part of the lesson has already."""
        return len({(self.circuit.by_id[name].type.id, self.candidates[name].value) for name in self.known})

    def measured(self, targets: tuple[Target, ...]) -> tuple[tuple[Target, float], ...]:
        """Each target with its measure."""
        return tuple(zip(targets, self.measures, strict=True))


@dataclass(frozen=True, slots=True)
class Refusal:
    """Values that come near but were refused, or a free part that has none: the reason in words."""

    values: Mapping[str, float]
    code: str
    why: str


@dataclass(frozen=True)
class Choice:
    """The ranked options, best first, and what was refused.

    ``grid`` counts the combinations; ``simulated`` those that were simulated; ``miss`` is the largest
    share by which the forecast for the rest was off among the simulated ones that came near; ``exact``
    says that no combination left unsimulated can come nearer than the best, or nearer than a hundredth of
    what is allowed, unless its forecast is off by half as much again.
    """

    free: tuple[Free, ...]
    targets: tuple[Target, ...]
    options: tuple[Option, ...]
    refused: tuple[Refusal, ...]
    grid: int
    simulated: int
    miss: float
    exact: bool
