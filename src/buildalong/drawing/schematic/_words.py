"""What stands beside a symbol: values, types, the words of the supply; and which form a symbol has."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from buildalong.circuit import Part
from buildalong.drawing import _text
from buildalong.drawing._text import Style
from buildalong.quantity import format_quantity
from buildalong.words import LANGUAGES, colour_word, plainly, say, speaking

__all__ = ["room_of", "supply_words", "symbol_of", "value_text"]


MOMENT = "Schematic with voltages and currents"


def symbol_of(part: Part) -> dict[str, Any]:
    """The symbol's data with the form chosen (npn or pnp, from the part's noun unless stated)."""
    symbol = dict(part.type.symbol)
    for form in symbol.get("forms", {}):
        if form in part.type.noun.lower().split() and "form" not in part.type.symbol.get("own", {}):
            symbol["form"] = form
    return symbol


def value_text(part: Part) -> str:
    """What stands under the reference: the value, or the type's short name."""
    if part.value is not None and part.type.value is not None:
        return format_quantity(part.value, part.type.value.unit)
    symbol = part.type.symbol
    if "name" in symbol:
        name = str(symbol["name"])
        return say(name) if name == part.type.noun else name
    if part.type.family == "led":
        return colour_word(str(part.type.look.get("colour", "")))
    text = part.type.marking.text
    last = part.type.id.rsplit("-", 1)[-1].upper()
    if text and "{" not in text and len(text) <= 10 and not last.endswith(text.upper()):
        return text
    return last if any(c.isdigit() for c in last) else ""


SUPPLIES = ("AA", "AAA", "9 V block", "CR2032", "USB")
"""Kinds of supply as the parts' data names them on a schematic."""


def supply_words(part: Part) -> tuple[str, str]:
    """Nominal voltage and kind of the supply: ("+6 V", "4 × AA")."""
    count = max(1, round(part.setting("count", 1)))
    volts = part.type.figures.get("voltage")
    kind = say(str(part.type.symbol.get("names", {}).get(part.type.id, part.type.title)))
    text = f"+{format_quantity(volts.value * count, 'V')}" if volts else "+"
    return text, f"{count} × {kind}" if count > 1 else kind


def room_of(make: Callable[[], str], every: bool, style: Style = "regular") -> str:
    """What a text keeps room for: what ``make`` says in English, or the widest of ``every`` language."""
    with plainly():
        texts = [make()]
    if every:
        texts.append(make())
        for tag in LANGUAGES:
            with speaking(tag):
                texts.append(make())
    return max(texts, key=lambda text: _text.width(text, 1.0, style))
