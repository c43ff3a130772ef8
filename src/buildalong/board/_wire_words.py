"""A wire as an author writes it: places from end to end, and words for its colour and its style."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

from buildalong.board._board import Board
from buildalong.board._colours import WIRE_COLOURS
from buildalong.board._layout import Layout, Wire
from buildalong.board._points import Point, point_at, point_name

__all__ = ["STYLES", "Style", "WordError", "read_wire", "wire_words"]

Style = Literal["formed", "link", "flexible"]
STYLES: tuple[Style, ...] = get_args(Style)
MOST_BENDS = 12
_LIKE_A_PLACE = re.compile(r"[a-z][+\-]*\d[\d.]*|[lr][+\-−]\d+|\(.*\)|[a-z]{1,2}\d+", re.IGNORECASE)


class WordError(ValueError):
    """A word of a wire is not understood; ``number`` counts the words from 0, ``code`` is the finding's."""

    def __init__(self, number: int, code: str, message: str, hint: str) -> None:
        self.number, self.code, self.hint = number, code, hint
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class WireWords:
    """A wire that was read: its ends with the numbers of their words, bends, and what else was said."""

    start: str
    end: str
    at: tuple[int, int]
    path: tuple[Point, ...]
    colour: str
    style: Style | None


def read_wire(board: Board, words: Sequence[str], name: str) -> WireWords:
    """Read the words of a wire; ``name`` ("Wire 3") is used in messages.  Raises WordError.

    The first and the last place are its ends, places between them its bends, in order.  Colour and
    style stand anywhere; without them they are "" and None.
    """
    places: list[tuple[int, str, Point]] = []
    colour, style = "", None
    for number, word in enumerate(words):
        plain = word.strip().lower()
        if plain in WIRE_COLOURS:
            colour = plain
        elif plain in STYLES or plain == "links":
            style = next(known for known in STYLES if plain.startswith(known))
        elif (point := point_at(board, word)) is not None:
            places.append((number, word, point))
        else:
            raise _unknown(board, number, word, name)
    if len(places) < 2:
        number = places[0][0] if places else 0
        raise WordError(
            number,
            "wire-needs-two-holes",
            f"{name} is not a pair of holes.",
            'Write it as ["a5", "L+3"]: its two ends, between them the places where it bends, and a colour'
            " if you like.",
        )
    if len(places) > MOST_BENDS + 2:
        raise WordError(
            places[-1][0],
            "wire-bends",
            f"{name} bends {len(places) - 2} times; {MOST_BENDS} is the most that is read.",
            "A wire that is easy to copy bends twice at most.",
        )
    ends = []
    for number, word, point in (places[0], places[-1]):
        hole = board.hole_at(*point)
        if hole is None:
            raise WordError(
                number,
                "no-such-hole",
                f"{name} ends at {word[:40]}, where no hole is.",
                f"The nearest hole is {_nearest_hole(board, point)}.",
            )
        ends.append(hole)
    for (_, _, one), (number, word, other) in pairwise(places):
        if one == other:
            raise WordError(
                number,
                "wire-bends",
                f"{name} names the place {word[:40]} twice running.",
                "Name each bend once.",
            )
    path = tuple(point for _, _, point in places[1:-1])
    return WireWords(ends[0], ends[1], (places[0][0], places[-1][0]), path, colour, style)


def wire_words(layout: Layout, wire: Wire, style: str = "") -> tuple[str, ...]:
    """The words of a wire, from which :func:`read_wire` makes it again; ``style`` goes without saying."""
    bends = [point_name(layout.board, point) for point in wire.path]
    colour = [wire.colour] if wire.colour in WIRE_COLOURS else []
    return (*colour, wire.start, *bends, wire.end, *([wire.style] if wire.style != style else []))


def _unknown(board: Board, number: int, word: str, name: str) -> WordError:
    shown = word if len(word) <= 40 else word[:37] + "..."
    if _LIKE_A_PLACE.fullmatch(word.strip()[:60]):
        spelled = board.spell(word)
        if spelled[:1] in ("L", "R") and not board.rails:
            message = f"{name} goes into hole {shown}, but the board {board.name} has no rails."
        else:
            message = f"{name} goes into hole {shown}, but the board {board.name} has no such hole."
        return WordError(number, "no-such-hole", message, f"The nearest is {board.nearest(word)}.")
    near = difflib.get_close_matches(word.strip().lower(), (*WIRE_COLOURS, *STYLES), n=1, cutoff=0.6)
    hint = f"Did you mean {near[0]}? " if near else ""
    return WordError(
        number,
        "wire-word",
        f"{name}: '{shown}' is no place on the board {board.name}, no colour and no wire style.",
        f"{hint}Colours: {', '.join(WIRE_COLOURS)}. Styles: {', '.join(STYLES)}.",
    )


def _nearest_hole(board: Board, point: Point) -> str:
    return min(
        board.holes, key=lambda h: (board.holes[h][0] - point[0]) ** 2 + (board.holes[h][1] - point[1]) ** 2
    )
