"""What is said of a part put in wrong: with the places on this board, where the catalogue has none."""

from __future__ import annotations

from buildalong.board import Layout, turned_words
from buildalong.build.steps import facts
from buildalong.circuit import Part
from buildalong.drawing._frame import View
from buildalong.parts import Slip
from buildalong.words import say

__all__ = ["slip_words"]

PLACED = {
    ("can", "reversed"): "It stands the wrong way round: the stripe belongs at {minus}.",
    ("dome", "reversed"): (
        "It stands the wrong way round: the flat edge belongs at {minus}, the longer lead in {plus}."
    ),
    ("to92", "leg-order"): (
        "It stands the wrong way round: the flat face must look to {face}. As it is, collector and emitter"
        " are swapped; it works only a little, with a small part of its gain."
    ),
    ("dip", "off-by-one"): (
        "It stands one row off, in rows {low} to {high} instead of {first} to {last}, so every wire meets the"
        " wrong pin."
    ),
}
"""By the shape of the body and the kind of the slip; other slips are said as in the catalogue."""


def slip_words(part: Part, right: Layout, wrong: Layout, slip: Slip, view: View = "top") -> str:
    """The slip in one or two sentences, naming holes and rows of these two boards as ``view`` shows them."""
    message = PLACED.get((part.type.body.shape, slip.kind))
    if message is None:
        return say(slip.sentence)
    known = facts(part, right)
    known["first"], known["last"] = _rows(part, right)
    known["low"], known["high"] = _rows(part, wrong)
    said = say(message, **known)
    return turned_words(said) if view == "half-turned" else said


def _rows(part: Part, layout: Layout) -> tuple[str, str]:
    """The first and the last row in which the part stands."""
    rows = [layout.board.holes[hole][1] for hole in layout.holes[part.id]]
    return f"{min(rows):g}", f"{max(rows):g}"
