"""A tree of wires for every net, added to a model with the columns of all bodies.

Every strip of a net but one hangs on another strip, its parent: by a wire, or inside a part.  Which wires
there are between rows, or between rails, is told by a subclass (_straight).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from buildalong.build.place._boxes import FINE, LEAD, WIRE
from buildalong.build.place._columns import RAIL_X, Columns
from buildalong.build.place._slots import Slot

__all__ = ["Tree", "Way"]

Way = tuple[Any, Slot]
"""(whether, the strip on which one hangs by it)."""


class Tree:
    """The wires of a model; subclasses say which there are between two strips in rows."""

    def __init__(self, columns: Columns) -> None:
        self.columns, self.strips, self.model = columns, columns.strips, columns.model
        self.rows = self.strips.length
        self._ends: dict[str, list[Any]] = defaultdict(list)
        self._railed: dict[tuple[str, str], tuple[Slot, Slot, list[Any]]] = {}
        """A strip in a row and a rail -> both, and by which one hangs on the other."""
        for net, slots in self.strips.slots.items():
            if len(slots) > 1:
                self._tree(net, slots)
        for slots in self.strips.slots.values():
            for slot in slots:
                if slot.ends is not None:
                    self.model.add(slot.ends == sum(self._ends[slot.name]))
        for row, rail, ways in self._railed.values():
            self._beside_rail(row, rail, ways)
        self.finish()

    def hang(self, net: int, child: Slot, slots: Sequence[Slot]) -> list[Way]:
        """The wires by which a strip in a row may hang on other strips in rows."""
        raise NotImplementedError

    def between_rails(self, net: int, child: Slot, parent: Slot) -> list[Way]:
        """The wires by which a rail may hang on one of the other side."""
        raise NotImplementedError

    def beside(self, row: Slot, column: Any, way: Any) -> None:
        """Told of the end that a wire to a rail has in a row."""

    def finish(self) -> None:
        """Called when all wires are there."""

    def _tree(self, net: int, slots: Sequence[Slot]) -> None:
        model = self.model
        rank = {s.name: model.new_int_var(0, len(slots) - 1, f"{s.name} rank") for s in slots}
        root = next((s for s in slots if s.part), None) or next((s for s in slots if not s.rail), slots[0])
        for child in slots:
            if child is root:
                continue
            others = [s for s in slots if s is not child]
            ways: list[Way] = []
            if not child.rail:
                ways += self.hang(net, child, [s for s in others if not s.rail])
            for parent in others:
                if child.rail and parent.rail:
                    if child.rail[0] != parent.rail[0]:
                        ways += self.between_rails(net, child, parent)
                elif child.rail or parent.rail:
                    ways.append((self._to_rail(child, parent), parent))
            for way, parent in ways:
                self._ends[child.name].append(way)
                self._ends[parent.name].append(way)
            for parent in others:
                if child.joint and child.joint == parent.joint:
                    ways.append((model.new_bool_var(f"{child.name} inside {parent.name}"), parent))
            for way, parent in ways:
                model.add_implication(way, parent.present)
                model.add(rank[child.name] > rank[parent.name]).only_enforce_if(way)
            model.add(sum(way for way, _ in ways) == child.present)

    @staticmethod
    def may_lie_below(low: Slot, high: Slot) -> bool:
        """Whether the second strip may lie below the first on the same side; loose strips are in order."""
        if low.part and low.part == high.part:
            return low.at[0] == high.at[0] and low.joint != high.joint
        if low.part or high.part:
            return True
        return int(low.name.split()[-1]) < int(high.name.split()[-1])

    def _to_rail(self, child: Slot, parent: Slot) -> Any:
        row, rail = (parent, child) if child.rail else (child, parent)
        way = self.model.new_bool_var(f"{child.name} beside {parent.name}")
        self._railed.setdefault((row.name, rail.name), (row, rail, []))[2].append(way)
        return way

    def _beside_rail(self, row: Slot, rail: Slot, ways: Sequence[Any]) -> None:
        """A wire from a strip in a row to a rail."""
        model, name = self.model, f"{row.name} to {rail.name}"
        there, column = model.new_bool_var(name), self.columns.column(f"{name} column")
        model.add(sum(ways) == there)
        model.add_linear_expression_in_domain(row.place, self.strips.beside_rail(rail.rail)).only_enforce_if(
            there
        )
        edge = RAIL_X[rail.rail[:2]] * FINE
        low, high = (edge, FINE * column + LEAD) if rail.rail[0] == "L" else (FINE * column - LEAD, edge)
        self.columns.box(FINE * row.place, WIRE, low, high, there, name)
        self.beside(row, column, there)
