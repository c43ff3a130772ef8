"""How shapes of many pictures look, such as colour and width of a line, said once in the style of a page."""

from __future__ import annotations

import re
from collections import Counter

__all__ = ["looks_once"]

_SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_TAG = re.compile(r"<(?!title|desc)\w+((?:\s[\w:-]+=\"[^\"]*\")+)\s*/?>")
_LOOK = re.compile(
    r"\s(fill|stroke|stroke-width|stroke-linecap|stroke-linejoin|font-family|font-size|font-weight|font-style"
    r"|text-anchor)=\"([^\"]*)\""
)
"""Attributes of SVG that mean the same as properties of CSS."""
_STYLE = "<style>"


def looks_once(page: str) -> str:
    """Put attributes that many shapes have together into a rule of the page's first style.

    The page looks the same: the rules stand before all others.  What has a class already stays as it is.
    """
    if _STYLE not in page:
        return page
    count: Counter[str] = Counter()
    for svg in _SVG.findall(page):
        count.update(_look(tag) for tag in _TAG.finditer(svg))
    rules: dict[str, str] = {}
    names: dict[str, str] = {}
    for look, times in sorted(count.items(), key=lambda item: (-item[1], item[0])):
        name = f"_{len(names)}"  # no class of ours begins so
        rule = f".{name}{{{_declared(look)}}}"
        if look and times * len(look) > times * len(_class(name)) + len(rule):
            names[look], rules[name] = name, rule

    def shorter(tag: re.Match[str]) -> str:
        name = names.get(_look(tag))
        return tag[0] if name is None else _put(tag, _class(name))

    page = _SVG.sub(lambda svg: _TAG.sub(shorter, svg[0]), page)
    return page.replace(_STYLE, _STYLE + "".join(rules.values()), 1)


def _look(tag: re.Match[str]) -> str:
    """The attributes of a tag that can stand in a style, as written; "" where it has a class of its own."""
    attributes = tag[1]
    return "" if ' class="' in attributes else "".join(found[0] for found in _LOOK.finditer(attributes))


def _declared(look: str) -> str:
    pairs = [(found[1], found[2]) for found in _LOOK.finditer(look)]
    return ";".join(f"{name}:{value}{'px' if name == 'font-size' else ''}" for name, value in pairs)


def _class(name: str) -> str:
    return f' class="{name}"'


def _put(tag: re.Match[str], words: str) -> str:
    start, end = (place - tag.start() for place in tag.span(1))
    return f"{tag[0][:start]}{words}{_LOOK.sub('', tag[1])}{tag[0][end:]}"
