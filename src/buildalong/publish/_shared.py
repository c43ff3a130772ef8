"""Drawings that many pictures of a page repeat, such as the holes of the empty board, kept once."""

from __future__ import annotations

import re
from collections import Counter

__all__ = ["shared_once"]

_PATH = re.compile(r"<(?:path|polyline|polygon) [^<>]{110,}/>")
_LEAST = 3


def shared_once(page: str) -> str:
    """Keep each long line or shape that stands three times or more in the first drawing, unseen.

    It is referred to where it stood, so the page looks the same.  A shape with an id of its own stays.
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
    return _PATH.sub(referred, page).replace("</desc>", f"</desc><defs>{defined}</defs>", 1)
