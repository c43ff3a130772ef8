"""What may stand in a free part's place: values of a series, or parts of the class's drawer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from buildalong.circuit import Part
from buildalong.parts import PartType
from buildalong.quantity import format_quantity, parse_as, values_between

__all__ = ["Candidate", "Free", "from_drawer", "from_series", "paired"]

_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Candidate:
    """One part that may be taken: its value [coherent unit], tolerance (ratio), and what the drawer says.

    ``price`` is for one piece; ``count`` how many there are, None for as many as one likes; ``rated``
    the rated voltage [V] or None; ``pack`` how many are sold together.  ``pair`` holds the two values of
    a combination, joined in ``joined``.
    """

    value: float
    tolerance: float
    rated: float | None = None
    price: float | None = None
    count: int | None = None
    where: str = ""
    pack: int = 1
    pair: tuple[float, ...] = ()
    joined: Literal["", "in series", "in parallel"] = ""


@dataclass(frozen=True)
class Free:
    """A part whose value is to be chosen, and everything it may be; candidates rise in value."""

    part: Part
    candidates: tuple[Candidate, ...] = field(repr=False)

    @property
    def unit(self) -> str:
        """The coherent unit of its value."""
        return self.part.type.value.unit if self.part.type.value is not None else ""

    def shown(self, candidate: Candidate) -> str:
        """A candidate as it is written: ``47 kΩ``, or ``10 µF in parallel with 10 µF``."""
        if not candidate.pair:
            return format_quantity(candidate.value, self.unit, 4)
        one, other = (format_quantity(value, self.unit, 4) for value in candidate.pair)
        return f"{one} {candidate.joined} with {other}"


def from_series(
    part: Part, series: str = "", low: float | None = None, high: float | None = None
) -> tuple[Candidate, ...]:
    """Every preferred value of a part's type, or of the named series, between two limits.

    ``low`` and ``high`` [coherent unit] default to the type's own limits.  Raises QuantityError for an
    unknown series or an empty range, ValueError for a part that takes no value.
    """
    rule = part.type.value
    if rule is None:
        raise ValueError(f"{part.id} ({part.type.noun}) takes no value")
    least, most = parse_as(rule.least, rule.unit), parse_as(rule.most, rule.unit)
    tolerance = part.tolerance if part.tolerance is not None else parse_as(rule.tolerance, "")
    values = values_between(max(low or least, least), min(high or most, most), series or rule.series)
    return tuple(Candidate(value, tolerance) for value in values)


def from_drawer(
    part: Part,
    stock: Iterable[tuple[PartType, Candidate]],
    low: float | None = None,
    high: float | None = None,
) -> tuple[Candidate, ...]:
    """What the drawer holds of a part's own type, rising in value, between two limits."""
    found = [
        candidate
        for kind, candidate in stock
        if kind.id == part.type.id
        and (low is None or candidate.value >= low * (1 - _SLACK))
        and (high is None or candidate.value <= high * (1 + _SLACK))
    ]
    return tuple(sorted(found, key=lambda c: (c.value, c.tolerance, c.price or 0.0)))


def paired(free: Free, wanted: float, most: int = 3) -> tuple[Candidate, ...]:
    """Two candidates joined in series or in parallel that come nearest to a wanted value.

    Each pair is nearer than any single candidate; the nearest first, ``most`` at most.
    """
    single = min((abs(c.value / wanted - 1.0) for c in free.candidates), default=1.0)
    resistive = free.unit == "Ω"
    found: list[tuple[float, Candidate]] = []
    for index, one in enumerate(free.candidates):
        for other in free.candidates[index:]:
            if one is other and one.count is not None and one.count < 2:
                continue
            for added in (True, False):
                found.append(_joined(one, other, wanted, added=added, series=added == resistive))
    near = sorted(
        (entry for entry in _unique(found) if entry[0] < single),
        key=lambda entry: (entry[0], entry[1].pair, entry[1].joined),
    )
    return tuple(candidate for _, candidate in near[:most])


def _joined(
    one: Candidate, other: Candidate, wanted: float, *, added: bool, series: bool
) -> tuple[float, Candidate]:
    total = one.value + other.value
    value = total if added else one.value * other.value / total
    # the worst case of a pair: both at their limit (exact for a sum, to first order for the other)
    share = one.value / total if added else other.value / total
    prices = [c.price for c in (one, other) if c.price is not None]
    candidate = Candidate(
        value,
        share * one.tolerance + (1.0 - share) * other.tolerance,
        min((c.rated for c in (one, other) if c.rated is not None), default=None),
        sum(prices) if len(prices) == 2 else None,
        pair=(one.value, other.value),
        joined="in series" if series else "in parallel",
    )
    return abs(value / wanted - 1.0), candidate


def _unique(found: Sequence[tuple[float, Candidate]]) -> list[tuple[float, Candidate]]:
    return list({(c.pair, c.joined): (miss, c) for miss, c in found}.values())
