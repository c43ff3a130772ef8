"""Solderless breadboards: holes with names, places on the 2.54 mm grid, and strips.

Rows are numbered along the board; in each row the holes a-e are one strip and f-j another, with
the trench between e and f.  Holes on a rail are named by side, sign and number: ``L+3`` is the
third hole of the left plus rail.  Rails lie beside the rows: left of column a and right of j.

Sizes: pitch 2.54 mm, e-f 7.62 mm (three pitches); 400 tie-points are 30 rows and four rails of
25; 830 are 63 rows and four rails of 50; 170 are 17 rows without rails (counts: makers' sheets;
rail grouping in fives: common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache, cached_property

__all__ = ["Board", "board", "boards"]

LETTERS = "abcdefghij"
_X = {letter: x for letter, x in zip(LETTERS, (0, 1, 2, 3, 4, 7, 8, 9, 10, 11), strict=True)}
_RAIL_X = {"L+": -4, "L-": -3, "R+": 14, "R-": 15}


@dataclass(frozen=True)
class Board:
    """A board type.  ``split_rails``: rails interrupted in the middle (many full-size boards)."""

    name: str
    rows: int
    rail_holes: int = 0
    split_rails: bool = False
    links: tuple[tuple[str, str], ...] = field(default=())

    @cached_property
    def holes(self) -> dict[str, tuple[float, float]]:
        """Hole name -> (x, y) in pitches; x grows from column a to j, y with the row number."""
        out: dict[str, tuple[float, float]] = {}
        for row in range(1, self.rows + 1):
            for letter in LETTERS:
                out[f"{letter}{row}"] = (_X[letter], row)
        groups = self.rail_holes // 5
        # Groups of five with one pitch between them, centred on the rows.
        first = 1 + (self.rows - (groups * 6 - 1)) / 2
        for rail, x in _RAIL_X.items():
            for number in range(1, self.rail_holes + 1):
                out[f"{rail}{number}"] = (x, first + (number - 1) + (number - 1) // 5)
        return out

    @cached_property
    def strips(self) -> dict[str, tuple[str, ...]]:
        """Strip name -> its holes.  Strips are named '12L', '12R', 'L+', and 'L+ upper', 'L+ lower' if split."""
        out: dict[str, list[str]] = {}
        for hole in self.holes:
            out.setdefault(self._strip_name(hole), []).append(hole)
        return {name: tuple(holes) for name, holes in out.items()}

    @cached_property
    def strip_of(self) -> dict[str, str]:
        """Hole name -> strip name."""
        return {hole: strip for strip, holes in self.strips.items() for hole in holes}

    def _strip_name(self, hole: str) -> str:
        if hole[0] in "LR":
            if not self.split_rails:
                return hole[:2]
            return f"{hole[:2]} {'upper' if int(hole[2:]) <= self.rail_holes // 2 else 'lower'}"
        return f"{hole[1:]}{'L' if hole[0] <= 'e' else 'R'}"


@cache
def boards() -> dict[str, Board]:
    """The boards known, by name."""
    known = (
        Board("170", rows=17),
        Board("400", rows=30, rail_holes=25),
        Board("830", rows=63, rail_holes=50),
        Board("830-split", rows=63, rail_holes=50, split_rails=True),
    )
    return {item.name: item for item in known}


def board(name: str) -> Board:
    """The board with this name; raises KeyError."""
    return boards()[name]
