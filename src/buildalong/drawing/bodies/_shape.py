"""What a body is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.circuit import Part
from buildalong.drawing._frame import Point
from buildalong.drawing._look import Look
from buildalong.drawing._pen import Pen

__all__ = ["Body"]


@dataclass(frozen=True)
class Body:
    """A part to draw: ``pen`` is in its local frame, ``legs`` are its holes there, in user units."""

    pen: Pen
    part: Part
    look: Look
    legs: tuple[Point, ...]
    named: bool = True
    """On a board: an IC shows its reference besides its print, a trimmer no print."""

    @property
    def length(self) -> float:
        """Along the line of the leads, in user units."""
        return self.part.type.body.length * 10

    @property
    def width(self) -> float:
        """Across it, in user units."""
        return self.part.type.body.width * 10
