"""The files of the page: a fixed table, read once.  No path of a request ever touches the disk."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

__all__ = ["File", "files"]

HOME = Path(__file__).with_name("page")
KINDS = {".js": "text/javascript", ".css": "text/css", ".html": "text/html"}


class File(NamedTuple):
    """A file as it is sent."""

    body: bytes
    kind: str


@cache
def files() -> Mapping[str, File]:
    """The path of a request -> the file; the page itself is '/'."""
    from buildalong.drawing import vendored_fonts

    out = {
        "/" if path.name == "bench.html" else f"/{path.name}": File(path.read_bytes(), KINDS[path.suffix])
        for path in sorted(HOME.iterdir())
        if path.suffix in KINDS
    }
    for font in vendored_fonts():
        family = font.family.split()[0].lower()
        out[f"/{family}-{font.weight}-{font.style}.ttf"] = File(font.data, "font/ttf")
    return out
