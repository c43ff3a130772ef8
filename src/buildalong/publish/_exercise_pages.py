"""Exercises in fault finding, as a page with folded answers and as a PDF with the answers at its end."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from buildalong.drawing import Picture, board_picture, rows_in_use, with_bends
from buildalong.exercise import Exercise
from buildalong.guide import Guide
from buildalong.lesson import Compiled, PromiseResult, in_its_language
from buildalong.publish._article import fonts, style_of, templates
from buildalong.publish._exercise_words import READINGS, WORDS
from buildalong.publish._rows import rows_of, unsaid
from buildalong.publish._shared import shared_once
from buildalong.publish._typeset import typeset
from buildalong.publish._variant import Variant, variant_of
from buildalong.quantity import format_quantity
from buildalong.words import behind_colon, language, said, say, say_many

__all__ = ["exercise_files", "slip_picture"]

WIDE, TALL = 174.0, 165.0
"""Room for a board on the printed page [mm]."""


@in_its_language
def exercise_files(
    compiled: Compiled, guide: Guide, exercises: Sequence[Exercise], schematic: Picture | None = None
) -> dict[str, bytes]:
    """The files of a set of exercises: ``exercises.html``, ``exercises.pdf`` and each board as SVG."""
    variant = variant_of(compiled.lesson)
    boards = {each.number: slip_picture(guide, each, variant) for each in exercises}
    entries = [_entry(each, variant, boards[each.number]) for each in exercises]
    should = [_should(result) for result in compiled.promises]
    parts = [(row.references, row.name, unsaid(row.mark, row.name)) for row in rows_of(compiled.circuit)]
    page = templates().get_template("exercises.html").render(
        title=compiled.lesson.title, language=compiled.lesson.language, words=said(WORDS), exercises=entries,
        boards={number: picture.svg for number, picture in boards.items()}, should=should, parts=parts,
        alts={number: picture.alt for number, picture in boards.items()},
        schematic=schematic.svg if schematic else "",
        style=style_of("faults.css", "exercises.css"),
        fonts=Markup(fonts()),  # noqa: S704 - our own files
    )  # fmt: skip
    pictures = {f"board-{number}.svg": picture.svg.encode() for number, picture in boards.items()}
    data = {
        "title": compiled.lesson.title, "language": language(), "words": said(WORDS), "exercises": entries,
        "should": should,
        "parts": [
            [named, say("{id}: {what}", id=name, what=mark) if mark else name] for named, name, mark in parts
        ],
        "alts": {str(number): picture.alt for number, picture in boards.items()},
        "schematic": "schematic.svg" if schematic else "",
        "schematic_alt": schematic.alt if schematic else "",
    }  # fmt: skip
    shown = {**pictures, **({"schematic.svg": schematic.svg.encode()} if schematic else {})}
    return {
        "exercises.html": shared_once(page).encode(),
        "exercises.pdf": typeset("exercises", data, shown),
        **pictures,
    }


def slip_picture(guide: Guide, each: Exercise, variant: Variant) -> Picture:
    """The board with its slip, labelled as it should be, without values."""
    right = guide.lab.layout
    first, last = rows_in_use(right)
    rows = (max(1, first - 2), min(right.board.rows, last + 2))
    return board_picture(
        each.circuit, with_bends(right, each.layout), muted=False, highlight_holes=False, values=False,
        crop=rows, view=variant.view, tone=variant.tone,
    )  # fmt: skip


def _should(result: PromiseResult) -> str:
    """What the lesson promises, with its value."""
    wanted = result.promise.expected
    value = format_quantity(wanted.value, wanted.unit, space="\u00a0")
    return f"{result.promise.says or result.promise.that} ({value})"


def _entry(each: Exercise, variant: Variant, board: Picture) -> dict[str, object]:
    count = say_many(READINGS, each.readings, count=each.readings)
    return {
        "number": each.number,
        "symptom": behind_colon(each.symptom),
        "level": f"{say(WORDS[each.level])} ({count})",
        "hint": variant.words(each.hint),
        "answer": variant.words(each.answer),
        "cure": each.cure,
        "step": each.step,
        "found": [[variant.words(text), variant.words(answer)] for text, answer in each.found],
        "board": f"board-{each.number}.svg",
        "tall": min(TALL, WIDE * board.height / board.width),
    }
