"""Pictures of a sweep: measures over the number that was moved, and waveforms of several runs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._axes import TICK, Axis
from buildalong.drawing._look import colour_of
from buildalong.drawing._picture import Picture
from buildalong.drawing._series import intervals, limits, said_duration, thinned
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._words import MOVES, NEVER, ON, said_at_work
from buildalong.engine import Run
from buildalong.quantity import format_quantity
from buildalong.story import said_level
from buildalong.study import Column, Sweep
from buildalong.words import capital, listed, say

__all__ = ["MOST_CURVES", "sweep_curves", "sweep_waves"]

WIDTH = 960.0
LEFT, RIGHT = 92.0, 160.0
TITLE, PANEL, GAP, ROW = 26.0, 190.0, 46.0, 30.0
MOST_CURVES = 6
"""Most runs in one picture, and most measures."""
DASHES = (None, "13 7", "4 6", "16 6 4 6", "8 4", "2 5")
"""Told apart without colour too."""
FLAT = 0.1
"""A panel shows at least this part of its largest value."""
DOTS = 40
"""Up to so many values each is a dot on its curve."""


def sweep_curves(sweep: Sweep, *, title: str = "") -> Picture:
    """Draw each measure of a sweep over the number that was moved, one panel under the other.

    Values at equal ratios stand on a logarithmic axis.  The dashed line is the circuit as it is.  A curve
    is broken where there was nothing to measure.  Raises ValueError for more than six measures, or less
    than two values.
    """
    if not 1 <= len(sweep.columns) <= MOST_CURVES or len(sweep.values) < 2:
        raise ValueError(f"a picture takes 1 to {MOST_CURVES} measures at two values and more")
    top = TITLE + 26 if title else 12
    right = WIDTH - RIGHT
    low, high = min(sweep.values), max(sweep.values)
    x = Axis(low, high, sweep.parameter.unit, LEFT, right, _at_ratios(sweep.values))
    floor = top + len(sweep.columns) * (GAP + PANEL) + 8
    alt = _curve_words(sweep)
    svg = Svg(WIDTH, floor + 46, title=title or say("Sweep"), alt=alt, background=palette.PAPER)
    _title(svg, title)
    x.across(svg, top + GAP, floor, str(sweep.parameter))
    for index, column in enumerate(sweep.columns):
        head = top + index * (GAP + PANEL) + GAP
        _panel(svg, sweep, column, x, head, palette.NETS[index % len(palette.NETS)].hex)
    if low < sweep.parameter.value < high:
        at = x.at(sweep.parameter.value)
        for index in range(len(sweep.columns)):
            head = top + index * (GAP + PANEL) + GAP
            ends = (at, head, at, head + PANEL)
            svg.line(*ends, stroke=palette.ACCENT, stroke_width=2, stroke_dasharray="9 6")
        words = say(
            "as it is: {value}", value=format_quantity(sweep.parameter.value, sweep.parameter.unit, 3)
        )
        # Over the frame, where no curve runs, and clear of the panel's own title.
        wide = _text.width(words, TICK)
        first = LEFT + 30 + _text.width(f"{say(sweep.columns[0].asked.title)} in mm", 21, "bold")
        centre = min(max(at, first + wide / 2), right - wide / 2)
        svg.text(centre, top + GAP - 10, words, TICK, anchor="middle", fill=palette.ACCENT)
    return svg.picture()


def _title(svg: Svg, title: str) -> None:
    if title:
        shown, size = _text.fit(title, TITLE, WIDTH - 32, "bold", TITLE * 0.8)
        svg.text(16, TITLE + 8, shown, size, style="bold", fill=palette.INK)


def _at_ratios(values: Sequence[float]) -> bool:
    """Whether values stand at equal ratios rather than at equal steps."""
    if len(values) < 3 or min(values) <= 0:
        return False
    found = np.asarray(values)
    return float(np.std(np.diff(np.log(found)))) < 0.01 * abs(float(np.log(found[-1] / found[0])))


def _panel(svg: Svg, sweep: Sweep, column: Column, x: Axis, head: float, colour: str) -> None:
    known = [value for value in column.values if not math.isnan(value)]
    unit = _unit(column)
    least, most = (min(known), max(known)) if known else (0.0, 1.0)
    if least > 0 and least < 0.6 * most:
        least = 0.0
    # A measure that hardly moves is shown as one that hardly moves.
    spare = max(0.06 * (most - least), 0.5 * (FLAT * abs(most) - (most - least))) or 1.0
    y = Axis(least - (spare if least else 0.0), most + spare, unit, head + PANEL, head)
    y.upright(svg, x.start, x.end, say(column.asked.title))
    for piece in _pieces(sweep.values, column.values):
        points = [(x.at(a), y.at(b)) for a, b in piece]
        if len(points) > 1:
            shape = "M " + " L ".join(f"{number(a)} {number(b)}" for a, b in points)
            svg.path(shape, fill="none", stroke=colour, stroke_width=3.4, stroke_linejoin="round",
                     stroke_linecap="round")  # fmt: skip
        if len(sweep.values) <= DOTS or len(points) == 1:
            for a, b in points:
                svg.circle(a, b, 5, fill=palette.PAPER, stroke=colour, stroke_width=2.6)
    if column.missing:
        words = say(
            "nothing at {missing} of {count} values", missing=column.missing, count=len(column.values)
        )
        for row, line in enumerate(_text.wrap(words, TICK, RIGHT - 20)):
            svg.text(x.end + 13, head + PANEL / 2 + row * 1.2 * TICK, line, TICK, fill=palette.ACCENT)


def _unit(column: Column) -> str:
    """The unit in which people read a measure: a ratio in per cent, a count as it is."""
    return column.asked.unit or ("" if column.asked.name == "count" else "%")


def _pieces(xs: Sequence[float], ys: Sequence[float]) -> Iterator[list[tuple[float, float]]]:
    """Stretches of a curve without gaps."""
    pairs = zip(xs, ys, strict=True)
    for gap, piece in groupby(pairs, key=lambda pair: math.isnan(pair[1])):
        if not gap:
            yield list(piece)


def _curve_words(sweep: Sweep) -> str:
    unit = sweep.parameter.unit
    first, last = (format_quantity(v, unit, 3) for v in (sweep.values[0], sweep.values[-1]))
    count = len(sweep.values)
    told = say(
        "{name} goes from {first} to {last} in {count} values.",
        name=sweep.parameter,
        first=first,
        last=last,
        count=count,
    )
    bits = [told]
    for column in sweep.columns:
        name = capital(say(column.asked.title))
        pairs = [p for p in zip(sweep.values, column.values, strict=True) if not math.isnan(p[1])]
        if not pairs:
            bits.append(say("{name} cannot be measured at any of them.", name=name))
            continue
        shown = [
            say(
                "{value} at {at}",
                value=format_quantity(value, _unit(column), 3),
                at=format_quantity(at, unit, 3),
            )
            for at, value in (pairs[0], pairs[-1])
        ]
        bits.append(say("{name} is {first} and {last}.", name=name, first=shown[0], last=shown[1]))
        if column.missing:
            bits.append(say("Nothing can be measured at {count} of them.", count=column.missing))
    return " ".join(bits)


def sweep_waves(
    runs: Sequence[Run], labels: Sequence[str], traces: Sequence[str], *, title: str = "",
    span: tuple[float, float] | None = None,
) -> Picture:  # fmt: skip
    """Draw the same nets and lights of several runs together, each run in its colour and dash.

    ``labels``: what to call each run, such as the value that was moved; ``traces``: nets (a panel each,
    all to one scale of volts) and lights (a bar for each run); ``span`` [s] cuts out a time.  Raises
    ValueError for no or more than six runs, KeyError for a trace that a run does not have.
    """
    if not 1 <= len(runs) <= MOST_CURVES or len(labels) != len(runs):
        raise ValueError(f"a picture takes 1 to {MOST_CURVES} runs, each with its label")
    for trace in traces:
        if trace not in runs[0].nets and trace not in runs[0].circuit.by_id:
            raise KeyError(trace)
    start, end = span or (0.0, max(float(run.times[-1]) for run in runs))
    if not end > start:
        raise ValueError("the span is empty")
    return _Waves(runs, labels, traces, title, (start, end)).draw()


class _Waves:
    def __init__(
        self, runs: Sequence[Run], labels: Sequence[str], traces: Sequence[str], title: str,
        span: tuple[float, float],
    ) -> None:  # fmt: skip
        self.runs, self.labels, self.traces, self.title = runs, labels, traces, title
        self.nets = tuple(t for t in traces if t in runs[0].nets)
        ranges = [limits(run, self.nets, *span) for run in runs]
        self.low, self.high = min(a for a, _ in ranges), max(b for _, b in ranges)
        self.x = Axis(*span, "s", LEFT, WIDTH - RIGHT)

    def draw(self) -> Picture:
        head = (TITLE + 26 if self.title else 12) + (36 if self.nets else 0)
        heights = [GAP + PANEL if t in self.nets else 34 + ROW * len(self.runs) for t in self.traces]
        floor = head + sum(heights) + 8
        svg = Svg(WIDTH, floor + 46, title=self.title or self._about(), alt=self._words(),
                  background=palette.PAPER)  # fmt: skip
        _title(svg, self.title)
        if self.nets:
            self._legend(svg, head - 14)
        top = head + (GAP if self.traces[:1] == self.nets[:1] else 30)
        self.x.across(svg, top, floor, say("time"))
        y = head
        for trace, height in zip(self.traces, heights, strict=True):
            if trace in self.nets:
                self._curves(svg, trace, y + GAP)
            else:
                self._bars(svg, trace, y + 30)
            y += height
        return svg.picture()

    def _about(self) -> str:
        """Which curves and bars they are."""
        return say("{traces} at several values", traces=listed(list(self.traces)))

    def colour(self, index: int) -> str:
        return palette.NETS[index % len(palette.NETS)].hex

    def _legend(self, svg: Svg, y: float) -> None:
        x = LEFT
        room = (WIDTH - LEFT - 24) / len(self.labels)
        for index, label in enumerate(self.labels):
            svg.line(x, y - 6, x + 44, y - 6, stroke=self.colour(index), stroke_width=3.4,
                     stroke_dasharray=DASHES[index])  # fmt: skip
            shown, size = _text.fit(label, TICK, room - 62, least=_text.LEAST)
            svg.text(x + 52, y, shown, size, fill=palette.INK)
            x += min(room, 52 + _text.width(shown, size) + 34)

    def _curves(self, svg: Svg, net: str, top: float) -> None:
        axis = Axis(self.low, self.high, "V", top + PANEL, top)
        axis.upright(svg, self.x.start, self.x.end, net)
        for index, run in enumerate(self.runs):
            t, v = thinned(run.times, run.voltage(net), self.x.low, min(self.x.high, float(run.times[-1])))
            points = zip(t.tolist(), v.tolist(), strict=True)
            shape = "M " + " L ".join(f"{number(self.x.at(a))} {number(axis.at(b))}" for a, b in points)
            svg.path(shape, fill="none", stroke=self.colour(index), stroke_width=3.0, stroke_linejoin="round",
                     stroke_dasharray=DASHES[index])  # fmt: skip

    def _bars(self, svg: Svg, part_id: str, top: float) -> None:
        part = self.runs[0].circuit.by_id[part_id]
        svg.text(LEFT + 6, top - 8, part_id, 21, style="bold", fill=palette.INK)
        start = LEFT + 16 + _text.width(part_id, 21, "bold")
        svg.text(start, top - 8, said_at_work(part), TICK, fill=palette.INK_SOFT)
        for index, run in enumerate(self.runs):
            y = top + ROW * index
            middle, dash = y + ROW / 2, DASHES[index]
            if self.nets:  # the run of a curve; without one each row bears its label alone
                svg.line(LEFT - 54, middle, LEFT - 10, middle, stroke=self.colour(index), stroke_width=3.4,
                         stroke_dasharray=dash)  # fmt: skip
            floor = y + ROW - 4
            svg.line(self.x.start, floor, self.x.end, floor, stroke=palette.LINE_SOFT, stroke_width=1.6)
            fill = colour_of(part) if part.type.family == "led" else palette.PRESSED
            edge = palette.mix(fill, palette.INK, 0.6)
            for begins, ends in intervals(run, part_id):
                a, b = max(begins, self.x.low), min(ends, self.x.high)
                if b > a:
                    left, right = self.x.at(a), max(self.x.at(b), self.x.at(a) + 2.5)
                    svg.rect(left, y + 6, right - left, ROW - 10, fill=fill, stroke=edge, stroke_width=1.6)
            shown, size = _text.fit(self.labels[index], TICK, RIGHT - 20, least=_text.LEAST)
            svg.text(self.x.end + 13, middle + 0.334 * size, shown, size, fill=palette.INK)

    def _words(self) -> str:
        bits = [
            say(
                "{traces} of {count} runs: {labels}.", traces=listed(list(self.traces)),
                count=len(self.runs), labels=listed(list(self.labels)),
            )
        ]  # fmt: skip
        for label, run in zip(self.labels, self.runs, strict=True):
            for trace in self.traces:
                name = f"{label}: {trace}"
                if trace in self.nets:
                    volts = run.voltage(trace)
                    low, high = (said_level(float(v)) for v in (volts.min(), volts.max()))
                    bits.append(say(MOVES, name=name, least=low, most=high))
                else:
                    spans = intervals(run, trace)
                    total = said_duration(sum(b - a for a, b in spans), self.x.high - self.x.low)
                    family = run.circuit.by_id[trace].type.family
                    bits.append(
                        say(ON, name=name, count=len(spans), total=total) if spans
                        else say(NEVER.get(family, NEVER["switch"]), name=name)
                    )  # fmt: skip
        return " ".join(bits)
