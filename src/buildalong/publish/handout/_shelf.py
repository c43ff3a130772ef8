"""The pictures that a document shows: each kept once, under a name made from what it holds."""

from __future__ import annotations

from hashlib import sha256

from buildalong.drawing import PAPER, Picture

__all__ = ["Shelf"]

WHITE = "#FFFFFF"
"""In print the ground of a picture is the paper itself."""


class Shelf:
    """Pictures by file name, filled while a document is laid out."""

    def __init__(self, files: dict[str, bytes] | None = None) -> None:
        """``files`` are there already."""
        self.files = files or {}

    def add(self, picture: Picture | None) -> dict[str, object] | None:
        """Keep a drawing; gives what a template needs to show it: sizes are in millimetres.

        ``wide`` is the width at which its smallest text has nine points (0 for no text), ``true`` width and
        height at which ten units are a millimetre, ``shape`` its height for a width of 1.
        """
        if picture is None:
            return None
        return {
            "file": self._kept(picture.svg.replace(PAPER, WHITE).encode(), "svg"),
            "alt": picture.alt,
            "wide": round(picture.print_width(), 2),
            "true": [round(picture.width / 10, 3), round(picture.height / 10, 3)],
            "shape": round(picture.height / picture.width, 4),
        }

    def raster(self, data: bytes) -> str:
        """Keep a picture of the author's; gives its name."""
        return self._kept(data, "png")

    def _kept(self, content: bytes, ending: str) -> str:
        name = f"{sha256(content).hexdigest()[:20]}.{ending}"
        self.files[name] = content
        return name
