"""From a folder to a Lesson: everything is read, checked for shape, and given its place."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from buildalong.circuit import Circuit, Part, parse_supply
from buildalong.finding import Finding, Place, Severity, Unreadable, by_severity
from buildalong.lesson._address import folder_address
from buildalong.lesson._folder import Folder
from buildalong.lesson._hints import Hint, HintError, against, read_hint
from buildalong.lesson._images import read_images
from buildalong.lesson._lesson import Lesson, Source
from buildalong.lesson._letters import undrawn_in_facts
from buildalong.lesson._own_parts import OwnParts, own_parts
from buildalong.lesson._parts import make_part
from buildalong.lesson._read_layout import read_layout
from buildalong.lesson._read_promises import read_promises
from buildalong.lesson._read_trials import read_trials
from buildalong.lesson._reading import Reading
from buildalong.lesson._salvage import salvage
from buildalong.lesson._schema import MAX_PARTS, LessonTable, SupplyTable
from buildalong.lesson._toml import Document, read_toml
from buildalong.lesson._translate import own_tag, said_in, translated, unknown_language, unsaid
from buildalong.lesson._wishes import read_wishes
from buildalong.parts import Catalogue, catalogue

__all__ = ["load"]

FACTS, PROSE = "lesson.toml", "lesson.md"


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
    own = own_parts(source, known)
    fatal.extend(own.fatal)
    if fatal or document is None:
        raise Unreadable(*by_severity([*fatal, *own.findings]))
    return _Loader(source, document, prose, known, own, words, language).lesson()


def _prose_file(source: Folder, language: str) -> str:
    """The file with the words in a language: lesson.de-at.md, lesson.de.md, or the author's own."""
    tag = language.lower()
    names = [f"lesson.{name}.md" for name in dict.fromkeys((tag, tag.partition("-")[0])) if name]
    return next((name for name in names if source.has(name)), PROSE)


class _Loader(Reading):
    """The reading of a whole lesson, its words in a language."""

    def __init__(
        self, source: Folder, document: Document, prose: str, known: Catalogue, own: OwnParts, words: str,
        language: str,
    ) -> None:  # fmt: skip
        super().__init__(source, document, known.extended(own.types) if own.types else known)
        self.own = own
        self.findings += own.findings
        self.words = words
        self.language = language
        self.prose = prose

    def lesson(self) -> Lesson:
        table, found, whole = salvage(LessonTable, self.document.values, self.places)
        self.findings.extend(found)
        if table is None:
            raise Unreadable(*by_severity(self.findings))
        self.sound = whole
        written, table, tag = table, *self.in_language(table)
        circuit = self.circuit(table)
        before = len(self.findings)
        trials, bounces = read_trials(self, table, circuit)
        unread = any(f.severity >= Severity.ERROR for f in self.findings[before:])
        promises = read_promises(self, table, trials)
        if unread:  # what another trial than the author's would show is nobody's mistake
            trials = ()
        layout = read_layout(self, table)
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
            does=_does(table),
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
        self.findings += unsaid(tag or table.language, said_in(table, tag), self.places)
        own = said_in(table, tag) if tag else {}
        self.findings += undrawn_in_facts(self.document.values, own, self.places, self.own.words)
        if not tag:
            return table, ""
        written = table
        table, found = translated(self.document.values, written, tag, self.places, self.own.words)
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
            part, found = make_part(identity, part_table, self.catalogue, self.places, self.own.broken)
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

    # -- the rest ---------------------------------------------------------------------------------

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


def _does(table: LessonTable) -> dict[str, str]:
    """What the author says that each part does here, the supply among them."""
    said = {key: part.does for key, part in table.parts.items()}
    if isinstance(table.supply, SupplyTable):
        said[table.supply.id] = table.supply.does
    return {key: does for key, does in said.items() if does}
