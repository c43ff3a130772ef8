"""Weaving changed words alone: what they ask for is known from the last time, or the lesson is compiled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from buildalong.finding import Finding, Place, Severity, Unreadable, by_severity
from buildalong.lesson._folder import Folder
from buildalong.lesson._images import read_images
from buildalong.lesson._lesson import CUT_SHORT, Basis, Figure, Lesson, Section
from buildalong.lesson._prose import weave
from buildalong.quantity import Quantity

if TYPE_CHECKING:
    from buildalong.lesson._figures import Figures

__all__ = ["Asked", "in_order", "not_told", "weave_again"]


class Asked:
    """Keeps what the words of a lesson ask for, with the answers."""

    def __init__(self, known: Mapping[str, Figure], figures: Figures) -> None:
        """``known``: the figures that stand without asking."""
        self.known, self.figures = known, figures
        self.answers: dict[str, tuple[str, str, Figure]] = {}

    def ask(self, text: str, place: Place) -> tuple[str, str] | Finding:
        """Answer as :meth:`Figures.ask` does."""
        answer = self.figures.ask(text, place)
        if not isinstance(answer, Finding):
            self.answers[text] = (*answer, self.figures.known[answer[1]])
        return answer

    def basis(self, lesson: Lesson, before: Sequence[Finding], on_words: Sequence[Finding]) -> Basis | None:
        """What other words can be woven from; None where there is an error, no words, or haste."""
        told = (*before, *on_words)
        if not lesson.prose or any(f.severity >= Severity.ERROR or f.code == CUT_SHORT for f in told):
            return None
        file = PurePath(lesson.prose_file).name
        of_words = {file, *lesson.images}
        trail = {question: answer for question, answer in lesson.trail.items()
                 if question.partition(" ")[2] not in of_words}  # fmt: skip
        return Basis(trail, file, self.known, self.answers, tuple(before), lesson.language)


class _UnknownError(Exception):
    """The words ask for what was not asked before."""


def weave_again(folder: Folder, basis: Basis) -> tuple[tuple[Section, ...], tuple[Finding, ...]] | None:
    """The lesson's words as they are now, and all findings of the lesson; equal to what compiling gives.

    None where only compiling can tell: something else has changed, the words ask for what is not known, or
    one of their pictures cannot be shown.
    """
    if not folder.answers(basis.trail) or not folder.has(basis.file):
        return None
    try:
        prose = folder.text(basis.file)
    except Unreadable:
        return None
    file = folder.shown(basis.file)
    images, wrong = read_images(folder, prose, file)
    if wrong or not prose:
        return None
    known = dict(basis.figures)

    def ask(text: str, place: Place) -> tuple[str, str]:
        if text not in basis.answers:
            raise _UnknownError
        shown, name, figure = basis.answers[text]
        known.setdefault(name, figure)
        return shown, name

    def value_of(part: str) -> Quantity | None:
        found = known.get(f"value({part})")
        return found.quantity if found else None

    try:
        sections, found = weave(prose, file, known, ask, images, value_of, language=basis.language)
    except _UnknownError:
        return None
    return sections, in_order([*basis.findings, *not_told(found, basis.findings)])


def not_told(found: Sequence[Finding], before: Sequence[Finding]) -> list[Finding]:
    """Findings on the words without what an error leaves unmeasured or a broken promise has said already."""
    told = {f.message for f in before}
    broken = any(f.severity >= Severity.ERROR for f in before)
    return [f for f in found if not (broken and f.code == "not-simulated") and f.message not in told]


def in_order(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Each finding once, worst first: the same fault may show in several checks and trials."""
    once: dict[tuple[str, str, Place | None], Finding] = {}
    for finding in findings:
        once.setdefault((finding.code, finding.message, finding.place), finding)
    return tuple(by_severity(list(once.values())))
