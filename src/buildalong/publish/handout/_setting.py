"""A booklet but for the author's words, which can be kept; and setting it with the words of today."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson import Section
from buildalong.publish._frame import shared_out
from buildalong.publish._typeset import typeset, typeset_pages, unprintable
from buildalong.publish.handout import _words as words
from buildalong.publish.handout._shelf import Shelf
from buildalong.publish.handout._timing import in_whole, minutes_to_read
from buildalong.publish.handout._tree import Node, tree_of
from buildalong.words import language, numeral, say, speaking

__all__ = ["Setting", "setting_of"]


@dataclass(frozen=True, slots=True)
class Setting:
    """``data`` of the template as JSON, ``drawings`` (file name -> SVG).

    ``prose_file`` is what findings call the author's file, ``language`` what the booklet speaks.
    """

    data: str
    drawings: Mapping[str, str]
    prose_file: str
    language: str

    def filled(self, prose: Sequence[Section]) -> tuple[bytes, tuple[Finding, ...]]:
        """The booklet with these words as PDF/UA-1, and what of them cannot be printed."""
        data, files, unseen = self._with(prose)
        return typeset("booklet", data, files), tuple(self._findings(unseen))

    def pages(self, prose: Sequence[Section]) -> tuple[bytes, ...]:
        """The booklet with these words as pages to look at on a screen, each an SVG."""
        data, files, _ = self._with(prose)
        return typeset_pages("booklet", data, files)

    def _with(self, prose: Sequence[Section]) -> tuple[dict[str, Any], dict[str, bytes], list[str]]:
        """The data with these words, all pictures by name, and why some cannot be printed."""
        data = json.loads(self.data)
        shelf, unseen = Shelf(), list[str]()

        def raster(content: bytes) -> str:
            why = unprintable(content)
            if why:
                unseen.append(why)
            return "" if why else shelf.raster(content)

        with speaking(self.language):
            _put_in(data, prose, lambda html: tree_of(html, raster))
        drawings = {name: svg.encode() for name, svg in self.drawings.items()}
        return data, {**drawings, **shelf.files}, unseen

    def _findings(self, unseen: Sequence[str]) -> Iterator[Finding]:
        for why in dict.fromkeys(unseen):
            yield Finding(
                Severity.WARNING,
                "picture-not-printed",
                f"a picture of the words cannot be printed ({why}); its text stands in its place",
                "save the picture anew as PNG",
                Place(self.prose_file),
            )


def setting_of(data: Mapping[str, Any], shelf: Shelf, prose_file: str) -> Setting:
    """Keep a booklet's data and drawings; no picture of the author's is among them yet."""
    drawings = {name: content.decode() for name, content in shelf.files.items()}
    return Setting(json.dumps(data, ensure_ascii=False), drawings, prose_file, language())


def _put_in(data: dict[str, Any], prose: Sequence[Section], read: Any) -> None:
    """Put the words where the article has them, and what is left over into sections of their own."""
    sections = data["booklet"]["sections"]
    slots, extra = shared_out(prose, {section["slot"] for section in sections})
    for section in sections:
        section["prose"] = read(slots.get(section["slot"], ""))
    kept = [section for section in sections if section["prose"] or not section["optional"]]
    kept += [{"kind": "words", "title": each.title, "prose": read(each.html)} for each in extra]
    data["booklet"]["sections"] = kept
    if data["teacher"] is not None:
        early = [section["prose"] for section in kept if section["kind"] in ("plate", "story")]
        _add_reading(data["teacher"]["times"], sum(_count(node) for nodes in early for node in nodes))


def _add_reading(times: dict[str, Any], count: int) -> None:
    """Add to the first stage so many words to read, and sum up."""
    (first, minutes), *rest = times["stages"]
    whole, total = in_whole([(first, minutes + minutes_to_read(count)), *rest])
    times["stages"] = [[name, numeral(str(minutes))] for name, minutes in whole]
    times["total"][1] = say(words.TIMES_TOTAL, minutes=total)


def _count(node: Node) -> int:
    """The words in a tree."""
    return len(node.split()) if isinstance(node, str) else sum(map(_count, node["body"]))
