"""What a close-up shows: its boards, and the window that both have in common."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing._frame import PITCH, Point
from buildalong.drawing._ground import MARK
from buildalong.drawing._labels import PAD_X
from buildalong.drawing._marks import counted
from buildalong.drawing._palette import NetColour
from buildalong.drawing._scene import Scene
from buildalong.drawing._wires import Rect, around
from buildalong.drawing._words import leg_in_hole, leg_words
from buildalong.drawing.bodies._beside import lead_colour

__all__ = ["EDGE", "SEEN", "Pane", "Panel", "leads_from_outside", "window_of"]

SPARE = (1.7, 1.3)
"""Pitches shown around holes and bodies: sideways, and along the rows, where labels stand."""
LEAST = (6.4, 4.4)
"""Pitches shown at least, wide enough for words beside the holes, and room for one above and below."""
MORE = 2.0
"""Pitches shown more along the rows where a rail's hole is named, which takes longer words."""
SEEN, EDGE = 5.0, 7.0
"""So much of a leader is seen at least between a label and its hole; so far off the sides a label keeps:
user units."""
BESIDE, WIDEST = (1.1, 0.65), 11.5
"""Pitches shown outwards of rails whose words stand inwards of them, and from their holes to the words;
the most that a window is wide for such words: longer ones stand above and below the holes."""
NUMBER = 1.2
"""Pitches shown at least around the number on a rail from which one counts."""


@dataclass(frozen=True)
class Panel:
    """One of the two boards: what stands on it, the words for it, and the colours of its strips.

    ``place`` is where the part belongs, if it stands elsewhere: its outline is drawn.  ``holes`` are those
    that matter on either board: they are numbered first.  With ``named`` labels name the hole too.
    """

    good: bool
    scene: Scene
    part: Part | None
    tints: Mapping[str, NetColour]
    place: Scene | None = None
    holes: tuple[str, ...] = ()
    named: bool = False


@dataclass(frozen=True)
class Pane:
    """Where a window on the board stands on the page: its left upper corner ``at``, enlarged by ``scale``."""

    window: Rect
    scale: float
    at: Point

    @property
    def shown(self) -> Rect:
        """The window on the page."""
        return self.rect(self.window)

    def point(self, point: Point) -> Point:
        """A place of the board on the page."""
        (x, y), (left, top) = point, self.window[:2]
        return self.at[0] + (x - left) * self.scale, self.at[1] + (y - top) * self.scale

    def rect(self, rect: Rect) -> Rect:
        """A rectangle of the board on the page."""
        return *self.point(rect[:2]), *self.point(rect[2:])

    def line(self, line: Iterable[Point]) -> list[Point]:
        """A line of the board on the page."""
        return [self.point(point) for point in line]


def leads_from_outside(scene: Scene, window: Rect) -> Iterator[tuple[str, list[Point]]]:
    """The colour and the run of each lead of a part beside the board, from beyond the window to its hole.

    They come in over the nearest edge.
    """
    x0, _, x1, _ = scene.frame.rectangle
    for part in scene.circuit.parts:
        if part.type.body.kind != "off-board" or part.id not in scene.layout.holes:
            continue
        points = [scene.frame.hole(hole) for hole in scene.layout.holes[part.id]]
        heights = sorted(y for _, y in points)
        beyond = window[2] + 30 if points[0][0] > (x0 + x1) / 2 else window[0] - 30
        for (x, y), terminal in zip(points, part.type.terminals, strict=True):
            far = (beyond, y + (heights.index(y) * 2 - 1) * 14)
            line = [(far[0] + (x - far[0]) * t / 8, far[1] + (y - far[1]) * t / 8) for t in range(9)]
            yield lead_colour(terminal.role), line


def window_of(panels: Sequence[Panel], holes: Sequence[str], room: float) -> Rect:
    """The rectangle in user units that both panels show: holes and bodies with some room around.

    ``room`` is the width of a panel on the page.
    """
    frame = panels[0].scene.frame
    points = [frame.hole(hole) for hole in holes]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    right, bottom = max(x for x, _ in points), max(y for _, y in points)
    for panel in panels:
        for part in (scene := panel.scene).on_board:
            x0, y0, x1, y1 = scene.body_rect(part)
            left, top = min(left, x0 + PITCH), min(top, y0 + PITCH * 0.8)
            right, bottom = max(right, x1 - PITCH), max(bottom, y1 - PITCH * 0.8)
    across, along = (pitches * PITCH for pitches in SPARE)
    left, top, right, bottom = left - across, top - along, right + across, bottom + along
    named = _ends_of_rail_words(panels, holes, room)
    if named:
        left, right = named
    least = (LEAST[0], LEAST[1] + MORE * any(hole[0] in "LR" for hole in holes) * (not named))
    wide, high = (
        max(0.0, pitches * PITCH - shown)
        for pitches, shown in zip(least, (right - left, bottom - top), strict=True)
    )
    edge = frame.rectangle
    # What is wider than needed is so first where words stand level with their leads.
    first, last = _ends_of_words(panels, LEAST[0] * PITCH / room)
    more = [min(wide, max(0.0, far)) for far in (left - first, last - right)]
    rest = max(0.0, wide - sum(more)) / 2
    left, right = left - more[0] - rest, right + more[1] + rest
    top, bottom = top - high / 2, bottom + high / 2
    for x0, y0, x1, y1 in counted(frame, holes):
        x, y, far = (x0 + x1) / 2, (y0 + y1) / 2, NUMBER * PITCH
        left, top = min(left, x - far), min(top, y - far)
        right, bottom = max(right, x + far), max(bottom, y + far)
    # Its sides run between the holes, and not upon the line of a rail.
    (x0, y0), (x1, y1) = sorted((frame.place(left, top), frame.place(right, bottom)))
    ends = ((_beside(x0, -1), _beside(y0)), (_beside(x1, 1), _beside(y1)))
    left, top, right, bottom = around(frame.point(*end) for end in ends)
    return left, max(top, edge[1] - 6), right, min(bottom, edge[3] + 6)


def _ends_of_rail_words(panels: Sequence[Panel], holes: Sequence[str], room: float) -> Point | None:
    """From where to where a window reaches that shows words inwards of the rails: over none of their holes.

    One counts along them.  None where holes of strips or of both sides matter, or words are too long.
    """
    part, frame = panels[0].part, panels[0].scene.frame
    if part is None or frame.view == "turned" or {hole[0] for hole in holes} not in ({"L"}, {"R"}):
        return None
    widest = max(
        _text.width(leg_in_hole(leg, hole), MARK, "bold")
        for hole in holes for leg in leg_words(part)
    )  # fmt: skip
    share = (widest + 2 * PAD_X + EDGE) / room
    side = holes[0][0]
    xs = [frame.hole(f"{side}{sign}1")[0] for sign in "+-"]
    low, high = min(xs), max(xs)
    outer, gap = (pitches * PITCH for pitches in BESIDE)
    wide = (high - low + outer + gap) / (1 - share) if share < 1 else math.inf
    if wide > WIDEST * PITCH:
        return None
    inwards = frame.hole("e1")[0] > low
    return (low - outer, low - outer + wide) if inwards else (high + outer - wide, high + outer)


def _ends_of_words(panels: Sequence[Panel], unit: float) -> Point:
    """How far to the left or right a word level with its lead reaches; inwards of all where none stands.

    Words of leads in one column stand on the side where they hide fewer holes.  ``unit`` is the length on
    the board of one unit of the page.
    """
    part, frame = panels[0].part, panels[0].scene.frame
    nowhere = (math.inf, -math.inf)
    scenes = [panel.scene for panel in panels if part in panel.scene.on_board]
    if part is None or not scenes:
        return nowhere
    words = leg_words(part)
    told = {
        frame.hole(hole)
        for scene in scenes
        for hole, word in zip(scene.layout.holes[part.id], words, strict=False)
        if word
    }
    if len({round(x, 3) for x, _ in told}) != 1:
        return nowhere
    widest = max(_text.width(word, MARK, "bold") for word in words)
    far = (widest + 2 * PAD_X + 2 * SEEN + EDGE) * unit
    bodies = [scene.body_rect(part) for scene in scenes]
    left, right = min(rect[0] for rect in bodies), max(rect[2] for rect in bodies)
    rows = {round(y, 3) for _, y in told}
    places = [frame.hole(hole) for hole in frame.board.holes]
    hidden = [
        sum(low < x < high and round(y, 3) in rows for x, y in places)
        for low, high in ((left - far, left), (right, right + far))
    ]
    return (left - far, -math.inf) if hidden[0] <= hidden[1] else (math.inf, right + far)


def _beside(place: float, outward: int = 0) -> float:
    """The nearest place between two holes [pitches]; beyond the columns a little outwards."""
    middle = math.floor(place) + 0.5
    return middle if 0 < middle < 11 else middle + outward * 0.27
