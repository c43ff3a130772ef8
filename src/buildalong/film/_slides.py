"""Slides: one idea each, from the same scenes as the film, with what is said as notes for the speaker."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from markupsafe import Markup

from buildalong.drawing import Picture, closeup, part_picture, waveforms
from buildalong.drawing.screen import parts_table
from buildalong.film import _words as words
from buildalong.film._scenes import called, shown_rows, storyboard, telling
from buildalong.film._shows import Shows, just_after, paged
from buildalong.film._storyboard import Moment, Scene
from buildalong.guide import Guide
from buildalong.lesson import Compiled, in_its_language
from buildalong.publish import (
    crop_of_steps,
    fonts,
    formula_view,
    schematic_picture_of,
    shared_once,
    step_picture,
    templates,
    text_of,
    variant_of,
)
from buildalong.store import Store
from buildalong.words import behind_colon, say

__all__ = ["Slide", "slides", "slides_html"]

HERE = "buildalong.film"
MOST_FORMULAS, MOST_BEATS = 3, 4
"""Formulas and beats of the story that have a slide; the rest is in the article."""


@dataclass(frozen=True, slots=True)
class Slide:
    """One slide: ``svg`` beside the words, ``math`` is MathML, ``notes`` are for the speaker."""

    title: str
    kind: str
    text: str = ""
    points: tuple[str, ...] = ()
    callout: str = ""
    svg: str = ""
    math: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    number: int = 0
    notes: tuple[str, ...] = ()


@in_its_language
def slides(
    compiled: Compiled,
    tell: Callable[[float, str], None] = lambda share, text: None,
    store: Store | None = None,
    guide: Guide | None = None,
) -> tuple[Slide, ...]:
    """The slides of a lesson, in order; a ``guide`` brings dangers to the steps."""
    deck = _Deck(compiled, store)
    board = storyboard(compiled, deck.variant, guide)
    out: list[Slide] = []
    for number, scene in enumerate(board.scenes):
        tell(number / len(board.scenes), f"slide: {scene.title}")
        out += deck.of(scene)
    return tuple(replace(slide, svg=_unique(slide.svg, at)) for at, slide in enumerate(out, start=1))


class _Deck:
    def __init__(self, compiled: Compiled, store: Store | None) -> None:
        self.compiled, self.store = compiled, store
        self.circuit, self.lesson = compiled.circuit, compiled.lesson
        self.variant = variant_of(compiled.lesson)
        self.shows = Shows(compiled, self.variant)
        self.steps = {step.number: step for step in compiled.steps}

    def of(self, scene: Scene) -> Iterator[Slide]:
        """The slides of a scene."""
        plain = Slide(scene.title, scene.kind, scene.text, scene.points, scene.callout, notes=scene.says)
        if scene.step:
            yield from self._step(replace(plain, title=scene.title.partition(". ")[2]), scene)
        elif scene.kind == "title":
            yield replace(plain, svg=self.shows.glowing().svg)
        elif scene.kind == "parts":
            rows, rest = shown_rows(self.circuit)
            table = parts_table([(row.parts[0], called(row), row.name) for row in rows], rest)
            yield replace(plain, points=(), svg=table.svg)
        elif scene.kind == "cautions":
            pages = paged(scene.points)
            for index, page in enumerate(pages):
                told = replace(plain, text="", notes=()) if index else plain
                yield replace(told, points=page)
            yield from self._circuit()
        elif scene.kind == "work":
            picture = waveforms(self.compiled.runs[scene.trial], layout=self.compiled.layout)
            yield replace(plain, points=(), rows=self._promises(scene), svg=picture.svg)
        elif scene.kind == "how":
            yield from self._story(scene)
            yield from self._formulas()
        elif scene.kind == "wrong":
            yield from (self._slip(moment) for moment in scene.moments)
        else:
            yield replace(plain, svg=self.shows.glowing().svg)

    def _step(self, plain: Slide, scene: Scene) -> Iterator[Slide]:
        step = self.steps[scene.step]
        if self.compiled.layout is None:
            return
        picture = step_picture(self.circuit, step, crop_of_steps(self.compiled.layout), self.variant)
        pages = paged(scene.points) or [()]
        for index, page in enumerate(pages):
            notes = scene.says if not index else ()
            if step.check and not scene.points and not index:
                notes = (*notes, say(words.LOOK, check=behind_colon(self.variant.words(step.check))))
            yield replace(plain, number=step.number, points=page, svg=picture.svg, notes=notes)

    def _circuit(self) -> Iterator[Slide]:
        if self.circuit.parts:
            svg = schematic_picture_of(self.lesson, self.store).svg
            yield Slide(say(words.TITLE_CIRCUIT), "diagram", svg=svg, notes=(say(words.CIRCUIT_NOTE),))

    def _promises(self, scene: Scene) -> tuple[tuple[str, str], ...]:
        return tuple(
            (says, value.rstrip(".")) for says, _, value in (p.rpartition(": ") for p in scene.points)
        )

    def _story(self, scene: Scene) -> Iterator[Slide]:
        motion = self.shows.work(scene.trial)
        for index, beat in enumerate(telling(self.compiled, scene.trial, MOST_BEATS), start=1):
            picture = motion.at(just_after(motion, beat.time))
            title = say(words.BEAT, title=scene.title, number=index)
            yield Slide(title, "diagram", text=beat.text, svg=picture.svg)

    def _formulas(self) -> Iterator[Slide]:
        for entry in self.compiled.sheet[:MOST_FORMULAS]:
            view = formula_view(self.compiled, entry)
            rows = [(say(words.BY_FORMULA), view.ideal)]
            if view.measured:
                rows.append((say(words.REAL_PARTS), view.measured))
            notes = (view.text, view.note)
            yield Slide(view.title, "formula", math=view.mathml, rows=tuple(rows), text=view.why, notes=notes)

    def _slip(self, moment: Moment) -> Slide:
        part = self.circuit.by_id[moment.part]
        picture: Picture | None = None
        if self.compiled.layout is not None:
            for slip in part.type.slips:
                if slip.kind == moment.slip:
                    view, tone = self.variant.view, self.variant.tone
                    picture = closeup(self.circuit, self.compiled.layout, part.id, slip, view=view, tone=tone)
        return Slide(
            say(words.SLIP, part=called_type(part.id, part.type.noun)), "wrong", text=moment.text,
            svg=(picture or part_picture(part)).svg, notes=(say(words.SAFE),),
        )  # fmt: skip


def called_type(part: str, noun: str) -> str:
    """A part with what it is: "U1, the timer"."""
    return say(words.THE, part=part, noun=say(noun))


def _unique(svg: str, number: int) -> str:
    """A picture with ids of its own: the same picture on two slides would have the same."""
    found = re.search(r'aria-labelledby="(p[0-9a-f]{8})-', svg)
    return svg.replace(f"{found[1]}-", f"{found[1]}s{number}-") if found else svg


@in_its_language
def slides_html(compiled: Compiled, made: tuple[Slide, ...]) -> str:
    """The slides as one HTML document that needs no other file and no network."""
    script = text_of("slides.js", HERE)
    page = (
        templates(HERE)
        .get_template("slides.html")
        .render(
            title=compiled.lesson.title,
            language=compiled.lesson.language,
            slides=made,
            words=words,
            fonts=Markup(fonts()),  # noqa: S704 - our own files
            style=Markup(text_of("slides.css", HERE)),  # noqa: S704 - our own file
            script=Markup(script),  # noqa: S704 - our own file
            script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
        )
    )
    return shared_once(page)
