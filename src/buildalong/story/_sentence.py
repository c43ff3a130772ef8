"""Sentence: one step of the story, with what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

__all__ = ["Sentence", "ShapeLike"]


class ShapeLike(Protocol):
    """What the story needs of a recognised shape: kind, parts and nets by role."""

    @property
    def kind(self) -> str:
        """Stable name of the shape."""
        ...

    @property
    def roles(self) -> Mapping[str, tuple[str, ...]]:
        """Role -> part ids."""
        ...

    @property
    def nets(self) -> Mapping[str, str]:
        """Role -> net."""
        ...


@dataclass(frozen=True)
class Sentence:
    """One sentence, or a few that belong together.

    ``time`` [s] is when it happens; ``events`` are indices in ``Run.events``; ``parts`` and ``nets``
    are those it speaks of; ``levels`` the voltages it names [V], by net.
    """

    time: float
    text: str
    events: tuple[int, ...] = ()
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    levels: Mapping[str, float] = field(default_factory=dict)
