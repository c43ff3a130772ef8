"""What the article's page shows, as plain values; the templates in ``page/`` only set them out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

__all__ = [
    "BuildsView",
    "CardView",
    "CauseView",
    "FaultView",
    "FormulaView",
    "InsideView",
    "Metadata",
    "MotionView",
    "Page",
    "Plate",
    "PromiseView",
    "PromisedView",
    "ReplayView",
    "RowView",
    "SectionView",
    "SheetView",
    "SlipView",
    "StepSet",
    "StepView",
    "Told",
    "TrialView",
]

StepSet = Literal["", "half", "beside"]
"""Below one another over the whole page, one of two steps in a row, or words beside the picture."""


@dataclass(frozen=True, slots=True)
class Plate:
    """A picture with its caption."""

    svg: str
    caption: str
    id: str = ""
    wide: str = ""
    """Its width in print, as a CSS length, at which its smallest text has nine points; may be empty."""
    narrow: bool = False
    """Whether words find room beside it on a printed page."""
    too_wide: bool = False
    """Whether it needs a printed page on its side."""


@dataclass(frozen=True, slots=True)
class RowView:
    """One row of the parts list."""

    name: str
    references: str
    quantity: int
    marking: str
    note: str
    svg: str
    wide: str = ""


@dataclass(frozen=True, slots=True)
class FormulaView:
    """One formula with its working; ``measured`` is empty where nothing corresponds to it."""

    title: str
    mathml: str
    text: str
    note: str
    ideal: str
    measured: str
    why: str
    source: str
    put_in: str = ""
    """The same as ``mathml`` with each symbol beside its value, for a page that puts values in."""
    line: str = ""
    """The formula on one line with its symbols in braces."""
    values: tuple[tuple[str, str], ...] = ()
    """Each symbol with its value."""


@dataclass(frozen=True, slots=True)
class SheetView:
    """The formulas of one recognised shape."""

    title: str
    about: str
    formulas: tuple[FormulaView, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """A sentence of the story; ``mark`` is its number in the waveforms, empty where it has none."""

    mark: str
    text: str


@dataclass(frozen=True, slots=True)
class MotionView:
    """A picture that can move: ``key`` is unique in the page, ``titles`` show in turn while it plays."""

    key: str
    legend: str
    svg: str
    css: str
    caption: str
    titles: tuple[str, ...] = ()
    wide: str = ""


@dataclass(frozen=True, slots=True)
class InsideView:
    """Moments inside one IC: (picture, number of the sentence or "", sentence)."""

    title: str
    about: str
    looks: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class ReplayView:
    """Any moment of a run: the numbers as JSON, pictures, nets, and what can be on: (name, on, off)."""

    data: str
    board: str
    schematic: str
    inside: tuple[tuple[str, tuple[str, ...]], ...]
    nets: tuple[str, ...]
    items: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class TrialView:
    """The story of one trial with its waveforms, the circuit at work and the inside of its ICs."""

    title: str
    sentences: tuple[Told, ...]
    plates: tuple[Plate, ...]
    work: MotionView | None = None
    inside: tuple[InsideView, ...] = ()
    replay: ReplayView | None = None


@dataclass(frozen=True, slots=True)
class CardView:
    """One part card: pictures with their widths in print, what is printed on the part, legs, slips.

    ``beside``: it lies beside the board and has leads in place of legs.
    """

    name: str
    title: str
    references: str
    count: int
    picture: str
    picture_wide: str
    symbol: str
    symbol_wide: str
    marking: tuple[tuple[str, str], ...]
    reading: str
    legs: tuple[tuple[str, str], ...]
    slips: tuple[str, ...]
    beside: bool = False


@dataclass(frozen=True, slots=True)
class StepView:
    """One building step."""

    number: int
    title: str
    text: str
    callout: str
    why: str
    check: str
    svg: str
    items: tuple[str, ...] = ()
    wide: str = ""
    set: StepSet = ""
    """How it is set on a printed page."""
    under: bool = False
    """Whether its close-ups are too wide to stand beside its picture there."""
    tall: str = ""
    """The height of its picture there, a CSS length, where a close-up stands beside it."""
    closeups: tuple[Plate, ...] = ()
    on_paper: bool = True
    """Whether its close-ups are printed."""
    cautions: tuple[str, ...] = ()
    """Dangers of a slip at this step."""
    twice: tuple[str, ...] = ()
    """What to look at twice before the supply goes on, with the reason."""


@dataclass(frozen=True, slots=True)
class PromiseView:
    """A promise beside what was measured."""

    says: str
    expected: str
    measured: str
    ok: bool


@dataclass(frozen=True, slots=True)
class PromisedView:
    """A promise in many builds: its histogram, captioned with what it means."""

    says: str
    plate: Plate


@dataclass(frozen=True, slots=True)
class BuildsView:
    """Many builds: the words on them and on their ``order``, each promise, the numbers as JSON."""

    about: str
    order: str
    count: int
    promised: tuple[PromisedView, ...]
    data: str


@dataclass(frozen=True, slots=True)
class SlipView:
    """What is easily put in wrong about one part."""

    name: str
    references: str
    slips: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CauseView:
    """One cause of a symptom; ``step`` is 0 for none, ``reading`` and ``picture`` may be empty."""

    what: str
    ways: tuple[str, ...]
    look: str
    reading: tuple[str, ...]
    cure: str
    step: int
    picture: str = ""
    danger: str = ""
    pair: tuple[str, str] | None = None
    """The right part and the wrong one, where only what is printed on them differs."""


@dataclass(frozen=True, slots=True)
class FaultView:
    """One symptom: what to do first, its danger, the likeliest causes, the others by part."""

    id: str
    title: str
    first: str
    danger: str
    causes: tuple[CauseView, ...]
    others: tuple[tuple[str, tuple[str, ...]], ...] = ()
    left: int = 0
    """Causes that are not told here."""


@dataclass(frozen=True)
class SectionView:
    """A section of the article; ``kind`` names its template.

    The author's words come in at ``slot``; without them it is left out where it is ``optional``.
    """

    id: str
    title: str
    kind: str
    slot: str
    optional: bool = False
    plates: tuple[Plate, ...] = ()
    rows: tuple[RowView | SlipView, ...] = ()
    entries: tuple[SheetView, ...] = ()
    trials: tuple[TrialView, ...] = ()
    steps: tuple[StepView, ...] = ()
    motion: MotionView | None = None
    promises: tuple[PromiseView, ...] = ()
    builds: BuildsView | None = None
    faults: tuple[FaultView, ...] = ()
    finder: str = ""
    """The questions of the fault finder as JSON."""
    symptoms: int = 0
    """How many symptoms there are in all, where not all of them stand here."""
    cautions: tuple[tuple[str, str], ...] = ()
    beside: str = ""
    """Its width in print, a CSS length, where it and its neighbour stand in a row."""
    board: str = ""
    wires: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Metadata:
    """For machines: (property, content) of its preview, own address, addresses by language, JSON-LD."""

    preview: tuple[tuple[str, str], ...] = ()
    address: str = ""
    languages: tuple[tuple[str, str], ...] = ()
    how_to: str = ""


@dataclass(frozen=True)
class Page:
    """The whole article."""

    title: str
    summary: str
    language: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[SectionView, ...]
    symbols_note: str
    sources: tuple[tuple[str, str, str], ...] = field(default=())
    metadata: Metadata = field(default_factory=Metadata)

    @property
    def motions(self) -> tuple[str, ...]:
        """The style sheets of its moving pictures."""
        views = [s.motion for s in self.sections] + [t.work for s in self.sections for t in s.trials]
        return tuple(view.css for view in views if view)
