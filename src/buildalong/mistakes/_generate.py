"""Every plausible single mistake of a build, from its layout and from its parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, permutations

from buildalong.board import Layout, hole_words, holes_words, pin_words, read_back, the_wire
from buildalong.circuit import Circuit, Part, bands_on, supply_voltages
from buildalong.mistakes import _words as words
from buildalong.mistakes._kinds import KINDS
from buildalong.mistakes._mistake import Mistake, Wishes
from buildalong.mistakes._slip import Slip
from buildalong.parts import catalogue
from buildalong.quantity import format_quantity, read_backwards
from buildalong.words import say

__all__ = ["mistakes_of", "wire_name"]

MOST = 5_000
"""More mistakes than this are not made of one board."""
REVERSAL = (2, 1, 0)
_LEAD_KINDS = {"one-off": "lead-one-off", "two": "lead-two-off", "wrong": "wrong-rail"}


def wire_name(index: int) -> str:
    """The name of a wire: 'wire 1' for the first of the layout."""
    return f"wire {index + 1}"


def mistakes_of(circuit: Circuit, layout: Layout, wishes: Wishes | None = None) -> tuple[Mistake, ...]:
    """Every plausible single mistake, in a fixed order; those that change nothing are left out."""
    wanted = wishes or Wishes()
    out: list[Mistake] = []
    count: dict[str, int] = {}
    for slip in _slips(circuit, layout, wanted):
        stem = f"{slip.kind}-{'-'.join(slip.subjects)}".replace(" ", "")
        count[stem] = count.get(stem, 0) + 1
        identity = f"{stem}-{count[stem]}"
        names = {slip.kind, identity, *slip.subjects}
        if names & wanted.forbid or len(out) >= MOST:
            continue
        weight = KINDS[slip.kind].weight * slip.share
        for name in sorted(names):
            weight *= wanted.weigh.get(name, 1.0)
        if weight <= 0:
            continue
        real = read_back(slip.parts, slip.layout)
        out.append(
            Mistake(
                identity, slip.kind, slip.sentence, slip.where, slip.subjects, weight, real, slip.layout,
                slip.loose, slip.seen, slip.clause,
            )
        )  # fmt: skip
    return tuple(out)


def _slips(circuit: Circuit, layout: Layout, wishes: Wishes) -> Iterator[Slip]:
    maker = _Maker(circuit, layout)
    for part in circuit.parts:
        if part.id in layout.holes:
            yield from maker.of_part(part)
    for index in range(len(layout.wires)):
        yield from maker.of_wire(index)
    yield from maker.swaps()
    yield from maker.rails()
    for own in wishes.add:
        board = Layout(layout.board, {**layout.holes, **own.holes}, layout.wires)
        yield Slip("own", own.what, "", tuple(own.holes), board, circuit.parts, own.weight / 5.0)


class _Maker:
    """Slips of one board."""

    def __init__(self, circuit: Circuit, layout: Layout) -> None:
        self.circuit, self.layout, self.board = circuit, layout, layout.board
        self.taken = {hole for hole, _ in layout.used()}

    def slip(
        self,
        kind: str,
        part: Part,
        what: str,
        holes: Sequence[str],
        share: float = 1.0,
        *,
        loose: bool = False,
        long: str = "",
    ) -> Slip:
        """A slip in which one part has other holes."""
        where = holes_words([hole for hole in holes if hole])
        changed = self.placed({part.id: tuple(holes)})
        return Slip(kind, what, where, (part.id,), changed, self.circuit.parts, share, loose, not loose, long)

    def placed(self, holes: Mapping[str, tuple[str, ...]]) -> Layout:
        return Layout(self.board, {**self.layout.holes, **holes}, self.layout.wires)

    def valued(self, kind: str, part: Part, other: Part, what: str, *, seen: bool = True) -> Slip:
        """A slip in which another part stands in the same holes."""
        parts = tuple(other if p.id == part.id else p for p in self.circuit.parts)
        where = holes_words(self.layout.holes[part.id])
        return Slip(kind, what, where, (part.id,), self.layout, parts, seen=seen)

    def free(self, wanted: str) -> str | None:
        """The hole itself, or a free one of its strip; None where there is none."""
        if wanted not in self.taken:
            return wanted
        strip = self.board.strips[self.board.strip_of[wanted]]
        return next((hole for hole in strip if hole not in self.taken), None)

    def near(self, hole: str) -> Iterator[tuple[str, str, float]]:
        """Where an end lands by a slip of the hand: (kind, hole, share)."""
        if self.board.rail_of(hole):
            for other in self.board.neighbours(hole):
                if self.board.strip_of[other] != self.board.strip_of[hole] and (found := self.free(other)):
                    yield ("wrong" if self.board.rail_of(other) else "one-off"), found, 1.0
            return
        row = int(hole[1:])
        for step, kind, share in (
            (-1, "one-off", 1.0),
            (1, "one-off", 1.0),
            (-2, "two", 1.0),
            (2, "two", 1.0),
        ):
            wanted = f"{hole[0]}{row + step}"
            if wanted in self.board.holes and (found := self.free(wanted)):
                yield kind, found, share
        across = (
            f"{'fghij'['abcde'.index(hole[0])] if hole[0] <= 'e' else 'abcde'['fghij'.index(hole[0])]}{row}"
        )
        if found := self.free(across):
            yield "across", found, 1.0

    # -- one part -----------------------------------------------------------------------------------

    def of_part(self, part: Part) -> Iterator[Slip]:
        """Everything that happens to one part."""
        holes = self.layout.holes[part.id]
        if part.type.body.legs:
            yield from self.rigid(part, holes)
        else:
            yield from self.leads(part, holes)
        if part.type.family != "supply":
            rest = {name: h for name, h in self.layout.holes.items() if name != part.id}
            gone = Layout(self.board, rest, self.layout.wires)
            where = holes_words(holes)
            yield Slip(
                "part-omitted", say(words.LEFT_OUT, part=part.id), where, (part.id,), gone, self.circuit.parts
            )
        yield from self.loose(part, holes)
        yield from self.values(part)

    def leads(self, part: Part, holes: tuple[str, ...]) -> Iterator[Slip]:
        for i, hole in enumerate(holes):
            said = pin_words(part, part.type.leg_terminals[i])
            for how, target, share in self.near(hole):
                kind = _LEAD_KINDS.get(how, "lead-across")
                places = {"lead": said, "target": hole_words(target), "hole": hole_words(hole)}
                what, long = say(words.LEAD, **places), say(words.LEAD_LONG, **places)
                yield self.slip(kind, part, what, (*holes[:i], target, *holes[i + 1 :]), share, long=long)
        if len(holes) != 2:
            return
        for i in (0, 1):
            if beside := self.free(holes[i]):
                both = (holes[0], beside) if i == 0 else (beside, holes[1])
                if self.board.strip_of[both[0]] == self.board.strip_of[both[1]]:
                    what = say(words.ONE_STRIP, part=part.id, holes=holes_words(both))
                    yield self.slip("one-strip", part, what, both, 0.5)
        if part.type.family == "supply":
            yield self.slip("supply-reversed", part, say(words.SUPPLY_REVERSED, part=part.id), holes[::-1])
        elif not part.type.swappable:
            yield self.slip("part-reversed", part, say(words.REVERSED, part=part.id), holes[::-1])

    def rigid(self, part: Part, holes: tuple[str, ...]) -> Iterator[Slip]:
        for step in (-1, 1):
            moved = tuple(f"{h[0]}{int(h[1:]) + step}" for h in holes if not self.board.rail_of(h))
            if len(moved) == len(holes) and all(h in self.board.holes for h in moved):
                message = words.TOWARDS if step < 0 else words.AWAY
                yield self.slip("rows-off", part, say(message, part=part.id), moved, 0.5)
        shape = part.type.body.shape
        if shape == "tact":
            names = part.type.leg_terminals
            turned = tuple(holes[i] for i in (0, 2, 1, 3)) if len(holes) == 4 else holes
            what = say(words.BUTTON_TURNED, part=part.id)
            if names[0] == names[1]:
                yield self.slip("button-turned", part, what, turned)
        elif part.type.body.straddles:
            half = len(holes) // 2
            yield self.slip(
                "chip-turned", part, say(words.CHIP_TURNED, part=part.id), holes[half:] + holes[:half]
            )
        elif len(holes) == 3:
            for order in permutations(range(3)):
                if order == (0, 1, 2):
                    continue
                legs = "-".join(part.type.leg_names[i] for i in order)
                what = say(words.LEG_ORDER, part=part.id, legs=legs)
                share = 1.0 if order == REVERSAL else 0.25
                yield self.slip(
                    "leg-order", part, what, tuple(holes[order.index(i)] for i in range(3)), share
                )

    def loose(self, part: Part, holes: tuple[str, ...]) -> Iterator[Slip]:
        for i, hole in enumerate(holes):
            lead = pin_words(part, part.type.leg_terminals[i])
            what = say(words.LOOSE_LEAD, lead=lead, hole=hole_words(hole))
            yield self.slip(
                "loose-contact", part, what, (*holes[:i], "", *holes[i + 1 :]), 2 / len(holes), loose=True
            )

    def values(self, part: Part) -> Iterator[Slip]:
        rule = part.type.value
        if part.value is not None and rule is not None:
            ceramic = part.type.family == "capacitor"
            for factor in (0.1, 10.0):
                other = float(f"{part.value * factor:.6g}")
                shown = format_quantity(other, rule.unit, 3)
                right = format_quantity(part.value, rule.unit, 3)
                what = say(words.VALUE, part=part.id, shown=shown, right=right)
                kind = "code-misread" if ceramic else "wrong-decade"
                yield self.valued(kind, part, replace(part, value=other), what)
            bands = bands_on(part)
            read = read_backwards(bands) if bands else None
            if read is not None and read.value > 0 and abs(read.value / part.value - 1) > 0.01:
                shown = format_quantity(read.value, rule.unit, 3)
                what = say(words.BACKWARDS, part=part.id, shown=shown)
                yield self.valued("read-backwards", part, replace(part, value=read.value), what)
        if part.type.family == "led":
            for light in catalogue().values():
                if light.family == "led" and light.id != part.type.id:
                    what = say(words.COLOUR, part=part.id, shown=say(light.noun), right=say(part.type.noun))
                    yield self.valued("wrong-colour", part, replace(part, type=light), what)
        if part.type.family == "supply" and "end_voltage" in part.type.figures:
            end = supply_voltages(part)[0] / part.setting("count", 1.0)
            settings = (*((n, v) for n, v in part.settings if n != "emf"), ("emf", end))
            volts = format_quantity(supply_voltages(part)[0], "V", 2)
            what = say(words.SPENT, part=part.id, volts=volts)
            yield self.valued("weak-battery", part, replace(part, settings=settings), what, seen=False)

    # -- wires, pairs and rails -----------------------------------------------------------------------

    def of_wire(self, index: int) -> Iterator[Slip]:
        """Everything that happens to one wire."""
        wires = self.layout.wires
        wire, name = wires[index], wire_name(index)
        shown = the_wire(wire)
        where = holes_words((wire.start, wire.end))

        def made(
            kind: str, what: str, new: tuple[str, str] | None, share: float = 1.0, long: str = ""
        ) -> Slip:
            changed = replace(wire, start=new[0], end=new[1], path=()) if new else None
            rest = tuple(changed if i == index else w for i, w in enumerate(wires))
            board = Layout(self.board, self.layout.holes, tuple(w for w in rest if w is not None))
            loose = kind == "loose-contact"
            return Slip(kind, what, where, (name,), board, self.circuit.parts, share, loose, not loose, long)

        yield made("wire-omitted", say(words.LEFT_OUT, part=shown), None)
        yield made("loose-contact", say(words.LOOSE_WIRE, wire=shown), None, 2.0)
        for first, hole in ((True, wire.start), (False, wire.end)):
            for how, target, share in self.near(hole):
                kind = {"wrong": "wrong-rail", "across": "wire-across"}.get(how, "wire-one-off")
                places = {"wire": shown, "target": hole_words(target), "hole": hole_words(hole)}
                what, long = say(words.WIRE, **places), say(words.WIRE_LONG, **places)
                new = (target, wire.end) if first else (wire.start, target)
                yield made(kind, what, new, share * (0.25 if how == "two" else 1.0), long)

    def swaps(self) -> Iterator[Slip]:
        """Two parts of one shape, each in the other's holes."""
        placed = [p for p in self.circuit.parts if p.id in self.layout.holes and p.type.family != "supply"]
        for one, other in combinations(placed, 2):
            same = (one.type.id, one.value) == (other.type.id, other.value)
            alike = one.type.body.shape == other.type.body.shape
            if same or not alike or len(one.type.leg_terminals) != len(other.type.leg_terminals):
                continue
            board = self.placed({one.id: self.layout.holes[other.id], other.id: self.layout.holes[one.id]})
            what = say(words.SWAPPED, one=one.id, other=other.id)
            where = holes_words((*self.layout.holes[one.id][:1], *self.layout.holes[other.id][:1]))
            yield Slip("swapped", what, where, (one.id, other.id), board, self.circuit.parts)

    def rails(self) -> Iterator[Slip]:
        """A board whose rails are interrupted in the middle."""
        if self.board.rail_holes and not self.board.split_rails:
            split = replace(self.board, split_rails=True)
            layout = Layout(split, self.layout.holes, self.layout.wires)
            what = say(words.RAIL_SPLIT)
            yield Slip("rail-split", what, say(words.RAILS), ("rails",), layout, self.circuit.parts)
