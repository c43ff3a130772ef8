"""How far a board picture reaches."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from buildalong.drawing._active import reach
from buildalong.drawing._scene import Scene
from buildalong.drawing._wires import Rect

__all__ = ["WIDEST", "extent", "widened"]

MARGIN = 12.0
WIDEST = 769.0
"""How wide labels and row numbers may make a picture: as a board of 400 tie-points beside its supply, which
fills a page of A5 with letters of nine points."""
ROOM = 3.0
"""Between a label and the edge of the picture."""


def extent(scene: Scene, active: Collection[str]) -> Rect:
    """Left, top, right, bottom of the picture: the board, what lies beside it, rays and arching wires."""
    left, top, right, bottom = scene.frame.rectangle
    left, top, right, bottom = left - MARGIN, top - MARGIN, right + MARGIN, bottom + MARGIN
    for beside in scene.beside:
        x0, y0, x1, y1 = beside.rect
        left, top = min(left, x0 - MARGIN), min(top, y0 - MARGIN)
        right, bottom = max(right, x1 + MARGIN), max(bottom, y1 + MARGIN)
    for part in scene.on_board:
        if part.id in active:
            (x, y), far = (scene.poses[part.id].x, scene.poses[part.id].y), reach(part)
            left, top = min(left, x - far), min(top, y - far)
            right, bottom = max(right, x + far), max(bottom, y + far)
    across = scene.frame.view != "turned"
    for line in scene.lines:
        # Along the rows nothing reaches beyond the board; a crop cuts it off.
        if across:
            left, right = (
                min([left, *(p[0] - MARGIN for p in line)]),
                max([right, *(p[0] + MARGIN for p in line)]),
            )
        else:
            top, bottom = (
                min([top, *(p[1] - MARGIN for p in line)]),
                max([bottom, *(p[1] + MARGIN for p in line)]),
            )
    return left, top, right, bottom


def widened(rect: Rect, others: Iterable[Rect]) -> Rect:
    """The rectangle widened to others that stand beyond it, with a little room."""
    left, top, right, bottom = rect
    for x0, y0, x1, y1 in others:
        left, top = min(left, x0 - ROOM), min(top, y0 - ROOM)
        right, bottom = max(right, x1 + ROOM), max(bottom, y1 + ROOM)
    return left, top, right, bottom
