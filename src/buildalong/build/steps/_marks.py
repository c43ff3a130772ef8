"""What the learner reads on a part, and its short name in a sentence."""

from __future__ import annotations

from buildalong.build.steps._words import FRACTION, FRACTIONS, WHAT
from buildalong.circuit import Part, bands_on, printed_on
from buildalong.quantity import format_quantity
from buildalong.words import colour_word, say

__all__ = ["called", "mark_of", "position_words", "what_of", "wiper_words"]

_NEAR = 0.02
"""So near to a fraction a setting is called by it."""


def what_of(part: Part) -> str:
    """Name the part for a list: '10 kΩ resistor', 'yellow LED', '4 AA cells in a holder'."""
    if part.value is not None and part.type.value is not None:
        value = format_quantity(part.value, part.type.value.unit)
        return say(WHAT["value"], value=value, noun=say(part.type.noun))
    if part.type.family == "supply" and (count := part.setting("count", 1)) > 1:
        return say(WHAT["several"], count=f"{count:.0f}", title=say(part.type.title))
    return say(part.type.noun if part.type.family in ("led", "button") else part.type.title)


def called(part: Part, mark: str) -> str:
    """Name the part in a sentence that tells its mark too: 'timer' where the mark is 'NE555'."""
    printed = mark and part.value is None and part.type.marking.kind == "text"
    return say(part.type.noun) if printed else what_of(part)


def mark_of(part: Part) -> str:
    """Give what the learner reads on the part: 'yellow, violet, orange, gold', '103', 'NE555', or ''."""
    return ", ".join(map(colour_word, bands_on(part))) or printed_on(part)


def position_words(part: Part) -> str:
    """Say how a potentiometer is turned at first: 'to the middle'; '' for other parts."""
    if part.type.family != "potentiometer":
        return ""
    return wiper_words(part.setting("position", 0.5))


def wiper_words(position: float) -> str:
    """Say where a wiper stands, from 0 at end A to 1 at end B."""
    value, words = min(FRACTIONS, key=lambda known: abs(known[0] - position))
    near = _NEAR if 0.0 < value < 1.0 else 0.0
    if abs(value - position) <= near:
        return say(words)
    return say(FRACTION, percent=100 * position)
