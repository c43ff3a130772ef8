"""The board at true scale, or enlarged by a whole factor, with a ruler to check the print.

Sizes are in millimetres.  What is larger than a sheet is laid on several, with marks to cut along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from buildalong.board import PITCH_MM
from buildalong.circuit import Part
from buildalong.drawing import board_picture, leg_words
from buildalong.publish._rows import rows_of
from buildalong.publish._typeset import typeset
from buildalong.publish.handout import _words as words
from buildalong.publish.handout._booklet import Data, Material
from buildalong.publish.handout._shelf import Shelf
from buildalong.publish.handout._spoken import spoken
from buildalong.words import colour_word, say, with_unit

__all__ = ["MAX_SCALE", "POSTER_PAPERS", "Tiling", "poster_pdf", "tiling_of"]

POSTER_PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0), "a2": (420.0, 594.0)}
"""Width and height of the sheets (ISO 216; ANSI Y14.1 for Letter)."""
WALL = ("a3", "a2")
"""Sheets on which the board is as large as fits, where nothing else is asked."""
MAX_SCALE = 8
EDGE = 12.0
"""Margin of a sheet; no usual printer needs more."""
LAP = 8.0
"""How far neighbouring sheets lie over each other."""
HEAD = 52.0
"""Room for title, ruler and words above a board on one sheet."""
RULER = 100


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a picture lies on sheets: turned sheets or not, columns and rows of them, what one shows."""

    turned: bool
    columns: int
    rows: int
    window: tuple[float, float]

    @property
    def count(self) -> int:
        """How many sheets."""
        return self.columns * self.rows


def tiling_of(wide: float, tall: float, paper: tuple[float, float]) -> Tiling:
    """Lay a picture of this size on as few sheets as possible."""
    found = []
    for turned, (across, along) in ((False, paper), (True, paper[::-1])):
        window = across - 2 * EDGE, along - 2 * EDGE - LAP
        columns, rows = (_sheets(size, room) for size, room in zip((wide, tall), window, strict=True))
        found.append(Tiling(turned, columns, rows, window))
    return min(found, key=lambda tiling: tiling.count)


def _sheets(size: float, room: float) -> int:
    return 1 if size <= room else math.ceil((size - LAP) / (room - LAP))


def poster_pdf(material: Material, paper: str, scale: int | None = None) -> bytes:
    """The board of a lesson on this paper as PDF/UA-1; with where everything goes, in a table.

    ``scale`` is a whole factor from 1 to ``MAX_SCALE``; without it 1 on A4 and Letter, and as much as fits
    on A3 and A2.  Raises ValueError where the lesson has no board, or for another factor.
    """
    compiled = material.compiled
    if compiled.layout is None:
        raise ValueError("this lesson has no board to show")
    variant, shelf = material.pictures.variant, Shelf()
    picture = board_picture(
        compiled.circuit, compiled.layout, muted=False, highlight_holes=False, view=variant.view,
        tone=variant.tone,
    )  # fmt: skip
    size = POSTER_PAPERS[paper]
    wide, tall = picture.width / 10, picture.height / 10
    room = size[0] - 2 * EDGE, size[1] - 2 * EDGE - HEAD
    most = int(min(room[0] / wide, room[1] / tall))
    factor = scale if scale is not None else max(1, min(most, MAX_SCALE)) if paper in WALL else 1
    if not 1 <= factor <= MAX_SCALE:
        raise ValueError(f"the board is enlarged by a whole factor from 1 to {MAX_SCALE}")
    tiling = None if factor <= most else tiling_of(wide * factor, tall * factor, size)
    if tiling is not None and tiling.count == 1:
        tiling = None if factor * tall <= room[1] and factor * wide <= room[0] else tiling
    pitch = with_unit(f"{PITCH_MM * factor:.2f}", "mm")
    true = with_unit(f"{PITCH_MM:.2f}", "mm")
    said = words.CARD_TRUE if factor == 1 else words.CARD_SCALE
    data: Data = {
        "size": list(size),
        "edge": EDGE,
        "lap": LAP,
        "language": compiled.lesson.language,
        "title": compiled.lesson.title,
        "words": spoken(words.POSTER),
        "scale": factor,
        "said": say(said, pitch=pitch, true=true, scale=factor),
        "print": say(words.CARD_PRINT, ruler=with_unit(str(RULER), "mm")),
        "ruler": RULER,
        "ruler_alt": say(words.CARD_ALT),
        "picture": shelf.add(picture),
        "schematic": shelf.add(material.pictures.schematic),
        "spare": size[1] - 2 * EDGE - HEAD - 12 - tall * factor,
        "parts": [
            [part.id, row.name, ", ".join(_legs(part, holes))]
            for row in rows_of(compiled.circuit)
            for part in row.parts
            if (holes := compiled.layout.holes.get(part.id))
        ],
        "wires": [[colour_word(wire.colour), wire.start, wire.end] for wire in compiled.layout.wires],
        "tiles": _tiles(tiling) if tiling else [],
        "tiling": [tiling.columns, tiling.rows, *tiling.window, tiling.turned] if tiling else None,
    }
    return typeset("poster", data, shelf.files)


def _legs(part: Part, holes: Sequence[str]) -> Iterator[str]:
    """The holes of a part with what tells its legs apart; of an IC from end to end of each side."""
    half = len(holes) // 2
    if part.type.body.shape == "dip" and half > 2:
        yield f"{leg_words(part)[0]} {holes[0]} … {holes[half - 1]}".replace(" ", "\u00a0")
        yield f"{holes[half]} … {holes[-1]}".replace(" ", "\u00a0")
        return
    for word, hole in zip(leg_words(part), holes, strict=False):
        yield f"{word} {hole}".strip().replace(" ", "\u00a0")


def _tiles(tiling: Tiling) -> list[Data]:
    return [
        {
            "left": column * (tiling.window[0] - LAP),
            "top": row * (tiling.window[1] - LAP),
            "last_column": column == tiling.columns - 1,
            "last_row": row == tiling.rows - 1,
            "said": say(
                words.CARD_TILES,
                number=row * tiling.columns + column + 1,
                count=tiling.count,
                row=row + 1,
                column=column + 1,
            ),
        }
        for row in range(tiling.rows)
        for column in range(tiling.columns)
    ]
