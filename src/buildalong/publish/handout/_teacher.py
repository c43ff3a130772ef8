"""What the teacher's edition has besides the booklet, as plain values."""

from __future__ import annotations

from buildalong.kit import Kit, Session, kit
from buildalong.publish import _class_words as class_words
from buildalong.publish._cautions import cautions_of
from buildalong.publish._fault_plan import fault_plan
from buildalong.publish._kit_sheets import label_of
from buildalong.publish._rows import unsaid
from buildalong.publish._worksheet_pages import answer_of
from buildalong.publish.handout import _words as words
from buildalong.publish.handout._booklet import Data, Material
from buildalong.publish.handout._shelf import Shelf
from buildalong.publish.handout._spoken import spoken
from buildalong.publish.handout._timing import RATES, Times, times_of
from buildalong.words import numeral, said, say, with_unit

__all__ = ["teacher_data"]

CLASSES = (1, 10, 20, 30)
"""Learners that parts are counted for."""


def teacher_data(material: Material, shelf: Shelf) -> Data:
    """Times, parts for a class, cautions, answers, the fault-finding plan, a label for the bags."""
    compiled = material.compiled
    session = Session(compiled.lesson.title, compiled.circuit, compiled.layout)
    kits = [kit([session], learners) for learners in CLASSES]
    variant = material.pictures.variant
    return {
        "words": spoken(words.TEACHER),
        "keep": say(words.FACTS_FOR),
        "times": _times(material, kits[0]),
        "class": _class(kits),
        "own": [say(caution) for caution in words.CAUTIONS_CLASS],
        "cautions": [
            [about and say(words.ABOUT, name=about), told] for about, told in cautions_of(compiled.circuit)
        ],
        "answers": [answer_of(question) for question in material.sheet.questions] if material.sheet else [],
        "puzzles": [
            {
                "title": say(words.ABOUT, name=say(words.PUZZLE, number=each.number)),
                "answer": variant.words(each.answer),
                "cure": each.cure,
                "step": say(words.AT_STEP, number=each.step) if each.step else "",
            }
            for each in material.puzzles
        ],
        "plan": fault_plan(compiled, material.guide, variant) if material.guide else None,
        "label": label_of(kits[0].bags[0], shelf.files),
        "bag": say(words.BAG),
        "heads": said(class_words.LABEL_HEADS),
    }


def _times(material: Material, one: Kit) -> Data:
    compiled = material.compiled
    questions = len(material.sheet.questions) if material.sheet else 0
    times = times_of(
        compiled.steps, compiled.lesson.trials,
        words=sum(len(told.text.split()) for story in compiled.stories.values() for told in story),
        pieces=sum(line.for_one for line in one.lines),
        questions=questions + len(material.puzzles),
    )  # fmt: skip
    titles = {step.number: step.title for step in map(material.pictures.variant.step, compiled.steps)}
    author = say(words.TIMES_AUTHOR, time=compiled.lesson.time) if compiled.lesson.time else ""
    return {
        "stages": [[say(words.STAGES[name]), minutes] for name, minutes in times.stages],
        "total": [say(words.TOTAL), ""],
        "author": author,
        "about": say(
            words.TIMES_ABOUT, words=f"{RATES.words:g}", seek=f"{RATES.seek:g}", place=f"{RATES.place:g}",
            look=f"{RATES.look:g}", own=f"{RATES.own:g}", question=f"{RATES.question:g}",
            mend=with_unit(f"{RATES.mend * 100:g}", "%"), tidy=f"{RATES.tidy:g}",
        ),
        "steps": _steps(times, titles),
    }  # fmt: skip


def _steps(times: Times, titles: dict[int, str]) -> list[list[str]]:
    return [[str(number), titles[number], numeral(f"{minutes:g}")] for number, minutes in times.steps]


def _class(kits: list[Kit]) -> list[list[str]]:
    """Each kind of part: its name with what is printed on it, for one learner, then with spares."""
    rows = []
    for lines in zip(*(each.lines for each in kits), strict=True):
        first = lines[0]
        counts = [str(first.for_one), *(str(line.needed + line.spares) for line in lines[1:])]
        rows.append([first.name, unsaid(first.mark, first.name), *counts])
    return rows
