"""The picture of a run: curves with thresholds, bars of lights and buttons, lines of settings, moments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildalong.board import Layout
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._badges import badge, badge_places, badges_height, leader
from buildalong.drawing._band import Band
from buildalong.drawing._course import Course, course_of
from buildalong.drawing._course_row import ROW, draw_course
from buildalong.drawing._ideal import Ideal
from buildalong.drawing._look import colour_of
from buildalong.drawing._nets import curve_colours
from buildalong.drawing._palette import Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._series import (
    VOLT_TICKS,
    Floats,
    intervals,
    limits,
    said_duration,
    thinned,
    ticks,
    time_unit,
)
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._watch import STEADY, Threshold, said_threshold, usual_thresholds, usual_traces
from buildalong.drawing._words import (
    BAND_KEY,
    CYCLE_KEY,
    IDEAL_KEY,
    REAL_KEY,
    SHARES,
    ideal_words,
    said_at_work,
    said_set,
    waves_words,
)
from buildalong.engine import Run
from buildalong.words import numeral, say, with_unit

__all__ = ["TIME_FROM_TO", "Mark", "waveforms"]

WIDTH = 960.0
LEFT, RIGHT = 92.0, 158.0
TITLE, NAME, TICK = 26.0, 21.0, 19.0
TIME_FROM_TO = LEFT, WIDTH - RIGHT
"""Between these the time runs across every picture of waveforms, user units."""
CURVE, BAR, GAP = 132.0, 38.0, 44.0
LEAST_BAR = 2.5
USUAL = 0.1
"""A bar lasts as long as most where it differs by less than this share from the median."""
LABELS = 7.0
"""Between the labels of two levels."""
PAIR = 70.0
"""A duration beside the formula's: a line of words and two bars."""


@dataclass(frozen=True)
class Mark:
    """A moment worth a number: ``time`` [s], the ``number`` that the story gives it, and what happens."""

    time: float
    number: str
    text: str = ""


def waveforms(
    run: Run,
    traces: Sequence[str] = (),
    *,
    thresholds: Sequence[Threshold] | None = None,
    marks: Sequence[Mark] = (),
    title: str = "",
    span: tuple[float, float] | None = None,
    band: Band | None = None,
    ideals: Sequence[Ideal] = (),
    layout: Layout | None = None,
    tone: Tone = palette.PLAIN,
) -> Picture:
    """Draw what happened in a run.

    ``traces``: names of nets (a curve each, all to one scale of volts) and references of LEDs,
    buttons and switches (a bar each, dark while off), of sensors and
    potentiometers (a line of what the trial sets), from top to bottom; left out, those that tell
    most are chosen.  ``thresholds`` are drawn on the curve of their net; left out, the levels that
    the circuit's ICs watched.  ``marks`` are numbered lines across all traces.  ``span`` [s] cuts
    out a time.  ``band`` is drawn behind the curves; ``ideals`` are drawn as pairs of bars below the
    traces, the formula's dashed, with their difference in per cent.  With a ``layout`` curves have the
    colours of its nets.  Raises KeyError for a trace that
    the run does not have, ValueError for an empty span.
    """
    start, end = span or (float(run.times[0]), float(run.times[-1]))
    if not end > start:
        raise ValueError("the span is empty")
    names = tuple(traces) or usual_traces(run)
    for name in names:
        if name not in run.nets and name not in run.circuit.by_id:
            raise KeyError(name)
    levels = usual_thresholds(run) if thresholds is None else tuple(thresholds)
    shown = tuple(m for m in marks if start <= m.time <= end)
    fitting = tuple(i for i in ideals if start <= i.start and i.start + max(i.ideal, i.real) <= end)
    return _Chart(run, names, levels, shown, title, (start, end), band, fitting, layout, tone).draw()


def _apart(labels: Sequence[tuple[float, tuple[str, ...], float]]) -> list[float]:
    """Where the first line of each label stands: about its level, a gap between two, from top to bottom."""
    places: list[float] = []
    for wanted, lines, _ in sorted(labels):
        places.append(wanted - (len(lines) - 1) * (TICK + 1) / 2)
    for index, (_, lines, _) in enumerate(sorted(labels)[:-1]):
        short = places[index] + len(lines) * (TICK + 1) + LABELS - places[index + 1]
        if short > 0:  # both give way, what stands above as little as what comes next
            places[: index + 1] = [place - short / 2 for place in places[: index + 1]]
            places[index + 1] += short / 2
    return places


class _Chart:
    def __init__(
        self, run: Run, names: tuple[str, ...], thresholds: tuple[Threshold, ...], marks: tuple[Mark, ...],
        title: str, span: tuple[float, float], band: Band | None = None, ideals: tuple[Ideal, ...] = (),
        layout: Layout | None = None, tone: Tone = palette.PLAIN,
    ) -> None:  # fmt: skip
        self.band, self.ideals, self.tone = band, ideals, tone
        self.run, self.names, self.thresholds, self.marks = run, names, thresholds, marks
        self.title, (self.start, self.end) = title, span
        self.span = self.end - self.start
        self.nets = tuple(name for name in names if name in run.nets)
        self.low, self.high = limits(run, self.nets, *span)
        self.colours = curve_colours(run.circuit, layout, tone)
        self.told: set[str] = set()  # durations that stand beside a bar or in it
        found = {name: course_of(run, name) for name in names if name not in self.nets}
        self.courses = {name: course for name, course in found.items() if course is not None}
        self.moments = [self.x(mark.time) for mark in marks]
        self.badges = badge_places(self.moments, LEFT, WIDTH - RIGHT)

    def draw(self) -> Picture:
        top = (TITLE + 22 if self.title else 12) + (
            badges_height(self.moments, self.badges) + 7 if self.marks else 0
        )
        places: list[tuple[str, float]] = []
        y = top
        for index, name in enumerate(self.names):
            if name in self.nets:
                y += GAP if index else 30
                places.append((name, y))
                y += CURVE
            else:
                previous_curve = index and self.names[index - 1] in self.nets
                y += 22 if previous_curve else 4
                places.append((name, y))
                y += ROW if name in self.courses else BAR
        traced, beside = y + 4, y + 30
        y += (30 + PAIR * len(self.ideals)) if self.ideals else 0
        floor = y + 8
        legend = self._legend()
        keys = self._keys()
        height = floor + 46 + (len(legend) + len(keys)) * 28 + (10 if legend or keys else 0)
        alt = " ".join([
            waves_words(self.run, self.names, self.nets, self.start, self.end),
            *(ideal_words(ideal, self.span) for ideal in self.ideals), *(f"{words}." for _, words in keys),
        ])  # fmt: skip
        svg = Svg(
            WIDTH,
            height,
            title=self.title or say("Waveforms"),
            alt=alt,
            background=palette.PAPER,
            tone=self.tone,
        )
        if self.title:
            shown, size = _text.fit(self.title, TITLE, WIDTH - 32, "bold", TITLE * 0.8)
            svg.text(16, TITLE + 8, shown, size, style="bold", fill=palette.INK)
        self._time_axis(svg, top, floor)
        for name, at in places:
            if name in self.nets:
                self._curve(svg, name, at)
            elif name in self.courses:
                self._course(svg, name, self.courses[name], at)
            else:
                self._bar(svg, name, at)
        self._draw_marks(svg, top, traced if self.ideals else floor)
        for name, at in places:
            if name in self.nets:
                # Upon a plate, so that no dotted line runs through it.
                wide = _text.width(name, NAME, "bold")
                svg.rect(LEFT + 3, at - 28, wide + 6, 25, fill=palette.PAPER)
                svg.text(LEFT + 6, at - 10, name, NAME, style="bold", fill=palette.INK)
        for index, ideal in enumerate(self.ideals):
            self._beside(svg, ideal, beside + index * PAIR)
        for index, line in enumerate(legend):
            svg.text(LEFT, floor + 46 + 24 + index * 28, line, TICK, fill=palette.INK)
        for index, (kind, line) in enumerate(keys, start=len(legend)):
            self._key(svg, kind, line, floor + 46 + 24 + index * 28)
        return replace(svg.picture(), head=top, foot=floor)

    # -- axes --------------------------------------------------------------------------------

    def x(self, time: float) -> float:
        return LEFT + (time - self.start) / (self.end - self.start) * (WIDTH - LEFT - RIGHT)

    def y(self, volts: float, top: float) -> float:
        return top + (self.high - volts) / (self.high - self.low) * CURVE

    def _time_axis(self, svg: Svg, top: float, floor: float) -> None:
        unit, per_second = time_unit(self.end - self.start)
        for tick in ticks(self.start * per_second, self.end * per_second, 8):
            x = self.x(tick / per_second)
            svg.line(x, top, x, floor, stroke=palette.GRID, stroke_width=1.2)
            svg.line(x, floor, x, floor + 7, stroke=palette.INK_SOFT, stroke_width=1.8)
            svg.text(x, floor + 28, numeral(f"{tick:g}"), TICK, anchor="middle", fill=palette.INK_SOFT)
        svg.line(LEFT, floor, WIDTH - RIGHT, floor, stroke=palette.INK_SOFT, stroke_width=1.8)
        svg.text(
            WIDTH - RIGHT + 30, floor + 28, say("time in {unit}", unit=unit), TICK, fill=palette.INK_SOFT
        )

    # -- traces ------------------------------------------------------------------------------

    def _curve(self, svg: Svg, net: str, top: float) -> None:
        right = WIDTH - RIGHT
        svg.rect(LEFT, top, right - LEFT, CURVE, fill="none", stroke=palette.LINE_SOFT, stroke_width=1.4)
        for tick in ticks(self.low, self.high, VOLT_TICKS):
            y = self.y(tick, top)
            svg.line(LEFT, y, right, y, stroke=palette.GRID if tick else palette.LINE_SOFT, stroke_width=1.2)
            svg.text(LEFT - 10, y + 0.334 * TICK, with_unit(f"{tick:g}".replace("-", "−"), "V"), TICK,
                     anchor="end", fill=palette.INK_SOFT)  # fmt: skip
        self._draw_band(svg, net, top)
        self._levels(svg, net, top)
        t, v = thinned(self.run.times, self.run.voltage(net), self.start, self.end)
        svg.path(
            self._line(t, v, top), fill="none", stroke=self.colours[net], stroke_width=3.4,
            stroke_linejoin="round", stroke_linecap="round",
        )  # fmt: skip

    def _line(self, t: Floats, v: Floats, top: float) -> str:
        points = [
            f"{number(self.x(a))} {number(self.y(b, top))}"
            for a, b in zip(t.tolist(), v.tolist(), strict=True)
        ]
        return "M " + " L ".join(points)

    def _draw_band(self, svg: Svg, net: str, top: float) -> None:
        """Where the curves of boards with other parts lie."""
        if self.band is None or net not in self.band.low:
            return
        inside = (self.band.times >= self.start) & (self.band.times <= self.end)
        times = self.band.times[inside]
        upper = np.clip(self.band.high[net][inside], self.low, self.high)
        lower = np.clip(self.band.low[net][inside], self.low, self.high)
        outline = self._line(times, upper, top) + " L " + self._line(times[::-1], lower[::-1], top)[2:]
        colour = self.colours[net]
        svg.path(
            f"{outline} Z", fill=palette.mix(colour, palette.PAPER, 0.82),
            stroke=palette.mix(colour, palette.PAPER, 0.45), stroke_width=1,
        )  # fmt: skip

    def _levels(self, svg: Svg, net: str, top: float) -> None:
        """Thresholds as dashed lines, named on the right, the names kept apart."""
        labels: list[tuple[float, tuple[str, ...], float]] = []
        for threshold in self.thresholds:
            if threshold.net != net:
                continue
            middle, strays = threshold.within(self.run, (self.start, self.end))
            if not self.low <= middle <= self.high:
                continue
            if strays <= STEADY * (self.high - self.low):
                y = self.y(middle, top)
                svg.line(
                    LEFT, y, WIDTH - RIGHT, y, stroke=palette.ACCENT, stroke_width=2, stroke_dasharray="9 6"
                )
                volts = said_threshold(middle)
                named: tuple[str, ...] = (f"{threshold.name} {volts}",)
                if _text.width(named[0], TICK) > RIGHT - 24:
                    named = (threshold.name, volts)
                labels.append((y, (*named, *self._share(middle)), y))
            else:
                clipped = np.clip(threshold.over(self.run), self.low, self.high)
                t, v = thinned(self.run.times, clipped, self.start, self.end)
                svg.path(self._line(t, v, top), fill="none", stroke=palette.ACCENT, stroke_width=2,
                         stroke_dasharray="9 6")  # fmt: skip
                labels.append((self.y(float(v[-1]), top), (threshold.name,), self.y(float(v[-1]), top)))
        for at, (lines, y) in zip(_apart(labels), [label[1:] for label in sorted(labels)], strict=True):
            middle = at + (len(lines) - 1) * (TICK + 1) / 2
            svg.line(WIDTH - RIGHT, y, WIDTH - RIGHT + 9, middle, stroke=palette.ACCENT, stroke_width=1.6)
            for index, words in enumerate(lines):
                shown, size = _text.fit(words, TICK, RIGHT - 24, least=_text.LEAST)
                row = at + index * (TICK + 1) + 0.334 * TICK
                svg.text(WIDTH - RIGHT + 13, row, shown, size, fill=palette.ACCENT)

    def _share(self, level: float) -> tuple[str, ...]:
        """Which simple share of the supply, as it really is, a level is; nothing for another."""
        circuit = self.run.circuit
        if circuit.plus not in self.run.nets:
            return ()
        supply = float(np.median(self.run.voltage(circuit.plus)))
        for share, words in SHARES.items():
            if supply > 0 and abs(level / supply - share) < 0.01:
                return _text.wrap(say(words), TICK, RIGHT - 24)
        return ()

    def _bar(self, svg: Svg, part_id: str, top: float) -> None:
        part = self.run.circuit.by_id[part_id]
        right = WIDTH - RIGHT
        light = part.type.family == "led"
        self._whose(svg, part_id, top + BAR / 2)
        svg.line(LEFT, top + BAR - 6, right, top + BAR - 6, stroke=palette.LINE_SOFT, stroke_width=1.6)
        fill = colour_of(part) if light else palette.PRESSED
        edge = palette.mix(fill, palette.INK, 0.6)
        whole: list[tuple[float, float, float]] = []
        for begins, ends in intervals(self.run, part_id):
            a, b = max(begins, self.start), min(ends, self.end)
            if b <= a:
                continue
            x0, x1 = self.x(a), max(self.x(b), self.x(a) + LEAST_BAR)
            if x1 > right:  # what only just begins says nothing, and would stand beyond the frame
                continue
            thick = 2.6 if palette.contrast(fill, palette.PAPER) < palette.PALE else 1.6
            svg.rect(x0, top + 6, x1 - x0, BAR - 12, fill=fill, stroke=edge, stroke_width=thick)
            if begins >= self.start and ends < self.end:
                whole.append((x0, x1, ends - begins))
        self._duration(svg, whole, top, fill)
        self._what(svg, said_at_work(part), top + BAR / 2)

    def _whose(self, svg: Svg, name: str, middle: float) -> None:
        shown, size = _text.fit(name, NAME, LEFT - 20, "bold", _text.LEAST)
        svg.text(LEFT - 12, middle + 0.334 * size, shown, size, anchor="end", style="bold", fill=palette.INK)

    def _what(self, svg: Svg, words: str, middle: float) -> None:
        """What bars or values of a row are."""
        shown, size = _text.fit(words, TICK, RIGHT - 20, least=_text.LEAST)
        svg.text(WIDTH - RIGHT + 13, middle + 0.334 * TICK, shown, size, fill=palette.INK_SOFT)

    def _course(self, svg: Svg, name: str, course: Course, top: float) -> None:
        """What the trial does to a sensor or a potentiometer."""
        self._whose(svg, name, top + ROW - BAR / 2)
        self._what(svg, said_set(course), top + ROW - BAR / 2)
        draw_course(svg, course, (self.start, self.end), self.x, top, TICK, self.moments)

    def _duration(self, svg: Svg, whole: Sequence[tuple[float, float, float]], top: float, fill: str) -> None:
        """How long it lasts as a rule, in a bar of about the median's length, or once beside one."""
        if not whole:
            return
        usual = float(np.median([lasts for *_, lasts in whole]))
        near = [bar for bar in whole if abs(bar[2] - usual) <= USUAL * usual]
        baseline = top + BAR / 2 + 0.334 * TICK
        for x0, x1, lasts in sorted(near or whole, key=lambda bar: bar[0] - bar[1]):
            words = said_duration(lasts, self.span)
            wide = _text.width(words, TICK)
            if wide + 12 <= x1 - x0:
                ink = palette.readable_on(fill)
                svg.text((x0 + x1) / 2, baseline, words, TICK, anchor="middle", fill=ink)
                self.told.add(words)
                return
            from_to = x1 + 5, x1 + 11 + wide
            bars = (x for x, *_ in whole if x > x0)
            free = from_to[1] < min(bars, default=WIDTH - RIGHT)
            if words not in self.told and free and not any(from_to[0] < x < from_to[1] for x in self.moments):
                svg.text(x1 + 8, baseline, words, TICK, fill=palette.INK)
                self.told.add(words)
                return

    # -- beside the formula ------------------------------------------------------------------

    def _beside(self, svg: Svg, ideal: Ideal, top: float) -> None:
        """What it is and by how much it differs, above the bar of the real parts and the formula's."""
        words, size = _text.fit(ideal_words(ideal, self.span), TICK, WIDTH - LEFT - 22, least=_text.LEAST)
        svg.rect(LEFT + 3, top - 17, _text.width(words, size) + 6, 23, fill=palette.PAPER)
        svg.text(LEFT + 6, top, words, size, fill=palette.INK)
        x0 = self.x(ideal.start)
        svg.rect(x0, top + 9, max(self.x(ideal.start + ideal.real) - x0, 2), 11, fill=palette.INK)
        svg.rect(
            x0, top + 25, max(self.x(ideal.start + ideal.ideal) - x0, 2), 11, fill=palette.PAPER,
            stroke=palette.INK, stroke_width=2, stroke_dasharray="6 4",
        )  # fmt: skip

    def _keys(self) -> list[tuple[str, str]]:
        """What the signs mean that are not named where they stand."""
        out = []
        if self.band is not None and set(self.band.low) & set(self.nets):
            words = CYCLE_KEY if self.band.cycle else BAND_KEY
            out.append(("band", say(words, count=self.band.count)))
        if self.ideals:
            out += [("real", say(REAL_KEY)), ("ideal", say(IDEAL_KEY))]
        return out

    def _key(self, svg: Svg, kind: str, words: str, at: float) -> None:
        y = at - 11
        fill, edge, dash = {
            # Of no curve's colour, since it stands for all of them.
            "band": (
                palette.mix(palette.INK_SOFT, palette.PAPER, 0.82),
                palette.mix(palette.INK_SOFT, palette.PAPER, 0.25),
                None,
            ),
            "real": (palette.INK, palette.INK, None),
            "ideal": (palette.PAPER, palette.INK, "6 4"),
        }[kind]  # fmt: skip
        svg.rect(LEFT, y, 34, 11, fill=fill, stroke=edge, stroke_width=2, stroke_dasharray=dash)
        shown, size = _text.fit(words, TICK, WIDTH - LEFT - 60, least=_text.LEAST)
        svg.text(LEFT + 46, at, shown, size, fill=palette.INK)

    # -- marks -------------------------------------------------------------------------------

    def _draw_marks(self, svg: Svg, top: float, end: float) -> None:
        """Lines across the traces, no further: below them stand sentences."""
        for index, _ in enumerate(self.marks):
            points = leader(self.moments, self.badges, index, top - 4)
            svg.polyline(
                [*points, (points[-1][0], end)], fill="none", stroke=palette.INK, stroke_width=1.6,
                stroke_dasharray="2 5",
            )  # fmt: skip
        for index, mark in enumerate(self.marks):
            badge(svg, self.moments, self.badges, index, top - 4, mark.number)

    def _legend(self) -> tuple[str, ...]:
        lines: list[str] = []
        for mark in self.marks:
            if mark.text:
                wrapped = _text.wrap(f"{mark.number}  {mark.text}", TICK, WIDTH - LEFT - 24)
                lines += wrapped
        return tuple(lines)
