"""What an author asks of a layout besides fixed legs and wires: where parts stand, what stays free."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from buildalong.board import Area
from buildalong.build.place._gentle import Hurts
from buildalong.build.place._ground import Box
from buildalong.build.place._units import Unit

__all__ = ["Wishes"]

_EDGE = 0.4
"""Half the width of what lies on the outermost holes of an area [pitches]."""


@dataclass(frozen=True)
class Wishes:
    """What an author wishes of the board.

    ``areas``: part id -> the piece of the board in which all its legs stand; ``free``: pieces that no leg,
    body or formed wire touches; ``hurts``: what comes of slips of the hand, where a layout is wanted in which
    the likely ones do little harm.
    """

    areas: Mapping[str, Area] = field(default_factory=dict)
    free: tuple[Area, ...] = ()
    hurts: Hurts | None = None

    def __bool__(self) -> bool:
        """Whether any place is asked for."""
        return bool(self.areas or self.free)

    def kept(self, unit: Unit) -> Unit:
        """The unit with those of its places that the wishes allow."""
        g = unit.geometry
        x, y = g.x[unit.holes], g.y[unit.holes]
        good = np.ones(len(unit), bool)
        for leg, (part, _) in enumerate(unit.legs):
            if (area := self.areas.get(part)) is not None:
                good &= (x[:, leg] >= area.x0) & (x[:, leg] <= area.x1)
                good &= (y[:, leg] >= area.y0) & (y[:, leg] <= area.y1)
        for area in self.free:
            good &= ~((x >= area.x0) & (x <= area.x1) & (y >= area.y0) & (y <= area.y1)).any(axis=1)
            left, top, right, bottom = np.moveaxis(unit.boxes, -1, 0)
            over = (left < area.x1) & (right > area.x0) & (top < area.y1) & (bottom > area.y0)
            good &= ~over.any(axis=1)
        if good.all():
            return unit
        return unit.only(np.flatnonzero(good))

    def closed(self, rows: float) -> tuple[Box, ...]:
        """The pieces that no wire may touch, as far as the board goes."""
        return tuple(
            Box(
                max(area.x0, -6.0) - _EDGE,
                max(area.y0, -1.0) - _EDGE,
                min(area.x1, 17.0) + _EDGE,
                min(area.y1, rows + 2.0) + _EDGE,
            )
            for area in self.free
        )
