"""The article: one self-contained page made from a compiled lesson and its pictures."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, Template, select_autoescape
from markupsafe import Markup, escape

from buildalong import __version__
from buildalong.drawing import vendored_fonts
from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish import _build_words as build_words
from buildalong.publish import _words as words
from buildalong.publish._frame import ID, TITLE, Frame
from buildalong.publish._pictures import Pictures
from buildalong.publish._sections import page_of
from buildalong.publish._shared import shared_once
from buildalong.publish._terms import patterns_of
from buildalong.publish._view import Page
from buildalong.publish._woff import woff
from buildalong.publish.handout._glossary import glossary_of
from buildalong.publish.handout._words import BOOKLET
from buildalong.spread import Spread
from buildalong.words import say, tied_page

__all__ = ["article_frame", "article_html", "fonts", "style_of", "templates", "text_of"]

SCRIPTS = ("theme.js", "player.js", "replay.js", "formula.js", "finder.js", "builds.js", "terms.js")
"""What makes the page answer; without it all of it stands there and can be read."""


def article_html(
    compiled: Compiled, pictures: Pictures, guide: Guide | None = None, builds: Spread | None = None
) -> str:
    """Write the article as one HTML document that needs no other file and no network.

    With a ``guide`` it has a fault finder, and cautions at the steps; with ``builds`` what other people's do.
    """
    return article_frame(compiled, page_of(compiled, pictures, guide, builds)).filled(compiled.prose)


def article_frame(compiled: Compiled, page: Page) -> Frame:
    """The article of a lesson, into which its words can be put."""
    script = "".join(map(text_of, SCRIPTS))
    terms = glossary_of(compiled)
    html = (
        templates()
        .get_template("article.html")
        .render(
            page=page,
            style=style_of(),
            words=words,
            build_words=build_words,
            terms=terms,
            title_terms=BOOKLET["glossary"],
            fonts=Markup(fonts()),  # noqa: S704 - our own files
            script=Markup(script),  # noqa: S704 - our own file
            script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
            version=__version__,
        )
    )
    pattern: Any = templates().get_template("words.html").module
    names = Markup(ID), Markup(TITLE)  # noqa: S704 - our own marks
    entry, section = str(pattern.entry(*names)), str(pattern.section(*names))
    return Frame(shared_once(html), entry, section, patterns_of(terms))


_LOWERED = re.compile(r"\b([A-Za-z])_([A-Za-z0-9]{1,6})\b")


def _symbols(text: str) -> Markup:
    """Set names of quantities such as V_F with their index lowered."""
    return Markup(_LOWERED.sub(r"<i>\1</i><sub>\2</sub>", str(escape(text))))  # noqa: S704 - escaped


def _filled(text: str, **places: object) -> Markup:
    """Fill the places of a message with pieces of HTML; what is not marked as such is escaped."""
    return escape(text).format(**places)


class _Page(Template):
    """A page whose numbers stay on one line with their units."""

    def render(self, *args: Any, **places: Any) -> str:
        return tied_page(super().render(*args, **places))


@cache
def templates(package: str = "buildalong.publish") -> Environment:
    """The templates in the folder ``page`` of a package."""
    environment = Environment(
        loader=PackageLoader(package, "page"),
        autoescape=select_autoescape(["html"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.template_class = _Page
    environment.filters["symbols"] = _symbols
    environment.filters["filled"] = _filled
    environment.globals["say"] = say
    return environment


@cache
def text_of(name: str, package: str = "buildalong.publish") -> str:
    """A file in the folder ``page`` of a package as text."""
    return (resources.files(package) / "page" / name).read_text(encoding="utf-8")


def style_of(*more: str) -> Markup:
    """The style of the article, on screen and in print, and ``more`` files of styles after it."""
    return Markup("".join(map(text_of, ("article.css", "print.css", *more))))  # noqa: S704 - our own files


@cache
def fonts() -> str:
    """The vendored fonts as @font-face rules: what is in SVG and PNG, compressed."""
    rule = (
        '@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};font-display:swap;'
        'src:url(data:font/woff;base64,{data}) format("woff")}}\n'
    )
    return "".join(
        rule.format(
            family=font.family,
            weight=font.weight,
            style=font.style,
            data=base64.b64encode(woff(font.data)).decode(),
        )
        for font in vendored_fonts()
    )
