"""The catalogue: everything the program knows about a family of parts, as data with its sources.

``parts/families/<family>/`` holds ``family.toml`` (terminals, ratings, body, slips, sources),
``model.toml`` (electrical model), ``symbol.toml`` (schematic), ``look.toml`` (pictures), ``inside.toml``
(plan of an IC's inside) and one ``<type>.toml`` for each part type, which may override any of them.
"""

from buildalong.parts._catalogue import Catalogue, catalogue
from buildalong.parts._inside import Block, Condition, Inside, InsidePin, InsideWire
from buildalong.parts._own import load_part
from buildalong.parts._schema import (
    RATINGS,
    Body,
    Capacity,
    Figure,
    Leg,
    Marking,
    PartType,
    Setting,
    Size,
    Slip,
    Terminal,
    ValueRule,
)
from buildalong.parts._spoken import SPOKEN, spoken_texts

__all__ = [
    "RATINGS",
    "SPOKEN",
    "Block",
    "Body",
    "Capacity",
    "Catalogue",
    "Condition",
    "Figure",
    "Inside",
    "InsidePin",
    "InsideWire",
    "Leg",
    "Marking",
    "PartType",
    "Setting",
    "Size",
    "Slip",
    "Terminal",
    "ValueRule",
    "catalogue",
    "load_part",
    "spoken_texts",
]
