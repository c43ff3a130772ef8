"""The levels that an IC watches, across the tank of their net: steady ones, and ones that move with time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._series import straightened
from buildalong.drawing._svg import Svg, number
from buildalong.drawing._watch import STEADY, Threshold, said_threshold, usual_thresholds
from buildalong.drawing.motion._motion import Track
from buildalong.engine import Run

__all__ = ["FINE", "Levels"]

FINE = 0.012
"""A level may stray by this share of its range from the true curve."""
MOST_NUMBERS = 8
"""A level that reads differently more often than this in the time shown has its name only."""


@dataclass
class Levels:
    """Levels across a tank from ``x`` on, ``wide``; a voltage stands ``depth`` [units] below ``top``.

    ``room`` [units] is for the words at its right, in ``size``; ``now`` [s] the time of the still picture;
    ``key`` begins the names of their tracks.
    """

    svg: Svg
    run: Run
    span: tuple[float, float]
    now: float
    range: tuple[float, float]
    x: float
    top: float
    wide: float
    depth: Callable[[float], float]
    room: float
    size: float
    key: str
    tracks: list[Track] = field(default_factory=list)

    def draw(self, net: str) -> list[Track]:
        """Draw those of a net, highest first; what moves them."""
        low, high = self.range
        found: list[tuple[float, bool, Threshold]] = []
        for threshold in usual_thresholds(self.run):
            middle, strays = threshold.within(self.run, self.span)
            if threshold.net == net and low <= middle <= high:
                moves = strays > STEADY * (high - low)
                level = float(threshold.at(self.run, self.now)) if moves else middle
                found.append((level, moves, threshold))
        below = self.top - 30
        for index, (level, moves, threshold) in enumerate(sorted(found, key=lambda f: -f[0])):
            y = self.top + self.depth(level)
            if moves:
                self._moving(f"{self.key}l{index}", threshold, y - self.top)
                below = y
                continue
            below = max(y, below + self.size + 3)
            self._line(y)
            below = self._label(threshold.name, said_threshold(level), below)
        return self.tracks

    def _line(self, y: float) -> None:
        ends = (self.x - 2, y, self.x + self.wide + 8, y)
        self.svg.line(*ends, stroke=palette.ACCENT, stroke_width=2, stroke_dasharray="7 5")

    def _label(self, name: str, value: str, y: float) -> float:
        """Name and number, in two lines where they must; the height of the last."""
        lines, least = [f"{name} {value}".strip()], max(_text.LEAST, 0.75 * self.size)
        if value and _text.width(lines[0], least) > self.room:
            lines = [name, value]
        for row, words in enumerate(lines):
            shown, size = _text.fit(words, self.size, self.room, least=_text.LEAST)
            at = y + row * (self.size + 3) + 0.334 * self.size
            self.svg.text(self.x + self.wide + 12, at, shown, size, fill=palette.ACCENT)
        return y + (len(lines) - 1) * (self.size + 3)

    def _moving(self, name: str, threshold: Threshold, depth: float) -> None:
        """A level that rises and falls, with the number of each of its times."""
        start, end = self.span
        inside = (self.run.times >= start) & (self.run.times <= end)
        t, v = self.run.times[inside], threshold.over(self.run)[inside]
        t, v = straightened(t, v, (end - start) * 2e-4, FINE)
        points = [
            (float(a), f"translateY({number(self.depth(float(b)))}px)") for a, b in zip(t, v, strict=True)
        ]
        self.tracks.append(Track(name, "transform", tuple(points)))
        with self.svg.group(class_=name, transform=f"translate(0 {number(depth)})"):
            self._line(self.top)
            numbers = self._numbers(threshold)
            if len(numbers) > MOST_NUMBERS:
                self._label(threshold.name, "", self.top)
                return
            now = [text for time, text in numbers if time <= self.now][-1]
            for index, value in enumerate(dict.fromkeys(text for _, text in numbers)):
                shown = tuple((time, "1" if text == value else "0") for time, text in numbers)
                self.tracks.append(Track(f"{name}n{index}", "opacity", shown, steps=True))
                with self.svg.group(class_=f"{name}n{index}", opacity=1 if value == now else 0):
                    self._label(threshold.name, value, self.top)

    def _numbers(self, threshold: Threshold) -> list[tuple[float, str]]:
        """From when on it reads what, [s]."""
        out: list[tuple[float, str]] = []
        for time in np.linspace(*self.span, 500):
            text = said_threshold(float(threshold.at(self.run, float(time))))
            if not out or out[-1][1] != text:
                out.append((float(time), text))
        return out
