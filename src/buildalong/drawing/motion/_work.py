"""The working circuit: lights that shine, voltages that rise and fall, a hand that moves along the story."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from buildalong.board import Layout
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._badges import badge, badge_places, badges_height, leader
from buildalong.drawing._course import course_of
from buildalong.drawing._look import colour_of
from buildalong.drawing._nets import curve_colours
from buildalong.drawing._palette import Tone
from buildalong.drawing._picture import Picture
from buildalong.drawing._series import (
    VOLT_TICKS,
    high_intervals,
    limits,
    said_duration,
    straightened,
    ticks,
    time_unit,
)
from buildalong.drawing._svg import Svg, number, path
from buildalong.drawing._watch import SHOWING, usual_traces
from buildalong.drawing._waves import Mark
from buildalong.drawing._words import said_at_rest, said_at_work
from buildalong.drawing.motion import _words as words
from buildalong.drawing.motion._gauge import draw_gauge
from buildalong.drawing.motion._levels import FINE, Levels
from buildalong.drawing.motion._motion import Motion, Track, factor_for, sheet
from buildalong.engine import Run
from buildalong.story import said_level
from buildalong.words import numeral, say, with_unit

__all__ = ["work_motion"]

WIDTH, SIDE = 960.0, 40.0
AXIS_FROM_TO = SIDE + 22, WIDTH - 150
"""Between these the time runs."""
NAME, SMALL = 21.0, 19.0
LAMP, ITEM = 22.0, 116.0
TANK = (76.0, 150.0)
AXIS = 58.0
WIDEST = 310.0
"""Room for the volts of a tank, and most room for a tank with the names of its levels."""
GLOW, RAYS = 1.6, 12
"""How far the rays of a lamp reach, in radii, and how many it has: light that grey printing shows too."""
UNLIT = "#A9A69C"
WHITE_LIT = "#FFF0A6"
"""A white light that shines, on white paper."""
ROW, STATE = 96.0, 22.0
"""From one row of lights to the next, and more for what buttons are."""
BLINK = 0.002
"""A light that is on for less than this share of the time shown is not played."""


def work_motion(
    run: Run,
    span: tuple[float, float],
    key: str,
    marks: Sequence[Mark] = (),
    *,
    text: float = 1.0,
    layout: Layout | None = None,
    tone: Tone = palette.PLAIN,
    paced: bool = True,
) -> Motion:
    """Let a circuit work from ``span[0]`` to ``span[1]`` [s] of a run: lights, buttons, levels, and the time.

    ``key`` makes the names of the style sheet unique in a page.  The still picture shows the first
    moment at which a light shines.  ``marks`` are the story's numbered moments.  It plays as slowly
    as it must: nothing flashes three times in a second (WCAG 2.2, 2.3.1).  ``text`` times the usual size
    of the words is for screens that are looked at from afar, 1 to 1.4.  How fast it plays stands below where
    it is ``paced``; elsewhere its moments are shown one by one.  With a ``layout`` levels have the colours of
    its nets.
    """
    told = tuple(m for m in marks if span[0] <= m.time <= span[1])
    return _Work(run, span, key, told, text, layout, tone, paced).motion()


@dataclass
class _Work:
    run: Run
    span: tuple[float, float]
    key: str
    marks: tuple[Mark, ...]
    text: float = 1.0
    layout: Layout | None = None
    tone: Tone = palette.PLAIN
    paced: bool = True

    def __post_init__(self) -> None:
        self.name, self.small = NAME * self.text, SMALL * self.text
        traces = usual_traces(self.run)
        self.nets = tuple(name for name in traces if name in self.run.nets)
        self.items = tuple(name for name in traces if name not in self.run.nets)
        self.low, self.high = limits(self.run, self.nets, *self.span)
        self.colours = curve_colours(self.run.circuit, self.layout, self.tone)
        found = {name: course_of(self.run, name) for name in self.items}
        self.courses = {name: course for name, course in found.items() if course is not None}
        shown = (self.run.circuit.by_id[name].type.family in SHOWING for name in self.items)
        self.pitch = ROW if all(shown) else ROW + STATE
        self.wide = ITEM * self.text if self.courses else ITEM  # a value on its way is long
        self.tracks: list[Track] = []
        self.shines = {name: self._shine(name) for name in self.items if name not in self.courses}
        self.now = self._first_light()
        self.room = min((WIDTH - SIDE) / max(len(self.nets), 1), WIDEST)

    def _shine(self, name: str) -> tuple[tuple[float, float], ...]:
        """When a light shines or a button is pressed inside the span, blinks left out."""
        start, end = self.span
        cut = ((max(a, start), min(b, end)) for a, b in high_intervals(self.run, name))
        return tuple((a, b) for a, b in cut if b - a > BLINK * (end - start))

    def _first_light(self) -> float:
        lights = [
            a for name in self.items if self.run.circuit.by_id[name].type.family in SHOWING
            for a, _ in self.shines.get(name, ())
        ]  # fmt: skip
        return min(lights, default=self.span[0]) + 0.02 * (self.span[1] - self.span[0])

    def motion(self) -> Motion:
        start, end = self.span
        whole = end - start
        bright = [a - start for spans in self.shines.values() for a, _ in spans]
        for net in self.nets:
            bright += [a - start for a, _ in high_intervals(self.run, net) if start <= a <= end]
        factor = factor_for(bright, whole)
        seconds = whole * factor
        picture = self._draw(factor)
        css = sheet(self.tracks, start, end, seconds)
        told = partial(self._alt, words.MOMENT)
        return Motion(picture, css, seconds, factor, self.span, self.shines, tuple(self.tracks), told)

    def _name(self, what: str) -> str:
        return f"{self.key}-{what}"

    # -- the still picture, with a track for each thing that moves ----------------------------

    def _draw(self, factor: float) -> Picture:
        lamps = -(-len(self.items) // 10) * self.pitch
        tanks = (TANK[1] + 62) if self.nets else 0
        moments = [self._at(mark.time) for mark in self.marks]
        places = badge_places(moments, *AXIS_FROM_TO)
        axis = 16 + lamps + tanks + max(40.0, badges_height(moments, places) + 17)
        height = axis + (84 if self.paced else 52)
        svg = Svg(
            WIDTH, height, title=say(words.WORK), alt=self._alt(words.ALT, self.now),
            background=palette.PAPER, tone=self.tone,
        )  # fmt: skip
        for index, name in enumerate(self.items):
            row, column = divmod(index, 10)
            across = min(len(self.items) - row * 10, 10)
            room = min(self.wide, (WIDTH - 2 * SIDE) / across)
            x = WIDTH / 2 + (column - (across - 1) / 2) * room
            y = 50 + row * self.pitch
            if name in self.courses:
                self._gauge(svg, name, index, (x, y), room - 6)
            else:
                self._item(svg, name, index, x, y)
        first = (WIDTH - self.room * len(self.nets)) / 2
        for index, net in enumerate(self.nets):
            self._tank(svg, net, index, first + index * self.room, 16 + lamps + 44)
        self._time(svg, axis, moments, places, factor)
        return svg.picture()

    def _item(self, svg: Svg, name: str, index: int, x: float, y: float) -> None:
        part = self.run.circuit.by_id[name]
        light = part.type.family in SHOWING
        lens = colour_of(part) if part.type.family == "led" else palette.PRESSED
        edge = palette.mix(lens, palette.INK, 0.6)
        lit = WHITE_LIT if light and palette.contrast(lens, palette.PAPER) < palette.PALE else lens
        off = palette.mix(lens, UNLIT, 0.72)
        on = any(a <= self.now <= b for a, b in self.shines[name])
        if light:
            svg.circle(x, y, LAMP, fill=off, stroke=edge, stroke_width=2.4)
        else:
            svg.rect(
                x - LAMP,
                y - LAMP,
                2 * LAMP,
                2 * LAMP,
                rx=6,
                fill=palette.PAPER,
                stroke=palette.INK,
                stroke_width=2.4,
            )
        track = self._name(f"i{index}")
        with svg.group(class_=track, opacity=1 if on else 0):
            if light:
                svg.circle(x, y, LAMP, fill=lit, stroke=edge, stroke_width=2.4)
                for turn in range(RAYS):
                    cos, sin = (f(2 * math.pi * turn / RAYS) for f in (math.cos, math.sin))
                    a, b = LAMP * 1.22, LAMP * GLOW
                    svg.line(
                        x + a * cos, y + a * sin, x + b * cos, y + b * sin, stroke=edge, stroke_width=2.6
                    )
            else:
                svg.rect(x - LAMP + 6, y - LAMP + 6, 2 * LAMP - 12, 2 * LAMP - 12, rx=4, fill=lens)
        below = self._below(svg, name, x, y)
        states = () if light else ((track, said_at_work(part), on), (f"{track}o", said_at_rest(part), not on))
        for which, words_, seen in states:
            with svg.group(class_=which, opacity=1 if seen else 0):
                words_, size = _text.fit(words_, self.small, ITEM, least=_text.LEAST)
                svg.text(x, below, words_, size, anchor="middle", fill=palette.INK_SOFT)
        spans = self.shines[name]
        points = [] if spans and spans[0][0] <= self.span[0] else [(self.span[0], "0")]
        for a, b in spans:
            points += [(a, "1"), (b, "0")]
        self.tracks.append(Track(track, "opacity", tuple(points), steps=True))
        if states:
            turned = tuple((time, "0" if value == "1" else "1") for time, value in points)
            self.tracks.append(Track(f"{track}o", "opacity", turned, steps=True))

    def _below(self, svg: Svg, name: str, x: float, y: float) -> float:
        """The name below its sign; where what it is stands below that."""
        shown, size = _text.fit(name, self.name, 100, "bold", 18)
        svg.text(x, y + LAMP * GLOW + 20, shown, size, anchor="middle", style="bold", fill=palette.INK)
        return y + LAMP * GLOW + 20 + STATE

    def _gauge(self, svg: Svg, name: str, index: int, at: tuple[float, float], room: float) -> None:
        """What the trial does to a sensor or a potentiometer: a level that moves, and its value."""
        key = self._name(f"i{index}")
        x, y = at
        self.tracks += draw_gauge(svg, self.courses[name], self.span, self.now, (x, y, LAMP), key)
        values = self.courses[name].told(*self.span)
        now = [text for time, text in values if time <= self.now][-1]
        below = self._below(svg, name, x, y)
        for number_, value in enumerate(dict.fromkeys(text for _, text in values)):
            track = f"{key}n{number_}"
            self.tracks.append(
                Track(
                    track,
                    "opacity",
                    tuple((time, "1" if text == value else "0") for time, text in values),
                    True,
                )
            )
            with svg.group(class_=track, opacity=1 if value == now else 0):
                shown, size = _text.fit(value, self.small, room, least=_text.LEAST)
                svg.text(x, below, shown, size, anchor="middle", fill=palette.INK_SOFT)

    def _tank(self, svg: Svg, net: str, index: int, left: float, top: float) -> None:
        wide, tall = TANK
        x = left + AXIS
        colour = self.colours[net]
        svg.rect(x, top, wide, tall, fill=palette.PAPER)

        def depth(volts: float) -> float:
            return (self.high - float(np.clip(volts, self.low, self.high))) / (self.high - self.low) * tall

        track = self._name(f"t{index}")
        inside = (self.run.times >= self.span[0]) & (self.run.times <= self.span[1])
        times, volts = self.run.times[inside], self.run.voltage(net)[inside]
        now = float(np.interp(self.now, times, volts))
        shift = f"translate(0 {number(depth(now))})"
        # Filled from 0 V: above it what lies below the level, below it what lies above the level.
        zero = depth(0.0)
        tracks = f"{track}f", f"{track}b", track
        for part, (clip, upper, lower, start) in enumerate(
            (("fill", 0.0, zero, 0.0), ("below", zero, tall, -tall - 4), ("tank", 0.0, tall, 0.0))
        ):
            if lower - upper < 1:
                continue
            with svg.group("clipPath", id=svg.id(f"{clip}{index}")):
                svg.rect(x, top + upper, wide, lower - upper)
            within = svg.group(clip_path=svg.ref(f"{clip}{index}"))
            with within, svg.group(class_=tracks[part], transform=shift):
                if part < 2:
                    svg.rect(x, top + start, wide, tall + 4, fill=palette.mix(colour, palette.PAPER, 0.45))
                else:
                    svg.line(x, top, x + wide, top, stroke=colour, stroke_width=5)
        if zero < tall - 1:
            svg.line(x - 7, top + zero, x + wide, top + zero, stroke=palette.INK, stroke_width=2.4)
        svg.rect(x, top, wide, tall, fill="none", stroke=palette.INK, stroke_width=2.4)
        shown, size = _text.fit(net, self.name, 150, "bold", _text.LEAST)
        svg.text(x, top - 12, shown, size, style="bold", fill=palette.INK)
        for tick in ticks(self.low, self.high, VOLT_TICKS):
            y = top + depth(tick)
            svg.line(x - 7, y, x, y, stroke=palette.INK_SOFT, stroke_width=1.8)
            svg.text(
                x - 11,
                y + 0.334 * self.small,
                with_unit(f"{tick:g}".replace("-", "−"), "V"),
                self.small,
                anchor="end",
                fill=palette.INK_SOFT,
            )
        self.tracks += Levels(
            svg, self.run, self.span, self.now, (self.low, self.high), x, top, wide, depth,
            self.room - wide - AXIS - 16, self.small, track,
        ).draw(net)  # fmt: skip
        t, v = straightened(times, volts, (self.span[1] - self.span[0]) * 2e-4, FINE)
        points = [(float(a), f"translateY({number(depth(float(b)))}px)") for a, b in zip(t, v, strict=True)]
        moving = (track, *tracks[:2]) if zero < tall - 1 else (track, tracks[0])
        self.tracks += [Track(each, "transform", tuple(points)) for each in moving]

    def _at(self, time: float) -> float:
        """Where a time stands on the axis."""
        start, end = self.span
        return AXIS_FROM_TO[0] + (time - start) / (end - start) * (AXIS_FROM_TO[1] - AXIS_FROM_TO[0])

    def _time(
        self, svg: Svg, y: float, moments: Sequence[float], places: Sequence[float], factor: float
    ) -> None:
        left, right = AXIS_FROM_TO
        start, end = self.span
        unit, per_second = time_unit(end - start)
        svg.line(left, y, right, y, stroke=palette.INK_SOFT, stroke_width=2)
        for tick in ticks(start * per_second, end * per_second, 8):
            x = self._at(tick / per_second)
            svg.line(x, y, x, y + 7, stroke=palette.INK_SOFT, stroke_width=1.8)
            svg.text(x, y + 35, numeral(f"{tick:g}"), self.small, anchor="middle", fill=palette.INK_SOFT)
        svg.text(right + 20, y + 35, say(words.AXIS, unit=unit), self.small, fill=palette.INK_SOFT)
        for index, _ in enumerate(self.marks):
            points = leader(moments, places, index, y - 8)
            svg.polyline([*points, (points[-1][0], y)], fill="none", stroke=palette.INK, stroke_width=1.6)
        for index, mark in enumerate(self.marks):
            badge(svg, moments, places, index, y - 8, mark.number)
        track = self._name("now")
        with svg.group(class_=track, transform=f"translate({number(self._at(self.now))} 0)"):
            svg.path(path("M", (0, y + 1), "L", (-9, y + 15), "L", (9, y + 15), "Z"), fill=palette.ACCENT)
        self.tracks.append(
            Track(
                track,
                "transform",
                ((start, f"translateX({number(left)}px)"), (end, f"translateX({number(right)}px)")),
            )
        )
        if self.paced:
            svg.text(left - 22, y + 68, said_factor(factor), self.small, fill=palette.INK)

    def _alt(self, message: str, now: float) -> str:
        bits = []
        for name in self.items:
            if name in self.courses:
                course = self.courses[name]
                bits.append(say(words.SET[course.setting], part=name, value=course.said(course.at(now))))
                continue
            family = self.run.circuit.by_id[name].type.family
            on = any(a <= now <= b for a, b in self.shines[name])
            table = words.ON if on else words.NOT_ON
            bits.append(say(table.get(family, table["switch"]), part=name))
        for net in self.nets:
            level = float(np.interp(now, self.run.times, self.run.voltage(net)))
            bits.append(say(words.LEVEL, net=net, level=said_level(level)))
        return say(message, time=said_duration(now, self.span[1] - self.span[0]), rest=" ".join(bits))


def said_factor(factor: float) -> str:
    """How fast it plays, in words."""
    if factor > 1:
        return say(words.SLOW, factor=numeral(f"{factor:g}"))
    return say(words.REAL) if factor == 1 else say(words.FAST, factor=numeral(f"{1 / factor:g}"))
