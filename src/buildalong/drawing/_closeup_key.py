"""The key of a close-up: what its dashed lines, rings and numbers of contacts mean."""

from __future__ import annotations

from dataclasses import dataclass

from buildalong.circuit import Part
from buildalong.drawing import _palette as palette
from buildalong.drawing._ground import MARK
from buildalong.drawing._svg import Svg
from buildalong.drawing._words import leg_words
from buildalong.words import listed, say

__all__ = ["DASH", "JOIN", "KEY", "OUTLINE", "RIM", "RING", "draw_key", "keys_of"]

KEY = 28.0
"""Height of a line of the key."""
Stroke = tuple[str, float, str | None]
"""Colour, width and dashes of a line."""
OUTLINE, DASH = 2.6, "8 5"
"""The outline of a part's right place, where it stands elsewhere."""
JOIN: tuple[Stroke, ...] = ((palette.INK, 7.0, None), ("#FFFFFF", 2.6, "9 5"))
"""The line between legs that are one piece, the lower first: it is seen on a dark body and on paper."""
SAMPLE = 42.0
"""Length of a line shown in the key."""
RING, RIM = 7.5, 2.2
"""Radius and stroke of a ring around a free hole where the part belongs, units of the board."""


@dataclass(frozen=True)
class Key:
    """A line of the key: what it means, and the strokes or the signs it explains."""

    meaning: str
    strokes: tuple[Stroke, ...] = ()
    ring: bool = False
    """Before the line stands a ring like those around free holes."""
    signs: str = ""


def keys_of(part: Part | None, *, moved: bool) -> list[Key]:
    """What a close-up of a part has to explain, which may stand elsewhere as a whole (``moved``).

    Legs that are one piece bear the number of their contact: beside an IC it would seem to be a pin's.
    """
    keys: list[Key] = []
    if moved:
        keys.append(Key(say("here it belongs"), ((palette.RIGHT, OUTLINE, DASH),), ring=True))
    if part is not None and len(set(part.type.leg_terminals)) < len(part.type.leg_terminals):
        keys.append(Key(say("always joined inside the part"), JOIN))
        contacts = [terminal for terminal in part.type.terminals if terminal.name in leg_words(part)]
        if contacts:
            titles = listed([say(terminal.title) for terminal in contacts])
            keys.append(Key(titles, signs=", ".join(terminal.name for terminal in contacts)))
    return keys


def draw_key(svg: Svg, key: Key, x: float, y: float) -> None:
    """One line of the key, its upper left corner at (``x``, ``y``)."""
    middle, base = y + KEY / 2, y + KEY / 2 + 0.334 * MARK
    start = x + 2 * RING + 5 if key.ring else x
    if key.ring:
        svg.circle(x + RING, middle, RING, fill="none", stroke=palette.RIGHT, stroke_width=RIM)
    for colour, thick, dash in key.strokes:
        svg.line(start, middle, x + SAMPLE, middle, stroke=colour, stroke_width=thick, stroke_dasharray=dash)
    if key.signs:
        svg.text(x + SAMPLE / 2, base, key.signs, MARK, anchor="middle", style="bold", fill=palette.INK)
    svg.text(x + SAMPLE + 10, base, key.meaning, MARK, fill=palette.INK)
