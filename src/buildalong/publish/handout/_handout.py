"""The handouts of a lesson: learner's booklet, teacher's edition, the board at true scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from buildalong.exercise import Exercise, choose
from buildalong.finding import Finding
from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish._pictures import Pictures
from buildalong.publish._view import Page
from buildalong.publish.handout import _words as words
from buildalong.publish.handout._booklet import Material
from buildalong.publish.handout._poster import POSTER_PAPERS, poster_pdf
from buildalong.publish.handout._setting import Setting, setting_of
from buildalong.publish.handout._sheets import sheets_pdf
from buildalong.publish.handout._shelf import Shelf
from buildalong.publish.handout._spoken import spoken
from buildalong.publish.handout._teacher import teacher_data
from buildalong.words import say
from buildalong.worksheet import worksheets

__all__ = [
    "EDITIONS", "PAPERS", "Edition", "Handouts", "Paper", "booklet_pdf", "booklet_setting", "editions_on",
    "handouts", "material_of",
]  # fmt: skip

Edition = Literal["learner", "teacher", "poster"]
Paper = Literal["a4", "letter", "a5-booklet", "a3", "a2"]
EDITIONS: tuple[Edition, ...] = get_args(Edition)
PAPERS: tuple[Paper, ...] = get_args(Paper)
BOOKLET_PAPERS: tuple[Paper, ...] = ("a4", "letter", "a5-booklet")
PUZZLES = 2
"""Boards with a slip in a booklet, where the build has mistakes that fit."""


@dataclass(frozen=True)
class Handouts:
    """Files by name, and what could not be printed as it was written."""

    files: dict[str, bytes]
    findings: tuple[Finding, ...] = ()


def editions_on(paper: Paper, compiled: Compiled) -> tuple[Edition, ...]:
    """The editions of a lesson that are made on this paper; without a board there is no poster."""
    booklets: tuple[Edition, ...] = ("learner", "teacher") if paper in BOOKLET_PAPERS else ()
    return (*booklets, "poster") if paper in POSTER_PAPERS and compiled.layout else booklets


def material_of(
    compiled: Compiled, pictures: Pictures, guide: Guide | None = None, page: Page | None = None
) -> Material:
    """What a handout is made from: the first worksheet of the lesson, and boards with a slip to find.

    ``page`` is the article where it is set out already.
    """
    lesson = compiled.lesson
    made = worksheets(compiled.circuit, lesson.trials, 1) if lesson.trials else ()
    puzzles = _puzzles(compiled, guide) if guide else ()
    return Material(compiled, pictures, guide, made[0] if made else None, puzzles, page)


def _puzzles(compiled: Compiled, guide: Guide) -> tuple[Exercise, ...]:
    """As many boards with a slip as the build has, up to the usual number."""
    for count in range(PUZZLES, 0, -1):
        try:
            return choose(guide, compiled.steps, count)
        except ValueError:
            continue
    return ()


def handouts(
    material: Material, editions: Sequence[Edition], paper: Paper = "a4", scale: int | None = None
) -> Handouts:
    """Make editions on one kind of paper: file name -> PDF, "learner-a4.pdf".

    ``scale`` enlarges the board of the poster by a whole factor; without it, true scale on sheets of the
    desk and as large as fits on A3 and A2.  On "a5-booklet" an edition comes as pages of A5 and as sheets of
    A4 to be folded.  Raises ValueError for an edition that is not made on this paper.
    """
    lesson = material.compiled.lesson
    files: dict[str, bytes] = {}
    findings: list[Finding] = []
    for edition in editions:
        if edition not in editions_on(paper, material.compiled):
            raise ValueError(f"the {edition} edition is not made on {paper}")
        name = f"{edition}-{paper.removesuffix('-booklet')}"
        if edition == "poster":
            files[f"{name}.pdf"] = poster_pdf(material, paper, scale)
            continue
        pages, found = booklet_pdf(material, paper.removesuffix("-booklet"), teacher=edition == "teacher")
        files[f"{name}.pdf"] = pages
        findings += [finding for finding in found if finding not in findings]
        if paper == "a5-booklet":
            files[f"{name}-sheets.pdf"] = sheets_pdf(pages, lesson.title, lesson.language)
    return Handouts(files, tuple(findings))


def booklet_pdf(
    material: Material, paper: str, *, teacher: bool = False
) -> tuple[bytes, tuple[Finding, ...]]:
    """One edition of the booklet as PDF/UA-1 on "a4", "letter" or "a5", and what cannot be printed."""
    return booklet_setting(material, paper, teacher=teacher).filled(material.compiled.prose)


def booklet_setting(material: Material, paper: str, *, teacher: bool = False) -> Setting:
    """One edition of the booklet, into which the author's words can be put."""
    booklet, common = material.booklet
    shelf = Shelf(dict(common.files))
    lesson = material.compiled.lesson
    data = {
        "paper": {"a4": "a4", "letter": "us-letter", "a5": "a5"}[paper],
        "language": lesson.language,
        "edition": say(words.EDITIONS["teacher" if teacher else "learner"]),
        "cover_words": spoken(words.COVER),
        "booklet": booklet,
        "teacher": teacher_data(material, shelf) if teacher else None,
    }
    return setting_of(data, shelf, lesson.prose_file)
