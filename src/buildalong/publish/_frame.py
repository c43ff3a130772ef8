"""The frame of an article: all of the page but the author's words, and putting them in."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from html import escape

from buildalong.lesson import SLOTS, Section
from buildalong.publish._terms import Linker

__all__ = ["Frame", "shared_out"]

ID, TITLE, WORDS = "<!--id-->", "<!--title-->", "<!--words-->"
"""What stands for them in the patterns of a frame."""
_MARK = re.compile(r"<!--(words|only with words|more) ([a-z]+)-->\n?")


@dataclass(frozen=True, slots=True)
class Frame:
    """An article without the author's words; comments mark where they go.

    No text of an author can hold such a comment, for it is escaped or cleaned of comments.  ``entry`` and
    ``section`` are the patterns of an entry in the contents and of a section for further words; ``terms``
    those of the words that are explained, each with the id of its explanation.
    """

    html: str
    entry: str
    section: str
    terms: tuple[tuple[str, str], ...] = ()

    def filled(self, prose: Sequence[Section]) -> str:
        """The whole article: words for which it has no section stand in sections of their own at its end."""
        there = {slot for mark, slot in _MARK.findall(self.html) if mark == "words"}
        slots, extra = shared_out(prose, there)
        linker = Linker(self.terms)
        more = {"entries": self.entry, "sections": self.section}
        # In one pass, so that nothing is ever put into what an author wrote.
        text, *rest = _MARK.split(self.html)
        out, shown = [text], True
        for mark, slot, text in zip(rest[::3], rest[1::3], rest[2::3], strict=True):
            if mark == "only with words":
                shown = not shown or slot in slots
            elif shown:
                if mark == "more":
                    out += [_named(more[slot], section, linker) for section in extra]
                else:
                    out.append(_prose(slots.get(slot, ""), linker))
            if shown:
                out.append(text)
        return "".join(out)


def shared_out(prose: Sequence[Section], there: Collection[str]) -> tuple[dict[str, str], list[Section]]:
    """The author's HTML by slot, as far as a slot is ``there``, and the sections that are left over."""
    slots: dict[str, str] = {}
    extra: list[Section] = []
    for section in prose:
        slot = SLOTS.get(section.id, "")
        if slot in there:
            slots[slot] = slots.get(slot, "") + section.html
        else:
            extra.append(section)
    return slots, extra


def _prose(html: str, linker: Linker) -> str:
    return f'<div class="prose" dir="auto">{linker.linked(html)}</div>\n' if html else ""


def _named(pattern: str, section: Section, linker: Linker) -> str:
    def put(mark: re.Match[str]) -> str:
        if mark[0] == WORDS:
            return _prose(section.html, linker)
        return escape(section.id if mark[0] == ID else section.title)

    return re.sub("|".join(map(re.escape, (ID, TITLE, WORDS))), put, pattern)
