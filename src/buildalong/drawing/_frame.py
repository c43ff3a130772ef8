"""From holes to points of the picture, and from a part's holes to its pose.

One user unit is a tenth of a millimetre.  Seen from above ("top") the rows run down the page and
the columns a to j from left to right; "turned" is the same board turned a quarter turn to the
left: row 1 on the left, column j on top; "half-turned" has row 1 at the bottom and column j on the left.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from buildalong.board import PITCH_MM, Board
from buildalong.circuit import Part

__all__ = ["PITCH", "Frame", "Point", "Pose", "View", "pose"]

Point = tuple[float, float]
View = Literal["top", "turned", "half-turned"]

PITCH = PITCH_MM * 10
"""Hole distance in user units."""
EDGE_ALONG, EDGE_ALONG_BARE = 47.0, 31.8
"""From the first row to the edge, with rails (83 mm for 30 rows) and without (47 mm for 17 rows)."""
TEAR, TEAR_SLICED = 1.75, 1.85
"""Pitches from the last row shown to the torn edge of a crop, and of one that slices what goes on beyond."""
LETTERS, LETTERS_SLICED, LETTERS_BARE = 0.98, 1.12, 0.8
"""Pitches from the last row shown to the middle of the letters and of the signs of rails; where stubs of what
goes on beyond a torn edge end before them; on a board without rails."""
CUT = 0.6
"""Pitches from the last row shown to where parts and wires that go on beyond a torn edge are cut off."""
DEPTH = 0.25
"""How deep the points are in which they end there [pitches]."""
SPARE = 0.6
"""Pitches around the rows shown in which a hole still counts as shown."""
EDGE_RAIL, EDGE_BARE = 34.0, 35.0
"""From the outermost column of holes to the edge, with and without rails (55 mm and 35 mm wide)."""


@dataclass(frozen=True)
class Frame:
    """Places of a board in the picture; ``first`` and ``last`` are the rows shown (a crop).

    ``sliced`` where parts or wires go on beyond them.
    """

    board: Board
    view: View = "top"
    first: int = 1
    last: int = 0
    sliced: bool = False

    def point(self, x: float, y: float) -> Point:
        """A place in pitches as a point of the picture."""
        across, along = x * PITCH, (y - 1) * PITCH
        if self.view == "half-turned":
            return -across, -along
        return (across, along) if self.view == "top" else (along, -across)

    def place(self, x: float, y: float) -> Point:
        """A point of the picture as a place in pitches; undoes :meth:`point`."""
        if self.view == "half-turned":
            x, y = -x, -y
        elif self.view == "turned":
            x, y = -y, x
        return x / PITCH, y / PITCH + 1

    def hole(self, name: str) -> Point:
        """The centre of a hole; raises KeyError."""
        return self.point(*self.board.holes[name])

    @property
    def torn(self) -> tuple[bool, bool]:
        """Whether the board goes on before the first row shown, and after the last."""
        return self.first > 1, 0 < self.last < self.board.rows

    @property
    def letters(self) -> tuple[float, float]:
        """Pitches from the first and from the last row shown to the middle of the letters there."""
        usual = LETTERS if self.board.rail_holes else LETTERS_BARE
        before, after = (LETTERS_SLICED if torn and self.sliced else usual for torn in self.torn)
        return before, after

    @property
    def edges(self) -> tuple[float, float, float, float]:
        """The board in pitches: least x, least y, greatest x, greatest y (of the rows shown)."""
        side = (EDGE_RAIL if self.board.rail_holes else EDGE_BARE) / PITCH
        least, most = (-4.0, 15.0) if self.board.rail_holes else (0.0, 11.0)
        along = (EDGE_ALONG if self.board.rail_holes else EDGE_ALONG_BARE) / PITCH
        tear = TEAR_SLICED if self.sliced else TEAR
        top = self.first - (tear if self.torn[0] else along)
        bottom = (self.last or self.board.rows) + (tear if self.torn[1] else along)
        return least - side, top, most + side, bottom

    @property
    def rectangle(self) -> tuple[float, float, float, float]:
        """The board in user units: left, top, right, bottom."""
        x0, y0, x1, y1 = self.edges
        corners = (self.point(x0, y0), self.point(x1, y1))
        xs, ys = sorted(p[0] for p in corners), sorted(p[1] for p in corners)
        return xs[0], ys[0], xs[1], ys[1]

    @property
    def kept(self) -> tuple[float, float, float, float]:
        """What a crop leaves of parts and wires [user units]: they end before the letters of a torn edge."""
        x0, y0, x1, y1 = self.edges
        last = self.last or self.board.rows
        least = self.first - CUT if self.first > 1 else y0
        most = last + CUT if last < self.board.rows else y1
        corners = (self.point(x0 - 16, least), self.point(x1 + 16, most))
        xs, ys = sorted(p[0] for p in corners), sorted(p[1] for p in corners)
        return xs[0], ys[0], xs[1], ys[1]

    @property
    def ragged(self) -> list[Point]:
        """The outline of :attr:`kept`, with a tooth on each half column where the board is torn.

        What is cut off there ends in a point: it is seen to go on.
        """
        x0, y0, x1, y1 = self.edges
        xs = [n / 4 for n in range(math.floor(4 * x0) - 1, math.ceil(4 * x1) + 2)]
        ends = ((self.first - CUT, DEPTH, y0, xs), (self.last + CUT, -DEPTH, y1, xs[::-1]))
        return [
            self.point(x, end + depth * (2 * x % 1 > 0) if torn else rim)
            for torn, (end, depth, rim, line) in zip(self.torn, ends, strict=True)
            for x in line
        ]

    def inside(self, x: float, y: float) -> bool:
        """Whether a point of the picture lies on the board shown."""
        left, top, right, bottom = self.rectangle
        return left < x < right and top < y < bottom

    def reaches(self, rows: Iterable[float]) -> bool:
        """Whether what lies between these rows [pitches] comes into the rows shown."""
        ys = list(rows)
        return max(ys) >= self.first - SPARE and min(ys) <= (self.last or self.board.rows) + SPARE

    def shows(self, name: str) -> bool:
        """Whether a hole lies in the rows shown."""
        last = self.last or self.board.rows
        y = self.board.holes[name][1]
        if name[0] in "LR" and self.first == 1 and last == self.board.rows:
            return True
        return self.first - SPARE <= y <= last + SPARE


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a body stands: its legs' middle, its turn [degrees, clockwise], its legs seen from there.

    For a part with two free leads the local x axis runs from the first to the second; for a rigid
    part it is the 'across' of its legs and y the 'along'.
    """

    x: float
    y: float
    angle: float
    legs: tuple[Point, ...]

    def place(self, point: Point) -> Point:
        """A local point in the picture."""
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return self.x + point[0] * cos - point[1] * sin, self.y + point[0] * sin + point[1] * cos


def pose(part: Part, points: Sequence[Point]) -> Pose:
    """The pose of a part whose legs stand at these points, in the order of ``type.leg_terminals``."""
    x = sum(p[0] for p in points) / len(points)
    y = sum(p[1] for p in points) / len(points)
    legs = part.type.body.legs
    if legs and len(legs) == len(points):
        mean = (sum(leg.at[0] for leg in legs) / len(legs), sum(leg.at[1] for leg in legs) / len(legs))
        ideal = [(leg.at[0] - mean[0], leg.at[1] - mean[1]) for leg in legs]
    else:
        ideal = [(index - (len(points) - 1) / 2, 0.0) for index in range(len(points))]
    # The turn that brings the ideal legs nearest to the real ones (least squares in the plane).
    real = [(p[0] - x, p[1] - y) for p in points]
    dot = sum(a[0] * b[0] + a[1] * b[1] for a, b in zip(ideal, real, strict=True))
    cross = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ideal, real, strict=True))
    angle = round(math.degrees(math.atan2(cross, dot)), 2) + 0.0
    cos, sin = math.cos(math.radians(-angle)), math.sin(math.radians(-angle))
    local = tuple((a * cos - b * sin, a * sin + b * cos) for a, b in real)
    return Pose(x, y, angle, local)
