"""Kit: what a class needs for a lesson or a course, what is there, and what is to be bought."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from buildalong.board import Layout
from buildalong.build.steps import mark_of, what_of
from buildalong.choose import Drawer
from buildalong.circuit import Circuit, Part, supply_voltages
from buildalong.kit import _words as words
from buildalong.kit._rates import breakage_of
from buildalong.quantity import format_quantity
from buildalong.words import capital, say

__all__ = ["MAX_LEARNERS", "Bag", "Kit", "Line", "Session", "kit"]

MAX_LEARNERS = 10_000
_LASTING = ("board", "supply", "holder")
"""What serves one lesson after the other even where the lessons' builds are kept apart."""


@dataclass(frozen=True)
class Session:
    """One lesson of a course: its title, its circuit, its layout if known, else its board's name."""

    title: str
    circuit: Circuit
    layout: Layout | None = None
    board: str = ""


@dataclass(frozen=True)
class Line:
    """One kind of part.

    ``each`` is how many one learner needs, by lesson; ``needed`` for all learners; ``spares`` on top;
    ``there`` in the drawer; ``to_buy`` in all, as ``packs`` of ``pack`` pieces; ``price`` of one piece or
    None; ``part`` is an example of it, None for boards and wires.
    """

    family: str
    name: str
    mark: str
    each: Mapping[str, int]
    for_one: int
    needed: int
    spares: int
    there: int
    to_buy: int
    pack: int
    price: float | None
    where: str
    part: Part | None = field(default=None, repr=False)

    @property
    def packs(self) -> int:
        """How many packs are to be bought."""
        return math.ceil(self.to_buy / self.pack) if self.to_buy else 0

    @property
    def cost_for_one(self) -> float | None:
        """What one learner's pieces cost, None where the price is not known."""
        return None if self.price is None else self.price * self.for_one

    @property
    def outlay(self) -> float | None:
        """What is to be paid for the packs, None where the price is not known."""
        return None if self.price is None else self.price * self.packs * self.pack


@dataclass(frozen=True)
class Bag:
    """What goes into one learner's bag for one lesson: (how many, line)."""

    lesson: str
    items: tuple[tuple[int, Line], ...]


@dataclass(frozen=True)
class Kit:
    """The lines in the order in which the lessons first need them, and one bag for each lesson.

    ``weak`` tells which rows of the drawer do not count, since their rated voltage is below the supply.
    """

    learners: int
    lines: tuple[Line, ...]
    bags: tuple[Bag, ...]
    reused: bool
    weak: tuple[str, ...] = ()

    @property
    def cost_for_one(self) -> float | None:
        """What one learner's parts cost; None where any price is missing."""
        return _sum([line.cost_for_one for line in self.lines])

    @property
    def outlay(self) -> float | None:
        """What the shopping list costs; None where any price is missing."""
        return _sum([line.outlay for line in self.lines if line.to_buy])

    @property
    def known_outlay(self) -> float:
        """What those lines of the shopping list cost whose price is known."""
        return math.fsum(line.outlay for line in self.lines if line.outlay is not None)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Names of the lines without a price."""
        return tuple(line.name for line in self.lines if line.price is None)


def kit(
    sessions: Sequence[Session],
    learners: int,
    *,
    drawer: Drawer | None = None,
    reuse: bool = False,
    breakage: Mapping[str, float] | None = None,
) -> Kit:
    """Count the parts of a course for a class.

    With ``reuse`` the parts of one lesson serve the next, so that a learner needs the most that any one
    lesson needs; without, each lesson is kept and they add up.  ``breakage`` replaces the share of spares
    of some families.  Raises ValueError for no lessons, or a count of learners below 1 or senseless.
    """
    if not sessions:
        raise ValueError("a kit needs at least one lesson")
    if not 1 <= learners <= MAX_LEARNERS:
        raise ValueError(f"a class has 1 to {MAX_LEARNERS} learners")
    sessions = _told_apart(sessions)
    wants: dict[tuple[object, ...], _Want] = {}
    for session in sessions:
        for want in _wants(session):
            known = wants.setdefault(want.key, want)
            known.each[session.title] = known.each.get(session.title, 0) + want.count
            known.volts = max(known.volts, want.volts)
    stock, weak = _stock(drawer, {want.key: want.volts for want in wants.values()})
    rates = breakage or {}
    if any(not rate >= 0.0 for rate in rates.values()):
        raise ValueError("the share of spares is zero or more")
    lines = tuple(_line(want, learners, stock, rates, reuse=reuse) for want in wants.values())
    bags = tuple(
        Bag(s.title, tuple((line.each[s.title], line) for line in lines if s.title in line.each))
        for s in sessions
    )
    return Kit(learners, lines, bags, reuse, weak)


def _told_apart(sessions: Sequence[Session]) -> list[Session]:
    """The sessions, a number behind the title of one whose title has been there."""
    out: list[Session] = []
    for session in sessions:
        title, number = session.title, 1
        while title in {each.title for each in out}:
            number += 1
            title = f"{session.title} ({number})"
        out.append(replace(session, title=title))
    return out


@dataclass
class _Want:
    """A kind of part on its way to a line."""

    key: tuple[object, ...]
    family: str
    name: str
    mark: str
    count: int
    part: Part | None
    volts: float = 0.0
    """What a capacitor must stand at least: the voltage of the fresh supply (common practice)."""
    each: dict[str, int] = field(default_factory=dict)


def _wants(session: Session) -> list[_Want]:
    out: list[_Want] = []
    fresh = supply_voltages(session.circuit.supply)[2]
    for part in session.circuit.parts:
        kind = part.type
        if kind.family == "supply" and "count" in kind.settings:
            cells, mark = round(part.setting("count", 1.0)), mark_of(part)
            one = replace(part, settings=(*(s for s in part.settings if s[0] != "count"), ("count", 1.0)))
            out.append(
                _Want(("supply", kind.id, None), "supply", say(words.CELL, kind=mark), mark, cells, one)
            )
            holder = say(words.HOLDER, count=cells, kind=mark)
            out.append(_Want(("holder", kind.id, cells), "holder", holder, "", 1, part))
            continue
        name = what_of(part)
        name = capital(name)
        key = (kind.family, kind.id, part.value)
        volts = fresh if "rated" in kind.settings else 0.0
        out.append(_Want(key, kind.family, name, mark_of(part), 1, part, volts))
    board = session.board if session.layout is None else session.layout.board.name
    if board:
        name = say(words.BOARD, count=board)
        out.append(_Want(("board", board), "board", name, "", 1, None))
    if session.layout is not None:
        wires = len(session.layout.wires)
        if wires:
            out.append(_Want(("wire",), "wire", say(words.WIRE), "", wires, None))
    return out


@dataclass(frozen=True)
class _Stock:
    there: int
    pack: int
    price: float | None
    where: str


def _stock(
    drawer: Drawer | None, volts: Mapping[tuple[object, ...], float]
) -> tuple[dict[tuple[object, ...], _Stock], tuple[str, ...]]:
    """What the drawer holds by kind, and the wanted rows that stand less than the ``volts`` of their kind.

    Rows of one kind add up, the cheapest price counts.
    """
    out: dict[tuple[object, ...], _Stock] = {}
    weak: list[str] = []
    for item in drawer.items if drawer is not None else ():
        candidate = item.candidate
        key = (item.type.family, item.type.id, candidate.value if item.type.value is not None else None)
        least = volts.get(key, 0.0)
        if candidate.rated is not None and candidate.rated < least:
            unit = item.type.value.unit if item.type.value is not None else ""
            shown, rated, supply = (
                format_quantity(v, u, 3)
                for v, u in ((candidate.value, unit), (candidate.rated, "V"), (least, "V"))
            )
            noun = say(item.type.noun)
            weak.append(say(words.WEAK, value=shown, noun=noun, rated=rated, supply=supply))
            continue
        old = out.get(key, _Stock(0, 1, None, ""))
        prices = [p for p in (old.price, candidate.price) if p is not None]
        places = [w for w in (old.where, candidate.where) if w]
        out[key] = _Stock(
            old.there + (candidate.count or 0),
            max(old.pack, candidate.pack),
            min(prices, default=None),
            "; ".join(dict.fromkeys(places)),
        )
    return out, tuple(weak)


def _line(
    want: _Want,
    learners: int,
    stock: Mapping[tuple[object, ...], _Stock],
    rates: Mapping[str, float],
    *,
    reuse: bool,
) -> Line:
    have = stock.get(want.key, _Stock(0, 1, None, ""))
    lasting = reuse or want.family in _LASTING
    for_one = max(want.each.values()) if lasting else sum(want.each.values())
    needed = for_one * learners
    rate = rates.get(want.family, breakage_of(want.family))
    spares = math.ceil(needed * rate - 1e-9)
    return Line(
        family=want.family,
        name=want.name,
        mark=want.mark,
        each=want.each,
        for_one=for_one,
        needed=needed,
        spares=spares,
        there=have.there,
        to_buy=max(needed + spares - have.there, 0),
        pack=have.pack,
        price=have.price,
        where=have.where,
        part=want.part,
    )


def _sum(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return math.fsum(known) if len(known) == len(values) else None
