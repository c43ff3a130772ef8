"""What machines read of an article: its preview when it is shared, and how to build it (schema.org)."""

from __future__ import annotations

import json
from collections.abc import Iterator

from buildalong.lesson import Compiled
from buildalong.publish import _words as words
from buildalong.publish._rows import rows_of
from buildalong.publish._view import Metadata
from buildalong.publish.handout._timing import in_whole, times_of
from buildalong.words import say

__all__ = ["THUMBNAIL", "data_of", "metadata_of"]

THUMBNAIL = "pictures/thumbnail.png"
REGIONS = {"en": "en_GB", "de": "de_DE", "es": "es_ES", "fr": "fr_FR"}


def metadata_of(compiled: Compiled, title: str, summary: str) -> Metadata:
    """The metadata of an article; addresses are relative where the lesson has no link."""
    lesson = compiled.lesson
    preview = [
        ("og:type", "article"),
        ("og:title", title),
        ("og:description", summary),
        ("og:locale", REGIONS.get(lesson.language, lesson.language.replace("-", "_"))),
        ("og:image", lesson.link + THUMBNAIL),
        ("og:image:alt", title),
    ]
    if lesson.link:
        preview.insert(0, ("og:url", lesson.link))
    links = {**({lesson.language: lesson.link} if lesson.link else {}), **lesson.links}
    return Metadata(
        tuple(preview), lesson.link, tuple(sorted(links.items())) if lesson.links else (),
        data_of(_how_to(compiled, title, summary)),
    )  # fmt: skip


def data_of(document: object) -> str:
    """JSON to stand in a script element: no text in it can end that element or begin a comment."""
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _how_to(compiled: Compiled, title: str, summary: str) -> dict[str, object]:
    lesson = compiled.lesson
    rows = rows_of(compiled.circuit)
    document: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "HowTo",
        "name": title,
        "description": summary,
        "inLanguage": lesson.language,
        "image": lesson.link + THUMBNAIL,
        "supply": [
            {"@type": "HowToSupply", "name": row.name, "requiredQuantity": len(row.parts)} for row in rows
        ],
        "tool": [{"@type": "HowToTool", "name": say(words.TOOL_BOARD, board=lesson.board.split("-")[0])}],
        "step": list(_steps(compiled)),
    }
    if compiled.steps:
        times = times_of(compiled.steps, lesson.trials, words=0, pieces=len(rows), questions=0)
        document["totalTime"] = f"PT{in_whole(times.stages)[1]}M"
    if lesson.authors:
        document["author"] = [{"@type": "Person", "name": name} for name in lesson.authors]
    if lesson.licence:
        document["license"] = lesson.licence
    return document


def _steps(compiled: Compiled) -> Iterator[dict[str, object]]:
    link = compiled.lesson.link
    for place, step in enumerate(compiled.steps, start=1):
        yield {
            "@type": "HowToStep",
            "position": place,
            "name": step.title,
            "text": step.text,
            "url": f"{link}#step-{step.number}",
            "image": f"{link}pictures/step-{step.number:02d}.png",
        }
