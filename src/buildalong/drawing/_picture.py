"""Picture: a finished drawing with its text alternative."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Picture"]


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG document.

    ``svg`` is a complete ``<svg>`` element that can be written to a file or put into a page as it
    is; ``alt`` says in words what it shows; ``width`` and ``height`` are its size in user units.
    """

    svg: str
    alt: str
    width: float
    height: float
