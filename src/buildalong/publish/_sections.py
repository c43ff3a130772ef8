"""Setting a compiled lesson out as the sections of its article."""

from __future__ import annotations

from collections.abc import Iterator

from buildalong.build.steps import final_checks
from buildalong.design import SheetEntry, explain, mathml_to_put_in, to_put_in
from buildalong.engine import measure
from buildalong.guide import Guide
from buildalong.lesson import Compiled, in_its_language
from buildalong.publish import _fault_words as fault_words
from buildalong.publish import _words as words
from buildalong.publish._builds import builds_view
from buildalong.publish._cautions import cautions_of
from buildalong.publish._faults import faults_view, twice_words
from buildalong.publish._finder import finder_data
from buildalong.publish._in_short import Card
from buildalong.publish._metadata import metadata_of
from buildalong.publish._pictures import Pictures
from buildalong.publish._print import (
    left_beside,
    plate_of,
    print_high,
    print_wide,
    sets_of,
    stand_under,
    tall_beside,
)
from buildalong.publish._replay import replay_view
from buildalong.publish._rows import Row, kinds_of, rows_of, supply_said
from buildalong.publish._view import (
    FormulaView,
    InsideView,
    MotionView,
    Page,
    Plate,
    PromiseView,
    RowView,
    SectionView,
    SheetView,
    SlipView,
    StepView,
    Told,
    TrialView,
)
from buildalong.quantity import Quantity, format_quantity
from buildalong.spread import Spread
from buildalong.words import behind_colon, capital, listed, say

__all__ = ["card_of", "formula_view", "page_of"]


def page_of(
    compiled: Compiled, pictures: Pictures, guide: Guide | None = None, builds: Spread | None = None
) -> Page:
    """Set out the article but for the author's words; a ``guide`` brings fault finder and cautions."""
    made = [
        _look(pictures),
        _parts(compiled, pictures),
        _cautions(compiled, pictures),
        _circuit(pictures, compiled.lesson.symbols),
        _formula(compiled),
        _story(compiled, pictures),
        _build(compiled, pictures, guide),
        _see(compiled, builds),
        _find(compiled, guide, pictures),
        _wrong(compiled),
    ]
    sections = [section for section in made if section is not None]
    lesson = compiled.lesson
    summary = lesson.summary or say(words.SUMMARY, title=lesson.title)
    return Page(
        title=lesson.title,
        summary=summary,
        language=lesson.language,
        facts=tuple(_facts(compiled)),
        sections=tuple(sections),
        symbols_note=say(words.SYMBOLS, symbols=lesson.symbols),
        sources=tuple((source.title, source.by, source.link) for source in lesson.sources),
        metadata=metadata_of(compiled, lesson.title, summary),
    )


@in_its_language
def card_of(compiled: Compiled) -> Card:
    """The lesson in short."""
    lesson = compiled.lesson
    return Card(lesson.title, lesson.summary, lesson.language, tuple(_facts(compiled)))


def _facts(compiled: Compiled) -> Iterator[tuple[str, str]]:
    lesson = compiled.lesson
    yield say(words.FACT_SUPPLY), supply_said(compiled.circuit)
    yield say(words.FACT_BOARD), say(words.TIE_POINTS, board=lesson.board.split("-")[0])
    yield say(words.FACT_PARTS), str(len(compiled.circuit.besides_supply))
    if compiled.steps:
        yield say(words.FACT_STEPS), str(len(compiled.steps))
    if lesson.ages:
        yield say(words.FACT_AGES), lesson.ages
    if lesson.time:
        yield say(words.FACT_TIME), lesson.time
    if lesson.authors:
        yield say(words.FACT_AUTHOR), ", ".join(lesson.authors)
    if lesson.licence:
        yield say(words.FACT_LICENCE), lesson.licence


def _look(pictures: Pictures) -> SectionView:
    plates = (plate_of(pictures.board, say(words.CAPTION_BOARD)),) if pictures.board else ()
    return SectionView("what-you-will-build", say(words.TITLE_LOOK), "plate", "look", plates=plates)


def _parts(compiled: Compiled, pictures: Pictures) -> SectionView:
    rows = tuple(_row_views(compiled, pictures))
    layout = compiled.layout
    count = len(layout.wires) if layout else 0
    return SectionView(
        "parts",
        say(words.TITLE_PARTS),
        "parts",
        "parts",
        rows=rows,
        board=compiled.lesson.board.split("-")[0],
        wires=say(words.WIRES, count=count) if count > 1 else say(words.ONE_WIRE) if count else "",
    )


def _row_views(compiled: Compiled, pictures: Pictures) -> Iterator[RowView]:
    """The rows; how a type is read and what it does is told at its first row only."""
    told: set[str] = set()
    for row in rows_of(compiled.circuit):
        kind = row.type
        yield _row_view(row, pictures, first=kind.id not in told)
        told.add(kind.id)


def _row_view(row: Row, pictures: Pictures, *, first: bool) -> RowView:
    kind = row.type
    reading = say(kind.marking.reading) if first else ""
    marking = say(words.MARKED, mark=row.mark, reading=reading) if row.mark else reading
    picture = pictures.parts.get(row.parts[0].id)
    return RowView(
        row.name,
        row.references,
        len(row.parts),
        marking.strip(),
        say(kind.about) if first else "",
        picture.svg if picture else "",
        print_wide(picture),
    )


def _cautions(compiled: Compiled, pictures: Pictures) -> SectionView:
    return SectionView(
        "before-you-start", say(words.TITLE_CAUTIONS), "cautions", "cautions",
        cautions=cautions_of(compiled.circuit),
        beside=left_beside(pictures.schematic),
    )  # fmt: skip


def _circuit(pictures: Pictures, symbols: str) -> SectionView | None:
    if pictures.schematic is None:
        return None
    plate = plate_of(pictures.schematic, say(words.CAPTION_SCHEMATIC, symbols=symbols))
    beside = plate.wide if left_beside(pictures.schematic) else ""
    return SectionView(
        "the-circuit", say(words.TITLE_CIRCUIT), "plate", "circuit", plates=(plate,), beside=beside
    )  # fmt: skip


def _formula(compiled: Compiled) -> SectionView | None:
    if not compiled.sheet:
        return None
    groups: dict[str, list[SheetEntry]] = {}
    for entry in compiled.sheet:
        groups.setdefault(entry.shape.title, []).append(entry)
    views = tuple(
        SheetView(
            capital(title),
            capital(entries[0].shape.does),
            tuple(formula_view(compiled, entry) for entry in entries),
        )
        for title, entries in groups.items()
    )
    return SectionView("the-formula", say(words.TITLE_FORMULA), "formula", "formula", entries=views)


def formula_view(compiled: Compiled, entry: SheetEntry) -> FormulaView:
    """One formula with its working, beside what was measured where something corresponds to it."""
    name = f"{entry.measure[0]}({', '.join(entry.measure[1:])})" if entry.measure else ""
    real = _measured(compiled, entry, name)
    line, values = to_put_in(entry.formula)
    return FormulaView(
        title=capital(entry.title),
        mathml=entry.mathml(),
        text=entry.text,
        note=entry.note,
        ideal=_show(entry.result),
        measured=_show(real) if real else "",
        why=explain(entry, real.value) if real else "",
        source=entry.source,
        put_in=mathml_to_put_in(entry.formula),
        line=line,
        values=values,
    )


def _measured(compiled: Compiled, entry: SheetEntry, name: str) -> Quantity | None:
    """What the first trial shows of a formula; its mean until a setting of one of the parts is changed."""
    figure = compiled.figures.get(name)
    if figure is None or entry.measure is None or not compiled.lesson.trials:
        return None if figure is None else figure.quantity
    trial = compiled.lesson.trials[0]
    parts = {part for role in entry.shape.roles.values() for part in role}
    moves = [a.time for a in trial.actions if a.setting == "position" and a.part in parts and a.time > 0]
    run = compiled.runs.get(trial.name)
    if not moves or run is None or entry.measure[0] != "voltage":
        return figure.quantity
    return measure(run, entry.measure[0], entry.measure[1], 0.0, min(moves))


def _show(quantity: Quantity) -> str:
    return format_quantity(quantity.value, quantity.unit)


def _story(compiled: Compiled, pictures: Pictures) -> SectionView | None:
    trials = tuple(
        TrialView(
            capital(name),
            tuple(
                Told(pictures.trials.marks.get((name, index), ""), sentence.text)
                for index, sentence in enumerate(compiled.stories.get(name, ()))
            ),
            _waves(pictures, name),
            _work(pictures, name),
            tuple(_inside(compiled, pictures, name)),
            replay_view(compiled, pictures, name),
        )
        for name in compiled.runs
    )
    if not trials:
        return None
    return SectionView("how-it-works", say(words.TITLE_STORY), "story", "story", trials=trials)


def _work(pictures: Pictures, name: str) -> MotionView | None:
    found = pictures.trials.work.get(name)
    if found is None:
        return None
    key = f"work-{list(pictures.trials.work).index(name) + 1}"
    still = found.picture
    wide = print_wide(still)
    return MotionView(key, say(words.LEGEND_WORK), still.svg, found.css, say(words.CAPTION_WORK), wide=wide)


def _inside(compiled: Compiled, pictures: Pictures, name: str) -> Iterator[InsideView]:
    for (trial, part), found in pictures.trials.inside.items():
        if trial == name:
            kind = compiled.circuit.by_id[part].type
            yield InsideView(
                say(words.TITLE_INSIDE, part=part, noun=say(kind.noun)),
                f"{say(kind.about)} {say(words.ABOUT_INSIDE)}",
                tuple((look.picture.svg, look.mark, look.caption) for look in found),
            )


def _waves(pictures: Pictures, name: str) -> tuple[Plate, ...]:
    """First the whole, then its beginning from nearer."""
    captions = {"": say(words.CAPTION_WAVEFORMS), "closer": say(words.CAPTION_CLOSER)}
    drawn = {(name, view): caption for view, caption in captions.items()}
    found = pictures.trials.waveforms
    return tuple(plate_of(found[key], caption) for key, caption in drawn.items() if key in found)


def _build(compiled: Compiled, pictures: Pictures, guide: Guide | None) -> SectionView | None:
    if not compiled.steps:
        return None
    variant = pictures.variant
    cautions = guide.cautions if guide else ()
    twice = twice_words(guide.checks, variant) if guide else ()
    warned = {caution.step for caution in cautions}
    # What a caution tells in words of a wire is not drawn on paper.
    on_paper = {
        step.number: pictures.closeups.get(step.number, ())
        for step in compiled.steps
        if step.parts or step.number not in warned
    }
    ticked = [step.number for step in compiled.steps if step.kind == "check"]
    sets = sets_of([step.number for step in compiled.steps], pictures.steps, on_paper, ticked)
    steps = tuple(
        StepView(
            step.number,
            step.title,
            step.text,
            step.callout,
            behind_colon(step.why),
            behind_colon(step.check),
            pictures.steps[step.number].svg if step.number in pictures.steps else "",
            tuple(variant.words(line) for line in final_checks(compiled.circuit, step.after))
            if step.kind == "check"
            else (),
            print_wide(pictures.steps.get(step.number)),
            sets[step.number],
            stand_under(pictures.steps.get(step.number), on_paper.get(step.number, ())),
            tall_beside(pictures.steps.get(step.number), on_paper.get(step.number, ())),
            tuple(plate_of(picture, "") for picture in pictures.closeups.get(step.number, ())),
            step.number in on_paper,
            tuple(variant.words(c.text) for c in cautions if c.step == step.number),
            twice if step.kind == "check" else (),
        )
        for step in map(variant.step, compiled.steps)
    )
    nets = say(words.NETS_ALT, nets=listed(list(compiled.circuit.nets)))
    named = pictures.nets.told(nets) if pictures.nets else None
    done = [(named, say(words.CAPTION_TOP)), (pictures.tilted, say(words.CAPTION_TILTED))]
    # The lower picture first: on paper it finds room below the last step more often.
    shown = sorted(((p, c) for p, c in done if p), key=lambda pair: print_high(pair[0]))
    plates = tuple(plate_of(picture, caption) for picture, caption in shown)
    note = say(words.LEFT_HAND) if variant.hand == "left" else ""
    motion = None
    if pictures.build is not None:
        titles = tuple(say(words.STEP_TITLE, number=step.number, title=step.title) for step in steps)
        built, caption = pictures.build, say(words.CAPTION_BUILD)
        motion = MotionView(
            "build", say(words.LEGEND_BUILD), built.picture.told(caption).svg, built.css, caption, titles,
            print_wide(built.picture),
        )  # fmt: skip
    return SectionView(
        "build-it", say(words.TITLE_BUILD), "build", "build", plates=plates, steps=steps, note=note,
        motion=motion,
    )  # fmt: skip


def _see(compiled: Compiled, builds: Spread | None) -> SectionView:
    promises = tuple(
        PromiseView(
            result.promise.says or str(result.promise.that),
            say(
                words.WITHIN,
                value=_show(result.promise.expected),
                low=_show(Quantity(result.promise.limits[0], result.promise.expected.unit)),
                high=_show(Quantity(result.promise.limits[1], result.promise.expected.unit)),
            ),
            _show(result.measured) if result.measured else say(words.NOTHING),
            result.ok,
        )
        for result in compiled.promises
    )
    return SectionView(
        "what-you-should-see", say(words.TITLE_SEE), "see", "see", optional=not promises, promises=promises,
        builds=builds_view(compiled, builds),
    )  # fmt: skip


def _find(compiled: Compiled, guide: Guide | None, pictures: Pictures) -> SectionView | None:
    if guide is None:
        return None
    faults = faults_view(guide, pictures.variant)
    measured = any(cause.reading for fault in faults for cause in fault.causes)
    return SectionView(
        "if-it-does-not-work", say(fault_words.TITLE), "find", "find", faults=faults,
        note=" ".join(map(say, (fault_words.ABOUT, fault_words.METER) if measured else (fault_words.ABOUT,))),
        finder=finder_data(compiled, guide, pictures.variant),
        symptoms=len(guide.symptoms) if len(faults) < len(guide.symptoms) else 0,
    )  # fmt: skip


def _wrong(compiled: Compiled) -> SectionView:
    rows = tuple(
        SlipView(
            capital(say(kind.type.title)), kind.references, tuple(say(s.sentence) for s in kind.type.slips)
        )
        for kind in kinds_of(compiled.circuit)
        if kind.type.slips
    )
    return SectionView("what-can-go-wrong", say(words.TITLE_WRONG), "wrong", "wrong", rows=rows)
