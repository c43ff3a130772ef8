"""The key of a close-up: what its dashed lines mean."""

from __future__ import annotations

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._ground import MARK
from buildalong.drawing._svg import Svg
from buildalong.words import say

__all__ = ["DASH", "JOIN", "JOIN_DASH", "KEY", "OUTLINE", "draw_key", "keys_of"]

KEY = 28.0
"""Height of a line of the key."""
OUTLINE, DASH = 2.6, "8 5"
"""The outline of a part's right place, where it stands elsewhere."""
JOIN, JOIN_DASH = (("#FFFFFF", 6.0), (palette.INK, 2.6)), "9 5"
"""The line between legs that are one piece: colours and widths, the lower first."""
SAMPLE = 42.0
"""Length of a line shown in the key."""

Key = tuple[tuple[tuple[str, float], ...], str, str]
"""Colours and widths of a line, its dashes, and what it means."""


def keys_of(part: Part | None, *, moved: bool) -> list[Key]:
    """The dashed lines of a close-up of a part, which may stand elsewhere as a whole (``moved``)."""
    keys: list[Key] = []
    if moved:
        keys.append((((palette.RIGHT, OUTLINE),), DASH, say("here it belongs")))
    if part is not None and len(set(part.type.leg_terminals)) < len(part.type.leg_terminals):
        keys.append((JOIN, JOIN_DASH, say("always joined inside the part")))
    return keys


def draw_key(svg: Svg, key: Key, x: float, y: float) -> None:
    """One line of the key, its upper left corner at (``x``, ``y``)."""
    lines, dash, meaning = key
    for colour, thick in lines:
        svg.line(
            x, y + KEY / 2, x + SAMPLE, y + KEY / 2, stroke=colour, stroke_width=thick, stroke_dasharray=dash
        )
    svg.text(x + SAMPLE + 10, y + KEY / 2 + 0.334 * MARK, meaning, MARK, fill=palette.INK)
