"""Measuring and cutting text by the advances of the vendored fonts.

Sizes and widths are in user units.  Kerning is left out: it makes a text narrower, or wider by at
most three in a thousand.  Markup in labels: ``V_{CC}`` is lowered, ``10^{3}`` is raised, both at
70 % of the size.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from itertools import groupby
from pathlib import Path
from typing import Literal

from buildalong.words import NO_BREAK, tied

__all__ = [
    "FAMILY", "LEAST", "Anchor", "Box", "Run", "Style", "box", "by_family", "fit", "font_files", "plain",
    "runs", "uncovered", "width", "wrap",
]  # fmt: skip

Style = Literal["regular", "bold", "italic"]
Anchor = Literal["start", "middle", "end"]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

_BREAKS = re.compile(rf"[^\S{NO_BREAK}]+")

FAMILY = "Atkinson Hyperlegible, DejaVu Sans, sans-serif"
FALLBACK_FAMILY = "DejaVu Sans, sans-serif"
CAP_HEIGHT = 0.668
X_HEIGHT = 0.496
DESCENT = 0.21
"""Of the size, read from the font's own tables (descent: the depth of 'g' and 'y')."""

LEAST = 17.0
"""Least size of a text in a picture 960 units wide: 9 pt where it fills an A4 page of 180 mm."""

KEPT = 4096
"""How many measured texts are remembered: a place for a label is tried at many spots."""

SCRIPT = 0.7
DROP, RAISE = 0.18, 0.34
_MARKUP = re.compile(r"([_^])\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text at one level in one font: ``shift`` is downwards, both times the label's size."""

    text: str
    scale: float = 1.0
    shift: float = 0.0
    fallback: bool = False
    """Set in the second family, which has what the first lacks."""


@cache
def _advances() -> dict[str, dict[str, int]]:
    text = (resources.files("buildalong.drawing") / "fonts" / "advances.json").read_text("utf-8")
    table: dict[str, dict[str, int]] = json.loads(text)
    return table


@cache
def _style(style: Style) -> dict[str, int]:
    table = _advances()
    return {**table["fallback bold" if style == "bold" else "fallback regular"], **table[style]}


def font_files() -> tuple[Path, ...]:
    """The vendored font files."""
    folder = resources.files("buildalong.drawing") / "fonts"
    return tuple(Path(str(item)) for item in sorted(folder.iterdir(), key=str) if str(item).endswith(".ttf"))


@lru_cache(KEPT)
def runs(text: str) -> tuple[Run, ...]:
    """Split a label with ``_{}`` and ``^{}`` into runs of one level and one font."""
    return tuple(
        Run(part, run.scale, run.shift, second)
        for run in _levels(text)
        for part, second in by_family(run.text)
    )


def by_family(text: str) -> tuple[tuple[str, bool], ...]:
    """Stretches of a text without markup; True for those set in the second family."""
    first, both = _advances()["regular"], _style("regular")
    return tuple(
        ("".join(letters), second)
        for second, letters in groupby(text, lambda c: c not in first and c in both)
    )


def _levels(text: str) -> tuple[Run, ...]:
    out: list[Run] = []
    at = 0
    for found in _MARKUP.finditer(text):
        if found.start() > at:
            out.append(Run(text[at : found.start()]))
        out.append(Run(found[2], SCRIPT, DROP if found[1] == "_" else -RAISE))
        at = found.end()
    if at < len(text):
        out.append(Run(text[at:]))
    return tuple(out)


def plain(text: str) -> str:
    """The label without its markup."""
    return _MARKUP.sub(r"\2", text)


def uncovered(text: str, style: Style = "regular") -> tuple[str, ...]:
    """Characters that no vendored font has."""
    known = _style(style)
    return tuple(sorted({character for character in plain(text) if character not in known}))


@lru_cache(KEPT)
def width(text: str, size: float, style: Style = "regular") -> float:
    """Width of a label; unknown characters count as one em."""
    known = _style(style)
    thousandths = sum(sum(known.get(c, 1000) for c in run.text) * run.scale for run in _levels(text))
    return thousandths * size / 1000


def fit(
    text: str, size: float, room: float, style: Style = "regular", least: float | None = None
) -> tuple[str, float]:
    """Make a label fit into ``room``: first smaller, down to ``least``, then cut with an ellipsis.

    Returns the text and the size to use.
    """
    needed = width(text, size, style)
    if needed <= room:
        return text, size
    smaller = max(size * room / needed, size if least is None else least)
    if width(text, smaller, style) <= room * 1.0001:
        return text, smaller
    cut = plain(text)
    while cut and width(cut + "…", smaller, style) > room:
        cut = cut[:-1]
    return cut.rstrip() + "…", smaller


def wrap(text: str, size: float, room: float, style: Style = "regular") -> tuple[str, ...]:
    """Break a text at spaces into lines that fit into ``room`` (a longer word stands alone).

    A number stays with its unit, and what else a space ties that is not to be broken.
    """
    lines: list[str] = []
    for word in filter(None, _BREAKS.split(tied(text))):
        if lines and width(f"{lines[-1]} {word}", size, style) <= room:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(line.replace(NO_BREAK, " ") for line in lines)


def box(
    x: float, y: float, text: str, size: float, anchor: Anchor = "start", style: Style = "regular"
) -> Box:
    """The rectangle that a label covers whose baseline starts (ends, is centred) at (x, y)."""
    across = width(text, size, style)
    left = x - {"start": 0.0, "middle": across / 2, "end": across}[anchor]
    highest, lowest = _reach(text)
    return left, y + highest * size, left + across, y + lowest * size


@lru_cache(KEPT)
def _reach(text: str) -> tuple[float, float]:
    """How far a label reaches above (negative) and below its baseline, times its size."""
    lowest = max([DESCENT] + [run.shift + DESCENT * run.scale for run in runs(text)])
    highest = min([-CAP_HEIGHT] + [run.shift - CAP_HEIGHT * run.scale for run in runs(text)])
    return highest, lowest
