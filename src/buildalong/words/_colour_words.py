"""Colours that are read on parts and wires."""

from __future__ import annotations

from buildalong.words._speaking import say

__all__ = ["colour_word"]

COLOURS = {
    "black": "black",
    "brown": "brown",
    "red": "red",
    "orange": "orange",
    "yellow": "yellow",
    "green": "green",
    "blue": "blue",
    "violet": "violet",
    "grey": "grey",
    "white": "white",
    "gold": "gold",
    "silver": "silver",
    "purple": "purple",
    "teal": "teal",
    "pink": "pink",
}
"""Name of a colour -> its word, as it stands alone: 'Bands: yellow, violet'."""


def colour_word(name: str) -> str:
    """A colour by its name in the program, alone or in a list, not before a noun; others as they are."""
    return say(COLOURS[name]) if name in COLOURS else name
