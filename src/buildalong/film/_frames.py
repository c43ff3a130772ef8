"""The frames of the film: words and exhibits put together, and how one passes into the next.

Only what differs is drawn; what stands still is one frame, said again every two seconds so that a
player finds it.  Times are in frames of 40 ms.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from buildalong.drawing import Picture
from buildalong.drawing.screen import EXHIBIT, Shape, panel
from buildalong.film._pixels import Bytes, clear_pixels, laid_in, pixels, planes
from buildalong.film._shows import Show
from buildalong.film._storyboard import Storyboard
from buildalong.film._timing import FRAME, Timed, Timeline
from buildalong.publish import Crew

__all__ = ["Frame", "Frames", "Seen", "ease", "exhibits_of"]

FADE, FLY = 5, 10
"""Frames of a crossfade, and of the way of what comes flying."""
HIGH = 120
"""How far above its place that begins, in pixels."""
AGAIN = 50
"""A frame that stands is said again after so many frames."""
IN_EXHIBIT = ("parts", "cautions")
"""Scenes whose points stand in the exhibit."""


@dataclass(frozen=True, eq=False)
class Frame:
    """From ``at`` [frames] on this is seen; ``planes`` is YUV 4:2:0; ``key``: a player may start here."""

    at: int
    planes: Bytes
    key: bool = False


Drawn = tuple[Bytes, list[Bytes]]
"""An exhibit as planes, and the same while what comes next flies to it."""


class Seen(NamedTuple):
    """A show whose exhibit is being drawn, by this process or another."""

    show: Show
    drawn: Callable[[], Drawn]


def exhibits_of(timed: Timed, shows: Sequence[Show], crew: Crew) -> list[Seen]:
    """Begin to draw the exhibits of a scene, each once; they serve all shapes."""
    begun: dict[object, Callable[[], Drawn]] = {}
    out: list[Seen] = []
    for index, show in enumerate(shows):
        after = shows[index + 1] if index + 1 < len(shows) else None
        flies = after is not None and after.layer is not None
        way = max(min(FLY, (_until(timed, shows, index + 1) - after.at // FRAME) - FADE), 0) if after else 0
        key = show.key, after.key if after and flies else "", way if flies else 0
        if key not in begun:
            layer = after.layer() if after and after.layer else None
            begun[key] = cache(crew.start(_exhibit, show.draw(), layer, way).result)
        out.append(Seen(show, begun[key]))
    return out


def _exhibit(picture: Picture, layer: Picture | None, frames: int) -> Drawn:
    seen = pixels(picture, *EXHIBIT)
    if layer is None:
        return planes(seen), []
    comes = clear_pixels(layer, *EXHIBIT)
    shares = [ease(step / frames) for step in range(1, frames + 1)]
    return planes(seen), [planes(_flown(seen, comes, share)) for share in shares]


def _until(timed: Timed, shows: Sequence[Show], index: int) -> int:
    """When the next show begins, or the scene ends [frames]."""
    return (shows[index + 1].at if index + 1 < len(shows) else timed.end) // FRAME


class Frames:
    """Makes the frames of one shape, scene by scene."""

    def __init__(self, shape: Shape, board: Storyboard, times: Timeline) -> None:
        self.shape, self.board, self.times = shape, board, times
        self.now: Bytes | None = None

    def words(self, timed: Timed, shows: Sequence[Show], crew: Crew) -> list[Callable[[], Bytes]]:
        """Begin to draw what is beside the exhibit in each show."""
        begun: dict[object, Callable[[], Bytes]] = {}
        for show in shows:
            key = show.text, show.points
            if key not in begun:
                size = self.shape.width, self.shape.height
                begun[key] = cache(crew.start(_panel, self.panel(timed, show), *size).result)
        return [begun[show.text, show.points] for show in shows]

    def scene(
        self, timed: Timed, seen: Sequence[Seen], words: Sequence[Callable[[], Bytes]]
    ) -> Iterator[Frame]:
        """The frames of a scene."""
        x, y = int(self.shape.exhibit.x), int(self.shape.exhibit.y)
        shows = [each.show for each in seen]
        for index, show in enumerate(shows):
            at, until = show.at // FRAME, _until(timed, shows, index)
            base = words[index]()
            goal = laid_in(base, seen[index].drawn()[0], x, y)
            key = index == 0
            for flown in seen[index - 1].drawn()[1] if index else ():
                self.now = laid_in(base, flown, x, y)
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

    def panel(self, timed: Timed, show: Show) -> Picture:
        """The frame without its exhibit."""
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


def _panel(picture: Picture, width: int, height: int) -> Bytes:
    return planes(pixels(picture, width, height))


def ease(share: float) -> float:
    """Quick first, slow at its end: 0 to 1."""
    return 1 - (1 - share) ** 3


def _mixed(one: Bytes, other: Bytes, share: float) -> Bytes:
    """Two frames through one another, in steps of 1/256."""
    weight = round(share * 256)
    rows = np.flatnonzero((one != other).any(axis=1))
    out = one.copy()
    if rows.size:
        some = slice(int(rows[0]), int(rows[-1]) + 1)
        mixed = one[some].astype(np.uint16) * np.uint16(256 - weight) + other[some] * np.uint16(weight)
        out[some] = mixed >> 8
    return out


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
