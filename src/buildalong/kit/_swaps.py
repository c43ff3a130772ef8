"""What can be taken where a part is missing, and what happens then: simulated, not guessed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from buildalong.build.steps import what_of
from buildalong.choose import Candidate, Free, paired
from buildalong.circuit import Circuit, Part
from buildalong.engine import Trial, Variation
from buildalong.kit import _words as words
from buildalong.parts import Catalogue, PartType
from buildalong.quantity import format_quantity, parse_as, values_between
from buildalong.spread import Target, measured
from buildalong.study import strained
from buildalong.words import say

__all__ = ["Swap", "swaps"]

_FORWARD = "forward_voltage"
_FACTOR = 2.2
"""Values beyond this factor of the missing one are not tried."""


@dataclass(frozen=True)
class Swap:
    """Another way to fill one place: ``instead`` in words, what each target becomes, and whether all hold.

    ``warning`` is the worst overload that it brings, "" for none; ``lesson`` the title of the lesson.
    """

    part: Part = field(repr=False)
    instead: str
    measures: tuple[float, ...]
    kept: bool
    warning: str = ""
    lesson: str = ""

    @property
    def missing(self) -> str:
        """The part that is missing, in words: ``R1, 47 kΩ resistor``."""
        return f"{self.part.id}, {what_of(self.part)}"


def swaps(
    circuit: Circuit,
    trials: Sequence[Trial],
    targets: Sequence[Target],
    catalogue: Catalogue,
    part: Part,
    *,
    series: str = "E6",
    most: int = 3,
) -> tuple[Swap, ...]:
    """Ways to do without one part, best first: neighbours of its value, two in its place, another type.

    Only values of ``series``, which are the ones that people have, are tried; the part's own is left out.
    Empty where nothing is known to serve.  Raises Unreadable for a target that cannot be measured.
    """
    ways = [*_values(part, series), *_types(part, catalogue)]
    found: list[tuple[float, Swap]] = []
    for instead, other in ways:
        made = Circuit(tuple(other if p.id == part.id else p for p in circuit.parts))
        row = measured(made, trials, targets, [Variation()])[0]
        values = tuple(float(v) for v in row)
        worst = max(
            (t.off(v) if math.isfinite(v) else math.inf for t, v in zip(targets, values, strict=True)),
            default=0.0,
        )
        found.append((worst, Swap(part, instead, values, worst <= 1.0, _overload(made, trials))))
    found.sort(key=lambda entry: (bool(entry[1].warning), entry[0]))  # of equals the nearest stands first
    return tuple(swap for _, swap in found[:most])


def _values(part: Part, series: str) -> Iterator[tuple[str, Part]]:
    rule = part.type.value
    if rule is None or part.value is None:
        return
    low = max(part.value / _FACTOR, parse_as(rule.least, rule.unit))
    high = min(part.value * _FACTOR, parse_as(rule.most, rule.unit))
    tolerance = part.tolerance if part.tolerance is not None else parse_as(rule.tolerance, "")
    near = [v for v in values_between(low, high, series) if abs(v / part.value - 1.0) > 1e-6]
    for value in sorted(near, key=lambda v: abs(v / part.value - 1.0))[:2]:  # type: ignore[operator]
        yield format_quantity(value, rule.unit), _with(part, Candidate(value, tolerance))
    wide = values_between(
        max(part.value / 12, parse_as(rule.least, rule.unit)),
        min(part.value * 12, parse_as(rule.most, rule.unit)),
        series,
    )
    others = tuple(Candidate(v, tolerance) for v in wide if abs(v / part.value - 1.0) > 1e-6)
    for pair in paired(Free(part, others), part.value, most=2):
        one, other = (format_quantity(v, rule.unit) for v in pair.pair)
        instead = say((words.TWO_EQUAL if one == other else words.TWO)[pair.joined], one=one, other=other)
        yield instead, _with(part, pair)


def _types(part: Part, catalogue: Catalogue) -> Iterator[tuple[str, Part]]:
    """Types of the same family whose terminals have the same names in the same order, the likest first."""
    names = [t.name for t in part.type.terminals]
    for kind in sorted(catalogue.values(), key=lambda kind: _apart(kind, part.type)):
        if kind.id != part.type.id and kind.family == part.type.family and _fits(kind, part, names):
            made = replace(part, type=kind.sized(part.value) if part.value is not None else kind)
            yield say(kind.title), made


def _apart(one: PartType, other: PartType) -> float:
    """How far the forward voltages of two types are apart [V]; 0 where one has none."""
    volts = [kind.figures[_FORWARD].typ for kind in (one, other) if _FORWARD in kind.figures]
    drops = [parse_as(text, "V") for text in volts if text is not None]
    return abs(drops[0] - drops[-1]) if drops else 0.0


def _fits(kind: PartType, part: Part, names: list[str]) -> bool:
    if [t.name for t in kind.terminals] != names or (kind.value is None) != (part.value is None):
        return False
    if kind.family == "supply":
        return False
    if kind.value is None or part.value is None:
        return True
    least, most = (parse_as(text, kind.value.unit) for text in (kind.value.least, kind.value.most))
    return least <= part.value <= most


def _with(part: Part, candidate: Candidate) -> Part:
    return replace(
        part, type=part.type.sized(candidate.value), value=candidate.value, tolerance=candidate.tolerance
    )


def _overload(circuit: Circuit, trials: Sequence[Trial]) -> str:
    found = strained(circuit, trials)
    return max(found, key=lambda f: f.severity).message if found else ""
