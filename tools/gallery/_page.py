"""The page: sections with their exhibits as one HTML document that needs no other file."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path

from tools.gallery._exhibit import Exhibit, Section

from buildalong.publish import fonts

__all__ = ["file_of", "page"]

TITLE = "Gallery"
ABOUT = "Every kind of picture that the program draws, made from the demo lessons and the catalogue."
POLICY = "default-src 'none'; font-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
SMALL = frozenset({"parts", "icons", "symbols"})
"""Sections whose pictures hang closer."""


def page(hung: Iterable[tuple[Section, Sequence[Exhibit]]]) -> str:
    """Write the page; its pictures stand in it, each with its text alternative."""
    style = (Path(__file__).parent / "page.css").read_text(encoding="utf-8")
    rooms = list(hung)
    links = "\n".join(f'<li><a href="#{s.key}">{escape(s.title)}</a> ({len(e)})</li>' for s, e in rooms)
    sections = "\n".join(_section(number, *room) for number, room in enumerate(rooms))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        f"<title>{TITLE}</title>\n<style>{fonts()}{style}</style>\n</head>\n<body>\n"
        f'<div class="page">\n<header><h1>{TITLE}</h1><p>{ABOUT}</p></header>\n'
        f'<nav aria-label="Sections"><ul>\n{links}\n</ul></nav>\n<main>\n{sections}\n</main>\n</div>\n'
        "</body>\n</html>\n"
    )


def _section(number: int, section: Section, exhibits: Sequence[Exhibit]) -> str:
    shown = [exhibit for exhibit in exhibits if exhibit.picture is not None]
    small = " small" if section.key in SMALL else ""
    links = "".join(_link(section, order, e) for order, e in enumerate(exhibits, start=1) if e.page)
    links = f"<ul>{links}</ul>\n" if links else ""
    figures = "\n".join(_figure(f"g{number}n{order}", exhibit) for order, exhibit in enumerate(shown))
    return (
        f'<section id="{section.key}" aria-labelledby="{section.key}-title">\n'
        f'<h2 id="{section.key}-title">{escape(section.title)}</h2>\n<p>{escape(section.about)}</p>\n'
        f'{_table(section, exhibits)}{links}<div class="wall{small}">\n{figures}\n</div>\n</section>'
    )


def file_of(section: Section, order: int) -> str:
    """Name of the file in which an exhibit's own page stands."""
    return f"{section.key}-{order}.html"


def _link(section: Section, order: int, exhibit: Exhibit) -> str:
    return (
        f'<li><a href="{file_of(section, order)}">{escape(exhibit.title)}</a> {escape(exhibit.caption)}</li>'
    )


def _figure(key: str, exhibit: Exhibit) -> str:
    picture = exhibit.picture
    assert picture is not None
    wide = math.ceil(picture.print_width() * 10) / 10
    style = f' style="--wide:{wide:g}mm"' if wide else ""
    # Two figures may show the same picture: each has ids of its own.
    svg = re.sub(r"\bp([0-9a-f]{8}-)", rf"{key}-\1", picture.svg)
    caption = f"<p>{escape(exhibit.caption)}</p>" if exhibit.caption else ""
    return f"<figure{style}><figcaption><h3>{escape(exhibit.title)}</h3>{caption}</figcaption>{svg}</figure>"


def _table(section: Section, exhibits: Sequence[Exhibit]) -> str:
    """The facts of all exhibits, a row each; nothing where they have none."""
    names = list(dict.fromkeys(name for exhibit in exhibits for name, _ in exhibit.facts))
    if not names:
        return ""
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in names)
    rows = []
    for exhibit in exhibits:
        facts = dict(exhibit.facts)
        cells = "".join(f"<td>{escape(facts.get(name, ''))}</td>" for name in names)
        rows.append(f"<tr>{cells}</tr>")
    body = "\n".join(rows)
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="Figures: {escape(section.title)}">'
        f"<table><thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody></table></div>\n"
    )
