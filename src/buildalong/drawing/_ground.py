"""The bare board: paper, trench, strips, rails, holes."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from buildalong.drawing import _palette as palette
from buildalong.drawing._frame import PITCH, Frame, Point
from buildalong.drawing._palette import NetColour
from buildalong.drawing._svg import Svg, number, path

__all__ = ["HOLE", "MARK", "draw_ground", "draw_taken", "rail_signs"]

HOLE = 4.4
"""Half the side of a free hole."""
HOLE_TAKEN = 5.6
MARK = 20.0
"""Size of row and column marks: 2 mm, the smallest text of a board picture."""

RIM, MIDDLE, BAR = 17.0, 12.6, 2.6
"""Widths of a tinted strip's rim and of what lies in it; of a bar across it, and of the gap between two."""
SIGN = 5.5
"""Half the size of the sign at the end of a rail."""

_RAILS = {"L+": (-4.5, "+"), "L-": (-2.5, "-"), "R+": (13.5, "+"), "R-": (15.5, "-")}


def draw_ground(
    svg: Svg,
    frame: Frame,
    used: Collection[str],
    nets: Mapping[str, NetColour] | None = None,
) -> None:
    """Draw the board without its marks; ``used`` holes are dark.

    ``nets`` gives colours for strips by name; those strips are tinted.
    """
    _paper(svg, frame)
    _strips(svg, frame, nets or {})
    if frame.board.rail_holes:
        _rails(svg, frame, nets or {})
    _holes(svg, frame, used)


def _paper(svg: Svg, frame: Frame) -> None:
    left, top, right, bottom = frame.rectangle
    x0, y0, x1, y1 = frame.edges
    first_cut, last_cut = frame.torn
    if not first_cut and not last_cut:
        svg.rect(
            left, top, right - left, bottom - top, rx=14, fill=palette.BOARD, stroke=palette.BOARD_EDGE,
            stroke_width=2.4,
        )  # fmt: skip
    else:
        # A torn edge shows that the board goes on.
        points = []
        for cut, y, step in ((first_cut, y0, 1), (last_cut, y1, -1)):
            xs = (x0, x1) if step > 0 else (x1, x0)
            if cut:
                count = 24
                points += [
                    (xs[0] + (xs[1] - xs[0]) * i / count, y + (0.16 if i % 2 else -0.16))
                    for i in range(count + 1)
                ]
            else:
                points += [(xs[0], y), (xs[1], y)]
        svg.polygon(
            [frame.point(x, y) for x, y in points], fill=palette.BOARD, stroke=palette.BOARD_EDGE,
            stroke_width=2.4, stroke_linejoin="round",
        )  # fmt: skip
    a, b = frame.point(5, y0 + (0.3 if first_cut else 0)), frame.point(6, y1 - (0.3 if last_cut else 0))
    svg.rect(
        min(a[0], b[0]), min(a[1], b[1]), abs(a[0] - b[0]), abs(a[1] - b[1]), fill=palette.TRENCH,
        stroke=palette.LINE_SOFT, stroke_width=1.4,
    )  # fmt: skip


def _strips(svg: Svg, frame: Frame, nets: Mapping[str, NetColour]) -> None:
    """A faint line joins the holes of a strip: they are one piece of metal."""
    bits: list[str | float | Point] = []
    for name, holes in frame.board.strips.items():
        if name[0] in "LR" or not frame.shows(holes[0]):
            continue
        start, end = frame.hole(holes[0]), frame.hole(holes[-1])
        if name in nets:
            _tint(svg, nets[name], start, end)
            _bars(svg, nets[name], start, end)
        else:
            bits += ["M", start, "L", end]
    if bits:
        svg.path(path(*bits), fill="none", stroke=palette.STRIP, stroke_width=5, stroke_linecap="round")


def _tint(svg: Svg, net: NetColour, start: Point, end: Point) -> None:
    """A strip's rim, full so that it is told from others, and its pale middle."""
    for width, colour in ((RIM, palette.rim_on(net.hex, palette.BOARD)), (MIDDLE, _middle(net))):
        svg.line(*start, *end, stroke=colour, stroke_width=width, stroke_linecap="round")


def _middle(net: NetColour) -> str:
    pale = palette.contrast(net.hex, palette.BOARD) < palette.PALE
    return net.hex if pale else palette.mix(net.hex, palette.BOARD, 0.55)


def _bars(svg: Svg, net: NetColour, start: Point, end: Point) -> None:
    """Bars across a strip, from its first hole to its last, halfway between two holes."""
    if not net.bars:
        return
    dashes = [BAR] * (2 * net.bars - 1)
    wide, far = sum(dashes), math.dist(start, end)
    share = (PITCH - wide) / 2 / far
    begin = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
    svg.line(
        *begin, *end, stroke=palette.seen_on(net.hex, _middle(net)), stroke_width=MIDDLE,
        stroke_dasharray=" ".join(map(number, [*dashes, PITCH - wide])),
    )  # fmt: skip


def _rails(svg: Svg, frame: Frame, nets: Mapping[str, NetColour]) -> None:
    for rail in _rails_shown(frame):
        colour = palette.PLUS_RAIL if rail.sign == "+" else palette.MINUS_RAIL
        if rail.strip in nets:
            (x, top), (_, bottom) = rail.holes
            ends = (frame.point(x, top - 0.1), frame.point(x, bottom + 0.1))
            _tint(svg, nets[rail.strip], *ends)
            _bars(svg, nets[rail.strip], frame.point(x, top), frame.point(x, bottom))
        line = (*frame.point(*rail.line[0]), *frame.point(*rail.line[1]))
        svg.line(*line, stroke=colour, stroke_width=3.2, stroke_linecap="round")
        for cx, cy in rail.signs:
            svg.line(cx - SIGN, cy, cx + SIGN, cy, stroke=colour, stroke_width=3)
            if rail.sign == "+":
                svg.line(cx, cy - SIGN, cx, cy + SIGN, stroke=colour, stroke_width=3)


@dataclass(frozen=True)
class _Rail:
    """A piece of a rail that is shown: its first and last hole and its line, on the board, in pitches."""

    strip: str
    sign: str
    holes: tuple[Point, Point]
    line: tuple[Point, Point]
    signs: tuple[Point, Point]
    """Centres of the signs at its two ends, in the picture."""


def _rails_shown(frame: Frame) -> Iterator[_Rail]:
    _, y0, _, y1 = frame.edges
    last = frame.last or frame.board.rows
    for rail, (x, sign) in _RAILS.items():
        for name, holes in frame.board.strips.items():
            shown = [
                frame.board.holes[hole][1] for hole in holes if name.startswith(rail) and frame.shows(hole)
            ]
            if not shown:
                continue
            top, bottom = min(shown), max(shown)
            cut_top = frame.torn[0] and top < frame.first + 1.6
            cut_bottom = frame.torn[1] and bottom > frame.last - 1.6
            start, end = y0 + 0.35 if cut_top else top - 0.35, y1 - 0.35 if cut_bottom else bottom + 0.35
            over = min(top - 0.85, frame.first - frame.letters[0]) if cut_top else top - 0.85
            under = max(bottom + 0.85, last + frame.letters[1]) if cut_bottom else bottom + 0.85
            hole_x = frame.board.holes[holes[0]][0]
            yield _Rail(
                name, sign, ((hole_x, top), (hole_x, bottom)), ((x, start), (x, end)),
                (frame.point(hole_x, over), frame.point(hole_x, under)),
            )  # fmt: skip


def rail_signs(frame: Frame) -> list[Point]:
    """Where in the picture the + and − at the ends of the rails stand: their centres."""
    if not frame.board.rail_holes:
        return []
    return [at for rail in _rails_shown(frame) for at in rail.signs]


def _holes(svg: Svg, frame: Frame, used: Collection[str]) -> None:
    """Holes are dashes of one line through each strip; taken ones are points with square caps over them."""
    bits: list[str | float | Point] = []
    for holes in frame.board.strips.values():
        run: list[Point] = []
        for name in holes:
            if not frame.shows(name):
                continue
            at = frame.hole(name)
            if run and math.dist(run[-1], at) > PITCH * 1.1:
                bits += _dashes(run)
                run = []
            run.append(at)
        bits += _dashes(run)
    if bits:
        dashes = f"{number(2 * HOLE)} {number(PITCH - 2 * HOLE)}"
        svg.path(
            path(*bits), fill="none", stroke=palette.HOLE, stroke_width=2 * HOLE, stroke_dasharray=dashes
        )
    draw_taken(svg, frame, used)


def draw_taken(svg: Svg, frame: Frame, holes: Collection[str]) -> None:
    """Draw holes in use: dark, and larger than free ones."""
    taken = [name for name in frame.board.holes if name in holes and frame.shows(name)]
    dots = "".join(f"M{number(x)} {number(y)}h.01" for x, y in map(frame.hole, taken))
    if dots:
        svg.path(dots, stroke=palette.HOLE_USED, stroke_width=2 * HOLE_TAKEN, stroke_linecap="square")


def _dashes(run: Sequence[Point]) -> list[str | float | Point]:
    """A line from half a hole before the first to half a hole behind the last."""
    if not run:
        return []
    (x0, y0), (x1, y1) = run[0], run[-1]
    dx, dy = run[1][0] - x0 if len(run) > 1 else PITCH, run[1][1] - y0 if len(run) > 1 else 0.0
    ex, ey = dx / PITCH * HOLE, dy / PITCH * HOLE
    return ["M", (x0 - ex, y0 - ey), "L", (x1 + ex, y1 + ey)]


assert PITCH > 2 * HOLE
