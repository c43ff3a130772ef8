"""Words for holes and strips."""

from __future__ import annotations

import re
from collections.abc import Sequence

from buildalong.circuit import Part

__all__ = ["and_list", "hole_words", "holes_words", "pin_words", "strip_words", "turned_words"]

_RAIL = {
    "L+": "the left plus rail",
    "L-": "the left minus rail",
    "R+": "the right plus rail",
    "R-": "the right minus rail",
}


def strip_words(strip: str, *, full: bool = False) -> str:
    """Say a strip: 'row 12 left' ('row 12, left side' if ``full``), 'the left plus rail'."""
    if strip[:2] in _RAIL:
        rail, _, half = strip.partition(" ")
        return f"the {half} half of {_RAIL[rail]}" if half else _RAIL[rail]
    side = "left" if strip.endswith("L") else "right"
    return f"row {strip[:-1]}, {side} side" if full else f"row {strip[:-1]} {side}"


def hole_words(hole: str) -> str:
    """Say a hole: 'hole c12', 'hole 3 of the left plus rail'."""
    if hole[:2] in _RAIL:
        return f"hole {hole[2:]} of {_RAIL[hole[:2]]}"
    return f"hole {hole}"


def holes_words(holes: Sequence[str]) -> str:
    """Say several holes: 'holes c5 and c9', 'hole a5 and hole 3 of the left plus rail'."""
    if len(holes) < 2 or any(hole[:2] in _RAIL for hole in holes):
        return and_list([hole_words(hole) for hole in holes])
    return f"holes {and_list(holes)}"


def turned_words(text: str) -> str:
    """The same words for a reader who has the board turned by half a turn: left and right change places.

    Only what the functions above say is changed: rails, halves of rails, sides of rows.
    """
    return _SIDES.sub(lambda found: re.sub(r"\w+", lambda word: _OTHER.get(word[0], word[0]), found[0]), text)


_OTHER = {"left": "right", "right": "left", "upper": "lower", "lower": "upper"}
_SIDES = re.compile(
    r"(?:\b(?:upper|lower) half of the )?\b(?:left|right) (?:plus|minus) rail\b|\brow \d+,? (?:left|right)\b"
)


def and_list(words: Sequence[str]) -> str:
    """Join words: 'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def pin_words(part: Part, terminal: str) -> str:
    """Say a terminal of a part: "C1's minus lead", "U1's trigger (pin 2)", "R1's lead"."""
    found = part.type.terminal(terminal)
    if part.type.swappable:
        return f"{part.id}'s {'lead' if 'lead' in found.title else 'contact'}"
    return f"{part.id}'s {found.title}" + (f" (pin {found.number})" if found.number else "")
