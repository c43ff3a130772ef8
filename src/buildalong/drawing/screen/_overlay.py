"""Overlays: cards, tags and labels on a clear ground, to be laid over one's own footage."""

from __future__ import annotations

from buildalong.circuit import Part, bands_on
from buildalong.drawing import _palette as palette
from buildalong.drawing import _text
from buildalong.drawing._look import marking_of, value_of
from buildalong.drawing._palette import NetColour
from buildalong.drawing._picture import Picture
from buildalong.drawing._svg import Svg
from buildalong.drawing.screen._flow import Item, flow
from buildalong.drawing.screen._shape import Rect, Shape
from buildalong.words import colour_word, say

__all__ = ["chip", "lower_third", "part_tag"]

GROUND = 0.94
"""How opaque the paper of a card is: the hand below it shimmers through, the words stay readable."""
SIZE = 54.0
TALLEST = 400.0
"""Height of a warning's card at most."""


def lower_third(shape: Shape, title: str, *, number: int = 0, callout: str = "") -> Picture:
    """A card in the lower part of the frame: a step's number and title, or a warning; the rest is clear."""
    svg = Svg(shape.width, shape.height, title=title, alt=callout or title)
    wide = min(shape.width - 160.0, 1180.0)
    text = Item(
        callout or title, 46.0 if callout else SIZE, "bold", palette.WRONG if callout else palette.INK
    )
    indent = 130.0 if number or callout else 40.0
    room = wide - indent - 24
    tall = max(180.0, min(_height(text, room) + 48, TALLEST)) if callout else 132.0
    x, y = 80.0, shape.height * (0.80 if shape.height < shape.width else 0.74) - tall / 2
    svg.rect(
        x, y, wide, tall, rx=10, fill=palette.PAPER, fill_opacity=GROUND, stroke=palette.INK, stroke_width=3
    )
    if callout:
        cx, cy = x + 68, y + tall / 2
        svg.polygon(((cx, cy - 40), (cx + 42, cy + 32), (cx - 42, cy + 32)), fill=palette.PAPER,
                    stroke=palette.WRONG, stroke_width=7, stroke_linejoin="round")  # fmt: skip
        svg.text(cx, cy + 26, "!", 54, anchor="middle", style="bold", fill=palette.WRONG)
    elif number:
        svg.circle(x + 68, y + tall / 2, 44, fill=palette.INK)
        svg.text(
            x + 68, y + tall / 2 + 17, str(number), 50, anchor="middle", style="bold", fill=palette.PAPER
        )
    _middle(svg, text, Rect(x + indent, y + 12, room, tall - 24))
    return svg.picture()


def _middle(svg: Svg, item: Item, room: Rect) -> None:
    """Text in the middle of a rectangle's height."""
    used = _height(item, room.width, room.height)
    flow(svg, [item], Rect(room.x, room.y + max(0.0, (room.height - used) / 2), room.width, room.height))


def _height(item: Item, width: float, height: float = TALLEST) -> float:
    """What a text takes of so much room."""
    return flow(Svg(10, 10, title="", alt=""), [item], Rect(0, 0, width, height))


def part_tag(part: Part) -> Picture:
    """A tag for one part: reference, value or name, and its bands or its print."""
    value = value_of(part) or say(part.type.noun)
    bands = bands_on(part)
    marking = "" if bands else marking_of(part)
    note = ", ".join(map(colour_word, bands))
    if marking and marking != value:
        note = say("printed: {print}", print=marking)
    name = _text.width(part.id, SIZE, "bold")
    wide = max(40 + name + 22 + _text.width(value, SIZE) + 36, 40 + _text.width(note, 32) + 36, 210)
    tall = 92.0 + (50.0 if note else 0.0) + (34.0 if bands else 0.0)
    svg = Svg(wide + 8, tall + 8, title=part.id, alt=f"{part.id}: {value}. {note}".strip())
    svg.rect(
        4, 4, wide, tall, rx=10, fill=palette.PAPER, fill_opacity=GROUND, stroke=palette.INK, stroke_width=3
    )
    svg.text(34, 66, part.id, SIZE, style="bold", fill=palette.INK)
    svg.text(34 + name + 22, 66, value, SIZE, fill=palette.INK)
    if note:
        svg.text(34, 112, note, 32, fill=palette.INK_SOFT)
    for index, band in enumerate(bands):
        svg.rect(34 + index * 46, 128, 34, 30, fill=palette.BANDS[band], stroke=palette.INK, stroke_width=2)
    return svg.picture()


def chip(name: str, colour: NetColour) -> Picture:
    """The label of a net, in the colour that it has in the pictures."""
    wide = 74 + _text.width(name, SIZE, "bold") + 34
    svg = Svg(wide + 8, 100, title=name, alt=f"Net {name}, {colour.name}")
    rim = palette.rim_on(colour.hex, palette.PAPER)
    svg.rect(4, 4, wide, 92, rx=46, fill=palette.PAPER, fill_opacity=GROUND, stroke=rim, stroke_width=6)
    svg.circle(50, 50, 17, fill=rim)
    svg.text(80, 68, name, SIZE, style="bold", fill=palette.INK)
    return svg.picture()
