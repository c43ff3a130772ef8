"""Picture: a finished drawing with its text alternative."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Picture"]

MM_PER_POINT = 25.4 / 72


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
    smallest_text: float = 0.0
    """Size of the smallest text in it, user units; 0 where it has none."""

    def print_width(self, points: float = 9.0) -> float:
        """The width [mm] at which its smallest text is this large [pt of 1/72 inch]; 0 without text."""
        return self.width * points * MM_PER_POINT / self.smallest_text if self.smallest_text else 0.0
