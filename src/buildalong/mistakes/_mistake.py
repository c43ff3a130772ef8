"""A mistake, and what the author wants of mistakes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from buildalong.board import Layout
from buildalong.circuit import Circuit

__all__ = ["Mistake", "Own", "Wishes"]


@dataclass(frozen=True)
class Mistake:
    """One single mistake: the board as it then is, and the circuit with the parts that are on it.

    ``subjects`` are the parts and wires ("R1", "wire 2") at which it is seen; ``weight`` is how likely it
    is against others.  ``comes_and_goes`` marks a contact that fails now and then; ``seen`` is False where
    no look at the board reveals it.  ``slip`` is what is wrong as a clause inside another sentence.
    """

    id: str
    kind: str
    what: str
    where: str
    subjects: tuple[str, ...]
    weight: float
    circuit: Circuit = field(repr=False)
    layout: Layout = field(repr=False)
    comes_and_goes: bool = False
    seen: bool = True
    slip: str = ""


@dataclass(frozen=True, slots=True)
class Own:
    """A mistake that an author adds: the holes that parts get instead, and the words for it."""

    what: str
    holes: Mapping[str, tuple[str, ...]]
    weight: float = 5.0


@dataclass(frozen=True)
class Wishes:
    """What an author adds, forbids and weighs.

    ``forbid`` names kinds, parts, wires or ids; ``weigh`` gives factors for kinds, parts, wires or ids.
    """

    add: tuple[Own, ...] = ()
    forbid: frozenset[str] = frozenset()
    weigh: Mapping[str, float] = field(default_factory=dict)
