"""A lower bound on the wires of a large circuit, from which leads can share a strip at all.

Every lead of a part beside the ICs takes a strip of an IC's pin, a rail, or a loose strip on one side of
the trench.  Rows and columns are left out but for what they forbid: a part reaches from a pin only to strips
within its span, pins of one IC have strips of their own, and a stiff part or a row of lamps beside an IC
shares strips only with pins at its end.  So no layout under the rules of docs/placement.md has fewer wires;
and because places are left out, the question stays small enough to be settled for circuits of forty parts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from buildalong.board import Board
from buildalong.build.place._frames import FAR, Frame, frame_of, gaps, lamp_frame, span_of
from buildalong.build.place._passing import closes_two_columns, pass_row
from buildalong.build.place._slots import HOLES
from buildalong.build.place._units import LEADS_APART, net_numbers
from buildalong.circuit import Circuit, Part

__all__ = ["fewest_strips", "fewest_wires"]

Pin = tuple[str, int]
"""A straddling part and the place of a strip of it, from its upper row on, in its first turn."""
SIDES = ("left", "right")
STRIPS_WORK = 0.1
"""The solver's deterministic seconds for counting strips."""
PITCH_OF_ROW = 3
"""Rows from lamp to lamp where bodies close two columns; no IC with as many stands between two of them."""


def fewest_wires(
    circuit: Circuit,
    board: Board,
    style: str,
    rows: Sequence[Sequence[Part]] = (),
    *,
    on_rails: bool = False,
    work: float = 1.0,
) -> int:
    """No layout has fewer wires; ``on_rails``: none whose supplies come in on the rails.

    ``rows``: lamps that stand in rows.  ``work`` bounds the solver, in its deterministic seconds.
    """
    model = _Leads(circuit, board, style, rows)
    if on_rails:
        for on in model.railed:
            model.model.add(on == 1)
    return model.least(model.wires, work)


def fewest_strips(circuit: Circuit, board: Board) -> int:
    """No layout takes fewer strips beside the rails, whether its lamps stand in rows or not."""
    model = _Leads(circuit, board, "formed", ())
    return model.least(len(model.owner) + sum(model.loose.values()), STRIPS_WORK)


class _Leads:
    """Which lead takes a strip of which kind, for a solver."""

    def __init__(self, circuit: Circuit, board: Board, style: str, rows: Sequence[Sequence[Part]]) -> None:
        from ortools.sat.python import cp_model

        self.cp, self.model = cp_model, cp_model.CpModel()
        self.circuit, self.board, self.style = circuit, board, style
        self.numbers = net_numbers(circuit)
        names = dict(self.numbers.values())
        self.pins: dict[int, list[Pin]] = defaultdict(list)
        self.owner: dict[Pin, int] = {}
        self.on_left: dict[Pin, Any] = {}
        self.joins: dict[int, int] = defaultdict(int)
        self.railed: list[Any] = []
        self.frames: dict[str, Frame] = {}
        in_row = {part.id for row in rows for part in row}
        straddling = [p for p in circuit.parts if p.type.body.straddles]
        for part in straddling:
            self._straddle(part)
        self.rails: dict[int, dict[str, Any]] = defaultdict(dict)
        for number, name in names.items():
            if not board.rail_holes or not name or name not in (circuit.plus, circuit.ground):
                continue
            for strip in board.strips:
                if strip[0] in "LR" and (strip[1] == "+") == (name == circuit.plus):
                    self.rails[number][strip] = self.model.new_bool_var(strip)
        self.loose = {
            (net, side): self.model.new_int_var(0, len(self.numbers), f"net {net} loose {side}")
            for net in names
            for side in SIDES
        }
        self.legs: dict[int, int] = defaultdict(int)
        self.beside: dict[int, list[tuple[int, dict[object, Any]]]] = defaultdict(list)
        """Net -> for legs of stiff parts: the net always in a row beside it, and what the leg takes."""
        for part in circuit.parts:
            if part.id in in_row or part in straddling:
                continue
            ids = [(part.id, i) for i in range(len(part.type.leg_terminals))]
            rigid = part.type.body.kind == "rigid"
            choice = [self._choose(part, leg, railed=not rigid) for _, leg in ids]
            nets = [self.numbers[part.id, t][0] for t in part.type.leg_terminals]
            if rigid:
                self._stiff(ids, nets, choice, (frame_of(part),))
                self._neighbours(part, nets, choice)
            elif part.type.family == "supply" and len(ids) == 2:
                self._supply(choice)
            elif part.type.body.kind != "off-board" and len(ids) == 2:
                self._two_legged(part, nets, choice)
        for row in rows:
            ids = [(part.id, leg) for part in row for leg in (0, 1)]
            nets = [self.numbers[p.id, t][0] for p in row for t in p.type.leg_terminals]
            choice = [self._choose(p, leg, railed=False) for p in row for leg in (0, 1)]
            left = self._stiff(ids, nets, choice, [lamp_frame(row, gap) for gap in gaps(len(row))])
            self._apart(nets, choice)
            if style == "link" and left is not None and closes_two_columns(row[0]):
                self._past(row, nets, left)
        self._crowded()
        self._count(names)

    def _straddle(self, part: Part) -> None:
        frame = self.frames[part.id] = frame_of(part)
        turned = self.model.new_bool_var(f"{part.id} turned")
        rep = {t: t for t in part.type.leg_terminals}
        for one, other in part.type.internal_links:
            if self.numbers[part.id, one][0] == self.numbers[part.id, other][0]:
                rep[other] = rep[one]
        seen: set[str] = set()
        for leg, place in enumerate(frame.turns[0]):
            terminal = part.type.leg_terminals[leg]
            net, pin = self.numbers[part.id, terminal][0], (part.id, place)
            if pin in self.owner:
                continue
            self.owner[pin] = net
            self.pins[net].append(pin)
            if len(frame.turns) > 2:
                self.on_left[pin] = self.model.new_bool_var(f"{pin} left")
            else:
                self.on_left[pin] = turned if place >= FAR else turned.negated()
            self.joins[net] += rep[terminal] in seen
            seen.add(rep[terminal])

    def _choose(self, part: Part, leg: int, railed: bool) -> dict[object, Any]:
        """A lead takes exactly one of: a pin's strip, a rail, a loose strip on either side."""
        net = self.numbers[part.id, part.type.leg_terminals[leg]][0]
        self.legs[net] += 1
        kinds: list[object] = [*self.pins[net], *SIDES]
        if railed:
            kinds += self.rails[net]
        out = {kind: self.model.new_bool_var(f"{part.id}.{leg} {kind}") for kind in kinds}
        self.model.add_exactly_one(out.values())
        for side in SIDES:
            self.model.add(self.loose[net, side] >= 1).only_enforce_if(out[side])
        for rail in self.rails[net] if railed else ():
            self.model.add_implication(out[rail], self.rails[net][rail])
        return out

    def _supply(self, choice: list[dict[object, Any]]) -> None:
        """Both leads on rails, or neither."""
        on = self.model.new_bool_var("supply on rails")
        for ways in choice:
            self.model.add(
                sum(var for kind, var in ways.items() if isinstance(kind, str) and kind not in SIDES) == on
            )
        if all(any(isinstance(kind, str) and kind not in SIDES for kind in ways) for ways in choice):
            self.railed.append(on)

    def _taken(self, pin: Pin) -> set[int]:
        """Rows, from the pin's row on, that the part has strips in on the same side."""
        part, place = pin
        return {other - place for p, other in self.owner if p == part and (other >= FAR) == (place >= FAR)}

    def _two_legged(self, part: Part, nets: list[int], choice: list[dict[object, Any]]) -> None:
        """Which kinds of strips its leads can take together."""
        model, span = self.model, span_of(part, round(LEADS_APART))
        spans = range(span.least, span.most + 1)
        ways = []
        for one, first in choice[0].items():
            for other, second in choice[1].items():
                for condition in self._together(one, other, spans, span):
                    way = model.new_bool_var(f"{part.id} {one} {other}")
                    model.add_implication(way, first)
                    model.add_implication(way, second)
                    for literal in condition:
                        model.add_implication(way, literal)
                    ways.append(way)
        model.add_exactly_one(ways)

    def _together(self, one: object, other: object, spans: range, span: Any) -> Iterator[list[Any]]:
        """Conditions, one list for each way, under which a part can lie between two kinds of strips."""
        if isinstance(other, tuple) and not isinstance(one, tuple):
            one, other = other, one
        if isinstance(one, tuple) and isinstance(other, tuple):
            if one[0] == other[0]:
                if (one[1] >= FAR) == (other[1] >= FAR) and abs(one[1] - other[1]) in spans:
                    yield []
            elif self._out(one) + self._out(other) - 1 <= spans[-1]:
                left = [self.on_left[one], self.on_left[other]]
                yield left
                yield [literal.negated() for literal in left]
            return
        if isinstance(one, tuple):
            left = self.on_left[one]
            if other in SIDES:
                if any(s not in self._taken(one) or -s not in self._taken(one) for s in spans):
                    yield [left if other == "left" else left.negated()]
            elif span.reaches(str(other)[:2]):
                yield [left if str(other)[0] == "L" else left.negated()]
            return
        rails = [str(kind) for kind in (one, other) if kind not in SIDES]
        sides = [kind for kind in (one, other) if kind in SIDES]
        if len(rails) == 2:
            if span.between_rails and rails[0][0] == rails[1][0]:
                yield []
        elif rails:
            if span.reaches(rails[0][:2]) and (rails[0][0] == "L") == (sides[0] == "left"):
                yield []
        elif sides[0] == sides[1] or span.across:
            yield []

    def _out(self, pin: Pin) -> int:
        """Rows from a pin to the nearest strip of its side that is not the part's."""
        taken = self._taken(pin)
        return min(s for s in range(1, FAR) if s not in taken or -s not in taken)

    def _stiff(
        self,
        ids: list[tuple[str, int]],
        nets: list[int],
        choice: list[dict[object, Any]],
        frames: Sequence[Frame],
    ) -> Any:
        """Beside each straddling part a stiff part shares strips in one of few ways; tells its side."""
        model = self.model
        for part in self.frames:
            options = self._options(part, nets, frames)
            ways = [model.new_bool_var(f"{ids[0][0]} beside {part} {k}") for k in range(len(options))]
            model.add_at_most_one(ways)
            for k, kinds in enumerate(choice):
                for pin, var in kinds.items():
                    if isinstance(pin, tuple) and pin[0] == part:
                        model.add_bool_or(
                            [w for w, found in zip(ways, options, strict=True) if (k, pin) in found]
                            + [var.negated()]
                        )
        if len({offset // FAR for frame in frames for turn in frame.turns for offset in turn}) == 2 and all(
            len({offset // FAR for offset in turn}) == 1 for frame in frames for turn in frame.turns
        ):
            left = model.new_bool_var(f"{ids[0][0]} left")
            for kinds in choice:
                model.add_implication(kinds["left"], left)
                model.add_implication(kinds["right"], left.negated())
                for pin, var in kinds.items():
                    if isinstance(pin, tuple):
                        model.add(left == self.on_left[pin]).only_enforce_if(var)
            return left
        return None

    def _past(self, row: Sequence[Part], nets: Sequence[int], left: Any) -> None:
        """Few straight wires pass the lamps of a row."""
        common = next((net for net in nets if nets.count(net) == len(row)), None)
        if common is None or self.pins[common] or self.rails[common] or self.joins[common]:
            return
        own = [next((n for n in nets[2 * k : 2 * k + 2] if n != common), common) for k in range(len(row))]
        extra = sum(self.loose[common, side] for side in SIDES) - len(row)
        for part, frame in self.frames.items():
            if frame.rows(0) < PITCH_OF_ROW:
                continue
            pins = {
                k: self.on_left[self.pins[net][0]]
                for k, net in enumerate(own)
                if own.count(net) == 1 and [pin[0] for pin in self.pins[net]] == [part]
            }
            loose = {k: {side: self.loose[own[k], side] for side in SIDES} for k in pins}
            pass_row(self.model, len(row), left, extra, pins, loose)

    def _neighbours(self, part: Part, nets: list[int], choice: list[dict[object, Any]]) -> None:
        """Note the nets that stand in the next row, however the part is turned."""
        good = [
            turn
            for turn in frame_of(part).turns
            if len({(place, net) for place, net in zip(turn, nets, strict=True)}) == len(set(turn))
        ]
        for k, net in enumerate(nets):
            always = [
                j
                for j, other in enumerate(nets)
                if other != net and nets.count(net) == 1 and all(abs(turn[k] - turn[j]) == 1 for turn in good)
            ]
            if good and always:
                self.beside[net].append((nets[always[0]], choice[k]))

    def _crowded(self) -> None:
        """Two strips are beside a strip, so it holds at most two legs that have other nets beside them."""
        for net, legs in self.beside.items():
            if len({beside for beside, _ in legs}) == len(legs):
                for side in SIDES:
                    self.model.add(2 * self.loose[net, side] >= sum(kinds[side] for _, kinds in legs))

    def _options(
        self, part: str, nets: list[int], frames: Sequence[Frame]
    ) -> list[frozenset[tuple[int, Pin]]]:
        """Which legs can share which strips of a straddling part at the same time."""
        found: set[frozenset[tuple[int, Pin]]] = set()
        first = self.frames[part].turns[0]
        for turn in self.frames[part].turns:
            at = {place: (part, pin) for place, pin in zip(turn, first, strict=True)}
            long = max(place % FAR for place in turn) + 1
            for frame in frames:
                for offsets in frame.turns:
                    reach = max(offset % FAR for offset in offsets)
                    for row in range(-reach, long):
                        shared: set[tuple[int, Pin]] | None = set()
                        for k, offset in enumerate(offsets):
                            place = row + offset
                            pin = at.get(place)
                            if pin is None or (offset % FAR) + row < 0:
                                continue
                            if self.owner[pin] != nets[k]:
                                shared = None
                                break
                            if shared is not None:
                                shared.add((k, pin))
                        if shared:
                            found.add(frozenset(shared))
        most = [one for one in found if not any(one < other for other in found)]
        return sorted(most, key=sorted)

    def _apart(self, nets: list[int], choice: list[dict[object, Any]]) -> None:
        """Leads of a row of lamps stand in different strips."""
        for net in sorted(set(nets)):
            for side in SIDES:
                own = [kinds[side] for number, kinds in zip(nets, choice, strict=True) if number == net]
                self.model.add(self.loose[net, side] >= sum(own))

    def _count(self, names: dict[int, str]) -> None:
        model, wires = self.model, []
        for net in names:
            rails = list(self.rails[net].values())
            loose = [self.loose[net, side] for side in SIDES]
            strips = len(self.pins[net]) + sum(loose) + sum(rails)
            wire = model.new_int_var(0, 3 * len(self.numbers), f"wires {net}")
            model.add(wire >= strips - 1 - self.joins[net])
            holes = HOLES * (len(self.pins[net]) + sum(loose)) + self.board.rail_holes * sum(rails)
            model.add(self.legs[net] + len(self.pins[net]) + 2 * wire <= holes)
            wires.append(wire)
            if self.style == "link" and not self.joins[net]:
                self._sides_meet(net, loose)
        self.wires = sum(wires)

    def _sides_meet(self, net: int, loose: list[Any]) -> None:
        """Straight wires change sides only between two loose strips of a row, or from rail to rail."""
        model = self.model
        here = [model.new_bool_var(f"net {net} {side}") for side in SIDES]
        for pin in self.pins[net]:
            model.add_implication(self.on_left[pin], here[0])
            model.add_implication(self.on_left[pin].negated(), here[1])
        for side, count in zip(here, loose, strict=True):
            model.add(count == 0).only_enforce_if(side.negated())
        for rail, there in self.rails[net].items():
            model.add_implication(there, here[rail[0] == "R"])
        row = model.new_bool_var(f"net {net} in a row")
        over = model.new_bool_var(f"net {net} over the board")
        for count in loose:
            model.add(count >= 1).only_enforce_if(row)
        for letter in "LR":
            model.add_bool_or(
                [there for rail, there in self.rails[net].items() if rail[0] == letter] + [over.negated()]
            )
        model.add_bool_or([here[0].negated(), here[1].negated(), row, over])

    def least(self, amount: Any, work: float) -> int:
        """A bound below an amount, proved with counted work."""
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = work
        solver.parameters.catch_sigint_signal = False
        self.model.minimize(amount)
        status = solver.solve(self.model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE, self.cp.UNKNOWN):
            return 0
        return max(0, int(-(-(solver.best_objective_bound - 1e-6) // 1)))
