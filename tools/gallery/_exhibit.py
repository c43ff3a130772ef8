"""What hangs in the gallery: exhibits, and the sections in which they hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tools.gallery._desk import Desk

from buildalong.drawing import Picture

__all__ = ["PAGE_WIDTH", "Exhibit", "Section", "printed_size"]

PAGE_WIDTH = 180.0
"""Width of the text on an A4 sheet of the article [mm]."""


@dataclass(frozen=True, slots=True)
class Exhibit:
    """A picture with its title and caption; ``facts`` (name, value) are set in the section's table too.

    Without a picture it stands in the table only, or is a ``page`` (HTML) of its own to which a link leads.
    """

    title: str
    caption: str
    picture: Picture | None
    facts: tuple[tuple[str, str], ...] = ()
    page: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A section of the page; ``hang`` gives its exhibits one after the other as they are made."""

    key: str
    title: str
    about: str
    hang: Callable[[Desk], Iterator[Exhibit]]


def printed_size(picture: Picture) -> float:
    """Size of the smallest text [pt] where the picture is as wide as the page of an A4 print allows."""
    wide = picture.print_width()
    return 9.0 * min(1.0, PAGE_WIDTH / wide) if wide else 0.0
