"""Reading a build list: one line for each step, checked word by word.

The notation, line by line (docs/build-list.md tells it to authors)::

    board 400                     the board it is made for            (may be left out)
    style formed                  how its wires are made              (may be left out)
    U1 e5                         a rigid part: its first leg; 'turned 180' turns it clockwise
    R1 a5 a9                      a part: one hole for each lead, in order, '-' for one left free
    DS1 A=a9 K=a10                the same by the names of the leads, in any order
    wire red L+3 a5               a wire from end to end
    wire green c7 c12 j12         the same with a bend at c12
    R2 a5 a9; R3 b5 b9 | why      two things in one step, and why
    test evening                  here the learner switches on and looks  (a trial; else the first)
    # words                       a note to oneself
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from buildalong.board import STYLES, TURNS, Board, Layout, Style, footprint, layout_from
from buildalong.build.hand._list import BuildList, ListStep
from buildalong.build.hand._sentences import HINT, SAY
from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Place, Severity
from buildalong.words import listed

__all__ = ["MOST_LINES", "board_named", "read_list"]

MOST_LINES = 600
_WORD = re.compile(r"\S+")
_NAME = re.compile(r"[A-Za-z]{1,4}\d{1,3}[A-Za-z]?")
"""What a part of another lesson may be called."""
_LEAD = re.compile(r"([^=\s]{1,16})=(\S+)")
_MOST_FINDINGS = 40


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    place: Place


@dataclass
class _Item:
    """A part or a wire with the words of its holes."""

    name: str
    words: list[_Word]
    place: Place


@dataclass
class _Line:
    items: list[_Item] = field(default_factory=list)
    test: str | None = None
    why: str = ""
    place: Place = field(default_factory=Place)


def board_named(text: str) -> str:
    """The board that a list names in its head; '' where it names none."""
    for line in text.split("\n")[:MOST_LINES]:
        words = line.split("#")[0].split()
        if words[:1] == ["board"]:
            return words[1] if len(words) == 2 else ""
    return ""


def read_list(
    text: str,
    file: str,
    circuit: Circuit,
    board: Board,
    *,
    style: Style = "formed",
    trials: Sequence[str] = (),
    lenient: bool = False,
    any_test: bool = False,
    crowded: bool = False,
) -> BuildList:
    """Read a build list for a circuit on a board; nothing is raised for what the author wrote wrongly.

    ``style``: how wires are made where the list does not say; ``trials``: names that a test may give;
    ``lenient``: the list is of another lesson, whose parts and trials need not be known here;
    ``any_test``: the trials are not known; ``crowded``: two leads may be given to one hole, as for mending.
    """
    return _Reader(file, circuit, board, style, None if any_test else trials, lenient, crowded).read(text)


class _Reader:
    """One reading of one list."""

    def __init__(
        self,
        file: str,
        circuit: Circuit,
        board: Board,
        style: Style,
        trials: Sequence[str] | None,
        lenient: bool,
        crowded: bool,
    ) -> None:
        self.file, self.circuit, self.board, self.style, self.trials = file, circuit, board, style, trials
        self.lenient, self.crowded = lenient, crowded
        self.findings: list[Finding] = []
        self.lines: list[_Line] = []
        self.seen: dict[str, int] = {}

    def error(self, code: str, place: Place, *about: str, **gaps: object) -> None:
        """Keep an error."""
        message, hint = SAY[code].format_map(gaps), HINT[code].format_map(gaps)
        self.findings.append(Finding(Severity.ERROR, code, message, hint, place, about))

    def read(self, text: str) -> BuildList:
        """Read all lines."""
        lines = text.split("\n")
        if len(lines) > MOST_LINES:
            self.error(
                "list-too-long", Place(self.file, MOST_LINES + 1, 1), count=len(lines), most=MOST_LINES
            )
        else:
            for number, line in enumerate(lines, start=1):
                self.line(line, number)
        if not any(line.items for line in self.lines) and not self.findings:
            self.error("list-empty", Place(self.file, 1, 1))
        return self.made()

    # --- lines ---

    def line(self, text: str, number: int) -> None:
        """Read one line into its items."""
        body, _, why = text.split("#", 1)[0].partition("|")
        start = 0
        made = _Line(why=" ".join(why.split()))
        pieces = body.split(";")
        for piece in pieces:
            words = [
                _Word(found[0], Place(self.file, number, start + found.start() + 1))
                for found in _WORD.finditer(piece)
            ]
            start += len(piece) + 1
            if words:
                made.place = made.place if made.place.line else words[0].place
                self.piece(words, made, number)
            elif len(pieces) > 1:
                self.error("empty-step", Place(self.file, number, start))
        if made.items or made.test is not None:
            self.lines.append(made)

    def piece(self, words: list[_Word], line: _Line, number: int) -> None:
        """Read one thing of a line."""
        head, rest = words[0], words[1:]
        if head.text in self.circuit.by_id:
            if head.text in self.seen:
                self.error("part-twice", head.place, head.text, part=head.text, line=self.seen[head.text])
                return
            self.seen[head.text] = number
            line.items.append(_Item(head.text, rest, head.place))
        elif head.text.lower() == "wire":
            line.items.append(_Item("", rest, head.place))
        elif head.text.lower() == "test":
            line.test = " ".join(word.text for word in rest)
            if line.test and self.trials is not None and not self.lenient and line.test not in self.trials:
                near = _near(line.test, self.trials)
                self.error(
                    "test-takes-nothing", rest[0].place,
                    trial=line.test[:60], near=near, trials=", ".join(self.trials) or "none",
                )  # fmt: skip
        elif head.text.lower() in ("board", "style") and not self.lines and not line.items:
            self.head(head, rest)
        elif not self.lenient or not _NAME.fullmatch(head.text):
            near = _near(head.text, (*self.circuit.by_id, "wire", "test", "board", "style"))
            self.error("list-unknown-word", head.place, word=head.text[:40], near=near)

    def head(self, head: _Word, rest: list[_Word]) -> None:
        """Read the head of the list: the board it is made for, and the style of its wires."""
        said = rest[0].text if len(rest) == 1 else ""
        place = rest[0].place if rest else head.place
        if head.text.lower() == "board":
            if said != self.board.name:
                shown = said or " ".join(word.text for word in rest)[:40]
                self.error("list-other-board", place, board=shown, wanted=self.board.name)
        elif (style := next((known for known in STYLES if said == known), None)) is not None:
            self.style = style
        else:
            self.error("list-head", place, word=said[:40], what="wire style", legal=f"'style {STYLES[0]}',"
                       f" {' or '.join(STYLES[1:])}")  # fmt: skip

    # --- holes ---

    def holes(self, item: _Item) -> list[_Word] | None:
        """One word for each leg of a part, in leg order; None where they cannot be told."""
        part = self.circuit.by_id[item.name]
        words = item.words
        if part.type.body.legs and words and not any("=" in word.text for word in words):
            turn, plain = self.turn(words)
            if len(plain) == 1 and len(part.type.leg_names) > 1:
                return self.standing(part, plain[0], turn)
        if not any("=" in word.text for word in words):
            return words
        return self.named(part, words)

    @staticmethod
    def turn(words: list[_Word]) -> tuple[int, list[_Word]]:
        """The turn that the words name, and the other words."""
        if len(words) > 1 and words[-2].text.lower() == "turned" and words[-1].text in map(str, TURNS):
            return int(words[-1].text), words[:-2]
        return 0, words

    def standing(self, part: Part, word: _Word, turn: int) -> list[_Word] | None:
        """The holes of a rigid part of which the first leg and the turn are known."""
        first = self.board.spell(word.text)
        if first not in self.board.holes:
            return [word] * len(part.type.leg_names)
        x0, y0 = self.board.holes[first]
        found = [self.board.hole_at(x0 + x, y0 + y) for x, y in footprint(part.type, turn)]
        if None in found:
            self.error(
                "no-room-there", word.place, part.id,
                part=part.id, hole=first, turn=f", turned by {turn} degrees" if turn else "",
                leads=listed(part.type.leg_names),
            )  # fmt: skip
            return None
        return [_Word(hole, word.place) for hole in found if hole is not None]

    def named(self, part: Part, words: list[_Word]) -> list[_Word] | None:
        """The holes of a part whose leads are given by name."""
        legs = part.type.leg_names
        found: dict[str, _Word] = {}
        good = True
        for word in words:
            pair = _LEAD.fullmatch(word.text)
            lead = next((leg for leg in legs if pair and leg.lower() == pair[1].lower()), None)
            if pair is None or lead is None:
                shown = pair[1] if pair else word.text
                self.error("unknown-lead", word.place, part.id, part=part.id, noun=part.type.noun,
                           lead=shown[:40], leads=listed(legs))  # fmt: skip
                good = False
            elif lead in found:
                self.error("lead-twice", word.place, part.id, part=part.id, lead=lead)
                good = False
            else:
                hole = pair[2]
                column = word.place.column + len(pair[1]) + 1
                found[lead] = _Word(hole, replace(word.place, column=column))
        return [found[leg] for leg in legs if leg in found] if good else None

    # --- the layout ---

    def made(self) -> BuildList:
        """Check holes and wires, and put all together."""
        holes: dict[str, list[str]] = {}
        wires: list[list[str]] = []
        places: dict[str, Place] = {}
        steps: list[tuple[_Line, list[str], list[int]]] = []
        for line in self.lines:
            parts, numbers = [], []
            for item in line.items:
                found = self.holes(item) if item.name else item.words
                if found is None:
                    continue
                if item.name:
                    holes[item.name] = [word.text for word in found]
                    parts.append(item.name)
                else:
                    wires.append([word.text for word in found])
                    numbers.append(len(wires) - 1)
                owner = item.name or f"wire {len(wires)}"
                places[owner] = item.place
                for word in found:
                    places.setdefault(f"{owner} {word.text}", word.place)
                    places.setdefault(f"{owner} {self.board.spell(word.text)}", word.place)
            steps.append((line, parts, numbers))
        listed = BuildList(None, (), (), places)
        layout, found_wrong = layout_from(self.board, self.circuit, holes, wires, self.style, self.crowded)
        self.findings += listed.locate(found_wrong)
        if layout is None or any(finding.severity >= Severity.ERROR for finding in self.findings):
            told = sorted(self.findings, key=lambda f: (f.place.line, f.place.column) if f.place else (0, 0))
            return BuildList(None, (), tuple(told[:_MOST_FINDINGS]), places)
        order = _down_the_board(layout)
        new = {old: number for number, old in enumerate(order)}
        layout = replace(layout, wires=tuple(layout.wires[i] for i in order))
        return BuildList(
            layout,
            tuple(
                ListStep(tuple(parts), tuple(new[i] for i in numbers), line.test, line.why, line.place)
                for line, parts, numbers in steps
                if parts or numbers or line.test is not None
            ),
            tuple(self.findings),
            _renumbered(places, new),
        )


def _down_the_board(layout: Layout) -> list[int]:
    """Indices of the wires from the top down, as the placer numbers them."""
    at = layout.board.holes

    def key(index: int) -> tuple[float, ...]:
        wire = layout.wires[index]
        return (*at[wire.start][::-1], *at[wire.end][::-1])

    return sorted(range(len(layout.wires)), key=key)


def _renumbered(places: Mapping[str, Place], new: Mapping[int, int]) -> dict[str, Place]:
    """Places of wires under the numbers that the wires have in the layout."""
    out: dict[str, Place] = {}
    for name, place in places.items():
        found = re.match(r"wire (\d+)", name)
        key = f"wire {new[int(found[1]) - 1] + 1}{name[found.end() :]}" if found else name
        out[key] = place
    return out


def _near(word: str, known: Sequence[str]) -> str:
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f"Did you mean {near[0]}? " if near else ""
