"""Mending an author's build list with as few changed lines as are found."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice, product

from buildalong.board import (
    TRENCH_X,
    TURNS,
    Board,
    Layout,
    Style,
    check_layout,
    coloured,
    footprint,
    oriented,
    strip_nets,
    uncoloured,
)
from buildalong.build.hand._changes import changed_wires, told_changes
from buildalong.build.hand._edit import edited
from buildalong.build.hand._ends import ends_back
from buildalong.build.hand._join import GAPS, with_missing_wires
from buildalong.build.hand._list import BuildList
from buildalong.build.hand._read import read_list
from buildalong.build.hand._shift import astray, shifted_back
from buildalong.build.place import place, verify
from buildalong.circuit import Circuit, Part
from buildalong.finding import Finding, Severity

__all__ = ["Mended", "mend_list"]

SECONDS = 1.5
"""Work of laying what a change leaves open, as the ``seconds`` of place()."""
_MOST_WAYS = 8
_MOST_SEATS = 30
_REACH = 8.0
"""How far from its place a part is tried first [pitches]."""
_ROUNDS = 4
_FEW = 2
"""Wires that one thing which stands elsewhere may need."""


@dataclass(frozen=True)
class Mended:
    """A list that was mended: its text, the layout it makes, and how many lines are not as they were.

    ``told``: what is elsewhere, in words.  ``layout`` is None where no way was found; ``text`` is then as it
    was, and ``told`` says what the placer found in the way.
    """

    text: str
    layout: Layout | None
    changes: int
    told: tuple[str, ...] = ()


def mend_list(text: str, file: str, circuit: Circuit, board: Board, *, style: Style = "formed") -> Mended:
    """Repair a build list: lines that cannot be read are written anew, the rest changes where it must."""
    read, bad = _readable(text, file, circuit, board, style)
    start = read.layout or Layout(board, {})
    known = {part: holes for part, holes in start.holes.items() if part in circuit.by_id}
    start = uncoloured(circuit, replace(start, holes=known))
    new = _mended(circuit, start, style)
    if new is None:
        found = place(circuit, board, style=style, seconds=SECONDS).findings
        return Mended(text, None, 0, tuple(f.message for f in found if f.severity >= Severity.ERROR))
    new = coloured(circuit, new)
    written, changes = edited(text, read, bad, circuit, start, uncoloured(circuit, new))
    return Mended(written, new, changes, told_changes(circuit, start, new))


def _readable(
    text: str, file: str, circuit: Circuit, board: Board, style: Style
) -> tuple[BuildList, frozenset[int]]:
    """The list without the lines that are wrong, and the numbers of those [from 1]."""
    lines = text.split("\n")
    bad: set[int] = set()
    for _ in range(len(lines) + 1):
        shown = "\n".join("" if number in bad else line for number, line in enumerate(lines, start=1))
        read = read_list(shown, file, circuit, board, style=style, any_test=True, crowded=True)
        wrong = {f.place.line for f in read.findings if f.severity >= Severity.ERROR and f.place}
        if read.layout is not None or not wrong - bad:
            break
        bad |= wrong
    return read, frozenset(bad)


def _errors(circuit: Circuit, layout: Layout) -> list[Finding]:
    return [f for f in verify(circuit, layout) if f.severity >= Severity.ERROR]


def _mended(circuit: Circuit, layout: Layout, style: Style) -> Layout | None:
    """A right layout that differs from this one in few things."""
    errors = _errors(circuit, layout)
    best = shifted_back(circuit, layout, lambda one: _errors(circuit, one))
    if best is None or _changes(layout, best)[0] > 1:
        best = _least(layout, [best, ends_back(circuit, layout, lambda one: _errors(circuit, one))])
    if best is None or _changes(layout, best)[0] > 1:
        names = dict.fromkeys(name for error in errors for name in error.about if name in layout.holes)
        alone = (_with(circuit, layout, frozenset({name}), style, alone=True) for name in names)
        best = _least(layout, [best, *alone])
    if best is None or _changes(layout, best)[0] > len(errors):
        ways = islice(_ways(layout, errors), _MOST_WAYS)
        best = _least(layout, [best, *(_with(circuit, layout, freed, style) for freed in ways)])
    return best or next(
        (one for kept in _kept(circuit, layout) if (one := _completed(circuit, kept, style))), None
    )


def _least(layout: Layout, found: list[Layout | None]) -> Layout | None:
    """The one that differs least from the layout."""
    known = [one for one in found if one is not None]
    return min(known, key=lambda one: _changes(layout, one), default=None)


def _kept(circuit: Circuit, layout: Layout) -> Iterator[Layout]:
    """Less and less of the layout: what no error is about, its parts, the ICs among them, nothing."""
    wrong = {name for error in _errors(circuit, layout) for name in error.about}
    wires = tuple(w for n, w in enumerate(layout.wires, start=1) if f"wire {n}" not in wrong)
    parts = {name: holes for name, holes in layout.holes.items() if name not in wrong}
    firm = {name: holes for name, holes in parts.items() if circuit.by_id[name].type.body.straddles}
    yield from (replace(layout, holes=parts, wires=wires), replace(layout, holes=parts, wires=()))
    yield from (replace(layout, holes=firm, wires=()), replace(layout, holes={}, wires=()))


def _ways(layout: Layout, errors: list[Finding]) -> Iterator[frozenset[str]]:
    """Sets of things to take off: for each error one of those that it is about, or all of them."""
    options: list[list[tuple[str, ...]]] = []
    wires = {f"wire {number}" for number in range(1, len(layout.wires) + 1)}
    for error in errors:
        if error.code in GAPS:
            continue
        names = [name for name in dict.fromkeys(error.about) if name in layout.holes or name in wires]
        if names:
            options.append([*((name,) for name in names), *([tuple(names)] if len(names) > 1 else [])])
    seen: set[frozenset[str]] = set()
    for chosen in product(*options):
        freed = frozenset(name for names in chosen for name in names)
        if freed not in seen:
            seen.add(freed)
            yield freed


def _with(
    circuit: Circuit, layout: Layout, freed: frozenset[str], style: Style, *, alone: bool = False
) -> Layout | None:
    """The layout with these things elsewhere: parts near their place, the rest as the placer finds it.

    With ``alone`` nothing else moves, and the placer is not asked.
    """
    wires = tuple(w for n, w in enumerate(layout.wires, start=1) if f"wire {n}" not in freed)
    rest = Layout(
        layout.board, {part: holes for part, holes in layout.holes.items() if part not in freed}, wires
    )
    absent = [part.id for part in circuit.parts if part.id not in layout.holes]
    for name in (*(name for name in layout.holes if name in freed), *absent):
        seat = _seat(circuit, circuit.by_id[name], layout.holes.get(name, ()), rest)
        if seat is not None:
            rest = replace(rest, holes={**rest.holes, name: seat})
    if alone:
        errors = _errors(circuit, rest)
        if len(errors) > _FEW or any(error.code not in GAPS for error in errors):
            return None
    for _ in range(_ROUNDS):
        rest = with_missing_wires(circuit, rest, style)
        if not _errors(circuit, rest):
            return rest
        if alone:
            return None
        found = _completed(circuit, rest, style)
        if found is not None:
            return found
        # Something that stays still stands in the way: let go what the next error names.
        rest, more = _less(circuit, rest)
        if not more:
            return None
    return None


def _less(circuit: Circuit, layout: Layout) -> tuple[Layout, bool]:
    """The layout without the first thing that an error is about."""
    for error in _errors(circuit, layout):
        for name in error.about:
            if name in layout.holes:
                return replace(layout, holes={p: h for p, h in layout.holes.items() if p != name}), True
            if name.startswith("wire "):
                number = int(name[5:])
                return replace(layout, wires=(*layout.wires[: number - 1], *layout.wires[number:])), True
    return layout, False


def _completed(circuit: Circuit, layout: Layout, style: Style) -> Layout | None:
    """The layout with what it lacks, laid by the placer; None where that does not make the circuit."""
    found = place(circuit, layout.board, fixed=layout, style=style, seconds=SECONDS)
    if any(f.severity >= Severity.ERROR for f in found.findings) or _errors(circuit, found.layout):
        return None
    return found.layout


def _seat(circuit: Circuit, part: Part, stood: tuple[str, ...], rest: Layout) -> tuple[str, ...] | None:
    """Holes near where a part stood in which all its leads meet their nets; None where there are none."""
    if part.type.body.legs:
        return _stiff_seat(circuit, part, stood, rest)
    nets = strip_nets(oriented(circuit, rest), rest)
    taken = {hole for hole, _ in rest.used()}
    wanted = [part.net(terminal) for terminal in part.type.leg_terminals]
    places = [rest.board.holes[hole] for hole in stood if hole in rest.board.holes]
    if len(places) != len(wanted):
        places = _where(rest, nets, wanted)
    if len(places) != len(wanted):
        return None
    good = []
    for holes in _seats(part, rest.board, places):
        if taken.isdisjoint(holes) and len(set(holes)) == len(holes):
            carried = [nets.get(rest.board.strip_of[hole]) for hole in holes]
            if carried == wanted or (part.type.swappable and len(holes) == 2 and carried == wanted[::-1]):
                way = sum(math.dist(rest.board.holes[h], p) for h, p in zip(holes, places, strict=True))
                moved = sum(a != b for a, b in zip(holes, stood, strict=False))
                good.append((moved, round(way, 6), holes))
    for _, _, holes in sorted(good)[:_MOST_SEATS]:
        trial = replace(rest, holes={**rest.holes, part.id: holes})
        if not any(part.id in error.about for error in _errors(circuit, trial)):
            return holes
    return None


def _stiff_seat(circuit: Circuit, part: Part, stood: tuple[str, ...], rest: Layout) -> tuple[str, ...] | None:
    """Free holes anywhere in which the legs of a stiff part fit best, nearest to where it stood."""
    board, taken = rest.board, {hole for hole, _ in rest.used()}
    places = [board.holes[hole] for hole in stood if hole in board.holes]
    good = []
    for turn in TURNS:
        for x0, y0 in board.holes.values():
            found = [board.hole_at(x0 + x, y0 + y) for x, y in footprint(part.type, turn)]
            holes = tuple(hole for hole in found if hole is not None)
            if len(holes) < len(found) or not taken.isdisjoint(holes):
                continue
            columns = [board.holes[hole][0] for hole in holes]
            if part.type.body.straddles and not min(columns) < TRENCH_X < max(columns):
                continue
            wrong = astray(circuit, replace(rest, holes={**rest.holes, part.id: holes}))
            way = sum(math.dist(board.holes[h], p) for h, p in zip(holes, places, strict=False))
            good.append((wrong, round(way, 6), holes))
    for _, _, holes in sorted(good)[:_MOST_SEATS]:
        trial = replace(rest, holes={**rest.holes, part.id: holes})
        if not any(f.severity >= Severity.ERROR and part.id in f.about for f in check_layout(circuit, trial)):
            return holes
    return None


def _where(rest: Layout, nets: dict[str, str], wanted: list[str | None]) -> list[tuple[float, float]]:
    """Where a part that is missing may be looked for: a strip of each net, near one another."""
    strips = {net: [s for s, carried in nets.items() if carried == net] for net in wanted if net is not None}
    if None in wanted or not all(strips.values()):
        return []
    mid = {s: rest.board.holes[rest.board.strips[s][2]] for found in strips.values() for s in found}
    first, last = str(wanted[0]), str(wanted[-1])
    one, other = min(
        product(strips[first], strips[last]), key=lambda pair: (math.dist(mid[pair[0]], mid[pair[1]]), pair)
    )
    return [mid[one] if net == first else mid[other] for net in wanted]


def _seats(part: Part, board: Board, places: list[tuple[float, float]]) -> Iterator[tuple[str, ...]]:
    """Ways for a part's leads to stand not far from where they were."""
    near = [
        [hole for hole, place in board.holes.items() if math.dist(place, there) <= _REACH] for there in places
    ]
    low, high = part.type.body.span
    loose = part.type.body.kind == "off-board"
    for holes in product(*near):
        (ax, ay), (bx, by) = board.holes[holes[0]], board.holes[holes[-1]]
        straight = ax == bx or abs(ay - by) <= 0.5
        if loose or (straight and low <= round(max(abs(ax - bx), abs(ay - by))) <= high):
            yield holes


def _changes(old: Layout, new: Layout) -> tuple[float, ...]:
    """How many things differ, how many wires there are, and how far parts went [pitches]."""
    parts = [part for part, holes in new.holes.items() if old.holes.get(part) != holes]
    at = new.board.holes
    way = sum(
        math.dist(at[a], at[b])
        for part in parts
        for a, b in zip(old.holes.get(part, ()), new.holes[part], strict=False)
        if a in at and b in at
    )
    return len(parts) + len(changed_wires(old, new)), len(new.wires), round(way, 6)
