"""What the placer places: items, and the structure they form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.circuit import Part
from buildalong.drawing.schematic._boxes import BoxSpec
from buildalong.drawing.schematic._shape import Variant

__all__ = [
    "GROUND", "LOCAL", "OPEN", "PLUS", "Feed", "Item", "Structure", "base_of", "decouples", "sides_of",
]  # fmt: skip

PLUS, GROUND = 0, 1
"""Index of the two rails among the nets."""
LOCAL, OPEN = -2, -1
"""Instead of a net: the terminal has a supply mark of its own; the terminal is open."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to place: a part, or one unit of it.

    ``nets`` gives the net index of each terminal, in the order of every variant's terminals.
    """

    part: Part
    unit: str
    nets: tuple[int, ...]
    variants: tuple[Variant, ...]
    box: BoxSpec | None = None
    triangle: bool = False
    """Drawn as an amplifier's triangle: its feedback goes above it."""

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names."""
        return tuple(name for name, *_ in self.variants[0].terminals)


@dataclass(frozen=True, slots=True)
class Feed:
    """A part in line with the plus rail: drawn lying in ``shape``, entered and left at two terminals."""

    item: Item
    shape: Variant
    entry: str
    exit: str


@dataclass(frozen=True, slots=True)
class Structure:
    """The circuit as the placer sees it: ``before`` lists (i, j, weight): i stands left of j."""

    items: tuple[Item, ...]
    nets: tuple[str, ...]
    before: tuple[tuple[int, int, float], ...]
    potential: Mapping[str, float]
    above: tuple[tuple[int, int, float], ...] = ()
    """(i, j, weight): i stands above j (feedback over its amplifier)."""
    near: tuple[tuple[int, int, float], ...] = ()
    """(i, j, weight): i likes to stand close to j (decoupling beside its IC)."""
    line: tuple[tuple[int, int], ...] = ()
    """(i, j): the author wants them in line."""
    legs: tuple[tuple[int, int, int, int], ...] = ()
    """(load, number of its terminal, upper, lower switching part) of each leg of a bridge."""
    feed: tuple[Feed, ...] = ()
    """Parts through which the supply reaches the plus rail, in order from the supply."""


def base_of(item: Item) -> int | None:
    """Number of the base among a transistor's terminals, None for any other part."""
    roles = [item.part.type.terminal(name).role for name in item.terminals]
    return roles.index("base") if "base" in roles else None


def decouples(item: Item) -> bool:
    """Whether it is a capacitor between the rails."""
    return set(item.nets) == {PLUS, GROUND} and item.part.type.family in ("capacitor", "electrolytic")


def sides_of(item: Item) -> list[int]:
    if item.box is not None:
        return [pin.side for pin in item.box.pins]
    return [way for *_, way in item.variants[0].terminals]
