"""Drawings that many pictures of a page repeat, such as the holes of the empty board, kept once."""

from __future__ import annotations

import re
from collections import Counter

__all__ = ["shared_once"]

_PATH = re.compile(r"<(?:path|polyline|polygon) [^<>]{110,}/>")
_LEAST = 3


def shared_once(page: str) -> str:
    """Put each long line or shape that stands three times or more into one hidden drawing, and refer to it.

    The page looks the same.  A shape that has an id of its own is left where it is.
    """
    counts = Counter(_PATH.findall(page))
    names = {
        path: f"shared-{number}"
        for number, path in enumerate(
            p for p, count in counts.items() if count >= _LEAST and not re.search(r"\sid=", p)
        )
    }
    if not names:
        return page

    def referred(found: re.Match[str]) -> str:
        name = names.get(found[0])
        return f'<use href="#{name}"/>' if name else found[0]

    defined = "".join(path.replace(" ", f' id="{name}" ', 1) for path, name in names.items())
    hidden = (
        '<svg aria-hidden="true" focusable="false" width="0" height="0" style="position:absolute">'
        f"<defs>{defined}</defs></svg>"
    )
    return re.sub(r"(<body[^>]*>)", lambda m: m[1] + hidden, _PATH.sub(referred, page), count=1)
