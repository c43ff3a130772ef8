"""The nouns of this floor: what the author wrote (Lesson) and what came out of checking it (Compiled)."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._expression import Expression
from buildalong.lesson._hints import Hint
from buildalong.lesson._positions import Positions
from buildalong.quantity import Quantity
from buildalong.words import Speaker, speaking, spoken

if TYPE_CHECKING:
    from buildalong.board import Layout
    from buildalong.build.place import Placement
    from buildalong.build.steps import Step
    from buildalong.circuit import Circuit
    from buildalong.design import Shape, SheetEntry
    from buildalong.engine import Run, Trial
    from buildalong.mistakes import Wishes
    from buildalong.story import Sentence

__all__ = [
    "CUT_SHORT",
    "Basis",
    "Block",
    "Compiled",
    "Figure",
    "Image",
    "LayoutRequest",
    "Lesson",
    "Promise",
    "PromiseResult",
    "Section",
    "Source",
    "TextFile",
]


CUT_SHORT = "placing-cut-short"
"""The finding of a placement that depended on the clock: nothing that follows from it is kept."""


@dataclass(frozen=True, slots=True)
class Promise:
    """A behaviour the lesson tells the learner to expect.

    ``that`` is measured in the trial named ``trial``; it must lie within ``tolerance`` of ``expected``:
    a ratio of it, or an amount in its unit where ``absolute`` is true.
    """

    that: Expression
    expected: Quantity
    tolerance: float
    absolute: bool
    trial: str
    says: str
    place: Place

    @property
    def limits(self) -> tuple[float, float]:
        """Least and largest value that keeps the promise."""
        reach = self.tolerance if self.absolute else abs(self.expected.value) * self.tolerance
        return self.expected.value - reach, self.expected.value + reach


@dataclass(frozen=True, slots=True)
class TextFile:
    """A text file of the lesson folder: its path as the author would type it, and what stands in it."""

    file: str
    text: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class LayoutRequest:
    """What the author asks of the layout, as written.

    ``board`` may be "smallest".  ``holes`` of some parts in leg order; the words of each wire; the
    author's build list, and whether the steps keep its ``order``; the list of an earlier lesson
    ``before`` this one; lines on ``where`` parts stand and what to keep ``free``; whether the layout is
    to be ``gentle`` to slips of the hand.
    """

    board: str
    holes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    wires: tuple[tuple[str, ...], ...] = ()
    style: Literal["formed", "link", "flexible"] = "formed"
    build_list: TextFile | None = None
    order: Literal["list", "best"] = "list"
    before: TextFile | None = None
    where: tuple[str, ...] = ()
    free: tuple[str, ...] = ()
    gentle: bool = False


@dataclass(frozen=True, slots=True)
class Source:
    """A book, sheet or page that the author thanks or points to."""

    title: str
    by: str = ""
    link: str = ""


@dataclass(frozen=True, slots=True)
class Image:
    """A picture from the lesson folder, checked for type and size."""

    name: str
    kind: Literal["png", "jpeg", "webp", "gif"]
    data: bytes = field(repr=False)


@dataclass(frozen=True)
class Lesson:
    """What the author wrote, every value with its place.

    ``circuit`` holds the parts that could be understood and the supply (``BT1``); it is worth
    simulating only where ``sound`` is true.  ``findings`` are those of reading alone.  ``language`` is
    that of the words here; ``own_words`` are the author's translations into it, and ``trial_names`` the
    names of the trials as written -> as said in it.  ``link`` is the address of the folder where its pack
    will stand, ``links`` those of its other languages.  ``trail`` tells what was asked of the folder, as
    :class:`~buildalong.lesson._folder.Folder` keeps it.
    """

    folder: Path
    name: str
    title: str
    summary: str
    board: str
    supply: str
    circuit: Circuit
    sound: bool
    trials: tuple[Trial, ...]
    promises: tuple[Promise, ...]
    layout: LayoutRequest
    prose: str
    prose_file: str
    facts: str
    places: Positions
    does: Mapping[str, str] = field(default_factory=dict)
    bounces: Mapping[str, float] = field(default_factory=dict)
    authors: tuple[str, ...] = ()
    licence: str = ""
    language: str = "en"
    own_words: Mapping[str, str] = field(default_factory=dict)
    trial_names: Mapping[str, str] = field(default_factory=dict)
    ages: str = ""
    time: str = ""
    sources: tuple[Source, ...] = ()
    link: str = ""
    links: Mapping[str, str] = field(default_factory=dict)
    hand: Literal["right", "left"] = "right"
    contrast: Literal["usual", "high"] = "usual"
    symbols: str = "IEC 60617"
    hints: tuple[Hint, ...] = ()
    images: Mapping[str, Image] = field(default_factory=dict)
    wishes: Wishes | None = None
    findings: tuple[Finding, ...] = ()
    trail: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    def speaking(self) -> AbstractContextManager[Speaker]:
        """Speak the lesson's language, or English where it is not spoken here, inside a ``with``."""
        return speaking(spoken(self.language) or "en", self.own_words)


@dataclass(frozen=True, slots=True)
class PromiseResult:
    """A promise beside what was measured; ``measured`` is None where nothing could be measured."""

    promise: Promise
    measured: Quantity | None
    ok: bool
    why: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that the words may use: its quantity, what it is in words, and where it comes from.

    ``kind``: "value" (a part's), "measure" (of a run), "formula", "rating", "supply", "trial",
    "promise" (an expected value that was kept), "lesson" (such as the time it takes).  ``trial`` is
    the trial in which a measure was taken.
    """

    quantity: Quantity
    words: str
    kind: Literal["value", "measure", "formula", "rating", "supply", "trial", "promise", "lesson"]
    trial: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of prose: sanitised HTML and its first line in lesson.md."""

    html: str
    line: int


@dataclass(frozen=True, slots=True)
class Section:
    """A section of the prose: ``id`` from its heading ("" for the words before the first heading)."""

    id: str
    title: str
    blocks: tuple[Block, ...]

    @property
    def html(self) -> str:
        """The section's words as HTML, without its heading."""
        return "".join(block.html for block in self.blocks)


@dataclass(frozen=True)
class Basis:
    """What the words of a sound lesson were held against, so that other words need nothing else.

    ``trail``: what the rest of the lesson was read from; ``file``: where the words stand, in the folder;
    ``figures``: those that stand without asking; ``answers``: what the words asked for -> the number as
    shown, the figure's name, and the figure; ``findings``: those that are not on the words;
    ``language``: that of the words.
    """

    trail: Mapping[str, str]
    file: str
    figures: Mapping[str, Figure]
    answers: Mapping[str, tuple[str, str, Figure]]
    findings: tuple[Finding, ...]
    language: str = "en"


@dataclass(frozen=True)
class Compiled:
    """Everything that all faces show of a lesson; equal input gives an equal result.

    ``runs`` holds one run for each trial; ``power_up_runs`` the runs of the same trial from other
    power-up states, where no data sheet promises one.  ``figures`` maps the name an author writes
    between ``{{`` and ``}}`` to the number.  ``optimum`` is the placer's own layout beside a whole
    layout of the author's, otherwise None.  ``placement`` is None, and the tuples are empty, where an
    error in the lesson leaves nothing to compute; ``findings`` tell why.  ``basis`` is there where
    changed words can be woven alone.
    """

    lesson: Lesson
    circuit: Circuit
    runs: Mapping[str, Run]
    power_up_runs: Mapping[str, tuple[Run, ...]]
    promises: tuple[PromiseResult, ...]
    figures: Mapping[str, Figure]
    placement: Placement | None
    optimum: Placement | None
    steps: tuple[Step, ...]
    shapes: tuple[Shape, ...]
    sheet: tuple[SheetEntry, ...]
    stories: Mapping[str, tuple[Sentence, ...]]
    prose: tuple[Section, ...]
    findings: tuple[Finding, ...]
    basis: Basis | None = field(default=None, compare=False, repr=False)

    @property
    def layout(self) -> Layout | None:
        """The layout that the steps build."""
        return self.placement.layout if self.placement is not None else None

    @property
    def ok(self) -> bool:
        """Whether nothing is an error."""
        return all(f.severity < Severity.ERROR for f in self.findings)

    def section(self, identity: str) -> Section | None:
        """The prose section with this id, or None."""
        return next((section for section in self.prose if section.id == identity), None)
