"""The vendored fonts for a page: the same files as in SVG, PNG and PDF."""

from __future__ import annotations

from dataclasses import dataclass, field

from buildalong.drawing import _text

__all__ = ["FontFile", "vendored_fonts"]

_FAMILIES = {"AtkinsonHyperlegible": "Atkinson Hyperlegible", "DejaVuSans": "DejaVu Sans"}


@dataclass(frozen=True, slots=True)
class FontFile:
    """One face: ``weight`` as in CSS (400, 700), ``style`` "normal" or "italic", ``data`` a TrueType file."""

    family: str
    weight: int
    style: str
    data: bytes = field(repr=False)


def vendored_fonts() -> tuple[FontFile, ...]:
    """Every vendored face, in the order of their file names."""
    out = []
    for path in sorted(_text.font_files()):
        family, _, face = path.stem.partition("-")
        weight, style = 700 if face == "Bold" else 400, "italic" if face == "Italic" else "normal"
        out.append(FontFile(_FAMILIES[family], weight, style, path.read_bytes()))
    return tuple(out)
