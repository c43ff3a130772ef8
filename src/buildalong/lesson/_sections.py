"""The sections of a lesson's words: headings, their ids, and what stands below each."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._lesson import Block, Section
from buildalong.lesson._markdown import parse_markdown

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["MARK", "SLOTS", "sections_of"]

SLOTS = {
    "": "look",
    "what-you-will-build": "look",
    "how-it-works": "story",
    "what-you-should-see": "see",
    "before-you-start": "cautions",
    "cautions": "cautions",
    "what-can-go-wrong": "wrong",
    "if-it-does-not-work": "find",
    "build-it": "build",
    "parts": "parts",
    "the-parts": "parts",
    "the-circuit": "circuit",
    "schematic": "circuit",
    "the-formula": "formula",
    "formula": "formula",
}
"""Headings of lesson.md (as ids) whose words go into a section of the article that the program makes."""
KNOWN = (*filter(None, SLOTS), "try-next")
"""Ids that the program makes something of; the last one ends the film."""
NEAR = 0.85
"""From this likeness on (difflib's ratio) an id is taken for a slip."""
MARK = re.compile("\ue000(\\d+)\ue001")
"""Stands for the text of this number that is put in."""
_ID = re.compile(r"\s*\{#([A-Za-z][\w-]{0,40})\}\s*$")


def sections_of(
    text: str, file: str, shown: Sequence[str], html_of: Callable[[list[Token]], str]
) -> tuple[tuple[Section, ...], list[Finding]]:
    """Split prose with marks for what was put in; ``html_of`` gives the HTML of a block of it."""
    found: list[Finding] = []
    sections: list[Section] = []
    blocks: list[Block] = []
    title, identity = "", ""
    taken: set[str] = set()

    def close() -> None:
        if blocks or title:
            sections.append(Section(identity, title, tuple(blocks)))
        blocks.clear()

    for group in _groups(parse_markdown(text)):
        first = group[0]
        line = first.map[0] + 1 if first.map else 1
        if first.type == "heading_open" and first.tag in ("h1", "h2"):
            words = _plain(group[1].content, shown)
            given = _ID.search(words)
            words = _ID.sub("", words)
            if first.tag == "h1":
                found.append(
                    Finding(
                        Severity.NOTE,
                        "title-twice",
                        f"the heading '{words}' is not shown: the title stands in lesson.toml",
                        "start sections with ##",
                        Place(file, line, 1),
                    )
                )
                continue
            close()
            wanted = _id_of(words, given[1] if given else "")
            found += _misspelled(wanted, Place(file, line, 1))
            title, identity = words, _unique(wanted, taken)
            continue
        found.extend(_pictures_without_words(group, file, line))
        blocks.append(Block(html_of(group), line))
    close()
    return tuple(sections), found


def _groups(tokens: list[Token]) -> list[list[Token]]:
    """Split the flat list of tokens into its top-level blocks."""
    out: list[list[Token]] = []
    group: list[Token] = []
    depth = 0
    for token in tokens:
        group.append(token)
        depth += token.nesting
        if depth == 0:
            out.append(group)
            group = []
    return out


def _plain(text: str, shown: Sequence[str]) -> str:
    text = MARK.sub(lambda m: shown[int(m[1])], text)
    return re.sub(r"[*`]", "", text).strip()


def _pictures_without_words(group: list[Token], file: str, line: int) -> list[Finding]:
    return [
        Finding(
            Severity.WARNING,
            "picture-without-words",
            f"the picture '{child.attrs.get('src', '')}' has no words for those who cannot see it",
            "write what it shows between the square brackets: ![what it shows](picture.png)",
            Place(file, line, 1),
        )
        for token in group
        for child in token.children or ()
        if child.type == "image" and not child.content.strip()
    ]


def _id_of(title: str, given: str) -> str:
    """The id of a section: as written in ``{#id}``, or made from its title."""
    return given or re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40] or "section"


def _unique(identity: str, taken: set[str]) -> str:
    number, out = 2, identity
    while out in taken:
        out, number = f"{identity}-{number}", number + 1
    taken.add(out)
    return out


def _misspelled(identity: str, place: Place) -> list[Finding]:
    """A warning where an id is nearly, but not quite, one that the program knows."""
    near = get_close_matches(identity, KNOWN, 1, NEAR)
    if identity in KNOWN or not near:
        return []
    return [
        Finding(
            Severity.WARNING,
            "section-misspelled",
            f"the program knows no section '{identity}', so its words stand alone at the end",
            f"if you mean '{near[0]}', write {{#{near[0]}}} behind the heading",
            place,
        )
    ]
