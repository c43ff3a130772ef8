"""The article on A4 paper: how wide pictures are, and which steps stand beside one another."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from buildalong.drawing import Picture
from buildalong.publish._view import Plate, StepSet

__all__ = ["left_beside", "plate_of", "print_high", "print_wide", "sets_of", "stand_under", "tall_beside"]

PAGE = 188.0
"""Width of the text on a printed page; the margins stand in ``page/print.css`` [mm]."""
GAP = 5.0
"""Between two columns [mm]."""
COLUMN = (PAGE - GAP) / 2
"""One of two columns [mm]."""
WORDS = 58.0
"""Words beside a picture are at least this wide [mm]."""
SECTION = 78.0
"""A section of words beside a picture is at least this wide [mm]."""


def plate_of(picture: Picture, caption: str) -> Plate:
    """A picture with its caption, as it stands on paper."""
    return Plate(
        picture.svg,
        caption,
        wide=print_wide(picture),
        narrow=_is_narrow(picture),
        too_wide=_width(picture) > PAGE,
    )


def print_wide(picture: Picture | None) -> str:
    """The width in print, a CSS length, at which the smallest text of a picture has nine points."""
    width = _width(picture)
    return f"{math.ceil(width * 10) / 10:g}mm" if width else ""


def print_high(picture: Picture) -> float:
    """The height in print [mm]."""
    return _width(picture) * picture.height / picture.width


def _is_narrow(picture: Picture | None) -> bool:
    """Whether words find room beside a picture."""
    return 0 < _width(picture) <= PAGE - GAP - WORDS


def left_beside(picture: Picture | None) -> str:
    """The width in print, a CSS length, that a narrow picture leaves for a section of words; or ""."""
    room = math.floor((PAGE - GAP - _width(picture)) * 10) / 10
    return f"{room:g}mm" if _is_narrow(picture) and room >= SECTION else ""


def stand_under(picture: Picture | None, closeups: Sequence[Picture]) -> bool:
    """Whether the close-ups of a step are too wide to stand beside its picture."""
    return any(_width(closeup) > PAGE - GAP - _width(picture) for closeup in closeups)


def tall_beside(picture: Picture | None, closeups: Sequence[Picture]) -> str:
    """The height in print, a CSS length, of a picture that has close-ups beside it; or ""."""
    if picture is None or not closeups or not _is_narrow(picture) or stand_under(picture, closeups):
        return ""
    return f"{math.ceil(print_high(picture) * 10) / 10:g}mm"


def sets_of(
    numbers: Sequence[int], pictures: Mapping[int, Picture], closeups: Mapping[int, Sequence[Picture]],
    listed: Collection[int] = (),
) -> dict[int, StepSet]:  # fmt: skip
    """How each step is set: two that have no close-ups stand in a row, no step stands alone in half a row.

    A step with a list to tick, ``listed``, has the whole row: in half of it the list would be long.
    """
    out: dict[int, StepSet] = {n: "beside" if _is_narrow(pictures.get(n)) else "" for n in numbers}
    waiting: int | None = None
    for number in numbers:
        alone = number in listed or closeups.get(number)
        half = 0 < _width(pictures.get(number)) <= COLUMN and not alone
        if half and waiting is not None:
            out[waiting] = out[number] = "half"
            waiting = None
        else:
            waiting = number if half else None
    return out


def _width(picture: Picture | None) -> float:
    return picture.print_width() if picture else 0.0
