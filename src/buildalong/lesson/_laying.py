"""The board of a lesson as its author wants it: pins, build list, pieces of the board, an earlier board."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from buildalong.board import (
    Board,
    Layout,
    board,
    check_layout,
    compare,
    equal,
    layout_from,
    read_back,
)
from buildalong.build.dress import all_led, dressed
from buildalong.build.hand import BuildList, ListStep, board_named, kept_from, read_list
from buildalong.build.place import Hurts, Placement, Wishes, score, smallest_conflict
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._gentle import hurts_of
from buildalong.lesson._lesson import Lesson
from buildalong.lesson._placing import place_kept
from buildalong.lesson._read_layout import SMALLEST
from buildalong.lesson._requests import Requests
from buildalong.lesson._where import located
from buildalong.store import Store
from buildalong.words import capital

if TYPE_CHECKING:
    from buildalong.build.steps import Step

__all__ = ["Laid", "lay_out"]

SIZES = ("170", "400", "830")
"""The boards among which the smallest is looked for."""
_MOST_MOVES = 6
"""Things of an earlier board that are let go, one after the other, before all of them are."""


@dataclass(frozen=True)
class Laid:
    """The board of a lesson.

    ``optimum``: the placer's own layout beside an author's whole one; ``order``: the author's steps,
    empty where the best order is wanted; ``misbuilt``: the board does not make the circuit.
    """

    placement: Placement | None
    findings: tuple[Finding, ...] = ()
    optimum: Placement | None = None
    order: tuple[ListStep, ...] = ()
    misbuilt: bool = False

    def on_its_board(self, lesson: Lesson) -> Lesson:
        """The lesson with the board that was chosen for it."""
        chosen = self.placement.layout.board.name if self.placement else lesson.board
        return lesson if lesson.board == chosen else replace(lesson, board=chosen)

    def built(self, steps: Iterable[Step]) -> Laid:
        """The same board, its wires one over the other as the steps put them down."""
        if self.placement is None:
            return self
        layout = self.placement.layout.stacked(step.wires for step in steps)
        return replace(self, placement=replace(self.placement, layout=layout))

    @property
    def fits(self) -> bool:
        """Whether nothing is wrong, and there is room: no wire arches over and lamps stand in their row."""
        return self.placement is not None and not any(
            f.severity >= Severity.ERROR or f.code in ("wire-arches-over", "lamps-apart")
            for f in self.findings
        )


def lay_out(
    lesson: Lesson, circuit: Circuit, store: Store | None, seconds: float, say: Callable[[float, str], None]
) -> Laid:
    """Lay the circuit out as the lesson asks; every finding has its place in the author's files."""
    laid = _laid_out(lesson, circuit, store, seconds, say)
    if laid.placement is None or all_led(laid.placement.layout):
        return laid
    placement = replace(laid.placement, layout=dressed(circuit, laid.placement.layout))
    return replace(laid, placement=placement)


def _laid_out(
    lesson: Lesson, circuit: Circuit, store: Store | None, seconds: float, say: Callable[[float, str], None]
) -> Laid:
    request = lesson.layout
    if request.board != SMALLEST:
        return _Desk(lesson, circuit, board(request.board), store, seconds, say).laid()
    named = board_named(request.build_list.text) if request.build_list else ""
    sizes = (named,) if named in SIZES else SIZES
    for size in sizes:
        say(0.0, f"trying the board {size}")
        laid = _Desk(lesson, circuit, board(size), store, seconds, say).laid()
        if laid.fits:
            break
    return laid


@dataclass
class _Desk:
    """One board on which one lesson is laid out."""

    lesson: Lesson
    circuit: Circuit
    board: Board
    store: Store | None
    seconds: float
    say: Callable[[float, str], None]
    findings: list[Finding] = field(default_factory=list)
    listed: BuildList | None = None
    before: BuildList | None = None

    def __post_init__(self) -> None:
        """Read the requests on this board."""
        self.requests = Requests(self.lesson, self.circuit, self.board)

    def add(self, findings: list[Finding], *, on_board: bool = False) -> None:
        """Keep findings, each at what the author wrote on its subject."""
        for listed in (self.listed, self.before):
            if listed is not None:
                findings = listed.locate(findings)
        holes = self.lesson.layout.holes
        self.findings += located(findings, self.circuit, self.lesson.places, holes, on_board=on_board)

    def error(self, code: str, message: str, hint: str, place: Place) -> None:
        self.findings.append(Finding(Severity.ERROR, code, message, hint, place))

    def laid(self) -> Laid:
        """Read the author's requests, place what is left, and look at the result."""
        fixed = self.pinned()
        wishes, found = self.requests.wishes()
        self.findings += found
        order = self.listed.steps if self.listed and self.lesson.layout.order == "list" else ()
        if any(f.severity >= Severity.ERROR for f in self.findings):
            return Laid(None, tuple(self.findings))
        whole = fixed is not None and set(fixed.holes) >= set(self.circuit.by_id)
        if fixed is not None and whole and (fixed.wires or self.makes(fixed)):
            return self.judged(fixed, order)
        wishes = replace(wishes, hurts=self.hurts())
        soft, notes = self.earlier(fixed)
        placement = self.placed(fixed if soft is None else soft, wishes)
        if soft is not None:
            placement, moved = self.grown(fixed, soft, wishes, placement)
            notes += moved
        if self.listed is not None:
            placement = replace(placement, layout=_down(placement.layout))
        self.add(notes)
        self.add(list(placement.findings), on_board=True)
        if any(f.code in ("no-place", "no-way-for-a-wire") for f in placement.findings):
            self.explain(fixed, wishes)
        stuck = any(f.severity >= Severity.ERROR for f in placement.findings)
        misbuilt = self.looked_at(placement.layout, whole=not stuck)
        return Laid(placement, tuple(self.findings), None, order, misbuilt)

    # --- what the author asks ---

    def pinned(self) -> Layout | None:
        """The author's own holes and wires, from lesson.toml or from the build list."""
        request, places = self.lesson.layout, self.lesson.places
        own = bool(request.holes or request.wires)
        if request.build_list is not None:
            if own:
                key = next(iter(request.holes), "wires")
                self.error(
                    "layout-said-twice",
                    "holes and wires stand in the build list and in lesson.toml",
                    "keep them in one of the two",
                    places.value("layout", key),
                )
            trials = [trial.name for trial in self.lesson.trials]
            file, text = request.build_list.file, request.build_list.text
            self.listed = read_list(text, file, self.circuit, self.board, style=request.style, trials=trials)
            self.findings += self.listed.findings
            return self.listed.layout
        if not own:
            return None
        fixed, found = layout_from(self.board, self.circuit, request.holes, request.wires, request.style)
        self.add(found, on_board=True)
        return fixed

    # --- placing ---

    def placed(self, fixed: Layout | None, wishes: Wishes) -> Placement:
        """The placer's answer."""
        return place_kept(
            self.store,
            self.circuit,
            self.board,
            fixed=fixed if fixed is not None and (fixed.holes or fixed.wires) else None,
            wishes=wishes if wishes or wishes.hurts is not None else None,
            style=self.lesson.layout.style,
            seconds=self.seconds,
            progress=self.say,
        )

    def hurts(self) -> Hurts | None:
        """What comes of slips, where the author asks for a gentle layout and there is a trial to see it."""
        if not self.lesson.layout.gentle or not self.lesson.trials:
            return None
        return hurts_of(self.circuit, self.board, self.lesson.trials, self.store, self.say)

    def judged(self, layout: Layout, order: tuple[ListStep, ...]) -> Laid:
        """A whole layout of the author's beside the placer's own; flexible wires are led in both."""
        layout = dressed(self.circuit, layout)
        hurts = self.hurts()
        best = self.placed(None, Wishes(hurts=hurts))
        misbuilt = self.looked_at(layout)
        count, other = len(layout.wires), best.wire_count
        works = not any(f.severity >= Severity.ERROR for f in best.findings)
        if works and not misbuilt and other < count:
            message = f"this layout takes {count} wires; {other} would do"
            if best.lower_bound == other:
                message += ", which is proved to be the fewest"
            hint = "see 'buildalong layout --compare'; keep yours where it is easier to follow"
            place = self.listed.steps[0].place if self.listed else self.lesson.places.key("layout")
            self.findings.append(Finding(Severity.NOTE, "fewer-wires-would-do", message, hint, place))
        own = Placement(
            layout,
            count,
            best.lower_bound,
            not misbuilt and count == best.lower_bound,
            score(self.circuit, layout, hurts),
        )
        return Laid(own, tuple(self.findings), best, order, misbuilt)

    def makes(self, layout: Layout) -> bool:
        """Whether a layout makes the circuit."""
        return equal(self.circuit, read_back(self.circuit.parts, layout))

    def looked_at(self, layout: Layout, *, whole: bool = True) -> bool:
        """Compare and check the board; whether it makes another circuit.

        Where the placer could not make it ``whole``, it has said what is missing, and why.
        """
        wrong = compare(self.circuit, read_back(self.circuit.parts, layout), layout)
        # The comparison names the slip; which strips it puts two nets on, follows from it.
        found = [
            f for f in check_layout(self.circuit, layout) if not wrong or f.code != "strip-with-two-nets"
        ]
        self.add([*(wrong if whole else ()), *found], on_board=True)
        return bool(wrong)

    def explain(self, fixed: Layout | None, wishes: Wishes) -> None:
        """Say which of the author's requests cannot all be had."""
        self.say(0.9, "looking for the requests that cannot all be had")
        style = self.lesson.layout.style
        names = smallest_conflict(self.circuit, self.board, fixed, wishes, style=style)
        if names:
            told = [self.requests.words(name, fixed, wishes) for name in names]
            message = (
                f"No layout was found with {told[0]}; without it there is one."
                if len(told) == 1
                else f"These requests cannot all be had: {'; '.join(told)}. Without any one of them there is"
                " a layout."
            )
            hint = "Take one of them back, or choose a larger board."
            about = names[-1].removeprefix("where ") if fixed else names[-1]
            places = self.requests.places(names, self.listed)
            self.add([Finding(Severity.ERROR, "requests-conflict", message, hint, places[-1], (about,))])

    # --- an earlier board ---

    def earlier(self, fixed: Layout | None) -> tuple[Layout | None, list[Finding]]:
        """The author's pins with what can stay of the earlier lesson's board; None where there is none."""
        request = self.lesson.layout.before
        if request is None:
            return None, []
        read = read_list(request.text, request.file, self.circuit, self.board, lenient=True)
        self.before = read
        if read.layout is None:
            return None, list(read.findings)
        kept, notes = kept_from(self.circuit, _without(read.layout, fixed))
        own = fixed or Layout(self.board, {})
        return Layout(self.board, {**own.holes, **kept.holes}, (*own.wires, *kept.wires)), notes

    def grown(
        self, fixed: Layout | None, soft: Layout, wishes: Wishes, placement: Placement
    ) -> tuple[Placement, list[Finding]]:
        """Let as little as possible of the earlier board go until the new circuit fits."""
        notes: list[Finding] = []
        firm = [*(fixed.holes if fixed else ())]
        firm += [f"wire {number + 1}" for number in range(len(fixed.wires) if fixed else 0)]
        firm += [f"where {part}" for part in wishes.areas]
        firm += [f"free {number + 1}" for number in range(len(wishes.free))]
        for _ in range(_MOST_MOVES):
            if all(f.severity < Severity.ERROR for f in placement.findings):
                return placement, notes
            names = smallest_conflict(
                self.circuit, self.board, soft, wishes, style=self.lesson.layout.style, firm=firm
            )
            if not names:
                break
            goes = names[-1]
            words = self.requests.words(goes, soft, wishes)
            text = f"{capital(words)} cannot stay for this circuit."
            notes.append(Finding(Severity.NOTE, "grows-moves", text, about=(goes,)))
            holes = {part: holes for part, holes in soft.holes.items() if part != goes}
            wires = tuple(w for n, w in enumerate(soft.wires, start=1) if goes != f"wire {n}")
            soft = Layout(self.board, holes, wires)
            placement = self.placed(soft, wishes)
        if any(f.severity >= Severity.ERROR for f in placement.findings):
            text = "The earlier board leaves no way for this circuit; it is laid out anew."
            notes.append(Finding(Severity.NOTE, "grows-anew", text, about=("grows_from",)))
            placement = self.placed(fixed, wishes)
        return placement, notes


def _without(earlier: Layout, fixed: Layout | None) -> Layout:
    """The earlier layout without parts and holes that the author has given anew."""
    if fixed is None:
        return earlier
    taken = {hole for hole, _ in fixed.used()}
    holes: Mapping[str, tuple[str, ...]] = {
        part: holes
        for part, holes in earlier.holes.items()
        if part not in fixed.holes and not taken.intersection(holes)
    }
    wires = tuple(wire for wire in earlier.wires if not taken.intersection((wire.start, wire.end)))
    return Layout(earlier.board, holes, wires)


def _down(layout: Layout) -> Layout:
    """The layout with its wires numbered from the top down."""
    at = layout.board.holes
    return replace(
        layout, wires=tuple(sorted(layout.wires, key=lambda w: (*at[w.start][::-1], *at[w.end][::-1])))
    )
