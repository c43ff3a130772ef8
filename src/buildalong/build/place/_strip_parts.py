"""The parts in the strips of a board: which leg may stand where, for a solver.

A strip is an unknown place (see _frames), not one of the board's: the model grows with the circuit and not
with the board, and what it proves holds for the whole board.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from buildalong.board import Board
from buildalong.build.place._frames import (
    FAR,
    Frame,
    Span,
    frame_of,
    lamp_frame,
    place_of,
    span_of,
)
from buildalong.build.place._ground import PITCH
from buildalong.build.place._length import rows_needed
from buildalong.build.place._mirror import swapped
from buildalong.build.place._slots import HOLES, Legs, Lying, Slot, Standing
from buildalong.build.place._units import LEADS_APART, net_numbers
from buildalong.circuit import Circuit, Part

__all__ = ["StripParts"]

WIDE_BODY = 2.24
"""A round body wider than this covers a hole beside each of two neighbouring legs, pitches: 2 sqrt(1.25)."""


class StripParts:
    """A model of one circuit on one board in one wire style; built once, solved several times.

    ``most``: layouts with more wires are not looked at.  ``rows``: lamps that stand in rows.
    ``fixed``: (part, leg) -> strip in which the author holds it.  ``whole``: the circuit of which this is a
    piece; its nets have as many strips here.
    """

    def __init__(
        self,
        circuit: Circuit,
        board: Board,
        style: str,
        *,
        most: int,
        rows: Sequence[Sequence[Part]] = (),
        fixed: Mapping[tuple[str, int], str] | None = None,
        whole: Circuit | None = None,
    ) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.model = cp_model.CpModel()
        self.circuit, self.board, self.style, self.most = circuit, board, style, most
        self.fixed = dict(fixed or {})
        self.rows = rows
        self.piece = whole is not None
        self.numbers = net_numbers(circuit)
        self.names = dict(self.numbers.values())
        self.length = board.rows if self.fixed or rows else rows_needed(circuit, board, self.numbers, most)
        """Rows that are looked at."""
        self.anywhere = cp_model.Domain.from_intervals([[1, self.length], [FAR + 1, FAR + self.length]])
        self.slots: dict[int, list[Slot]] = defaultdict(list)
        self.joins: dict[int, int] = defaultdict(int)
        self.floor = 0
        """Wires that the strips of straddling parts take by themselves."""
        self.on_rails: list[Any] = []
        """One for each supply that may come in on the rails."""
        self.across: dict[int, list[tuple[Slot, Any, list[tuple[Slot, Any]]]]] = defaultdict(list)
        """Net -> strips on the left, whether a straight wire crosses the trench from there, and to which."""
        self.apart: list[Any] = []
        self.trench: list[Any] = []
        self.room: list[tuple[Any, Any]] = []
        self._intervals: dict[str, Any] = {}
        self.lying: list[Lying] = []
        self.standing: list[Standing] = []
        self.placed: list[Legs] = []
        self.supplies: list[Legs] = []
        self.swapped_nets: dict[int, int] = {}
        """Nets that may change places with their parts, where no constraint here counts on that."""
        self.own_legs: list[tuple[str, int, Slot]] = []
        """(part, leg, strip) of straddling parts."""
        loose: list[tuple[Sequence[Part], Frame | None]] = []
        in_row = {p.id for row in rows for p in row}
        for part in circuit.parts:
            if part.id in in_row:
                continue
            held = [i for i in range(len(part.type.leg_terminals)) if (part.id, i) in self.fixed]
            free = len(held) < len(part.type.leg_terminals)
            if part.type.body.straddles:
                self._straddle(part)
            elif part.type.body.kind == "rigid" and free:
                loose.append(((part,), frame_of(part)))
            else:
                loose.append(((part,), None))
        loose += [(row, lamp_frame(row)) for row in rows]
        legs: dict[int, int] = defaultdict(int)
        for parts, _ in loose:
            for part in parts:
                for terminal in part.type.leg_terminals:
                    legs[self.numbers[part.id, terminal][0]] += 1
        if whole is not None:
            legs = {net: _legs_on(whole, name) for net, name in self.names.items()}
        for net in sorted(self.names):
            self._loose_slots(net, legs[net])
        rails = [slot.present for slots in self.slots.values() for slot in slots if slot.rail]
        self.railed = self.model.new_bool_var("rails in use") if rails else self.model.new_constant(0)
        """Whether there is anything on the rails."""
        if rails:
            self.model.add_max_equality(self.railed, rails)
        for parts, frame in loose:
            self._stand(self._choose(parts), frame, parts)
        if not self.fixed:
            self._begin_at_top()
        if not self.fixed and not rows:
            self._in_order()

    # ----- strips

    def _slot(self, name: str, net: int, present: Any, **more: Any) -> Slot:
        place = self.model.new_int_var_from_domain(self.anywhere, name)
        slot = Slot(name, net, present, place, **more)
        slot.left = self.model.new_bool_var(f"{name} left")
        self.model.add(place < FAR).only_enforce_if(slot.left)
        self.model.add(place > FAR).only_enforce_if(slot.left.negated())
        interval = self.model.new_optional_fixed_size_interval_var(place, 1, present, name)
        self.apart.append(interval)
        self._intervals[name] = interval
        self.slots[net].append(slot)
        return slot

    def _straddle(self, part: Part) -> None:
        """A part across the trench has strips of its own: no other body can stand in its rows."""
        model = self.model
        frame = frame_of(part)
        top = model.new_int_var(1, self.length, f"{part.id} top")
        turns = self._turns(part.id, frame, top)
        self.standing.append(Standing((part,), frame, top, turns))
        self.trench.append(model.new_fixed_size_interval_var(top, frame.rows(0), part.id))
        terminals = part.type.leg_terminals
        rep = {t: t for t in terminals}
        for one, other in part.type.internal_links:
            if self.numbers[part.id, one][0] == self.numbers[part.id, other][0]:
                rep[other] = rep[one]
        at: dict[int, list[int]] = defaultdict(list)
        for leg, offset in enumerate(frame.turns[0]):
            at[offset].append(leg)
        seen: set[str] = set()
        for offset, legs in at.items():
            terminal = terminals[legs[0]]
            net = self.numbers[part.id, terminal][0]
            where = divmod(offset, FAR)
            slot = self._slot(
                f"{part.id}.{legs[0]}",
                net,
                model.new_constant(1),
                part=part.id,
                at=where,
                own=len(legs),
                joint=f"{part.id}.{rep[terminal]}",
            )
            for k, turn in enumerate(turns):
                model.add(slot.place == top + frame.turns[k][legs[0]]).only_enforce_if(turn)
            for leg in legs:
                self.own_legs.append((part.id, leg, slot))
                self._hold(slot.place, part.id, leg)
            self.joins[net] += rep[terminal] in seen
            seen.add(rep[terminal])

    def _begin_at_top(self) -> None:
        """Begin in the first row: a layout may be moved along the board; off the rails, turned too."""
        model = self.model
        first = self.cp.Domain.from_values([1, FAR + 1])
        begins = []
        for slot in (slot for slots in self.slots.values() for slot in slots if not slot.rail):
            here = model.new_bool_var(f"{slot.name} in the first row")
            model.add_implication(here, slot.present)
            model.add_linear_expression_in_domain(slot.place, first).only_enforce_if(here)
            begins.append(here)
        model.add_bool_or(begins)
        one = min(self.standing, key=lambda standing: not standing.frame.straddles, default=None)
        for turn, offsets in zip(one.turns, one.frame.turns, strict=True) if one else ():
            if offsets[0] > FAR - 1:
                model.add_bool_or(turn.negated(), self.railed)

    def _in_order(self) -> None:
        """Of two stiff parts that can change places the first stands no further down.

        Where the model may be turned upside down, that brings them in order, and the swap stays free for
        ``swapped_nets``. Else the swap does; where the first is on the left because the board may be turned
        by half, this holds if both are there.
        """
        partner = swapped(self.circuit)
        at = {standing.parts[0].id: standing for standing in self.standing}
        one, other = next(((at[p], at[q]) for p, q in partner.items() if p != q and p in at), (None, None))
        if one is None or other is None:
            return
        if all(standing.frame.reversible for standing in self.standing):
            self.swapped_nets = self._nets_of(partner)
            one_middle, other_middle = (
                2 * s.top + sum((s.frame.rows(k) - 1) * turn for k, turn in enumerate(s.turns))
                for s in (one, other)
            )
            self.model.add(one_middle <= other_middle)
            return
        for turn, offsets in zip(other.turns, other.frame.turns, strict=True):
            ordered = self.model.add(one.top <= other.top)
            if one is self.standing[0] and offsets[0] >= FAR:
                ordered.only_enforce_if(turn, self.railed)
            else:
                ordered.only_enforce_if(turn)

    def _nets_of(self, partner: Mapping[str, str]) -> dict[int, int]:
        """The nets that change places where parts do."""
        return {
            self.numbers[one, terminal][0]: self.numbers[other, terminal][0]
            for one, other in partner.items()
            for terminal in self.circuit.by_id[one].type.leg_terminals
        }

    def _turns(self, name: str, frame: Frame, top: Any) -> list[Any]:
        turns = [self.model.new_bool_var(f"{name} turn {k}") for k in range(len(frame.turns))]
        self.model.add_exactly_one(turns)
        for k, turn in enumerate(turns):
            self.model.add(top <= self.length - frame.rows(k) + 1).only_enforce_if(turn)
        return turns

    def _hold(self, place: Any, part: str, leg: int) -> None:
        strip = self.fixed.get((part, leg))
        if strip is not None:
            self.model.add(place == (-1 if strip[0] in "LR" else place_of(strip)))

    def _loose_slots(self, net: int, legs: int) -> None:
        model, have = self.model, len(self.slots[net])
        # A strip without a leg helps only where straight wires change sides, or to make room for ends.
        count = legs + 2 if self.style == "link" else legs + (legs > HOLES) if legs else 0
        count = max(min(count, self.most + 1 + self.joins[net] - have), int(not have))
        before: Slot | None = None
        for k in range(count):
            slot = self._slot(f"n{net} loose {k}", net, model.new_bool_var(f"n{net} has {k}"))
            if before is not None:
                model.add_implication(slot.present, before.present)
                model.add(slot.place > before.place).only_enforce_if(slot.present)
            before = slot
        name, board = self.names[net], self.board
        if not board.rail_holes or not name or name not in (self.circuit.plus, self.circuit.ground):
            return
        sign = "+" if name == self.circuit.plus else "-"
        for strip, holes in board.strips.items():
            if strip[0] in "LR" and strip[1] == sign:
                present = model.new_bool_var(f"rail {strip}")
                self.slots[net].append(Slot(strip, net, present, rail=strip, capacity=len(holes)))

    # ----- parts

    def _choose(self, parts: Sequence[Part]) -> Legs:
        """Every leg takes exactly one strip of its net."""
        model = self.model
        out = Legs(parts[0], [], [], [])
        for part in parts:
            rigid = part.type.body.kind == "rigid"
            for leg, terminal in enumerate(part.type.leg_terminals):
                net = self.numbers[part.id, terminal][0]
                choice = {}
                for slot in self.slots[net]:
                    if slot.rail and (rigid or len(parts) > 1):
                        continue
                    var = model.new_bool_var(f"{part.id}.{leg} in {slot.name}")
                    model.add_implication(var, slot.present)
                    slot.legs.append(var)
                    choice[slot.name] = var
                    strip = self.fixed.get((part.id, leg))
                    if strip is None:
                        continue
                    if slot.rail or strip[0] in "LR":
                        if slot.rail != strip:
                            model.add(var == 0)
                    else:
                        model.add(slot.place == place_of(strip)).only_enforce_if(var)
                model.add_exactly_one(choice.values())
                out.nets.append(net)
                out.ids.append((part.id, leg))
                out.choice.append(choice)
        self.placed.append(out)
        return out

    def _stand(self, legs: Legs, frame: Frame | None, parts: Sequence[Part]) -> None:
        part = legs.part
        held = sum(item in self.fixed for item in legs.ids)
        off_board = part.type.body.kind == "off-board"
        if frame is not None:
            self._stiff(legs, frame, parts)
        elif held == len(legs.ids) or (off_board and (held or part.type.family != "supply")):
            return
        elif len(legs.ids) == 2:
            self._straight(legs)

    def _stiff(self, legs: Legs, frame: Frame, parts: Sequence[Part]) -> None:
        model = self.model
        top = model.new_int_var(1, self.length, f"{legs.part.id} top")
        turns = self._turns(legs.part.id, frame, top)
        self.standing.append(Standing(parts, frame, top, turns))
        for k, turn in enumerate(turns):
            offsets = frame.turns[k]
            for i in range(len(offsets)):
                for j in range(i):
                    if offsets[i] == offsets[j] and legs.nets[i] != legs.nets[j]:
                        model.add(turn == 0)
                for slot in self.slots[legs.nets[i]]:
                    var = legs.choice[i].get(slot.name)
                    if var is not None:
                        model.add(slot.place == top + offsets[i]).only_enforce_if(turn, var)

    def _straight(self, legs: Legs) -> None:
        """A two-legged part along a column, across the trench, from a row to a rail, or on two rails."""
        model, part = self.model, legs.part
        span = span_of(part, round(LEADS_APART))
        reach = model.new_int_var(0, max(span.most, 11), f"{part.id} reach")
        start = model.new_int_var_from_domain(self.anywhere, f"{part.id} start")
        lies = model.new_bool_var(f"{part.id} lies along")
        lying = Lying(part, start, reach, lies)
        along: list[Any] = []
        ways: list[Any] = []
        rail_ways: list[Any] = []
        across: list[tuple[Any, Any]] = []
        to_rail: dict[str, list[tuple[Any, Any]]] = defaultdict(list)
        for one in self.slots[legs.nets[0]]:
            for other in self.slots[legs.nets[1]]:
                if one is other:
                    continue
                for kind in self._kinds(part, one, other):
                    way = model.new_bool_var(f"{part.id} {one.name} {other.name} {kind}")
                    model.add_implication(way, legs.choice[0][one.name])
                    model.add_implication(way, legs.choice[1][other.name])
                    ways.append(way)
                    low, high = (other, one) if kind == "up" else (one, other)
                    if kind == "rails":
                        rail_ways.append(way)
                    elif kind == "rail":
                        row, rail = (other, one) if one.rail else (one, other)
                        near = self.beside_rail(rail.rail)
                        model.add_linear_expression_in_domain(row.place, near).only_enforce_if(way)
                        to_rail[rail.rail].append((way, row.place))
                    elif kind in ("up", "down"):
                        model.add(high.place - low.place == reach).only_enforce_if(way)
                        model.add(reach >= span.least).only_enforce_if(way)
                        model.add(reach <= span.most).only_enforce_if(way)
                        if not span.supply:
                            model.add(start == low.place).only_enforce_if(way)
                            along.append(way)
                    else:
                        left = one if kind == "right" else other
                        right = other if kind == "right" else one
                        model.add(right.place - left.place == FAR).only_enforce_if(way)
                        across.append((way, left.place))
        model.add_exactly_one(ways)
        if span.supply:
            self.supplies.append(legs)
            if rail_ways:
                on = model.new_bool_var(f"{part.id} on rails")
                model.add(sum(rail_ways) == on)
                self.on_rails.append(on)
            return
        self.lying.append(lying)
        model.add(sum(along) == lies)
        if across:
            lying.across = self._one_of(across, f"{part.id} across")
            crosses, place = lying.across
            self.trench.append(
                model.new_optional_fixed_size_interval_var(place, 1, crosses, f"{part.id} across")
            )
        for strip, found in to_rail.items():
            lying.to_rail.append((*self._one_of(found, f"{part.id} to {strip}"), strip))
        self._cover(part, span, start, reach, lies)

    def _one_of(self, ways: Sequence[tuple[Any, Any]], name: str) -> tuple[Any, Any]:
        """(whether, place) where at most one of them is true: one body for all of them."""
        there = self.model.new_bool_var(name)
        place = self.model.new_int_var_from_domain(self.anywhere, f"{name} place")
        self.model.add(sum(way for way, _ in ways) == there)
        for way, at in ways:
            self.model.add(place == at).only_enforce_if(way)
        return there, place

    def _cover(self, part: Part, span: Span, start: Any, reach: Any, lies: Any) -> None:
        """Holes under a part that lies along a column: those between its legs, more where it is wide."""
        model = self.model
        wide = part.type.body.width > WIDE_BODY * PITCH
        if span.most > 1:
            first = model.new_int_var(1, FAR + self.length + 1, f"{part.id} first")
            size = model.new_int_var(0, span.most, f"{part.id} inside")
            end = model.new_int_var(1, FAR + self.length + span.most + 1, f"{part.id} end")
            model.add(first == start + 1)
            model.add(size == reach - 1).only_enforce_if(lies)
            between = model.new_optional_interval_var(first, size, end, lies, f"{part.id} between")
            self.room.append((between, 1 + wide))
        if wide:
            short = model.new_bool_var(f"{part.id} short")
            model.add_implication(short, lies)
            model.add(reach >= 2).only_enforce_if(lies, short.negated())
            beside = model.new_optional_fixed_size_interval_var(start, 2, short, f"{part.id} beside")
            self.room.append((beside, 1))

    def _kinds(self, part: Part, one: Slot, other: Slot) -> list[str]:
        span = span_of(part, round(LEADS_APART))
        if one.rail and other.rail:
            return ["rails"] if span.between_rails and one.rail[0] == other.rail[0] else []
        if one.rail or other.rail:
            return ["rail"] if span.reaches((one.rail or other.rail)[:2]) else []
        if one.part and one.part == other.part:
            rows = other.at[1] - one.at[1]
            if one.at[0] == other.at[0] and span.least <= abs(rows) <= span.most:
                return ["down", "up"]
            return []
        if span.across and not (one.part and other.part):
            return ["down", "up", "left", "right"]
        return ["down", "up"]

    def beside_rail(self, strip: str) -> Any:
        """The places from which a part reaches a rail: all of its side.

        That a rail has gaps and ends is left out, so that no row differs from another.
        """
        first = FAR * (strip[0] == "R") + 1
        return self.cp.Domain.from_intervals([[first, first + self.length - 1]])


def _legs_on(circuit: Circuit, net: str) -> int:
    """Legs on a net."""
    return sum(part.net(terminal) == net for part in circuit.parts for terminal in part.type.leg_terminals)
