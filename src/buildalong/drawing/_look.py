"""What a part looks like: the ``[look]`` table of the catalogue, checked, and what is printed on it."""

from __future__ import annotations

from functools import cache

from pydantic import BaseModel, ConfigDict, Field

from buildalong.circuit import Part, printed_on
from buildalong.parts import PartType
from buildalong.quantity import format_quantity

__all__ = ["Look", "colour_of", "look_of", "marking_of", "value_of"]


class Look(BaseModel):
    """Colours are sRGB hex.  ``shape`` comes from the body; this is what the shape is filled with."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    body: str = Field("#8E9094", description="the body")
    edge: str = Field("#3B3A38", description="its outline")
    print: str = Field("#23262B", description="what is printed or moulded on it")
    detail: str = Field("#9A9A96", description="a second colour: cap, rotor, ring, stripe")
    colour: str = Field("", description="name of the lens colour of an LED")
    lens: dict[str, str] = Field({}, description="lens colours by name")
    stand: float = Field(0.0, ge=0, le=30, description="mm between the board and the body, on its leads")
    cells: str = Field("", description="a supply's picture: 'cells', 'block', 'plug', 'coin'")
    cell: tuple[float, float] = Field(
        (50.5, 14.5), description="length and diameter of a cell [mm], at most AA"
    )
    words: str = Field("", description="a supply's caption, with {count} and {print}: '{count} × {print}'")
    sources: dict[str, str] = Field({}, description="where a marking or colour is from")


@cache
def _look(kind: str, data: str) -> Look:
    return Look.model_validate_json(data)


def look_of(part_type: PartType) -> Look:
    """The look of a part type; raises pydantic's ValidationError for a table with unknown keys."""
    import json

    return _look(part_type.id, json.dumps(part_type.look, sort_keys=True))


def colour_of(part: Part) -> str:
    """The main colour of the part: of the lens for an LED, of the body otherwise."""
    look = look_of(part.type)
    return look.lens.get(look.colour, look.body)


def value_of(part: Part) -> str:
    """The value as written beside the part: '56 kΩ', '' where it has none."""
    if part.value is None or part.type.value is None:
        return ""
    return format_quantity(part.value, part.type.value.unit)


def marking_of(part: Part) -> str:
    """What is printed on the part, or the words under a supply; '' for bands and for bare parts."""
    words = look_of(part.type).words
    if words:
        return words.replace("{count}", f"{part.setting('count', 1):g}").replace("{print}", printed_on(part))
    return printed_on(part)
