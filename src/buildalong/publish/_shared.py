"""Drawings that many pictures of a page repeat, such as the empty board or a wire, kept once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from buildalong.publish._looks import looks_once

__all__ = ["shared_once"]

_SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_TOKEN = re.compile(r"<text\b[^<>]*>(?:[^<>]|<tspan\b[^<>]*>[^<>]*</tspan>)*</text>|<[^<>]*>|[^<>]+")
"""A text is one bit with all that is in it."""
_SHAPE = re.compile(r"<(?:(?:line|circle|ellipse|rect|path|polygon|polyline)\b[^<>]*/>$|text\b[^<>]*>)")
_OWN = re.compile(r"<[^<>]*\s(?:id|class)=")
_APART = re.compile(r"<(/?)(?:defs|clipPath|mask|pattern|marker|symbol)\b[^<>]*(?<!/)>")
"""What is in these is not drawn where it stands."""
_MARGIN = 30
"""Characters that a definition and its references must save at least."""


class Piece(NamedTuple):
    """A shape, or a group of nothing but shapes (``drawn``); or a tag or words between them."""

    text: str
    drawn: bool


Run = tuple[Piece, ...]


def shared_once(page: str) -> str:
    """Keep what is drawn alike in several places once, unseen in the first drawing; refer to it elsewhere.

    So is how they look.  The page looks the same; what has an id or a class of its own stays where it is.
    """
    if "</desc>" not in page:
        return page
    drawings = [_pieces(svg) for svg in _SVG.findall(page)]
    count = Counter(piece for drawing in drawings for piece in drawing)
    pairs = Counter(pair for drawing in drawings for pair in pairwise(drawing))
    runs = [list(_runs(drawing, count, pairs)) for drawing in drawings]
    names: dict[Run, str] = {}
    for run, times in Counter(run for drawing in runs for run in drawing if run[0].drawn).items():
        name = f"_{len(names)}"  # no id of an author begins so
        if (times - 1) * len(_text(run)) > times * len(_reference(name)) + _MARGIN:
            names[run] = name
    done = iter(runs)

    def written(found: re.Match[str]) -> str:
        return "".join(_reference(names[run]) if run in names else _text(run) for run in next(done))

    page = _SVG.sub(written, page)
    defined = "".join(_definition(name, run) for run, name in names.items())
    page = page.replace("</desc>", f"</desc><defs>{defined}</defs>", 1) if defined else page
    return looks_once(page)


def _text(run: Run) -> str:
    return "".join(piece.text for piece in run)


def _reference(name: str) -> str:
    return f'<use href="#{name}"/>'


def _definition(name: str, run: Run) -> str:
    whole = _text(run) if len(run) == 1 else f"<g>{_text(run)}</g>"
    return re.sub(r"^<\w+", lambda tag: f'{tag[0]} id="{name}"', whole)


def _pieces(svg: str) -> list[Piece]:
    """A drawing cut up; without the line ends and indents between its elements."""
    out: list[Piece] = []
    apart = 0
    begun: list[int] = []
    for bit in _TOKEN.findall(svg):
        if bit.isspace():
            continue
        edge = _APART.fullmatch(bit)
        apart += 0 if edge is None else -1 if edge[1] else 1
        out.append(Piece(bit, not apart and bool(_SHAPE.match(bit)) and not _OWN.match(bit)))
        if bit.startswith(("<g ", "<g>")) and not bit.endswith("/>"):
            begun.append(len(out) - 1)
        elif bit == "</g>" and begun:
            first = begun.pop()
            if not _OWN.match(out[first].text) and all(piece.drawn for piece in out[first + 1 : -1]):
                out[first:] = [Piece("".join(piece.text for piece in out[first:]), not apart)]
    return out


def _runs(
    pieces: Sequence[Piece], count: Counter[Piece], pairs: Counter[tuple[Piece, Piece]]
) -> Iterator[Run]:
    """Shapes that always follow one another, together; anything else alone."""
    run: list[Piece] = []
    for piece in pieces:
        together = bool(run) and piece.drawn and run[-1].drawn
        if run and not (together and pairs[run[-1], piece] == count[run[-1]] == count[piece]):
            yield tuple(run)
            run = []
        run.append(piece)
    if run:
        yield tuple(run)
