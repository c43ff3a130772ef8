"""Pictures as PNG, with nothing but the vendored fonts."""

from __future__ import annotations

import re
import struct

from buildalong.drawing import _text
from buildalong.drawing._palette import PAPER
from buildalong.drawing._picture import Picture

__all__ = ["missing_characters", "to_png"]

MOST_PIXELS = 40_000_000
"""A4 at 300 dpi has 8.7 million; beyond this the size is refused."""

_TEXT = re.compile(r"<t(?:ext|span)\b[^>]*>([^<]*)")


def missing_characters(picture: Picture) -> tuple[str, ...]:
    """Characters in the picture's texts that no vendored font can draw."""
    shown = "".join(_TEXT.findall(picture.svg))
    for name, character in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&amp;", "&")):
        shown = shown.replace(name, character)
    return _text.uncovered(shown.replace("\n", " "))


def to_png(picture: Picture, width: int = 1920, height: int | None = None, background: str = PAPER) -> bytes:
    """Render a picture to PNG; ``width`` and ``height`` in pixels.

    With ``height`` the picture is centred on a ground of exactly that size and fills as much of it
    as its proportions allow; without, the height follows from the width.  ``background`` "none" leaves the
    ground clear.  Raises ValueError for a
    size of no pixels or of more than forty million.
    """
    import resvg_py

    rows = height if height is not None else max(1, round(width * picture.height / picture.width))
    if width < 1 or rows < 1 or width * rows > MOST_PIXELS:
        raise ValueError(f"{width} by {rows} pixels is not a size for a picture")
    scale = min(width / picture.width, rows / picture.height)
    # One outer document of the exact pixel size; the picture is placed inside as a nested one.
    left = (width - picture.width * scale) / 2
    top = (rows - picture.height * scale) / 2
    inner = picture.placed(left, top, picture.width * scale, picture.height * scale)
    # No picture draws beyond its edges, so none is cut off there: that would take as long as drawing it.
    inner = inner.replace("<svg ", '<svg overflow="visible" ', 1)
    outer = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{rows}">'
        f'<rect width="{width}" height="{rows}" fill="{background}"/>{inner}</svg>'
    )
    data = bytes(
        resvg_py.svg_to_bytes(
            svg_string=outer,
            skip_system_fonts=True,
            font_files=[str(file) for file in _text.font_files()],
            font_family="Atkinson Hyperlegible",
            sans_serif_family="Atkinson Hyperlegible",
        )
    )
    size = struct.unpack(">II", data[16:24])
    if size != (width, rows):  # pragma: no cover - the renderer keeps the size of the outer document
        raise ValueError(f"the renderer gave {size} instead of {(width, rows)}")
    return data
