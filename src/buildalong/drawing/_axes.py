"""Axes in SI units: a prefix that suits, round ticks at equal steps or ratios, and where a value lies."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._series import ticks
from buildalong.drawing._svg import Svg
from buildalong.quantity import to_figures
from buildalong.words import numeral, say, with_unit

__all__ = ["TICK", "Axis"]

TICK = 19.0
PREFIXES = (
    ("G", 1e9),
    ("M", 1e6),
    ("k", 1e3),
    ("", 1.0),
    ("m", 1e-3),
    ("µ", 1e-6),
    ("n", 1e-9),
    ("p", 1e-12),
)
TAKES_PREFIX = ("Ω", "F", "V", "A", "W", "s", "Hz", "J", "lx", "S")
DECADES = 1.5
"""A range over so many decades has its ticks at 1, 10, 100; a shorter one also at 2 and 5."""


@dataclass(frozen=True)
class Axis:
    """A range of numbers of one unit, drawn from ``start`` to ``end``; ``ratio`` makes it logarithmic."""

    low: float
    high: float
    unit: str
    start: float
    end: float
    ratio: bool = False

    @property
    def shown(self) -> tuple[str, float]:
        """The unit as written, and how many of it make one coherent unit."""
        if not self.unit:
            return "", 1.0
        if self.unit == "%":
            return "%", 100.0
        if self.unit not in TAKES_PREFIX:
            return self.unit, 1.0
        largest = max(abs(self.low), abs(self.high))
        if self.ratio:
            largest = math.sqrt(abs(self.low * self.high)) * 10
        # As in text, slow rhythms are told in parts of a hertz.
        known = [(p, s) for p, s in PREFIXES if s >= 1.0 or self.unit != "Hz"]
        # As in text too, a second is told in milliseconds under a tenth only.
        least = 0.1 if self.unit == "s" and not self.ratio else 1.5
        prefix, size = next(
            ((p, s) for p, s in known if largest >= (least if s == 1.0 else 1.5) * s), known[-1]
        )
        return prefix + self.unit, 1.0 / size

    def said(self, value: float, figures: int = 3) -> str:
        """A value in the unit of the axis, with three figures or another number of them."""
        unit, factor = self.shown
        return with_unit(to_figures(value * factor, figures), unit)

    def at(self, value: float) -> float:
        """Where a value lies."""
        if self.ratio:
            share = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def ticks(self, most: int) -> tuple[tuple[float, str], ...]:
        """Round values within the range, with their numbers as written."""
        _, factor = self.shown
        if not self.ratio:
            found = ticks(self.low * factor, self.high * factor, most)
        else:
            low, high = self.low * factor, self.high * factor
            decades = math.log10(high / low)
            steps = (1,) if decades > most else (1, 3) if decades > DECADES + 1 else (1, 2, 5)
            powers = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 1)
            found = tuple(
                m * 10.0**p for p in powers for m in steps if low * 0.999 <= m * 10.0**p <= high * 1.001
            )
        return tuple((value / factor, numeral(f"{value:.6g}".replace("-", "−"))) for value in found)

    def across(self, svg: Svg, top: float, floor: float, title: str) -> None:
        """Draw as the level axis of a chart: grid lines, ticks under the floor, its title at the right."""
        for value, words in self.ticks(8):
            x = self.at(value)
            svg.line(x, top, x, floor, stroke=palette.GRID, stroke_width=1.2)
            svg.line(x, floor, x, floor + 7, stroke=palette.INK_SOFT, stroke_width=1.8)
            svg.text(x, floor + 28, words, TICK, anchor="middle", fill=palette.INK_SOFT)
        svg.line(self.start, floor, self.end, floor, stroke=palette.INK_SOFT, stroke_width=1.8)
        if not title:
            return
        unit = self.shown[0]
        words = say("{axis} in {unit}", axis=title, unit=unit) if unit else title
        last = max(
            (self.at(value) + _text.width(shown, TICK) / 2 for value, shown in self.ticks(8)), default=0.0
        )
        svg.text(max(self.end + 24, last + 14), floor + 28, words, TICK, fill=palette.INK_SOFT)

    def upright(self, svg: Svg, left: float, right: float, title: str) -> None:
        """Draw as the upright axis of a panel: its frame, grid lines, ticks left of it, the title over it."""
        unit = self.shown[0]
        words = say("{axis} in {unit}", axis=title, unit=unit) if unit else title
        svg.text(left + 6, self.end - 10, words, 21, style="bold", fill=palette.INK)
        svg.rect(left, self.end, right - left, self.start - self.end, fill="none", stroke=palette.LINE_SOFT,
                 stroke_width=1.4)  # fmt: skip
        for value, shown in self.ticks(5):
            y = self.at(value)
            svg.line(left, y, right, y, stroke=palette.GRID, stroke_width=1.2)
            svg.text(left - 10, y + 0.334 * TICK, shown, TICK, anchor="end", fill=palette.INK_SOFT)
