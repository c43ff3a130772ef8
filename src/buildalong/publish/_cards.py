"""Part cards: one for each type and value of a lesson, several on a printed page."""

from __future__ import annotations

import math
import re

from markupsafe import Markup

from buildalong.circuit import Part, bands_on, printed_on
from buildalong.drawing import Picture, band_meaning
from buildalong.lesson import Compiled
from buildalong.publish import _words as words
from buildalong.publish._article import fonts, templates, text_of
from buildalong.publish._columns import card_height, in_columns
from buildalong.publish._pictures import Pictures
from buildalong.publish._rows import Row, rows_of
from buildalong.publish._view import CardView
from buildalong.quantity import format_quantity
from buildalong.words import capital, say

__all__ = ["cards_html"]


def cards_html(compiled: Compiled, pictures: Pictures) -> str:
    """Write the cards as one HTML document that needs no other file; made to be printed on A4.

    They stand in the order of the list of parts, but a later one fills a column in which it still has room.
    """
    rows = rows_of(compiled.circuit)
    made = [_card(n, row, pictures) for n, row in enumerate(rows, start=1)]
    heights = [
        card_height(card, pictures.parts.get(row.parts[0].id), pictures.symbols.get(row.type.id))
        for card, row in zip(made, rows, strict=True)
    ]
    cards = [made[index] for index in in_columns(heights)]
    page = templates().get_template("cards.html")
    return page.render(
        title=compiled.lesson.title, language=compiled.lesson.language, cards=cards, words=words,
        style=Markup(text_of("cards.css")), fonts=Markup(fonts()),  # noqa: S704 - our own files
    )  # fmt: skip


def _card(number: int, row: Row, pictures: Pictures) -> CardView:
    part, kind = row.parts[0], row.type
    symbol = pictures.symbols.get(kind.id)
    picture = pictures.parts.get(part.id)
    return CardView(
        name=row.name,
        title=capital(say(kind.title)),
        references=row.references,
        count=len(row.parts),
        picture=_own_ids(picture, number),
        picture_wide=_wide(picture),
        symbol=_own_ids(symbol, number),
        symbol_wide=_wide(symbol),
        marking=tuple(_marking(part)),
        reading=say(kind.marking.reading),
        legs=_legs(part),
        slips=tuple(say(slip.sentence) for slip in kind.slips),
        beside=kind.body.kind == "off-board",
    )


def _own_ids(picture: Picture | None, number: int) -> str:
    """The drawing with ids of its own: two cards may show the same symbol."""
    return re.sub(r"\bp([0-9a-f]{8}-)", rf"c{number}-\1", picture.svg) if picture else ""


def _marking(part: Part) -> list[tuple[str, str]]:
    """What is printed, and what each piece of it says."""
    bands = bands_on(part)
    if bands:
        return [(say(colour), band_meaning(part, index)) for index, colour in enumerate(bands)]
    printed = printed_on(part)
    if not printed:
        return []
    value = ""
    if part.value is not None and part.type.value is not None:
        value = format_quantity(part.value, part.type.value.unit)
    return [(printed, value if value and value not in printed else "")]


def _legs(part: Part) -> tuple[tuple[str, str], ...]:
    """Number or name of each terminal with its title; nothing where the leads are alike."""
    if part.type.swappable and len(part.type.terminals) == 2:
        return ()
    return tuple(
        (t.number or t.shown.replace("-", "−"), _title(t.shown.replace("-", "−"), say(t.title), t.number))
        for t in part.type.terminals
    )


def _title(name: str, title: str, number: str) -> str:
    """What a terminal is; a number at the end, "input 2", is not parted from its word."""
    title = re.sub(r" (?=\d+$)", "\u00a0", title)
    return f"{name}, {title}" if number and number != name else title


def _wide(picture: Picture | None) -> str:
    return f"{math.ceil(picture.print_width() * 10) / 10:g}mm" if picture and picture.smallest_text else ""
