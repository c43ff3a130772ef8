"""How each part can join strips: the offsets between its legs, whatever the columns.

A strip in a row is one whole number, its *place*: the row on the left of the trench, the row plus FAR
on the right.  Two strips of one side then differ by the rows between them, two strips of one row by FAR.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.build.place._ground import PITCH
from buildalong.circuit import Part

__all__ = [
    "FAR",
    "LONG_ROW",
    "Frame",
    "Span",
    "frame_of",
    "gaps",
    "lamp_frame",
    "place_name",
    "place_of",
    "span_of",
]

LONG_ROW, GAPS = 8, range(5, 13)
"""Lamps from which on a row may be parted in its middle, for an IC to stand there; the rows left open."""
FAR = 128
"""Between the places of the two strips of a row; more than any board has rows."""
COLUMNS = (0, 1, 2, 3, 4, 7, 8, 9, 10, 11)
TRENCH = (3, 11)
"""Least and most pitches between a hole on the left and one on the right."""
RAIL = {"inner": (3, 7), "outer": (4, 8)}
"""Pitches from the five columns of a side to its inner and its outer rail."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A stiff set of legs: each turn is one offset of place for every leg, from its upper row on."""

    turns: tuple[tuple[int, ...], ...]
    straddles: bool

    def rows(self, turn: int) -> int:
        """Rows that a turn takes."""
        return max(offset % FAR for offset in self.turns[turn]) + 1

    @property
    def reversible(self) -> bool:
        """Whether each turn upside down, as a mirror shows it, is a turn too; never across the trench."""
        if self.straddles:
            return False
        last = [self.rows(k) - 1 for k in range(len(self.turns))]
        return {
            tuple(offset // FAR * FAR + end - offset % FAR for offset in turn)
            for turn, end in zip(self.turns, last, strict=True)
        } == set(self.turns)


@dataclass(frozen=True, slots=True)
class Span:
    """A two-legged part: least and most pitches between its leads, and what that lets it reach."""

    least: int
    most: int
    supply: bool = False

    @property
    def across(self) -> bool:
        """Whether it can bridge the trench."""
        return not self.supply and self.least <= TRENCH[1] and self.most >= TRENCH[0]

    @property
    def between_rails(self) -> bool:
        """Whether it can lie between the two rails of a pair."""
        return self.supply or self.least <= 1 <= self.most

    def reaches(self, rail: str) -> bool:
        """Whether it reaches from a row to the rail 'L+', 'L-', 'R+' or 'R-'."""
        low, high = RAIL["outer" if rail in ("L+", "R-") else "inner"]
        return not self.supply and self.least <= high and self.most >= low


def frame_of(part: Part) -> Frame:
    """The turns of a rigid part, upper row first."""
    legs = [leg.at for leg in part.type.body.legs]
    straddles = part.type.body.straddles
    turns: dict[tuple[int, ...], None] = {}
    for spots in (
        legs,
        [(-x, -y) for x, y in legs],
        [(-y, x) for x, y in legs],
        [(y, -x) for x, y in legs],
    ):
        left, top = min(x for x, _ in spots), min(y for _, y in spots)
        for column in COLUMNS:
            xs = [column + x - left for x, _ in spots]
            if any(x not in COLUMNS for x in xs) or (straddles and not min(xs) < 5.5 < max(xs)):
                continue
            turns.setdefault(tuple(y - top + FAR * (x > 5.5) for x, (_, y) in zip(xs, spots, strict=True)))
    return Frame(tuple(turns), straddles)


def span_of(part: Part, leads_apart: int) -> Span:
    """What a two-legged part can reach; for a supply the rows between its leads."""
    if part.type.body.kind == "off-board":
        return Span(1, leads_apart, supply=True)
    return Span(*part.type.body.span)


def lamp_frame(parts: Sequence[Part], gap: int = 0) -> Frame:
    """A row of like lamps in one column: either order, either way round, each distance of leads.

    ``gap``: rows left open in its middle.
    """
    body = parts[0].type.body
    least, most = body.span
    pitch = max(math.ceil(body.length / PITCH - 1e-6), least + 1)
    turns = []
    for span in range(least, min(most, pitch - 1) + 1):
        for side in (0, FAR):
            for down in (True, False):
                for first in (0, span):
                    turn: list[int] = []
                    for number in range(len(parts)):
                        place = number if down else len(parts) - 1 - number
                        row = pitch * place + gap * (place >= len(parts) // 2)
                        turn += [side + row + first, side + row + span - first]
                    turns.append(tuple(turn))
    return Frame(tuple(turns), straddles=False)


def gaps(count: int) -> tuple[int, ...]:
    """Rows that a row of so many lamps may leave open in its middle."""
    return (0, *GAPS) if count >= LONG_ROW else (0,)


def place_of(strip: str) -> int:
    """The place of a strip such as '12L'."""
    return int(strip[:-1]) + FAR * (strip[-1] == "R")


def place_name(place: int) -> str:
    """The strip at a place."""
    return f"{place - FAR}R" if place > FAR else f"{place}L"
