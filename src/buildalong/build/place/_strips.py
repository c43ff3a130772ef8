"""The strips of a board, counted by a solver: which leg may stand where, and how many wires that takes.

Every net is split over some strips; joining k strips takes k - 1 wires, less the joins that parts with
double legs make by themselves.  A strip is an unknown place (see _frames), not one of the board's: the
model grows with the circuit, not with the board, and what it proves holds for the whole board.  It knows
which legs a part can put where, five holes a strip, holes under bodies, one body across the trench in a
row, both leads of a supply on one side, rails, and which strips straight wires can join.  It does not
know columns, so its fewest wires are a bound for every layout under the rules of docs/placement.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from buildalong.board import Board
from buildalong.build.place._frames import FAR
from buildalong.build.place._slots import HOLES, Slot
from buildalong.build.place._strip_parts import StripParts
from buildalong.circuit import Circuit, Part

__all__ = ["StripModel"]


class StripModel(StripParts):
    """A model of one circuit on one board in one wire style, its wires counted; built once, solved often."""

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
        super().__init__(circuit, board, style, most=most, rows=rows, fixed=fixed, whole=whole)
        self.wire_of: dict[int, Any] = {}
        """Net -> its wires."""
        self._count()

    def _count(self) -> None:
        model = self.model
        wires: list[Any] = []
        for net, slots in self.slots.items():
            self.floor += max(0, sum(bool(slot.part) for slot in slots) - 1 - self.joins[net])
            if not slots:
                continue
            there = sum(slot.present for slot in slots)
            wire = model.new_int_var(0, min(self.most, len(slots)), f"wires {net}")
            model.add(wire >= there - 1 - self.joins[net])
            wires.append(wire)
            self.wire_of[net] = wire
            for slot in slots:
                slot.ends = model.new_int_var(0, slot.capacity, f"ends {slot.name}")
                load = model.new_int_var(0, slot.capacity, f"load {slot.name}")
                model.add(sum(slot.legs) + slot.own + slot.ends == load)
                model.add(load <= slot.capacity * slot.present)
                if not slot.rail:
                    self.room.append((self._intervals[slot.name], load))
            model.add(sum(slot.ends for slot in slots) == 2 * wire)
            if self.style == "link":
                self._cross(net, slots)
            if not self.joins[net]:
                several = model.new_bool_var(f"several {net}")
                model.add(there <= 1).only_enforce_if(several.negated())
                for slot in slots:
                    model.add(slot.ends >= 1).only_enforce_if(several, slot.present)
                    if not self.piece:
                        load = sum(slot.legs) + slot.own + slot.ends
                        model.add(load >= 2).only_enforce_if(several, slot.present)
                if self.style == "link":
                    self._sides_meet(net, slots)
        model.add_no_overlap(self.apart)
        model.add_no_overlap(self.trench)
        model.add_cumulative([i for i, _ in self.room], [d for _, d in self.room], HOLES)
        self.wires = sum(wires)
        model.add(self.wires <= self.most)
        self.side = self._stiff_side()

    def half(self, on_rails: bool) -> Any | None:
        """What parts a question in two: whether there is anything on the rails, or where a stiff part is."""
        return self.railed if self.board.rail_holes and not on_rails else self.side

    def _stiff_side(self) -> Any | None:
        """Whether the first leg of the second stiff part is on the left; None where there is no choice."""
        for standing in self.standing[1:]:
            turns = list(zip(standing.turns, standing.frame.turns, strict=True))
            left = [turn for turn, offsets in turns if offsets[0] < FAR]
            if 0 < len(left) < len(turns):
                side = self.model.new_bool_var(f"{standing.parts[0].id} on the left")
                self.model.add(sum(left) == side)
                return side
        return None

    def _sides_meet(self, net: int, slots: Sequence[Slot]) -> None:
        """Straight wires change sides only in a row whose two strips are the net's, or from rail to rail."""
        model = self.model
        here = [model.new_bool_var(f"net {net} on {side}") for side in ("left", "right")]
        meet = [over for _, over, _ in self.across[net]]
        for i, one in enumerate(slots):
            if one.rail:
                model.add_implication(one.present, here[one.rail[0] == "R"])
            else:
                left = one.left
                model.add_bool_or(here[0], left.negated(), one.present.negated())
                model.add_bool_or(here[1], left, one.present.negated())
            for other in slots[i + 1 :]:
                if one.rail and other.rail and one.rail[0] != other.rail[0]:
                    both = model.new_bool_var("rail to rail")
                    model.add_implication(both, one.present)
                    model.add_implication(both, other.present)
                    meet.append(both)
        model.add_bool_or([here[0].negated(), here[1].negated(), *meet])

    def _cross(self, net: int, slots: Sequence[Slot]) -> None:
        """Straight wires across the trench, one in a row."""
        model = self.model
        rows = [slot for slot in slots if not slot.rail]
        for left in rows:
            ways = []
            for right in rows:
                if left is right or (left.part and right.part):
                    continue
                way = model.new_bool_var(f"{left.name} across to {right.name}")
                model.add_implication(way, right.present)
                model.add(right.place - left.place == FAR).only_enforce_if(way)
                ways.append((right, way))
            if ways:
                over = model.new_bool_var(f"{left.name} across")
                model.add_implication(over, left.present)
                model.add(sum(way for _, way in ways) == over)
                self.trench.append(model.new_optional_fixed_size_interval_var(left.place, 1, over, over.name))
                self.across[net].append((left, over, ways))
