"""A lesson in short: what its course tells of it, without the modules of a whole page."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Card"]


@dataclass(frozen=True, slots=True)
class Card:
    """A lesson in short, for the page of its course; ``facts``: name and value."""

    title: str
    summary: str
    language: str
    facts: tuple[tuple[str, str], ...]
