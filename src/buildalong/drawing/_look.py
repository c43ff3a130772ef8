"""What a part looks like: the ``[look]`` table of the catalogue, checked, and what is printed on it."""

from __future__ import annotations

from functools import cache

from pydantic import BaseModel, ConfigDict, Field

from buildalong.circuit import Part
from buildalong.parts import PartType
from buildalong.quantity import QuantityError, bands_for, capacitor_code, format_quantity

__all__ = ["Look", "bands_of", "colour_of", "look_of", "marking_of", "value_of"]


class Look(BaseModel):
    """Colours are sRGB hex.  ``shape`` comes from the body; this is what the shape is filled with."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    body: str = Field("#8E9094", description="the body")
    edge: str = Field("#3B3A38", description="its outline")
    print: str = Field("#23262B", description="what is printed or moulded on it")
    detail: str = Field("#9A9A96", description="a second colour: cap, rotor, ring, stripe")
    colour: str = Field("", description="name of the lens colour of an LED")
    lens: dict[str, str] = Field({}, description="lens colours by name")
    text: str = Field("", description="short print on an IC or transistor: '555'")
    bands: int = Field(4, description="number of colour bands of a resistor")
    cells: str = Field("", description="a supply's picture: 'cells', 'block', 'plug', 'coin'")
    volts: str = Field("", description="a supply's words, with {count} and {mark}: '{count} × {mark}'")
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


def bands_of(part: Part) -> tuple[str, ...]:
    """The colour bands of a resistor, first band first; empty where no bands can say the value."""
    if part.type.marking.kind != "bands" or part.value is None:
        return ()
    look = look_of(part.type)
    tolerance = part.tolerance
    if tolerance is None and part.type.value is not None:
        from buildalong.quantity import parse_as

        tolerance = parse_as(part.type.value.tolerance, "")
    try:
        return bands_for(part.value, tolerance if tolerance is not None else 0.05, look.bands)
    except QuantityError:
        return ()


def marking_of(part: Part) -> str:
    """What is printed on the part, '' for bands and for parts that bear nothing."""
    marking, look = part.type.marking, look_of(part.type)
    if marking.kind in ("none", "bands"):
        return ""
    code = ""
    if part.value is not None and part.type.value is not None and part.type.value.unit == "F":
        try:
            code = capacitor_code(part.value)
        except QuantityError:
            code = ""
    if marking.kind == "code":
        return code or value_of(part)
    rated = part.setting("rated", 0.0)
    if not rated:
        rated = next((f.value for name, f in part.type.ratings.items() if name == "voltage"), 0.0)
    fields = {
        "value": value_of(part),
        "code": code,
        "rated": format_quantity(rated, "V") if rated else "",
        "count": f"{part.setting('count', 1):g}",
    }
    text = look.text or look.volts.replace("{mark}", marking.text) or marking.text
    for name, shown in fields.items():
        text = text.replace("{" + name + "}", shown)
    return " ".join(text.split())
