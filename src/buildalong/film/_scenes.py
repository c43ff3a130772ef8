"""From a compiled lesson to the scenes of its film."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from buildalong.build.steps import Step, final_checks
from buildalong.circuit import Circuit
from buildalong.film import _words as words
from buildalong.film._storyboard import Kind, Moment, Scene, Storyboard
from buildalong.film._text import first_item, one_line, sentences
from buildalong.guide import Guide
from buildalong.lesson import Compiled
from buildalong.publish import Row, Variant, cautions_of, kinds_of, rows_of, supply_said, variant_of
from buildalong.quantity import format_quantity
from buildalong.story import Sentence
from buildalong.words import behind_colon, capital, inside, listed, say

__all__ = ["called", "shown_rows", "storyboard"]

MOST_TRIALS, MOST_SLIPS, MOST_PARTS, MOST_BEATS = 3, 3, 8, 2
"""Trials, slips, kinds of parts and beats of the story that are told; the rest is in the article."""
GENERAL, OWN, OWN_SHOWN = 2, 3, 6
"""So many of the general cautions are spoken, so many of those about parts, and shown; all of them stand in
the description, and what is dangerous about a part is said again at its step."""
MOST_NAMED = 3
"""So many references are named one by one."""
FIRST_SLIPS = ("reversed", "leg-order")
"""Kinds of slip that are told first: they are made most and cost most (common practice)."""
_KINDS: dict[str, Kind] = {"test": "test", "check": "check", "supply": "supply"}


def storyboard(compiled: Compiled, variant: Variant | None = None, guide: Guide | None = None) -> Storyboard:
    """Set out the film of a lesson: title, parts, cautions, each step, the circuit at work, slips, end.

    ``variant`` says for which hand the words on places are; without it what the lesson asks for.  With a
    ``guide`` the dangers of slips are told at their steps.
    """
    made = _Scenes(compiled, variant or variant_of(compiled.lesson), guide)
    lesson = compiled.lesson
    return Storyboard(
        title=made.named,
        summary=one_line(lesson.summary),
        scenes=tuple(made.all()),
        needs=tuple(made.needs()),
        cautions=tuple(map(_told, cautions_of(compiled.circuit))),
        links=tuple((source.title, source.by, source.link) for source in lesson.sources),
        authors=lesson.authors,
        licence=lesson.licence,
    )


def _told(caution: tuple[str, str]) -> str:
    """A caution with the part that it is about."""
    about, what = caution
    return say(words.OF, id=about, what=what) if about else what


def shown_rows(circuit: Circuit) -> tuple[tuple[Row, ...], str]:
    """The rows of the parts list that are shown, and words for those that are not, "" for none."""
    rows = rows_of(circuit)
    if len(rows) <= MOST_PARTS + 1:
        return rows, ""
    return rows[:MOST_PARTS], say(words.MORE_POINTS, count=len(rows) - MOST_PARTS)


def telling(compiled: Compiled, trial: str, most: int) -> tuple[Sentence, ...]:
    """At most so many sentences of a story, in order: first those where a light comes on or goes out."""
    story, events = compiled.stories.get(trial, ()), compiled.runs[trial].events
    quiet = [all(events[index].kind != "light" for index in told.events) for told in story]
    chosen = sorted(range(len(story)), key=lambda index: (quiet[index], index))[:most]
    return tuple(story[index] for index in sorted(chosen))


def called(row: Row) -> str:
    """The references of a row as they are said: "R1", "R1 and R3", "DS1 to DS10"."""
    names = [part.id for part in row.parts]
    if len(names) > MOST_NAMED:
        return say(words.FROM_TO, first=names[0], last=names[-1])
    return listed(names)


class _Scenes:
    def __init__(self, compiled: Compiled, variant: Variant, guide: Guide | None) -> None:
        self.compiled, self.variant = compiled, variant
        self.dangers = guide.cautions if guide else ()
        self.circuit, self.lesson = compiled.circuit, compiled.lesson
        self.named = one_line(compiled.lesson.title)

    def all(self) -> Iterator[Scene]:
        yield self.title()
        yield self.parts()
        yield self.cautions()
        for step in self.compiled.steps:
            yield self.step(self.variant.step(step))
        yield from self.work()
        yield from self.wrong()
        yield self.end()

    @property
    def board(self) -> str:
        return self.lesson.board.split("-")[0]

    @property
    def wires(self) -> str:
        count = len(self.compiled.layout.wires) if self.compiled.layout else 0
        return (
            say(words.WIRES, count=count)
            if count > 1
            else say(words.ONE_WIRE)
            if count
            else say(words.NO_WIRES)
        )

    def title(self) -> Scene:
        count = len(self.circuit.besides_supply)
        parts = say(words.PARTS, count=count) if count != 1 else say(words.ONE_PART)
        says = [*sentences(_ended(self.named))]
        says += sentences(self.lesson.summary)
        if self.compiled.steps:
            says.append(say(words.HOOK, parts=parts, steps=len(self.compiled.steps)))
        points = [say(words.FACTS, parts=count, steps=len(self.compiled.steps)), supply_said(self.circuit)]
        points += [bit for bit in (self.lesson.time, ", ".join(self.lesson.authors)) if bit]
        return Scene(
            "title", "title", self.named, tuple(says), tuple(points), text=one_line(self.lesson.summary)
        )  # fmt: skip

    def needs(self) -> Iterator[str]:
        """Lines of the list of what is to be laid out."""
        for row in rows_of(self.circuit):
            count = f"{len(row.parts)} × " if len(row.parts) > 1 else ""
            yield f"{count}{row.name} ({row.references})"
        yield say(words.BOARD, board=self.board)
        yield capital(self.wires)

    def parts(self) -> Scene:
        rows = rows_of(self.circuit)
        shown, rest = shown_rows(self.circuit)
        says = [say(words.NEEDS, board=self.board, wires=self.wires)]
        points = [say(words.OF, id=called(row), what=inside(row.name)) for row in shown]
        says += [f"{point}." for point in points]
        if rest:
            says.append(say(words.MORE, count=len(rows) - len(shown)))
            points.append(rest)
        says.append(say(words.LAY_OUT))
        return Scene("parts", "parts", say(words.TITLE_PARTS), tuple(says), tuple(points), text=says[0])

    def cautions(self) -> Scene:
        told = cautions_of(self.circuit)
        general = [caution for about, caution in told if not about][:GENERAL]
        own = [(about, caution) for about, caution in told if about]
        says = _all_sentences((*general, *map(_told, own[:OWN])))
        points = tuple(map(_told, own[:OWN_SHOWN]))
        return Scene(
            "cautions", "cautions", say(words.TITLE_CAUTIONS), tuple(says), points, text=" ".join(general)
        )

    def step(self, step: Step) -> Scene:
        says = [say(words.STEP_ALONE, number=step.number), *sentences(step.text)]
        dangers = [
            say(words.DANGER, danger=behind_colon(self.variant.words(each.text)))
            for each in self.dangers
            if each.step == step.number
        ]
        says += _all_sentences((step.callout, *dangers))
        points: tuple[str, ...] = ()
        if step.kind == "check":
            points = tuple(self.variant.words(line) for line in final_checks(self.circuit, step.after))
            says.append(say(words.STOP))
        if step.kind == "supply":
            says += sentences(step.check)
        elif step.kind != "wire":
            says += sentences(step.why)
        title = say(words.STEP, number=step.number, title=step.title)
        return Scene(
            f"step-{step.number:02d}", _KINDS.get(step.kind, "step"), title, tuple(says), points,
            text="" if points else step.text, callout=" ".join([step.callout, *dangers[:1]]).strip(),
            step=step.number,
        )  # fmt: skip

    def work(self) -> Iterator[Scene]:
        names = list(self.compiled.runs)[:MOST_TRIALS]
        for number, name in enumerate(names, start=1):
            kept = [
                r
                for r in self.compiled.promises
                if (r.promise.trial or names[0]) == name and r.measured is not None
            ]
            points = tuple(
                say(
                    words.PROMISED,
                    says=capital(result.promise.says or str(result.promise.that)),
                    value=format_quantity(result.measured.value, result.measured.unit),
                )
                for result in kept
                if result.measured is not None
            )
            title = say(words.TITLE_WORK) if len(names) == 1 else say(words.TITLE_WORK_OF, trial=name)
            says = (say(words.EXPECT), *points, *((say(words.DIFFERS),) if points else ()))
            yield Scene(f"work-{number}", "work", title, says, points, trial=name)
            story = telling(self.compiled, name, MOST_BEATS) if number == 1 else ()
            says, moments = _with_moments(
                (beat.text, Moment(0, beat.text, time=max(beat.time, 0.0))) for beat in story
            )
            if says:
                yield Scene("how", "how", say(words.TITLE_HOW), says, trial=name, moments=moments)

    def wrong(self) -> Iterator[Scene]:
        found: list[tuple[int, Moment]] = []
        for kind in kinds_of(self.circuit):
            for slip in kind.type.slips:
                rank = FIRST_SLIPS.index(slip.kind) if slip.kind in FIRST_SLIPS else len(FIRST_SLIPS)
                which = f"{capital(say(kind.type.noun))} ({called(kind)})"
                text = say(words.OF, id=which, what=behind_colon(say(slip.sentence)))
                found.append((rank, Moment(0, text, part=kind.parts[0].id, slip=slip.kind)))
        told = [moment for _, moment in sorted(found, key=lambda pair: pair[0])[:MOST_SLIPS]]
        if told:
            says, moments = _with_moments(((m.text, m) for m in told), before=(say(words.SLIPS),))
            points = tuple(moment.text for moment in told)
            yield Scene(
                "wrong", "wrong", say(words.TITLE_WRONG), (*says, say(words.SAFE)), points, moments=moments
            )

    def end(self) -> Scene:
        tried = self.compiled.section("try-next")
        idea = behind_colon(first_item(tried.html)) if tried else ""
        says = [say(words.DONE, title=inside(self.named))]
        says += sentences(say(words.TRY, idea=idea)) if idea else ()
        says.append(say(words.MORE_BELOW))
        points = (say(words.TRY, idea=idea),) if idea else ()
        return Scene("end", "end", say(words.TITLE_END), tuple(says), points, text=self.named)


def _all_sentences(texts: Sequence[str]) -> Iterator[str]:
    for text in texts:
        yield from sentences(text)


def _with_moments(
    told: Iterable[tuple[str, Moment]], before: tuple[str, ...] = ()
) -> tuple[tuple[str, ...], tuple[Moment, ...]]:
    """The sentences of some texts, and each text's moment at its first sentence."""
    says, moments = list(before), []
    for text, moment in told:
        moments.append(replace(moment, sentence=len(says)))
        says += sentences(text)
    return tuple(says), tuple(moments)


def _ended(text: str) -> str:
    """With a full stop, where no sign ends it."""
    return text if text[-1:] in (".", "!", "?", "") else f"{text}."
