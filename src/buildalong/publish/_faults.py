"""The fault finder: the guide of a lesson, set out for the article and for a page of its own."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from markupsafe import Markup

from buildalong.circuit import Part, bands_on
from buildalong.drawing import part_picture, slip_closeup
from buildalong.guide import QUIET, Cause, Check, Guide, Reading, Symptom, guide_of
from buildalong.lesson import Compiled
from buildalong.publish import _fault_words as words
from buildalong.publish._shared import shared_once
from buildalong.publish._variant import Variant, variant_of
from buildalong.publish._view import CauseView, FaultView
from buildalong.store import Store
from buildalong.trace import volts_words
from buildalong.words import behind_colon, capital, inside, say

__all__ = ["faults_html", "faults_view", "guide_for", "twice_words"]

IN_ARTICLE = (10, 3)
"""Symptoms in the article, and causes of each."""
ON_PAGE = 5
"""Causes of each symptom that are told in full on the page of its own."""
PICTURES = (24, 3)
"""Close-ups on that page, and of one symptom."""
PRINTED = ("wrong-decade", "read-backwards", "code-misread")
"""Kinds of mistakes that only what is printed on a part shows."""


def guide_for(
    compiled: Compiled, store: Store | None = None, progress: Callable[[float, str], None] | None = None
) -> Guide | None:
    """The guide of a compiled lesson; None where it has no board or nothing is ever seen of it."""
    from buildalong.mistakes import laboratory

    if compiled.layout is None or not compiled.lesson.trials:
        return None
    lab = laboratory(
        compiled.circuit, compiled.layout, compiled.lesson.trials,
        wishes=compiled.lesson.wishes, store=store, progress=progress,
    )  # fmt: skip
    return guide_of(lab, compiled.steps) if lab.outcomes and lab.lights else None


def faults_view(guide: Guide, variant: Variant) -> tuple[FaultView, ...]:
    """The short form for the article: the likeliest symptoms, each with its likeliest causes."""
    most, causes = IN_ARTICLE
    seen = [symptom for symptom in guide.symptoms if symptom.kind not in QUIET]
    return tuple(_fault(symptom, causes, variant) for symptom in seen[:most])


def twice_words(checks: Sequence[Check], variant: Variant) -> tuple[str, ...]:
    """What to look at twice before the supply goes on."""
    out = []
    for check in checks:
        wire = check.subject.startswith("wire ")
        what = capital(check.right) if wire else say(words.OF, id=check.subject, what=check.right)
        step = say(words.TWICE_STEP, step=check.step) if check.step else ""
        out.append(variant.words(say(words.TWICE, what=what, step=step, why=check.why)))
    return tuple(out)


def faults_html(compiled: Compiled, guide: Guide, variant: Variant | None = None) -> str:
    """Write the fault finder as one HTML document that needs no other file and no script."""
    from buildalong.publish._article import fonts, style_of, templates

    variant = variant or variant_of(compiled.lesson)
    shown = _Pictures(guide, variant)
    faults = tuple(_fault(symptom, ON_PAGE, variant, shown) for symptom in guide.symptoms)
    page = templates().get_template("faults.html")
    return shared_once(
        page.render(
            title=compiled.lesson.title, language=compiled.lesson.language, faults=faults, words=words,
            twice=twice_words(guide.checks, variant), steps="index.html",
            measured=any(cause.reading for fault in faults for cause in fault.causes),
            style=style_of("faults.css"),
            fonts=Markup(fonts()),  # noqa: S704 - our own files
        )
    )  # fmt: skip


class _Pictures:
    """Close-ups of slips: each once, as many as the page bears."""

    def __init__(self, guide: Guide, variant: Variant) -> None:
        self.guide, self.variant, self.left = guide, variant, PICTURES[0]
        self.by_id = {outcome.mistake.id: outcome.mistake for outcome in guide.lab.outcomes}
        self.told: set[str] = set()
        self.pairs = 0

    def pair(self, cause: Cause) -> tuple[str, str] | None:
        """The right and the wrong part of the likeliest slip, where only their bands or codes differ."""
        mistake = self.by_id[cause.ways[0].mistake]
        if self.left <= 0 or mistake.kind not in PRINTED:
            return None
        name = mistake.subjects[0]
        parts = [circuit.by_id.get(name) for circuit in (self.guide.lab.circuit, mistake.circuit)]
        drawn = [part_picture(part) for part in parts if part is not None and _printed(part)]
        if len(drawn) < 2 or drawn[0].svg == drawn[1].svg:
            return None
        self.left -= 1
        self.pairs += 1
        first, second = (
            re.sub(r"\bp([0-9a-f]{8}-)", rf"{side}{self.pairs}-\1", picture.svg)
            for side, picture in zip("rw", drawn, strict=True)
        )
        return first, second

    def of(self, cause: Cause) -> str:
        """The close-up of the likeliest slip that can be shown; "" where there is none."""
        lab, variant = self.guide.lab, self.variant
        for way in cause.ways:
            if self.left <= 0 or way.mistake in self.told or len(way.subjects) != 1:
                continue
            mistake = self.by_id[way.mistake]
            picture = slip_closeup(
                lab.circuit, lab.layout, mistake.layout, way.subjects[0], variant.words(way.what),
                danger=bool(cause.danger), view=variant.view, tone=variant.tone,
            )  # fmt: skip
            if picture is not None and not mistake.comes_and_goes:
                self.told.add(way.mistake)
                self.left -= 1
                return picture.svg
        return ""


def _printed(part: Part) -> bool:
    """Whether bands or a code on a part tell its value."""
    return bool(bands_on(part)) or part.type.marking.kind == "code"


def _fault(symptom: Symptom, most: int, variant: Variant, pictures: _Pictures | None = None) -> FaultView:
    from buildalong.mistakes import DANGERS

    causes, rest = symptom.causes[:most], symptom.causes[most:]
    views = tuple(
        _cause(cause, variant, pictures if place < PICTURES[1] else None)
        for place, cause in enumerate(causes)
    )
    others: dict[str, dict[str, None]] = {}
    for cause in rest if pictures else ():
        for way in cause.ways:
            name = " + ".join(capital(_called(name)) for name in way.subjects)
            others.setdefault(name, {})[variant.words(way.what)] = None
    danger = say(DANGERS.get(symptom.danger, ""))
    if danger and not all(cause.danger for cause in symptom.causes):
        danger = say(words.SOME, danger=inside(danger))
    return FaultView(
        symptom.id, symptom.title, behind_colon(symptom.first), danger, views,
        tuple((name, tuple(ways)) for name, ways in sorted(others.items())), 0 if pictures else len(rest),
    )  # fmt: skip


def _called(subject: str) -> str:
    """A part by its id, a wire by its number."""
    wire, _, number = subject.partition(" ")
    return say(words.WIRE, number=number) if wire == "wire" and number else subject


def _cause(cause: Cause, variant: Variant, pictures: _Pictures | None) -> CauseView:
    from buildalong.mistakes import DANGERS

    ways = tuple(dict.fromkeys(variant.words(way.what) for way in cause.ways))
    reading = _reading(cause.reading, variant) if cause.reading else ()
    what, look = variant.words(cause.what), behind_colon(variant.words(cause.look))
    picture = pictures.of(cause) if pictures else ""
    pair = pictures.pair(cause) if pictures and not picture else None
    danger = say(DANGERS.get(cause.danger, ""))
    return CauseView(
        f"{what}.",
        ways if len(ways) > 1 else (),
        look,
        reading,
        behind_colon(cause.cure),
        cause.step,
        picture,
        danger,
        pair,
    )


def _reading(reading: Reading, variant: Variant) -> tuple[str, ...]:
    from buildalong.board import hole_words

    black, red = hole_words(reading.black), hole_words(reading.red)
    where = say(words.READING, black=black, red=red, when=reading.when)
    told = say(words.READING_RIGHT, right=_volts(reading.right), wrong=_volts(reading.wrong))
    return behind_colon(variant.words(where)), told


def _volts(span: tuple[float, float] | None) -> str:
    """A range as a meter shows it, in volts: 'about 0 V', '2.8 V to 3.2 V'."""
    if span is None:
        return say(words.SWINGS)
    return volts_words(*span)
