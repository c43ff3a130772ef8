"""The learner's booklet as plain values: the sections of the article, with their pictures, for paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from buildalong.drawing import Picture, part_icon, tilted_picture
from buildalong.exercise import Exercise
from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish._exercise_pages import slip_picture
from buildalong.publish._pictures import Pictures
from buildalong.publish._rows import rows_of
from buildalong.publish._sections import page_of
from buildalong.publish._trials import Inner
from buildalong.publish._view import CauseView, FaultView, Page, SectionView, SlipView, StepView, TrialView
from buildalong.publish.handout import _words as words
from buildalong.publish.handout._glossary import glossary_of
from buildalong.publish.handout._shelf import Shelf
from buildalong.publish.handout._spoken import spoken
from buildalong.publish.handout._tree import tree_of
from buildalong.words import behind_colon, say, say_many
from buildalong.worksheet import Sheet

__all__ = ["Data", "Material"]

Data = dict[str, object]
AT_STEP = 1
"""Close-ups beside a step; the others stand with what is easily put in wrong."""


@dataclass(frozen=True)
class Material:
    """All that a handout is made from; ``guide``, ``sheet`` and ``puzzles`` may be missing.

    ``booklet`` is what both booklets have, laid out when it is first asked for, ``shelf`` its pictures.
    """

    compiled: Compiled
    pictures: Pictures
    guide: Guide | None = None
    sheet: Sheet | None = None
    puzzles: tuple[Exercise, ...] = ()
    page: Page | None = None

    @cached_property
    def booklet(self) -> tuple[Data, Shelf]:
        shelf = Shelf()
        return _laid_out(self, shelf), shelf


def _laid_out(material: Material, shelf: Shelf) -> Data:
    """Lay the booklet out but for the author's words; its pictures are put on the shelf.

    So many close-ups stand beside a step; the others with what is easily put in wrong.
    """
    compiled, pictures = material.compiled, material.pictures
    page = material.page or page_of(compiled, pictures, material.guide)
    return {
        "title": page.title,
        "summary": page.summary,
        "facts": [list(fact) for fact in page.facts],
        "cover": shelf.add(_cover(material)),
        "words": spoken(words.BOOKLET),
        "sections": [_section(s, material, shelf) for s in page.sections],
        "questions": _questions(material.sheet),
        "puzzles": list(_puzzles(material, shelf)),
        "glossary": [[word.term, word.text] for word in glossary_of(compiled)],
        "sources": [list(source) for source in page.sources],
        "symbols": page.symbols_note,
    }


def _cover(material: Material) -> Picture | None:
    """The finished board without a word in it, so that it may have any size."""
    compiled, variant = material.compiled, material.pictures.variant
    if material.pictures.tilted is None or compiled.layout is None:
        return None
    return tilted_picture(
        compiled.circuit, compiled.layout, view=variant.view, tone=variant.tone, labels=False
    )


def _section(section: SectionView, material: Material, shelf: Shelf) -> Data:
    """What every section has, and what its kind brings."""
    pictures = material.pictures
    kind: Data = {}
    match section.kind, section.id:
        case "plate", "the-circuit":
            kind = {"plates": _plates(section, [pictures.schematic], shelf)}
        case "plate", _:
            kind = {"plates": _plates(section, [pictures.board], shelf)}
        case "parts", _:
            kind = _parts(section, material, shelf)
        case "cautions", _:
            kind = {
                "cautions": [
                    [about and say(words.ABOUT, name=about), told] for about, told in section.cautions
                ]
            }
        case "formula", _:
            kind = {"shapes": _formulas(section)}
        case "story", _:
            names = zip(material.compiled.runs, section.trials, strict=True)
            kind = {"trials": [_trial(name, view, pictures, shelf) for name, view in names]}
        case "build", _:
            done = [picture for picture in (pictures.nets, pictures.tilted) if picture]
            kind = {
                "note": section.note,
                "steps": [_step(step, pictures, shelf) for step in section.steps],
                "plates": _plates(section, done, shelf),
            }
        case "see", _:
            kind = {"promises": [[p.says, p.expected, p.measured] for p in section.promises]}
        case "find", _:
            kind = {
                "note": section.note,
                "faults": [_fault(fault) for fault in section.faults],
                "fewer": bool(section.symptoms or any(fault.left for fault in section.faults)),
            }
        case "wrong", _:
            kind = _slips(section, pictures, shelf)
    return {
        "id": section.id, "title": section.title, "kind": section.kind, "slot": section.slot,
        "optional": section.optional, "prose": [], **kind,
    }  # fmt: skip


def _plates(section: SectionView, shown: Sequence[Picture | None], shelf: Shelf) -> list[Data]:
    return [
        {"picture": shelf.add(picture), "caption": plate.caption}
        for picture, plate in zip(shown, section.plates, strict=False)
        if picture is not None
    ]


def _parts(section: SectionView, material: Material, shelf: Shelf) -> Data:
    also = words.ALSO_WIRES if section.wires else words.ALSO
    groups = zip(rows_of(material.compiled.circuit), section.rows, strict=True)
    return {
        "rows": [
            {
                "name": view.name,
                "references": view.references,
                "pieces": _pieces(len(row.parts)),
                "marking": getattr(view, "marking", ""),
                "note": getattr(view, "note", ""),
                "picture": shelf.add(part_icon(row.parts[0], words=False)),
            }
            for row, view in groups
        ],
        "also": say(also, board=section.board, wires=section.wires),
    }


def _pieces(count: int) -> str:
    return say_many(words.PIECES, count, count=count) if count > 1 else ""


def _formulas(section: SectionView) -> list[Data]:
    return [
        {
            "title": entry.title,
            "about": entry.about,
            "formulas": [
                {
                    "title": f.title, "math": tree_of(f.mathml), "text": f.text, "note": f.note,
                    "ideal": f.ideal, "measured": f.measured, "why": f.why,
                    "source": say(words.SOURCE, source=f.source),
                }
                for f in entry.formulas
            ],
        }
        for entry in section.entries
    ]  # fmt: skip


def _trial(name: str, view: TrialView, pictures: Pictures, shelf: Shelf) -> Data:
    found = pictures.trials.waveforms
    shown = [found[name, seen] for seen in ("", "closer") if (name, seen) in found]
    inside = [found for (trial, _), found in pictures.trials.inside.items() if trial == name]
    return {
        "title": view.title,
        "sentences": [[told.mark, told.text] for told in view.sentences],
        "plates": [
            {"picture": shelf.add(picture), "caption": plate.caption}
            for picture, plate in zip(shown, view.plates, strict=True)
        ],
        "inside": [
            {
                "title": part.title,
                "about": part.about,
                "looks": [[shelf.add(look.picture), look.mark, look.caption] for look in _told(looks)],
            }
            for part, looks in zip(view.inside, inside, strict=True)
        ],
    }


def _told(looks: Sequence[Inner]) -> Sequence[Inner]:
    """The looks at which something switches; all of them where that leaves fewer than two."""
    marked = [look for look in looks if look.mark]
    return marked if len(marked) > 1 else looks


def _slips(section: SectionView, pictures: Pictures, shelf: Shelf) -> Data:
    """What is easily put in wrong, and the close-ups for which there was no room at their steps."""
    rest = [(number, each) for number, shown in pictures.closeups.items() for each in shown[AT_STEP:]]
    return {
        "slips": [[r.name, r.references, list(r.slips)] for r in section.rows if isinstance(r, SlipView)],
        "closeups": [[say(words.STEP, number=number), shelf.add(each)] for number, each in rest],
    }


def _step(step: StepView, pictures: Pictures, shelf: Shelf) -> Data:
    return {
        "number": step.number, "label": say(words.STEP, number=step.number), "title": step.title,
        "text": step.text, "callout": step.callout,
        "why": step.why, "check": step.check, "items": list(step.items), "cautions": list(step.cautions),
        "twice": list(step.twice),
        "picture": shelf.add(pictures.steps.get(step.number)),
        "closeups": [shelf.add(picture) for picture in pictures.closeups.get(step.number, ())[:AT_STEP]],
    }  # fmt: skip


def _fault(fault: FaultView) -> Data:
    return {
        "title": fault.title, "first": fault.first, "danger": fault.danger,
        "causes": [_cause(cause) for cause in fault.causes],
    }  # fmt: skip


def _cause(cause: CauseView) -> Data:
    return {
        "what": cause.what, "look": cause.look, "reading": " ".join(cause.reading), "cure": cause.cure,
        "danger": cause.danger, "step": say(words.AT_STEP, number=cause.step) if cause.step else "",
    }  # fmt: skip


def _questions(sheet: Sheet | None) -> Data | None:
    if sheet is None or not sheet.questions:
        return None
    return {"values": [list(pair) for pair in sheet.values], "questions": [q.text for q in sheet.questions]}


def _puzzles(material: Material, shelf: Shelf) -> Iterator[Data]:
    if material.guide is None:
        return
    for each in material.puzzles:
        yield {
            "title": say(words.PUZZLE, number=each.number),
            "seen": say(words.SEEN, symptom=behind_colon(each.symptom)),
            "picture": shelf.add(slip_picture(material.guide, each, material.pictures.variant)),
        }
