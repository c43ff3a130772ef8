"""Labels with letters of two families, each stretch by itself at its own place.

A typesetter that shapes a whole label in the family of every stretch looks for what that family lacks
elsewhere, in a face of its own choice; a stretch that stands alone is set in the family that it names.
"""

from __future__ import annotations

import re
from html import escape, unescape

from buildalong.drawing._text import FALLBACK_FAMILY, FAMILY, Style, by_family, width

__all__ = ["stretches_apart"]

_LABEL = re.compile(r"<text ([^>]*)>((?:[^<]|<tspan\b[^>]*>[^<]*</tspan>)*)</text>")
_PIECE = re.compile(r"<tspan([^>]*)>([^<]*)</tspan>|([^<]+)")
_ATTRIBUTE = re.compile(r'([\w-]+)="([^"]*)"')
_OF_ANCHOR = {"middle": 0.5, "end": 1.0}


def stretches_apart(svg: str) -> str:
    """The same picture; a label that needs the second family becomes one label for each stretch."""
    return _LABEL.sub(_apart, svg)


def _apart(label: re.Match[str]) -> str:
    if unescape(label[2]).isascii():
        return label[0]
    look = dict(_ATTRIBUTE.findall(label[1]))
    stretches = [
        (dict(_ATTRIBUTE.findall(piece[1] or "")), *stretch)
        for piece in _PIECE.finditer(label[2])
        for stretch in by_family(unescape(piece[2] if piece[3] is None else piece[3]))
    ]
    if not any(second for _, _, second in stretches):
        return label[0]
    style = _style(look)
    sizes = [float({**look, **own}["font-size"]) for own, _, _ in stretches]
    whole = sum(width(text, size, style) for (_, text, _), size in zip(stretches, sizes, strict=True))
    left = float(look["x"]) - _OF_ANCHOR.get(look.pop("text-anchor", ""), 0.0) * whole
    low = float(look["y"])
    out = []
    for (own, text, second), size in zip(stretches, sizes, strict=True):
        low += float(own.pop("dy", 0))
        own["font-family"] = FALLBACK_FAMILY if second else FAMILY
        # spaces at the ends of a label are not drawn
        bare = text.strip(" ")
        begin = left + width(text[: len(text) - len(text.lstrip(" "))], size, style)
        left += width(text, size, style)
        if bare:
            place = {"x": f"{begin:.2f}", "y": f"{low:.2f}"}
            attributes = " ".join(f'{name}="{value}"' for name, value in {**look, **own, **place}.items())
            out.append(f"<text {attributes}>{escape(bare, quote=False)}</text>")
    return "".join(out)


def _style(look: dict[str, str]) -> Style:
    if look.get("font-weight") == "bold":
        return "bold"
    return "italic" if look.get("font-style") == "italic" else "regular"
