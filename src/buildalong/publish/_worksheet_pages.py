"""Worksheets as a PDF: a page for each learner, answers with working, the marking sheet; and as CSV."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.drawing import Picture
from buildalong.publish import _class_words as words
from buildalong.publish._csv import spreadsheet
from buildalong.publish._typeset import typeset
from buildalong.quantity import format_quantity
from buildalong.words import language, said, say
from buildalong.worksheet import Question, Sheet

__all__ = ["answer_of", "worksheet_files"]


def worksheet_files(
    title: str, sheets: Sequence[Sheet], schematic: Picture | None = None
) -> dict[str, bytes]:
    """The files of a set of worksheets: ``worksheets.pdf`` and ``marking.csv``.

    ``schematic`` stands on every sheet, so it shows none of the values that differ.
    """
    pictures = {"schematic.svg": schematic.svg.encode()} if schematic is not None else {}
    named = say(words.WORKSHEET["sheet"])
    data = {
        "title": title,
        "language": language(),
        "words": said(words.WORKSHEET),
        "schematic": "schematic.svg" if schematic is not None else "",
        "schematic_alt": schematic.alt if schematic is not None else "",
        "sheets": [
            {
                "number": sheet.number,
                "title": say("{id}: {what}", id=title, what=f"{named} {sheet.number}"),
                "values": [list(pair) for pair in sheet.values],
                "questions": [answer_of(question) for question in sheet.questions],
            }
            for sheet in sheets
        ],
    }
    return {"worksheets.pdf": typeset("worksheet", data, pictures), "marking.csv": _marking(sheets)}


def answer_of(question: Question) -> dict[str, object]:
    """A question with its answer, the lines of its working, and how far off still counts as right."""
    return {
        "text": question.text, "answer": question.answer, "working": _worked(question),
        "accept": _accepted(question),
    }  # fmt: skip


def _worked(question: Question) -> list[str]:
    """The lines of the working; the steps of a formula stand in one, as they are equal."""
    steps = question.working
    return [" = ".join(steps)] if question.kind in ("formula", "current") else list(steps)


def _accepted(question: Question) -> str:
    """How far off a number still counts as right, "" where it must be exact or is no number."""
    return f"± {format_quantity(question.accept, '%')}" if question.accept >= 0.01 else ""


def _marking(sheets: Sequence[Sheet]) -> bytes:
    most = max((len(sheet.questions) for sheet in sheets), default=0)
    heads = (say(words.WORKSHEET["sheet"]), *range(1, most + 1))
    return spreadsheet(heads, ((s.number, *(q.answer for q in s.questions)) for s in sheets))
