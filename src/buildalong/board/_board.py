"""Solderless breadboards: holes with names, places on the 2.54 mm grid, and strips.

Rows are numbered along the board; in each row the holes a-e are one strip and f-j another, with
the trench between e and f.  Holes on a rail are named by side, sign and number: ``L+3`` is the
third hole of the left plus rail.  Rails lie beside the rows: left of column a and right of j.

Sizes: pitch 2.54 mm (read: wire and board maker's sheets), e-f 7.62 mm (from memory: a 0.3 inch
DIP straddles it); 400 tie-points are 30 rows and four rails of 25; 830 are 63 rows and four rails
of 50; 170 are 17 rows without rails (read: makers' sheets).  Rails in groups of five with a gap,
out of line with the rows, and broken in the middle on many full-size boards: common practice.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Literal

__all__ = ["LETTERS", "PITCH_MM", "TRENCH_X", "Board", "board", "boards", "split_twin"]

LETTERS = "abcdefghij"
PITCH_MM = 2.54
"""Distance between neighbouring holes [mm]."""
TRENCH_X = 5.5
"""The middle of the trench [pitches], halfway between the columns e and f."""

_X = dict(zip(LETTERS, (0, 1, 2, 3, 4, 7, 8, 9, 10, 11), strict=True))
_RAIL_X = {"L+": -4, "L-": -3, "R+": 14, "R-": 15}
_GROUP = 5
"""Holes of a rail that stand together before a gap of one pitch."""

_ROW_HOLE = re.compile(r"([a-z])(\d{1,4})", re.IGNORECASE)
_RAIL_HOLE = re.compile(r"([LR])([+\-−])(\d{1,4})", re.IGNORECASE)


@dataclass(frozen=True)
class Board:
    """A board type.

    ``rail_holes``: holes of each of the four rails, 0 where the board has none; ``split_rails``:
    each rail is interrupted in the middle; ``size_mm``: width across the rows and length along them.
    """

    name: str
    rows: int
    rail_holes: int = 0
    split_rails: bool = False
    size_mm: tuple[float, float] = (0.0, 0.0)

    @cached_property
    def rails(self) -> tuple[str, ...]:
        """Names of the rails from left to right: 'L+', 'L-', 'R+', 'R-'; empty where there are none."""
        return tuple(_RAIL_X) if self.rail_holes else ()

    @cached_property
    def holes(self) -> dict[str, tuple[float, float]]:
        """Hole name -> (x, y) in pitches; x grows from column a to j, y with the row number."""
        out: dict[str, tuple[float, float]] = {}
        for row in range(1, self.rows + 1):
            for letter in LETTERS:
                out[f"{letter}{row}"] = (_X[letter], row)
        # Groups of five with one pitch between them, centred on the rows.
        length = self.rail_holes + self.rail_holes // _GROUP - 1
        first = 1 + (self.rows - length) / 2
        for rail in self.rails:
            for number in range(1, self.rail_holes + 1):
                out[f"{rail}{number}"] = (_RAIL_X[rail], first + number - 1 + (number - 1) // _GROUP)
        return out

    @cached_property
    def strips(self) -> dict[str, tuple[str, ...]]:
        """Strip name -> its holes, in the order of the board.

        Strips are named '12L', '12R', 'L+'; 'L+ upper' and 'L+ lower' where rails are split.
        """
        out: dict[str, list[str]] = {}
        for hole in self.holes:
            out.setdefault(self._strip_name(hole), []).append(hole)
        return {name: tuple(holes) for name, holes in out.items()}

    @cached_property
    def strip_of(self) -> dict[str, str]:
        """Hole name -> strip name."""
        return {hole: strip for strip, holes in self.strips.items() for hole in holes}

    @cached_property
    def _at(self) -> dict[tuple[float, float], str]:
        return {place: hole for hole, place in self.holes.items()}

    def _strip_name(self, hole: str) -> str:
        rail = self.rail_of(hole)
        if rail is None:
            return f"{hole[1:]}{'L' if hole[0] <= 'e' else 'R'}"
        return f"{rail} {self.half_of(hole)}" if self.split_rails else rail

    def half_of(self, hole: str) -> Literal["upper", "lower"]:
        """The half of its rail in which a hole of a rail lies, whether the rail is split there or not."""
        return "upper" if int(hole[2:]) <= self.rail_holes // 2 else "lower"

    def hole_at(self, x: float, y: float) -> str | None:
        """The hole at a place in pitches, or None."""
        return self._at.get((x, y))

    def rail_of(self, hole: str) -> str | None:
        """'L+', 'L-', 'R+' or 'R-' for a hole on a rail, otherwise None."""
        return hole[:2] if hole[:1] in ("L", "R") else None

    def row_of(self, hole: str) -> int | None:
        """The row number of a hole, None for a hole on a rail."""
        return None if self.rail_of(hole) else int(hole[1:])

    def side_of(self, hole: str) -> Literal["left", "right"]:
        """The side of the trench on which a hole lies; rails count to the side where they stand."""
        return "left" if hole[0] in "abcdeL" else "right"

    def neighbours(self, hole: str) -> tuple[str, ...]:
        """Holes one pitch away: above, below, left, right, as far as there are any."""
        x, y = self.holes[hole]
        around = ((x, y - 1), (x, y + 1), (x - 1, y), (x + 1, y))
        return tuple(found for place in around if (found := self.hole_at(*place)) is not None)

    def next_strips(self, strip: str) -> tuple[str, ...]:
        """Strips that a lead reaches by slipping one hole: a row up or down, or the other rail of a pair."""
        out: dict[str, None] = {}
        for hole in self.strips[strip]:
            for other in self.neighbours(hole):
                if self.strip_of[other] != strip:
                    out.setdefault(self.strip_of[other])
        return tuple(out)

    def spell(self, text: str) -> str:
        """Bring a hole name into its one spelling: ' C12' is 'c12', 'l+3' is 'L+3'; others unchanged."""
        plain = re.sub(r"\s+", "", text)
        if found := _RAIL_HOLE.fullmatch(plain):
            return f"{found[1].upper()}{found[2].replace('−', '-')}{int(found[3])}"
        if found := _ROW_HOLE.fullmatch(plain):
            return f"{found[1].lower()}{int(found[2])}"
        return text

    def nearest(self, text: str) -> str:
        """The legal hole name that a wrong one most resembles: 'c31' -> 'c30', 'k5' -> 'j5', '5c' -> 'c5'."""
        name = self.spell(text[:40])
        if turned := re.fullmatch(r"(\d{1,4})([a-zA-Z])", name):
            name = f"{turned[2].lower()}{int(turned[1])}"
        if name in self.holes:
            return name
        if (found := _RAIL_HOLE.fullmatch(name)) and self.rail_holes:
            return f"{name[:2]}{min(max(int(found[3]), 1), self.rail_holes)}"
        if found := _ROW_HOLE.fullmatch(name):
            return f"{min(found[1], LETTERS[-1])}{min(max(int(found[2]), 1), self.rows)}"
        close = difflib.get_close_matches(name, self.holes, n=1, cutoff=0.0)
        return close[0]


@cache
def boards() -> dict[str, Board]:
    """The boards known, by name."""
    known = (
        Board("170", rows=17, size_mm=(35.0, 47.0)),
        Board("400", rows=30, rail_holes=25, size_mm=(55.0, 83.0)),
        Board("830", rows=63, rail_holes=50, size_mm=(55.0, 165.0)),
        Board("830-split", rows=63, rail_holes=50, split_rails=True, size_mm=(55.0, 165.0)),
    )
    return {item.name: item for item in known}


def board(name: str) -> Board:
    """The board with this name; raises KeyError."""
    return boards()[name]


def split_twin(one: Board) -> Board | None:
    """The board that differs from one with whole rails only in split ones, so that either may be at hand."""
    twins = (b for b in boards().values() if b == replace(one, name=b.name, split_rails=True))
    return None if one.split_rails else next(twins, None)
