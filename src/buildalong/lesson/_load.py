"""From a folder to a Lesson: everything is read, checked for shape, and given its place."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from buildalong.board import boards
from buildalong.circuit import Circuit, Part, parse_supply
from buildalong.engine import Action, Trial
from buildalong.finding import Finding, Place, Severity, Unreadable, by_severity
from buildalong.lesson._address import folder_address
from buildalong.lesson._expression import Expression, ExpressionError, read_expression
from buildalong.lesson._folder import Folder
from buildalong.lesson._hints import Hint, HintError, against, read_hint
from buildalong.lesson._images import read_images
from buildalong.lesson._lesson import LayoutRequest, Lesson, Promise, Source, TextFile
from buildalong.lesson._own_parts import own_parts
from buildalong.lesson._parts import make_part
from buildalong.lesson._positions import Positions
from buildalong.lesson._salvage import salvage
from buildalong.lesson._schema import MAX_PARTS, LessonTable, PromiseTable, SupplyTable, TrialTable
from buildalong.lesson._toml import Document, read_toml
from buildalong.lesson._translate import own_tag, said_in, translated, unknown_language
from buildalong.lesson._trial import KINDS, MAX_LASTS, ActionError, read_action, read_time
from buildalong.lesson._validate import nearest
from buildalong.lesson._wishes import read_wishes
from buildalong.parts import Catalogue, catalogue
from buildalong.quantity import Quantity, QuantityError, parse

__all__ = ["SMALLEST", "load"]

FACTS, PROSE = "lesson.toml", "lesson.md"
SMALLEST = "smallest"
"""The board of an author who wants the smallest that fits."""


def load(
    folder: str | os.PathLike[str], language: str = "", texts: Mapping[str, str] | None = None
) -> Lesson:
    """Read a lesson folder, its words in a language (BCP 47; "": the author's own).

    ``texts``: file of the folder -> what is read in its place, as an author has typed and not saved it.

    Raises Unreadable where a file cannot be read as text, TOML or a folder, and where the language is not
    spoken here.
    Faults in what was read do not raise: they stand in ``Lesson.findings``, and ``Lesson.sound``
    tells whether the circuit is whole.
    """
    source = Folder(folder, texts=texts)
    fatal: list[Finding] = []
    document: Document | None = None
    foreign = unknown_language(language) if language else None
    if foreign is not None:
        raise Unreadable(foreign)
    words = _prose_file(source, language)
    prose = ""
    if not source.has(FACTS):
        fatal.append(
            Finding(
                Severity.FATAL,
                "lesson-missing",
                f"the folder has no {FACTS}",
                "give the folder of a lesson; 'buildalong new NAME' starts one",
                Place(source.shown(FACTS)),
            )
        )
    else:
        try:
            document = read_toml(source.text(FACTS), source.shown(FACTS))
        except Unreadable as error:
            fatal.extend(error.findings)
    if source.has(words):
        try:
            prose = source.text(words)
        except Unreadable as error:
            fatal.extend(error.findings)
    known = catalogue()
    own, found, broken = own_parts(source, known)
    fatal.extend(broken)
    if fatal or document is None:
        raise Unreadable(*by_severity([*fatal, *found]))
    reader = _Loader(source, document, prose, known.extended(own) if own else known, words, language)
    reader.findings.extend(found)
    return reader.lesson()


def _prose_file(source: Folder, language: str) -> str:
    """The file with the words in a language: lesson.de-at.md, lesson.de.md, or the author's own."""
    tag = language.lower()
    names = [f"lesson.{name}.md" for name in dict.fromkeys((tag, tag.partition("-")[0])) if name]
    return next((name for name in names if source.has(name)), PROSE)


class _Loader:
    """One reading of one lesson; collects findings on the way."""

    def __init__(
        self, source: Folder, document: Document, prose: str, known: Catalogue, words: str, language: str
    ) -> None:
        self.words = words
        self.language = language
        self.source = source
        self.document = document
        self.prose = prose
        self.catalogue = known
        self.places: Positions = document.places
        self.trial_names: dict[str, str] = {}
        self.findings: list[Finding] = []
        self.sound = True

    def error(self, code: str, message: str, hint: str = "", place: Place | None = None, *about: str) -> None:
        self.findings.append(Finding(Severity.ERROR, code, message, hint, place, about))

    def lesson(self) -> Lesson:
        table, found, whole = salvage(LessonTable, self.document.values, self.places)
        self.findings.extend(found)
        if table is None:
            raise Unreadable(*by_severity(self.findings))
        self.sound = whole
        written, table, tag = table, *self.in_language(table)
        circuit = self.circuit(table)
        trials, bounces = self.trials(table, circuit)
        promises = self.promises(table, trials)
        layout = self.layout(table)
        if not self.prose:
            self.findings.append(
                Finding(
                    Severity.WARNING,
                    "no-prose",
                    f"the lesson has no words: {self.words} is missing or empty",
                    f"write {self.words}: what the learner builds, what to see, what to try next",
                    Place(self.source.shown(self.words)),
                )
            )
        images, found = read_images(self.source, self.prose, self.source.shown(self.words))
        self.findings.extend(found)
        authors = [table.author] if isinstance(table.author, str) else table.author
        return Lesson(
            folder=Path(self.source.path),
            name=self.source.name,
            title=table.title,
            summary=table.summary,
            board=layout.board,
            supply=table.supply if isinstance(table.supply, str) else table.supply.kind,
            circuit=circuit,
            sound=self.sound,
            trials=trials,
            promises=promises,
            layout=layout,
            prose=self.prose,
            prose_file=self.source.shown(self.words),
            facts=self.document.text,
            places=self.places,
            does={key: part.does for key, part in table.parts.items() if part.does},
            bounces=bounces,
            authors=tuple(author for author in authors if author),
            licence=table.licence,
            language=tag or table.language,
            own_words=said_in(written, tag) if tag else {},
            trial_names=self.trial_names,
            ages=table.ages,
            time=table.time,
            sources=self.sources(table),
            link=self.address(table.link, "link"),
            links={tag: self.address(link, "links", tag) for tag, link in table.links.items()},
            hand=table.picture.hand if table.picture else "right",
            contrast=table.picture.contrast if table.picture else "usual",
            symbols=table.picture.symbols if table.picture else "IEC 60617",
            hints=self.hints(table, circuit),
            images=images,
            wishes=read_wishes(table.mistakes, circuit, layout.board, self.wish),
            findings=tuple(self.findings),
            trail=dict(self.source.trail),
        )

    def in_language(self, table: LessonTable) -> tuple[LessonTable, str]:
        """The facts with the author's words in the wanted language, and its tag; "" for their own."""
        tag = own_tag(table, self.language)
        if not tag:
            return table, ""
        written = table
        table, found = translated(self.document.values, written, tag, self.places)
        self.findings += found
        self.trial_names = {old.name: new.name for old, new in zip(written.trial, table.trial, strict=True)}
        if self.words == PROSE and self.prose:
            self.findings.append(
                Finding(
                    Severity.WARNING,
                    "words-untranslated",
                    f"the words of {PROSE} have no translation; they stay as they are",
                    f"write them in lesson.{tag.partition('-')[0]}.md beside it",
                    Place(self.source.shown(PROSE), 1, 1),
                )
            )
        return table, tag

    # -- the circuit ------------------------------------------------------------------------------

    def circuit(self, table: LessonTable) -> Circuit:
        parts: list[Part] = []
        if len(table.parts) > MAX_PARTS:
            self.sound = False
            self.error(
                "too-many-parts",
                f"the lesson has {len(table.parts)} parts; at most {MAX_PARTS} fit a lesson",
                "split it into two lessons",
                self.places.key("parts"),
            )
        if not table.parts:
            self.sound = False
            self.error(
                "no-parts", "the lesson has no parts", "add them under [parts]", self.places.key("parts")
            )
        supply = self.supply(table)
        if supply is not None:
            parts.append(supply)
        for identity, part_table in list(table.parts.items())[:MAX_PARTS]:
            part, found = make_part(identity, part_table, self.catalogue, self.places)
            self.findings.extend(found)
            if part is None or any(finding.severity >= Severity.ERROR for finding in found):
                self.sound = False
            if part is not None:
                parts.append(part)
        circuit = Circuit(tuple(parts))
        for net in circuit.nets:
            if net in circuit.by_id:
                place = self.places.key("parts", net)
                message, hint = f"'{net}' is the name of a part and of a net", "rename the net"
                self.error("name-taken", message, hint, place, net)
        return circuit

    def supply(self, table: LessonTable) -> Part | None:
        given = table.supply
        wanted = given if isinstance(given, SupplyTable) else SupplyTable.model_validate({"kind": given})
        place = (
            self.places.value("supply", "kind")
            if isinstance(table.supply, SupplyTable)
            else self.places.value("supply")
        )
        try:
            kind, settings = parse_supply(wanted.kind, self.catalogue)
        except Unreadable as error:
            self.sound = False
            for fault in error.findings:
                self.findings.append(replace(fault, severity=Severity.ERROR, place=place))
            return None
        return Part(wanted.id, kind, (wanted.plus, wanted.minus), settings=settings)

    # -- trials and promises ----------------------------------------------------------------------

    def trials(self, table: LessonTable, circuit: Circuit) -> tuple[tuple[Trial, ...], dict[str, float]]:
        out: list[Trial] = []
        bounces: dict[str, float] = {}
        if not table.trial:
            self.findings.append(
                Finding(
                    Severity.WARNING,
                    "no-trial",
                    "the lesson has no trial, so nothing is simulated",
                    'add one: [[trial]] name = "first minute", lasts = "30 s"',
                    Place(self.places.file, 1, 1),
                )
            )
        for number, entry in enumerate(table.trial):
            at = ("trial", number)
            lasts = self.lasts(entry, at)
            bounce = self.bounce(entry, at)
            if bounce:
                bounces[entry.name] = bounce
            if any(entry.name == other.name for other in out):
                self.error(
                    "name-taken",
                    f"two trials are named '{entry.name}'",
                    "give each its own name",
                    self.places.value(*at, "name"),
                )
            actions = self.actions(entry, circuit, lasts, at)
            if lasts is not None:
                out.append(Trial(entry.name, lasts, actions))
        return tuple(out), bounces

    def lasts(self, entry: TrialTable, at: tuple[str | int, ...]) -> float | None:
        place = self.places.value(*at, "lasts")
        try:
            lasts = read_time(entry.lasts)
        except ActionError as error:
            self.error(error.code, f"lasts: {error}", 'write a time, such as "30 s"', place)
            return None
        if lasts > MAX_LASTS:
            self.error(
                "trial-too-long",
                f"the trial lasts {entry.lasts}; at most one hour is simulated",
                "shorten the trial, or make the circuit faster for the lesson",
                place,
            )
            return None
        if lasts <= 0:
            self.error(
                "negative-time", "the trial lasts no time at all", 'write a time, such as "30 s"', place
            )
            return None
        return lasts

    def bounce(self, entry: TrialTable, at: tuple[str | int, ...]) -> float:
        if entry.bounce is None:
            return 0.0
        place = self.places.value(*at, "bounce")
        try:
            bounce = read_time(entry.bounce)
        except ActionError as error:
            self.error(error.code, f"bounce: {error}", 'write a time, such as "3 ms"', place)
            return 0.0
        if bounce > 0.2:
            self.error(
                "value-out-of-range",
                f"a contact does not bounce for {entry.bounce}",
                "common buttons bounce for 1 to 10 ms",
                place,
            )
            return 0.0
        return bounce

    def actions(
        self,
        entry: TrialTable,
        circuit: Circuit,
        lasts: float | None,
        at: tuple[str | int, ...],
    ) -> tuple[Action, ...]:
        out: list[Action] = []
        for kind in KINDS:
            for number, line in enumerate(getattr(entry, kind.key)):
                place = self.places.value(*at, kind.key, number)
                try:
                    actions = read_action(kind, line)
                except ActionError as error:
                    self.error(error.code, str(error), f"write it like '{kind.example}'", place)
                    continue
                name = actions[0].part
                part = circuit.by_id.get(name)
                fitting = [p.id for p in circuit.parts if p.type.family in kind.families]
                if part is None or part.type.family not in kind.families:
                    why = (
                        f"there is no part {name}" if part is None else f"{name} is a {part.type.noun}"
                    ) + f"; it cannot be {kind.verb}"
                    hint = (
                        f"that works on {', '.join(fitting)}"
                        if fitting
                        else "the circuit has nothing of the kind"
                    )
                    code = "unknown-part-in-trial" if part is None else "wrong-part-in-trial"
                    if part is not None or self.sound or fitting:
                        self.error(code, why, hint, place, name)
                    continue
                if lasts is not None and any(a.time > lasts for a in actions[:1]):
                    self.error(
                        "after-the-end",
                        f"'{line}' happens after the trial has ended ({entry.lasts})",
                        "let the trial last longer",
                        place,
                        name,
                    )
                    continue
                out.extend(actions)
        return tuple(sorted(out, key=lambda a: a.time))

    def promises(self, table: LessonTable, trials: tuple[Trial, ...]) -> tuple[Promise, ...]:
        names = [trial.name for trial in trials]
        out: list[Promise] = []
        for number, entry in enumerate(table.promise):
            at = ("promise", number)
            promise = self.promise(entry, at)
            if promise is None:
                continue
            wanted = entry.trial or promise.that.trial
            if wanted and wanted not in names and len(trials) == len(table.trial):
                near = nearest(wanted, names)
                self.error(
                    "unknown-trial",
                    f"there is no trial '{wanted}'",
                    f"did you mean '{near}'?" if near else f"the trials are {', '.join(names) or 'none'}",
                    self.places.value(*at, "trial" if entry.trial else "that"),
                )
                continue
            out.append(promise)
        return tuple(out)

    def promise(self, entry: PromiseTable, at: tuple[str | int, ...]) -> Promise | None:
        place = self.places.value(*at, "that")
        that: Expression | None = None
        expected: Quantity | None = None
        tolerance: tuple[float, bool] | None = None
        try:
            that = read_expression(entry.that)
            that = replace(that, trial=self.trial_names.get(that.trial, that.trial))
        except ExpressionError as error:
            self.error("promise-unreadable", str(error), "", _beside(place, error.offset + 1))
        try:
            expected = parse(entry.is_)
        except QuantityError as error:
            self.error("value-unreadable", f"is: {error}", "", self.places.value(*at, "is"))
        try:
            tolerance = self.within(entry.within, expected)
        except QuantityError as error:
            self.error(
                "value-unreadable",
                f"within: {error}",
                'write it like "20 %"',
                self.places.value(*at, "within"),
            )
        if that is None or expected is None or tolerance is None:
            return None
        return Promise(
            that, expected, tolerance[0], tolerance[1], entry.trial or that.trial, entry.says, place
        )

    @staticmethod
    def within(text: str, expected: Quantity | None) -> tuple[float, bool]:
        """The tolerance of a promise: (ratio, False), or (amount, True) where it is written in the unit."""
        reach = parse(text)
        if reach.value < 0:
            raise QuantityError(f"'{text}' is negative")
        if "%" in text or expected is None:
            if reach.value > 1:
                raise QuantityError(f"'{text}' would allow anything")
            return reach.value, False
        if reach.unit != expected.unit:
            raise QuantityError(f"'{text}' is neither a percentage nor in {expected.unit or 'the same kind'}")
        return reach.value, True

    # -- the rest ---------------------------------------------------------------------------------

    def layout(self, table: LessonTable) -> LayoutRequest:
        name = re.sub(r"\s*(tie-?points?|points?|holes?)$", "", table.board.strip())
        if name not in (*boards(), SMALLEST):
            self.error(
                "unknown-board",
                f"there is no board '{table.board}'",
                f"boards known here: {', '.join(boards())}; or {SMALLEST}: the smallest that fits",
                self.places.value("board"),
            )
            name = "400"
        wanted = table.layout
        if wanted is None:
            return LayoutRequest(name)
        return LayoutRequest(
            name,
            {key: tuple(value) for key, value in (wanted.model_extra or {}).items()},
            tuple(tuple(wire) for wire in wanted.wires),
            wanted.style,
            self.text_file(wanted.list_, "list"),
            wanted.order,
            self.text_file(wanted.grows_from, "grows_from"),
            tuple(wanted.where),
            tuple(wanted.keep_free),
            wanted.gentle,
        )

    def text_file(self, name: str, key: str) -> TextFile | None:
        """A text file of the lesson folder that the layout names; None where it cannot be read."""
        if not name:
            return None
        try:
            return TextFile(self.source.shown(name), self.source.text(name))
        except Unreadable as error:
            place = self.places.value("layout", key)
            for fault in error.findings:
                inside = fault.place is not None and fault.place.line > 0
                where = fault.place if inside else place
                self.findings.append(replace(fault, severity=Severity.ERROR, place=where))
            return None

    def hints(self, table: LessonTable, circuit: Circuit) -> tuple[Hint, ...]:
        out: list[Hint] = []
        for number, line in enumerate(table.picture.schematic if table.picture else ()):
            place = self.places.value("picture", "schematic", number)
            try:
                hint = read_hint(line, circuit)
            except HintError as error:
                if self.sound or error.code != "unknown-part-in-picture":
                    self.error(error.code, str(error), error.hint, place)
                continue
            other = against(hint, out)
            if other is None:
                out.append(hint)
                continue
            self.error(
                "picture-hints-contradict",
                f"'{line}' contradicts the hint that {other.part} is {other.kind} {other.other}".rstrip(),
                "take one of them out",
                place,
                hint.part,
            )
        return tuple(out)

    def wish(self, code: str, message: str, hint: str, at: tuple[str | int, ...]) -> None:
        if self.sound or not code.startswith("unknown-"):
            self.error(code, message, hint, self.places.value(*at))

    def sources(self, table: LessonTable) -> tuple[Source, ...]:
        out: list[Source] = []
        for number, entry in enumerate(table.source):
            link = entry.link
            if link and not re.match(r"https?://[^\s<>\"']+$", link):
                self.error(
                    "link-unsafe",
                    f"'{link[:60]}' is no web address",
                    "an address starts with https://",
                    self.places.value("source", number, "link"),
                )
                link = ""
            out.append(Source(entry.title, entry.by, link))
        return tuple(out)

    def address(self, written: str, *at: str) -> str:
        address = folder_address(written)
        if address is None:
            self.error(
                "link-unsafe",
                f"'{written[:60]}' is no web address of a folder",
                "such as https://example.org/lighthouse/",
                self.places.value(*at),
            )
        return address or ""


def _beside(place: Place, columns: int) -> Place:
    return Place(place.file, place.line, place.column + columns)
