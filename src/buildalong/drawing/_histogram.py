"""A histogram of what many builds do: how often each value, what is allowed, and the circuit as drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._axes import TICK, Axis
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing._words import ALLOWED, HISTOGRAM, HISTOGRAM_AT, NOT_ALLOWED, PARTS_ADD
from buildalong.spread import Outcome, said_share
from buildalong.words import NO_BREAK, numeral, say

__all__ = ["histogram", "histogram_axis"]

WIDTH, PANEL = 960.0, 300.0
LEFT, RIGHT, TOP = 92.0, 60.0, 98.0
NARROW = 700.0
"""A picture under this width has less at its sides, and a smaller title."""
MOST_BARS = 40
FINEST = 61
"""Most bars between the limits, so that each can be seen; odd, so that one stands in the middle."""
LINE = 30.0
LIMIT = 4
"""Figures of a limit, which is set and not measured."""
SWATCH = 34.0
HATCH, HATCH_RISE = 10.0, 0.6
"""From one line of a hatch to the next, upwards, and how steeply they rise."""


def histogram(
    outcome: Outcome, title: str, axis: str, shares: Sequence[str] = (), *, wide: float = WIDTH
) -> Picture:
    """Draw the values of one outcome; ``axis`` names the measure, ``shares`` tells what each part adds.

    ``title`` says of what: the lesson and the measure, where the picture stands alone.

    Bars within the limits are full, those outside are outlined and hatched, so that grey print tells
    them apart.  ``wide`` is the width of the picture [units].  Raises ValueError where nothing was ever
    measured.
    """
    values = outcome.values[np.isfinite(outcome.values)]
    if not len(values):
        raise ValueError("nothing happened in any build, so there is no histogram")
    low, high = outcome.target.limits
    edges = _edges(values, low, high)
    counts, _ = np.histogram(values, edges)
    per_cent = 100.0 * counts / len(outcome.values)
    x = histogram_axis(outcome, wide)
    left, right = x.start, x.end
    least = say("least allowed: {value}", value=x.said(low, LIMIT))
    most = say("most allowed: {value}", value=x.said(high, LIMIT))
    size = 26.0 if wide > NARROW else 22.0
    heads = _balanced(title, size, wide - 32)
    stagger = 0.0 if _apart(least, most, x.at(low), x.at(high), wide) else LINE
    top = TOP + stagger + LINE * (len(heads) - 1)
    floor = top + PANEL
    y = Axis(0.0, _ceiling(float(per_cent.max())), "%", floor, top)
    note = _note(shares, wide - 2 * left) if shares else ()
    svg = Svg(
        wide,
        floor + 58 + LINE * (len(note) + 1),
        title=title,
        alt=_alt(outcome, axis, x),
        background=palette.PAPER,
    )
    for row, head in enumerate(heads):
        svg.text(16, 34 + LINE * row, head, size, style="bold", fill=palette.INK)
    svg.rect(x.at(low), top, x.at(high) - x.at(low), PANEL, fill=palette.TAG)
    _counts(svg, y, floor, left, right)
    _upright(svg, say("{axis} in {unit}", axis=say("share of builds"), unit="%"), floor)
    colour = palette.NETS[0].hex
    for index, share in enumerate(per_cent):
        if share > 0:
            a, b = x.at(float(edges[index])), x.at(float(edges[index + 1]))
            height = PANEL * float(share) / y.high
            inside = low - 1e-12 <= edges[index] and edges[index + 1] <= high + 1e-12
            _bar(svg, a, b, floor, height, colour, inside=inside)
    for value, words, anchor, up in ((low, least, "end", stagger), (high, most, "start", 0.0)):
        at = x.at(value)
        svg.line(at, top, at, floor, stroke=palette.INK_SOFT, stroke_width=2, stroke_dasharray="9 6")
        _over(svg, at, top - 10 - up, words, anchor, wide)
    at = x.at(outcome.nominal)
    svg.line(at, top - 2, at, floor, stroke=palette.ACCENT, stroke_width=3)
    _over(
        svg,
        at,
        top - 34 - stagger,
        say("as drawn: {value}", value=x.said(outcome.nominal)),
        "middle",
        wide,
    )
    x.across(svg, floor, floor, "")
    name = say("{axis} in {unit}", axis=axis, unit=x.shown[0]) if x.shown[0] else axis
    svg.text((left + right) / 2, floor + 54, name, TICK + 1, anchor="middle", fill=palette.INK)
    _key(svg, outcome.kept, left, floor + 58 + LINE * 0.7)
    for row, line in enumerate(note):
        svg.text(left, floor + 58 + LINE * (row + 1.7), line, TICK, fill=palette.INK_SOFT)
    return replace(svg.picture(), foot=floor)


def histogram_axis(outcome: Outcome, wide: float = WIDTH) -> Axis:
    """Where the values of an outcome lie in its histogram, whose plot ends at the picture's foot."""
    low, high = outcome.target.limits
    edges = _edges(outcome.values[np.isfinite(outcome.values)], low, high)
    left_end, right_end = min(edges[0], low), max(edges[-1], high)
    margin = 0.04 * (right_end - left_end)
    unit = outcome.target.wanted.unit or "%"
    start, beyond = (LEFT, RIGHT) if wide > NARROW else (LEFT - 20, RIGHT / 2)
    return Axis(left_end - margin, right_end + margin, unit, start, wide - beyond)


def _edges(values: np.ndarray[tuple[int], np.dtype[np.float64]], low: float, high: float) -> list[float]:
    """Edges of the bars, such that both limits fall on an edge: equal steps of a part of their distance.

    As many as Rice's rule has it, twice the cube root of the number of values (D. M. Lane, Online Statistics
    Education, Histograms, from memory): with more of them, chance draws a comb.
    """
    least, most = float(values.min()), float(values.max())
    width = max(most - least, 1e-12 * max(abs(most), 1e-300))
    bars = round(2.0 * len(values) ** (1.0 / 3.0))
    step = (high - low) / min(max(1, round((high - low) * bars / width)), FINEST)
    if step <= 0 or width / step > MOST_BARS:
        step = (high - low) * max(1, math.ceil(width / (high - low) / MOST_BARS))
    first = math.floor((least - low) / step + 1e-9)
    last = max(math.ceil((most - low) / step - 1e-9), first + 1)
    return [low + i * step for i in range(first, last + 1)]


def _key(svg: Svg, kept: float, left: float, y: float) -> None:
    """How many builds are allowed, the full bars, and how many are not, the hatched ones."""
    colour = palette.NETS[0].hex
    for words, share, inside in ((ALLOWED, kept, True), (NOT_ALLOWED, 1.0 - kept, False)):
        _bar(svg, left - 1, left + SWATCH + 1, y, 14, colour, inside=inside)
        said = say(words, share=said_share(share))
        svg.text(left + SWATCH + 10, y, said, TICK, fill=palette.INK)
        left += SWATCH + 10 + _text.width(said, TICK) + 30


def _note(shares: Sequence[str], room: float) -> tuple[str, ...]:
    """What each part adds, in lines that break between two shares."""
    whole = (s.replace(" ", NO_BREAK) if _text.width(s, TICK) < room else s for s in shares)
    return _text.wrap(say(PARTS_ADD, shares=", ".join(whole)), TICK, room)


def _balanced(title: str, size: float, room: float) -> tuple[str, ...]:
    """A title in as few lines as can be, none of which is much shorter than the others."""
    lines = _text.wrap(title, size, room, "bold")
    narrow = room
    while len(lines) > 1 and narrow > 0.5 * room:
        narrow -= 0.02 * room
        tried = _text.wrap(title, size, narrow, "bold")
        if len(tried) > len(lines):
            break
        lines = tried
    return lines


def _counts(svg: Svg, y: Axis, floor: float, left: float, right: float) -> None:
    svg.line(left, floor, right, floor, stroke=palette.INK_SOFT, stroke_width=1.8)
    for value in _round(y.high):
        at = floor - PANEL * value / y.high
        svg.line(left, at, right, at, stroke=palette.GRID, stroke_width=1.2)
        shown = numeral(f"{value:g}")
        svg.text(left - 10, at + 0.334 * TICK, shown, TICK, anchor="end", fill=palette.INK_SOFT)


def _upright(svg: Svg, words: str, floor: float) -> None:
    """The title of the upright axis, along it."""
    shown, size = _text.fit(words, TICK, PANEL, least=_text.LEAST)
    x, y = 12 + 0.67 * TICK, floor - PANEL / 2
    with svg.group(transform=f"rotate(-90 {x:g} {y:g})"):
        svg.text(x, y, shown, size, anchor="middle", fill=palette.INK)


def _ceiling(highest: float) -> float:
    """A panel a little higher than its highest bar, and no number at its very top, where words begin."""
    most = 1.12 * highest
    return max(most, _round(most)[-1] / 0.92)


def _round(most: float) -> list[float]:
    step = 10.0 ** math.floor(math.log10(most))
    step = next(s for s in (step / 5, step / 2, step, step * 2) if most / s <= 5)
    return [step * i for i in range(1, int(most / step) + 1)]


def _bar(svg: Svg, a: float, b: float, floor: float, height: float, colour: str, *, inside: bool) -> None:
    if inside:
        svg.rect(a + 1, floor - height, b - a - 2, height, fill=colour)
        return
    svg.rect(a + 1, floor - height, b - a - 2, height, fill=palette.PAPER, stroke=colour, stroke_width=2)
    left, right, top = a + 1, b - 1, floor - height
    rise = HATCH_RISE * (right - left)
    hatch = ""
    for line in range(1, int((height + rise) // HATCH) + 1):
        y = floor + rise - HATCH * line  # at the left edge; the line is cut at the bar's foot and top
        x0 = left + max(0.0, y - floor) / HATCH_RISE
        x1 = left + min(rise, y - top) / HATCH_RISE
        if x1 - x0 > 1:
            hatch += f"M{x0:.1f} {min(y, floor):.1f}L{x1:.1f} {y - HATCH_RISE * (x1 - left):.1f}"
    if hatch:
        svg.path(hatch, stroke=colour, stroke_width=1.4)


def _start(words: str, at: float, anchor: str, width: float) -> float:
    """Where words over the panel begin: at a line, but within the picture."""
    long = _text.width(words, TICK)
    start = {"start": at + 6, "middle": at - long / 2, "end": at - long - 6}[anchor]
    return min(max(start, 12.0), width - 12 - long)


def _apart(least: str, most: str, low: float, high: float, width: float) -> bool:
    """Whether the words of both limits stand beside one another with a gap."""
    end = _start(least, low, "end", width) + _text.width(least, TICK)
    return end + 10.0 <= _start(most, high, "start", width)


def _over(svg: Svg, at: float, y: float, words: str, anchor: str, width: float) -> None:
    """Words over the panel, kept within the picture."""
    svg.text(_start(words, at, anchor, width), y, words, TICK, fill=palette.INK)


def _alt(outcome: Outcome, axis: str, x: Axis) -> str:
    low, high = (x.said(value) for value in (outcome.low, outcome.high))
    return say(
        HISTOGRAM_AT if low == high else HISTOGRAM,
        axis=axis, count=len(outcome.values), low=low, high=high, kept=said_share(outcome.kept),
    )  # fmt: skip
