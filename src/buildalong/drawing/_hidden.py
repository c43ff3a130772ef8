"""What stands out of sight in the tilted view: how much of it, and its dashed way.

As in a technical drawing what is hidden is dashed (ISO 128-2, hidden edges): a part of which less than
half is in sight, and a wire from where it goes out of sight to its hole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import Point
from buildalong.drawing._strands import Block
from buildalong.drawing._svg import Svg
from buildalong.drawing._tilt import Eye, Space, within

__all__ = [
    "MOSTLY",
    "Front",
    "Way",
    "draw_dashed",
    "out_of_sight",
    "shown_of",
    "unseen_outline",
    "way_of",
]

EACH = 4.0
"""Length of the pieces into which a line is cut."""
LEAST = 24.0
"""What is hidden and is shorter, not two dashes long, is told by what is seen of it."""
MOSTLY = 0.5
"""Of a part of which less is in sight the outline is dashed."""
DASH = "7 5"
THICK, RIM = 3.2, 6.4
"""Width of a dash, and of the paler or darker one below it."""


@dataclass(frozen=True)
class Front:
    """What hides: a part as a block in space, and its outline on the page."""

    block: Block
    outline: Sequence[Point]


@dataclass(frozen=True)
class Way:
    """The run of a wire in short pieces on the page, and which of its places are out of sight."""

    line: tuple[Point, ...]
    hidden: NDArray[np.bool_]

    @property
    def share(self) -> float:
        """How much of it is out of sight, 0 to 1."""
        return float(self.hidden.mean())

    def ends(self) -> Iterator[tuple[Point, ...]]:
        """From each hole that is out of sight to where the wire comes into sight; all of it at once."""
        runs = [(dark, len(list(each))) for dark, each in groupby(self.hidden.tolist())]
        if all(dark for dark, _ in runs):
            yield self.line
            return
        if runs[0][0]:
            yield self.line[: runs[0][1] + 1]
        if runs[-1][0]:
            yield self.line[-runs[-1][1] - 1 :]


def way_of(points: Sequence[Space], eye: Eye, fronts: Sequence[Front], *, lying: bool) -> Way:
    """Where a wire runs on the page and what is hidden: of a ``lying`` one all over which a part is drawn."""
    fine: list[Space] = []
    for a, b in pairwise(points):
        count = max(1, round(float(np.linalg.norm(np.subtract(a, b))) / EACH))
        fine += [
            (
                a[0] + (b[0] - a[0]) * k / count,
                a[1] + (b[1] - a[1]) * k / count,
                a[2] + (b[2] - a[2]) * k / count,
            )
            for k in range(count)
        ]
    fine.append(points[-1])
    line = tuple(eye.project(*at) for at in fine)
    hidden = np.zeros(len(line), bool)
    for front in fronts:
        for n in np.flatnonzero(within(front.outline, line) > 0):
            hidden[n] |= lying or front.block.hides(fine[n])
    return Way(line, hidden)


def shown_of(outline: Sequence[Point], fronts: Sequence[Sequence[Point]]) -> float:
    """How much of an outline's area no outline before it covers, 0 to 1."""
    xs, ys = zip(*outline, strict=True)
    places = [
        (min(xs) + (max(xs) - min(xs)) * u / 16, min(ys) + (max(ys) - min(ys)) * v / 16)
        for v in range(1, 16) for u in range(1, 16)
    ]  # fmt: skip
    inner = [places[n] for n in np.flatnonzero(within(outline, places) > 0)]
    covered = np.zeros(len(inner), bool)
    for front in fronts:
        covered |= within(front, inner) > 0
    return 1.0 - float(covered.mean())


def unseen_outline(outline: Sequence[Point], fronts: Sequence[Sequence[Point]]) -> list[tuple[Point, ...]]:
    """Stretches of an outline that lie behind others, long enough for two dashes."""
    flat = [(x, y, 0.0) for x, y in (*outline, outline[0])]
    line: list[Point] = []
    for (xa, ya, _), (xb, yb, _) in pairwise(flat):
        count = max(1, round(float(np.hypot(xb - xa, yb - ya)) / EACH))
        line += [(xa + (xb - xa) * k / count, ya + (yb - ya) * k / count) for k in range(count)]
    hidden = np.zeros(len(line), bool)
    for front in fronts:
        hidden |= within(front, line) > 0
    runs: list[tuple[Point, ...]] = []
    at = 0
    for dark, each in groupby(hidden.tolist()):
        many = len(list(each))
        if dark:
            runs.append(tuple((*line, line[0])[at : at + many + 1]))
        at += many
    return [run for run in runs if _length(run) >= LEAST]


def out_of_sight(way: Way) -> list[tuple[Point, ...]]:
    """The stretches of a wire to be dashed."""
    return [run for run in way.ends() if _length(run) >= LEAST]


def draw_dashed(svg: Svg, line: Sequence[Point], colour: str) -> None:
    """A dashed line over whatever stands before it."""
    for ink, thick in ((palette.readable_on(colour), RIM), (colour, THICK)):
        svg.polyline(
            line, fill="none", stroke=ink, stroke_width=thick, stroke_dasharray=DASH, stroke_linejoin="round"
        )


def _length(line: Sequence[Point]) -> float:
    return float(np.hypot(*np.diff(np.array(line), axis=0).T).sum())
