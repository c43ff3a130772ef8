"""Picture: a finished drawing with its text alternative."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from html import escape

__all__ = ["Picture"]

MM_PER_POINT = 25.4 / 72
_BOX = re.compile(r'viewBox="(-?[\d.]+) (-?[\d.]+) ')
_DESC = re.compile(r"(<desc [^<>]*>)[^<]*")
_SIZE = re.compile(r' width="[^"]*" height="[^"]*"')


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
    head: float = 0.0
    """Where its plot begins above, below the numbers of moments, user units; 0 where it has none."""
    foot: float = 0.0
    """Where its plot ends below, user units; 0 where it has none."""

    def told(self, alt: str) -> Picture:
        """The same picture with another text alternative, where much of its own was read before."""
        return replace(
            self, svg=_DESC.sub(lambda tag: tag[1] + escape(alt, quote=False), self.svg, count=1), alt=alt
        )

    @property
    def box(self) -> tuple[float, float, float, float]:
        """What it shows of its own plane: left, top, width, height in user units."""
        found = _BOX.search(self.svg)
        left, top = (float(found[1]), float(found[2])) if found else (0.0, 0.0)
        return left, top, self.width, self.height

    def placed(self, x: float, y: float, width: float, height: float) -> str:
        """The same drawing as an element inside another one, filling this rectangle of it."""
        size = f' x="{x:.3f}" y="{y:.3f}" width="{width:.3f}" height="{height:.3f}"'
        return _SIZE.sub(size, self.svg, count=1)

    def print_width(self, points: float = 9.0) -> float:
        """The width [mm] at which its smallest text is this large [pt of 1/72 inch]; 0 without text."""
        return self.width * points * MM_PER_POINT / self.smallest_text if self.smallest_text else 0.0
