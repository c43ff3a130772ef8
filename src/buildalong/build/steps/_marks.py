"""What is printed on a part, and its short name in a sentence."""

from __future__ import annotations

from buildalong.circuit import Part
from buildalong.quantity import QuantityError, bands_for, capacitor_code, format_quantity, parse_as

__all__ = ["mark_of", "what_of"]


def what_of(part: Part) -> str:
    """Name the part with its value: '10 kΩ resistor', 'yellow LED', '4 AA cells in a holder'."""
    if part.value is not None and part.type.value is not None:
        return f"{format_quantity(part.value, part.type.value.unit)} {part.type.noun}"
    if part.type.family == "supply" and (count := part.setting("count", 1)) > 1:
        return f"{count:.0f} {part.type.title}"
    return part.type.noun if part.type.family in ("led", "button") else part.type.title


def mark_of(part: Part) -> str:
    """Give what the learner reads on the part: 'yellow, violet, orange, gold', '103', 'NE555', or ''."""
    marking = part.type.marking
    if marking.kind == "none":
        return ""
    rule, value = part.type.value, part.value
    if rule is not None and value is not None:
        tolerance = part.tolerance if part.tolerance is not None else parse_as(rule.tolerance, "")
        try:
            if marking.kind == "bands":
                return ", ".join(bands_for(value, tolerance, 5 if tolerance <= 0.02 else 4))
            if marking.kind == "code":
                return capacitor_code(value)
        except QuantityError:
            return ""
    rated = part.setting("rated", 0.0)
    text = marking.text.format_map(
        _Blanks(
            value=format_quantity(value, rule.unit) if rule is not None and value is not None else "",
            rated=format_quantity(rated, "V") if rated else "",
            code="",
        )
    )
    return " ".join(text.split())


class _Blanks(dict[str, str]):
    """Gaps of a template that nothing fills stay empty."""

    def __missing__(self, key: str) -> str:
        return ""
