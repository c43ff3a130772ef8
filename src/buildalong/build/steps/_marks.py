"""What the learner reads on a part, and its short name in a sentence."""

from __future__ import annotations

from buildalong.circuit import Part, bands_on, printed_on
from buildalong.quantity import format_quantity

__all__ = ["called", "mark_of", "what_of"]


def what_of(part: Part) -> str:
    """Name the part for a list: '10 kΩ resistor', 'yellow LED', '4 AA cells in a holder'."""
    if part.value is not None and part.type.value is not None:
        return f"{format_quantity(part.value, part.type.value.unit)} {part.type.noun}"
    if part.type.family == "supply" and (count := part.setting("count", 1)) > 1:
        return f"{count:.0f} {part.type.title}"
    return part.type.noun if part.type.family in ("led", "button") else part.type.title


def called(part: Part, mark: str) -> str:
    """Name the part in a sentence that tells its mark too: 'timer' where the mark is 'NE555'."""
    printed = mark and part.value is None and part.type.marking.kind == "text"
    return part.type.noun if printed else what_of(part)


def mark_of(part: Part) -> str:
    """Give what the learner reads on the part: 'yellow, violet, orange, gold', '103', 'NE555', or ''."""
    return ", ".join(bands_on(part)) or printed_on(part)
