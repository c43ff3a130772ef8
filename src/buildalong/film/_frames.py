"""The frames of the film: words and exhibits put together, and how one passes into the next.

Only what differs is drawn; what stands still is one frame, said again every two seconds so that a
player finds it.  Times are in frames of 40 ms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import Picture
from buildalong.drawing.screen import Shape, panel
from buildalong.film._pixels import pixels, planes
from buildalong.film._shows import Show
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import FRAME, Timed, Timeline

__all__ = ["Frame", "Frames", "ease"]

FADE, FLY = 5, 10
"""Frames of a crossfade, and of the way of what comes flying."""
HIGH = 120
"""How far above its place that begins, in pixels."""
AGAIN = 50
"""A frame that stands is said again after so many frames."""
IN_EXHIBIT = ("parts", "cautions")
"""Scenes whose points stand in the exhibit."""
Bytes = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Frame:
    """From ``at`` [frames] on this is seen; ``planes`` is YUV 4:2:0; ``key``: a player may start here."""

    at: int
    planes: Bytes
    key: bool = False


class Frames:
    """Makes the frames of one shape, scene by scene."""

    def __init__(self, shape: Shape, board: Storyboard, times: Timeline) -> None:
        self.shape, self.board, self.times = shape, board, times
        self.now: Bytes | None = None
        self._base: tuple[object, Bytes] | None = None

    def scene(self, timed: Timed, shows: Sequence[tuple[Show, Bytes, Bytes | None]]) -> Iterator[Frame]:
        """The frames of a scene; with each show its exhibit, and the layer that comes flying to it."""
        last = timed.end // FRAME
        for index, (show, exhibit, layer) in enumerate(shows):
            at = show.at // FRAME
            until = shows[index + 1][0].at // FRAME if index + 1 < len(shows) else last
            base = self._words(timed, show)
            goal = planes(self._over(base, exhibit))
            key = index == 0
            if layer is not None and index:
                way = min(FLY, max(until - at - FADE, 0))
                before = shows[index - 1][1]
                for step in range(1, way + 1):
                    self.now = planes(self._over(base, _flown(before, layer, ease(step / way))))
                    yield Frame(at, self.now)
                    at += 1
            if self.now is not None and show.enter != "cut":
                for step in range(1, min(FADE, until - at)):
                    yield Frame(at, _mixed(self.now, goal, step / FADE), key)
                    at, key = at + 1, False
            while at < until:
                yield Frame(at, goal, key)
                at, key = at + AGAIN, False
            self.now = goal

    def _words(self, timed: Timed, show: Show) -> Bytes:
        """The frame without its exhibit."""
        key = (timed.scene.id, show.text, show.points)
        if self._base is None or self._base[0] != key:
            self._base = key, pixels(self._panel(timed, show), self.shape.width, self.shape.height)
        return self._base[1]

    def _panel(self, timed: Timed, show: Show) -> Picture:
        scene = timed.scene
        points = scene.points if show.points is None else show.points
        first = scene.kind == "title"
        return panel(
            self.shape,
            scene.title.partition(". ")[2] if scene.step else scene.title,
            kicker="" if first else self.board.title,
            number=scene.step,
            text=show.text or scene.text,
            callout=scene.callout,
            points=() if scene.kind in IN_EXHIBIT or show.text else points,
            boxes=not first,
            share=timed.end / max(self.times.end, 1),
            large=first,
        )

    def _over(self, base: Bytes, exhibit: Bytes) -> Bytes:
        out = base.copy()
        x, y = int(self.shape.exhibit.x), int(self.shape.exhibit.y)
        high, wide = exhibit.shape[:2]
        out[y : y + high, x : x + wide] = exhibit
        return out


def ease(share: float) -> float:
    """Quick first, slow at its end: 0 to 1."""
    return 1 - (1 - share) ** 3


def _mixed(one: Bytes, other: Bytes, share: float) -> Bytes:
    """Two frames through one another, in steps of 1/256."""
    weight = round(share * 256)
    mixed = (one.astype(np.uint16) * (256 - weight) + other.astype(np.uint16) * weight) >> 8
    return mixed.astype(np.uint8)


def _flown(before: Bytes, layer: Bytes, share: float) -> Bytes:
    """The exhibit with a clear layer over it, on its way down to its place."""
    rows, columns = np.flatnonzero(layer[..., 3].any(axis=1)), np.flatnonzero(layer[..., 3].any(axis=0))
    out = before.copy()
    if not rows.size:
        return out
    lift = round(HIGH * (1 - share))
    left, right = int(columns[0]), int(columns[-1]) + 1
    top, bottom = int(rows[0]), int(rows[-1]) + 1
    top = max(top, lift)
    if bottom <= top:
        return out
    part = layer[top:bottom, left:right]
    target = out[top - lift : bottom - lift, left:right]
    alpha = part[..., 3:].astype(np.uint16) * round(256 * min(1.0, 2 * share)) >> 8
    target[:] = ((part[..., :3] * alpha + target * (255 - alpha)) // 255).astype(np.uint8)
    return out
