"""The page of a course and its feed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from urllib.parse import quote
from xml.sax.saxutils import escape, quoteattr

from markupsafe import Markup

from buildalong import __version__
from buildalong.lesson import Course, CourseLesson
from buildalong.publish import _course_words as words
from buildalong.publish._article import fonts, templates, text_of
from buildalong.publish._in_short import Card

__all__ = ["feed_xml", "index_html"]

Cards = Sequence[tuple[CourseLesson, Card]]


def index_html(course: Course, cards: Cards, pictured: Collection[str], *, feed: bool) -> str:
    """The page that leads to the lessons; ``pictured`` are those whose finished board can be shown."""
    page = templates().get_template("course.html")
    return page.render(
        course=course, words=words, feed=feed, version=__version__,
        lessons=[(quote(lesson.name), card, lesson.name in pictured) for lesson, card in cards],
        style=Markup(text_of("article.css") + text_of("course.css")),  # noqa: S704 - our own files
        fonts=Markup(fonts()),  # noqa: S704 - our own files
    )  # fmt: skip


def feed_xml(course: Course, cards: Cards) -> str:
    """The feed of a course as Atom (RFC 4287), newest first; "" where something is not known that it needs.

    All times are the author's.
    """
    dated = [(lesson, card) for lesson, card in cards if lesson.date]
    if not (course.link and course.authors and dated):
        return ""
    dated.sort(key=lambda each: each[0].name)
    dated.sort(key=lambda each: _moment(each[0].date), reverse=True)
    lines = [
        '<?xml version="1.0" encoding="utf-8"?>',
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang={quoteattr(course.language)}>',
        _element("id", course.link),
        _element("title", course.title),
        *([_element("subtitle", course.summary)] if course.summary else []),
        _element("updated", dated[0][0].date),
        *(f"<author>{_element('name', author)}</author>" for author in course.authors),
        f'<link rel="self" type="application/atom+xml" href={quoteattr(course.link + "feed.xml")}/>',
        f'<link rel="alternate" type="text/html" href={quoteattr(course.link)}/>',
        f"<generator version={quoteattr(__version__)}>buildalong</generator>",
    ]
    for lesson, card in dated:
        address = f"{course.link}{quote(lesson.name)}/"
        lines += [
            f"<entry xml:lang={quoteattr(card.language)}>",
            _element("id", address),
            _element("title", card.title),
            _element("updated", lesson.date),
            f'<link rel="alternate" type="text/html" href={quoteattr(address + "index.html")}/>',
            *([_element("summary", card.summary)] if card.summary else []),
            "</entry>",
        ]
    return "\n".join([*lines, "</feed>", ""])


def _moment(date: str) -> float:
    from datetime import datetime

    return datetime.fromisoformat(date).timestamp()


def _element(name: str, text: str) -> str:
    return f"<{name}>{escape(_legal(text))}</{name}>"


def _legal(text: str) -> str:
    """A text without the characters that XML 1.0 does not allow (2.2, production 2)."""
    return "".join(
        letter for letter in text
        if letter in "\t\n\r" or " " <= letter <= "\ud7ff" or "\ue000" <= letter <= "\ufffd"
        or letter > "\uffff"
    )  # fmt: skip
