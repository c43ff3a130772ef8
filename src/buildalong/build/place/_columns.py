"""Columns for the strips of a model: bodies and leads that keep clear of one another, wires not yet laid.

Added to a model whose number of wires is settled already.  Lengths are in twentieths of a pitch; the
first axis is twenty times the place of a strip, the second twenty times the column, 0 to 4 on either
side.
"""

from __future__ import annotations

from typing import Any

from buildalong.build.place._boxes import BENT, BETWEEN, DOME_MOST, FINE, LEAD, ROUND, WIRE, fine, square
from buildalong.build.place._frames import FAR
from buildalong.build.place._ground import LEANING, PITCH
from buildalong.build.place._slots import Lying, Slot, Standing
from buildalong.build.place._strips import StripModel

__all__ = ["OUT", "RAIL_X", "Columns"]

OUT = 200
RAIL_X = {"L+": -4, "L-": -3, "R+": 7, "R-": 8}
"""Columns of the rails, counted like those of their side."""


class Columns:
    """Column variables of a strip model, and the bodies that they keep apart."""

    def __init__(self, strips: StripModel, model: Any) -> None:
        self.strips, self.model = strips, model
        self.along: list[Any] = []
        self.over: list[Any] = []
        self.bodies: list[Any] = []
        self.bodies_over: list[Any] = []
        for lying in strips.lying:
            self._lie(lying)
        for standing in strips.standing:
            self._stand(standing)
        for legs in strips.supplies:
            self._supply(legs)
        self.trench: list[Any] = []

    def close(self) -> None:
        """Keep everything apart; nothing can be added afterwards."""
        self.model.add_no_overlap_2d(self.along, self.over)
        self.model.add_no_overlap_2d(self.bodies, self.bodies_over)
        self.model.add_no_overlap([*self.strips.trench, *self.trench])

    def add_ends(self) -> None:
        """Wires that arch over need only free holes at their ends, flexible ones also room beside bodies."""
        half = WIRE if self.strips.style == "flexible" and self._boxy() else LEAD
        for slots in self.strips.slots.values():
            for slot in slots:
                if not slot.rail:
                    self._ends(slot, half)

    def _boxy(self) -> bool:
        """Whether the boxes of round bodies ask for no more room beside them than the bodies do."""
        for part in self.strips.circuit.parts:
            body = part.type.body
            if body.length == body.width and (body.kind == "radial" or body.shape in ROUND):
                radius = fine(body.width / 2)
                if body.kind != "radial" or radius > DOME_MOST or radius in BETWEEN:
                    return False
        return True

    def column(self, name: str) -> Any:
        """A column of one side, 0 to 4 from left to right."""
        return self.model.new_int_var(0, 4, name)

    def box(self, where: Any, half: int, low: Any, high: Any, there: Any, name: str) -> None:
        """A body about a row (``where``: twenty times its place), between two columns."""
        model = self.model
        size = model.new_int_var(0, 2 * OUT, f"{name} size")
        self.along.append(
            model.new_optional_fixed_size_interval_var(where - half, 2 * half, there, f"{name} rows")
        )
        self.over.append(model.new_optional_interval_var(low, size, high, there, f"{name} columns"))
        if half > WIRE:
            self.bodies.append(self.along[-1])
            self.bodies_over.append(self.over[-1])

    def _lie(self, lying: Lying) -> None:
        model, part, body = self.model, lying.part, lying.part.type.body
        half, long = fine(body.width / 2), fine(body.length / 2)
        name = part.id
        column = self.column(f"{name} column")
        if body.kind == "radial" and body.length == body.width:
            self._dome(lying, column, half)
            return
        top = FINE * (FAR + self.strips.length + 12)
        low, high = (model.new_int_var(-OUT, top, f"{name} {end}") for end in ("low", "high"))
        size = model.new_int_var(0, 2 * OUT, f"{name} long")
        middle = FINE * lying.start + FINE // 2 * lying.reach
        model.add(low <= FINE * lying.start - BENT).only_enforce_if(lying.lies)
        model.add(low <= middle - long).only_enforce_if(lying.lies)
        model.add(high >= FINE * lying.start + FINE * lying.reach + BENT).only_enforce_if(lying.lies)
        model.add(high >= middle + long).only_enforce_if(lying.lies)
        self.along.append(model.new_optional_interval_var(low, size, high, lying.lies, f"{name} rows"))
        self.over.append(
            model.new_optional_fixed_size_interval_var(
                FINE * column - half, 2 * half, lying.lies, f"{name} columns"
            )
        )
        self.bodies.append(self.along[-1])
        self.bodies_over.append(self.over[-1])
        least, most = body.span
        if lying.across is not None:
            way, place = lying.across
            one, two = self.column(f"{name} left"), self.column(f"{name} right")
            model.add(7 + two - one >= least).only_enforce_if(way)
            model.add(7 + two - one <= most).only_enforce_if(way)
            self.across(place, one, two, half, way, name)
        for way, place, rail in lying.to_rail:
            end = self.column(f"{name} to {rail}")
            away = end - RAIL_X[rail[:2]] if rail[0] == "L" else RAIL_X[rail[:2]] - end
            model.add(away >= least).only_enforce_if(way)
            model.add(away <= most).only_enforce_if(way)
            low, high = (-OUT, FINE * end + BENT) if rail[0] == "L" else (FINE * end - BENT, OUT)
            for where, wide, leans in self._leaning(place, body.width, rail, way, f"{name} {rail}"):
                self.box(where, wide, low, high, leans, f"{name} {rail}")

    def _leaning(
        self, place: Any, width: float, rail: str, way: Any, name: str
    ) -> list[tuple[Any, int, Any]]:
        """Where a body to a rail may lie: its row, half its width, whether; it may lean up or down."""
        holes = self.strips.board.holes
        half_way = all(holes[hole][1] % 1 == 0.5 for hole in self.strips.board.strips[rail])
        if not half_way:
            return [(FINE * place, fine(width / 2), way)]
        up, down = (self.model.new_bool_var(f"{name} leans {to}") for to in ("up", "down"))
        self.model.add(up + down == way)
        wide = fine(width / 2 + LEANING * PITCH)
        return [(FINE * place - FINE // 4, wide, up), (FINE * place + FINE // 4, wide, down)]

    def _dome(self, lying: Lying, column: Any, radius: int) -> None:
        """A round body: a square keeps other bodies off, a shorter box and its legs keep leads off."""
        model, name = self.model, lying.part.id
        half, rows = square(radius)
        middle = FINE * lying.start + FINE // 2 * lying.reach
        centre = model.new_int_var(0, FINE * (FAR + self.strips.length + 12), f"{name} centre")
        model.add(centre == middle).only_enforce_if(lying.lies)
        across = model.new_optional_fixed_size_interval_var(
            FINE * column - half, 2 * half, lying.lies, f"{name} columns"
        )
        for kind, length in (("bodies", half), ("leads", rows)):
            box = model.new_optional_fixed_size_interval_var(
                centre - length, 2 * length, lying.lies, f"{name} {kind}"
            )
            (self.bodies if kind == "bodies" else self.along).append(box)
            (self.bodies_over if kind == "bodies" else self.over).append(across)
        far = model.new_bool_var(f"{name} legs apart")
        model.add_implication(far, lying.lies)
        model.add(FINE * lying.reach <= 2 * rows).only_enforce_if(lying.lies, far.negated())
        model.add(FINE * lying.reach > 2 * rows).only_enforce_if(far)
        last = model.new_int_var(0, FAR + self.strips.length + 12, f"{name} last")
        model.add(last == lying.start + lying.reach).only_enforce_if(far)
        for row in (lying.start, last):
            self.box(FINE * row, LEAD, FINE * column - LEAD, FINE * column + LEAD, far, f"{name} leg")

    def across(self, place: Any, one: Any, two: Any, half: int, way: Any, name: str) -> None:
        """Something from a column on the left to one on the right in the same row."""
        self.box(FINE * place, half, FINE * one - WIRE, 6 * FINE, way, f"{name} left")
        self.box(FINE * (place + FAR), half, -2 * FINE, FINE * two + WIRE, way, f"{name} right")

    def _stand(self, standing: Standing) -> None:
        part = standing.parts[0]
        body, name = part.type.body, part.id
        for k, turn in enumerate(standing.turns):
            offsets = standing.frame.turns[k]
            if standing.frame.straddles:
                for leg, offset in enumerate(offsets):
                    right = offset >= FAR
                    at = 0 if right else 4
                    where = FINE * standing.top + FINE * offset
                    self.box(where, LEAD, FINE * at - LEAD, FINE * at + LEAD, turn, f"{name} {leg} {k}")
                continue
            rows = {offset % FAR for offset in offsets}
            if len(rows) < len(offsets) or len({offset // FAR for offset in offsets}) > 1:
                continue
            column = self.column(f"{name} column {k}")
            long = max(rows) * FINE // 2 + (LEAD if len(standing.parts) == 1 else fine(body.length / 2))
            where = FINE * standing.top + FINE * FAR * (offsets[0] // FAR) + max(rows) * FINE // 2
            half = fine(body.width / 2)
            if body.length == body.width and body.shape in ROUND:
                half = square(half)[0]
            self.box(where, long, FINE * column - half, FINE * column + half, turn, f"{name} {k}")

    def _supply(self, legs: Any) -> None:
        """Leads of a supply beside the rails stand in the outer columns of a side."""
        model, strips = self.model, self.strips
        for item, net, choice in zip(legs.ids, legs.nets, legs.choice, strict=True):
            column, there = self.column(f"{item} column"), model.new_bool_var(f"{item} in a row")
            place = model.new_int_var_from_domain(strips.anywhere, f"{item} place")
            slots = [slot for slot in strips.slots[net] if not slot.rail and slot.name in choice]
            model.add(sum(choice[slot.name] for slot in slots) == there)
            for slot in slots:
                model.add(column <= 1).only_enforce_if(slot.left, choice[slot.name])
                model.add(column >= 3).only_enforce_if(slot.left.negated(), choice[slot.name])
                model.add(place == slot.place).only_enforce_if(choice[slot.name])
            self.box(FINE * place, LEAD, FINE * column - LEAD, FINE * column + LEAD, there, f"{item}")

    def _ends(self, slot: Slot, half: int) -> None:
        """Up to two wire ends of a strip need holes that no body covers."""
        model = self.model
        before: Any = None
        for number in (1, 2):
            there = model.new_bool_var(f"{slot.name} end {number}")
            model.add(slot.ends < number).only_enforce_if(there.negated())
            column = self.column(f"{slot.name} end {number} column")
            if before is not None:
                model.add(column > before).only_enforce_if(there)
            before = column
            name = f"{slot.name} end {number}"
            self.box(FINE * slot.place, half, FINE * column - half, FINE * column + half, there, name)
