"""Straight wires: along a column, across the trench in one row, from a row to a rail, from rail to rail.

Wires along columns keep clear of one another, of bodies, leads and ends; so do wires across.  One may pass
over the other.  What is proved with them holds for straight wires.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from buildalong.build.place._boxes import FINE, LEAD, WIRE
from buildalong.build.place._columns import OUT, Columns
from buildalong.build.place._frames import FAR
from buildalong.build.place._slots import HOLES, Slot
from buildalong.build.place._tree import Tree, Way

__all__ = ["Straight"]


class Straight(Tree):
    """The wires of a model in the style of straight links."""

    def __init__(self, columns: Columns) -> None:
        self._upright = list(zip(columns.along, columns.over, strict=True))
        """What wires along columns keep clear of, themselves included: boxes of rows and columns."""
        self._inner: list[Any] = []
        self._crossed: dict[tuple[str, str], list[Any]] = defaultdict(list)
        """Strips left and right -> by which one hangs on the other."""
        super().__init__(columns)

    def hang(self, net: int, child: Slot, slots: Sequence[Slot]) -> list[Way]:
        """Along a column up or down, or across the trench."""
        model, name = self.model, f"{child.name} wire"
        pairs = [(child, s) for s in slots if self.may_lie_below(child, s)]
        pairs += [(s, child) for s in slots if self.may_lie_below(s, child)]
        out: list[Way] = []
        if pairs:
            there = model.new_bool_var(name)
            column = self.columns.column(f"{name} column")
            low, high = (model.new_int_var(1, FAR + self.rows, f"{name} {end}") for end in ("low", "high"))
            size = model.new_int_var(1, self.rows - 1, f"{name} size")
            for one, other in pairs:
                parent = other if one is child else one
                way = model.new_bool_var(f"{name} {one.name} to {other.name}")
                model.add(low == one.place).only_enforce_if(way)
                model.add(high == other.place).only_enforce_if(way)
                out.append((way, parent))
            model.add(sum(way for way, _ in out) == there)
            model.add(high - low == size).only_enforce_if(there)
            self._along(name, there, column, low, size, high)
        return out + self._across(net, child, slots)

    def _along(self, name: str, there: Any, column: Any, low: Any, size: Any, high: Any) -> None:
        model = self.model
        start = model.new_int_var(2, FAR + self.rows + 1, f"{name} start")
        between = model.new_int_var(0, self.rows - 2, f"{name} between")
        model.add(start == low + 1)
        model.add(between == size - 1)
        self._inner.append(model.new_optional_interval_var(start, between, high, there, f"{name} between"))
        fine = model.new_int_var(0, FINE * (self.rows + 1), f"{name} fine")
        model.add(fine == FINE * size + 2 * LEAD)
        rows = (FINE * low - LEAD, fine, FINE * high + LEAD)
        self._upright.append(
            (
                model.new_optional_interval_var(*rows, there, f"{name} rows"),
                model.new_optional_fixed_size_interval_var(
                    FINE * column - WIRE, 2 * WIRE, there, f"{name} columns"
                ),
            )
        )
        for end in (low, high):
            self.columns.box(FINE * end, LEAD, FINE * column - LEAD, FINE * column + LEAD, there, name)

    def _across(self, net: int, child: Slot, slots: Sequence[Slot]) -> list[Way]:
        out: list[Way] = []
        for left, _, ways in self.strips.across[net]:
            for right, _ in ways:
                if child is left or child is right:
                    way = self.model.new_bool_var(f"{child.name} hangs across {left.name} {right.name}")
                    self._crossed[left.name, right.name].append(way)
                    out.append((way, right if child is left else left))
        return out

    def beside(self, row: Slot, column: Any, way: Any) -> None:
        """An end of a wire across, which wires along columns keep clear of."""
        self._end(row.place, column, way, f"{way.name} {row.name}")

    def _end(self, place: Any, column: Any, way: Any, name: str) -> None:
        model = self.model
        self._upright.append(
            (
                model.new_optional_fixed_size_interval_var(FINE * place - LEAD, 2 * LEAD, way, name),
                model.new_optional_fixed_size_interval_var(FINE * column - LEAD, 2 * LEAD, way, name),
            )
        )

    def between_rails(self, net: int, child: Slot, parent: Slot) -> list[Way]:
        """A wire over the whole board, in a row or between two rows."""
        model, strips = self.model, self.strips
        holes = strips.board.holes
        at = [{holes[h][1] for h in strips.board.strips[slot.rail]} for slot in (child, parent)]
        known = [round(2 * y) for y in at[0] & at[1]]
        if not known:
            return []
        # all heights, and two above the board, so that no row differs from another
        heights = range(known[0] % 2 - 4, 2 * self.rows + 2, 2)
        way = model.new_bool_var(f"{child.name} to {parent.name}")
        y = model.new_int_var_from_domain(strips.cp.Domain.from_values(heights), f"{way.name} height")
        for side in (0, FAR):
            self.columns.box(FINE // 2 * y + FINE * side, WIRE, -OUT, OUT, way, way.name)
        row = model.new_int_var(-2, self.rows + 1, f"{way.name} row")
        model.add(2 * row <= y)
        model.add(2 * row >= y - 1)
        self.columns.trench.append(model.new_optional_fixed_size_interval_var(row, 1, way, "over the board"))
        return [(way, parent)]

    def finish(self) -> None:
        """Keep the wires along columns apart, and count the holes that they cover."""
        model = self.model
        for crossing in self.strips.across.values():
            for left, over, ways in crossing:
                one, two = self.columns.column(f"{over.name} one"), self.columns.column(f"{over.name} two")
                self.columns.across(left.place, one, two, WIRE, over, over.name)
                self._end(left.place, one, over, f"{over.name} left")
                self._end(left.place + FAR, two, over, f"{over.name} right")
                for right, way in ways:
                    model.add(way == sum(self._crossed[left.name, right.name]))
        model.add_no_overlap_2d([rows for rows, _ in self._upright], [over for _, over in self._upright])
        room = [*self.strips.room, *((interval, 1) for interval in self._inner)]
        model.add_cumulative([i for i, _ in room], [d for _, d in room], HOLES)
