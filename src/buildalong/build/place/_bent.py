"""Formed wires that cross nothing: along the row of one strip, along a column, along the row of the other.

This is how most tidy formed wires run, straight ones among them.  It is a way to find layouts, not to prove
that there are none: wires may also turn in the rows of other strips and cross one another.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.build.place._columns import FINE, OUT, WIRE, Columns, global_column
from buildalong.build.place._frames import FAR
from buildalong.build.place._slots import Slot
from buildalong.build.place._tree import Line, Tree, Way

__all__ = ["Bent"]

CLEAR = WIRE + 1
"""The piece along a column begins and ends so far from the rows of its ends: twentieths of a pitch."""
TRENCH_LEFT, TRENCH_RIGHT = 6 * FINE, -2 * FINE
"""As far as what lies left and right of the middle of the trench may reach."""


@dataclass(frozen=True, slots=True)
class _Wire:
    """The unknowns of a wire by which a strip hangs on another; ``own`` and ``far``: columns of its ends."""

    net: int
    child: Slot
    parent: Any
    there: Any
    left: Any
    own: Any
    far: Any
    track: Any
    track_left: Any
    flat: Any


class Bent(Tree):
    """The wires of a model in the formed style."""

    def __init__(self, columns: Columns) -> None:
        self._wires: list[_Wire] = []
        columns.fill_trench()
        super().__init__(columns)

    def hang(self, net: int, child: Slot, slots: Sequence[Slot]) -> list[Way]:
        """One wire, on its own side or across the trench, to any of the strips."""
        if not slots:
            return []
        model, name = self.model, f"{child.name} wire"
        place = model.new_int_var(1, FAR + self.rows, f"{name} parent")
        same, early, late, flat = (
            model.new_bool_var(f"{name} {kind}")
            for kind in ("same side", "across below", "across here", "flat")
        )
        there = model.new_bool_var(name)
        model.add(same + early + late + flat == there)
        left = child.left
        out: list[Way] = []
        for parent in slots:
            way = model.new_bool_var(f"{name} to {parent.name}")
            model.add(place == parent.place).only_enforce_if(way)
            across = parent.left
            model.add(left == across).only_enforce_if(way, same)
            model.add(left != across).only_enforce_if(way, same.negated())
            out.append((way, parent))
        model.add(sum(way for way, _ in out) == there)
        own, far = self.columns.column(f"{name} own end"), self.columns.column(f"{name} far end")
        track = model.new_int_var(-2, 6, f"{name} track")
        track_left = model.new_bool_var(f"{name} track left")
        model.add(track_left == left).only_enforce_if(late.negated())
        model.add(track_left != left).only_enforce_if(late)
        model.add(track <= 5).only_enforce_if(track_left)
        model.add(track >= -1).only_enforce_if(track_left.negated())
        wire = _Wire(net, child, place, there, left, own, far, track, track_left, flat)
        self._wires.append(wire)
        self._pieces(name, wire, same, early, late)
        return out

    def _pieces(self, name: str, w: _Wire, same: Any, early: Any, late: Any) -> None:
        """The boxes of a wire; ``early``: it changes sides in its parent's row, ``late``: in its own."""
        model, flat, left, right = self.model, w.flat, w.left, w.left.negated()
        top = FAR + self.rows
        here = w.child.place
        other = model.new_int_var(1, top, f"{name} other half")
        for kind, place in ((early, w.parent), (late, here), (flat, here)):
            to_left = left if kind is early else right
            model.add(other == place - FAR).only_enforce_if(kind, to_left)
            model.add(other == place + FAR).only_enforce_if(kind, to_left.negated())
        model.add(w.parent == other).only_enforce_if(flat)
        first = self._run(name, here, w.there)
        self._covers(first, w.own, [])
        self._covers(first, w.track, [same])
        self._covers(first, w.track, [early])
        second = self._run(name, w.parent, w.there)
        self._covers(second, w.far, [])
        self._covers(second, w.track, [same])
        self._covers(second, w.track, [late])
        for kind in (late, flat):
            self._to_trench(first, [kind], left)
        for kind in (early, flat):
            self._to_trench(second, [kind], right)
        changes = model.new_bool_var(f"{name} changes sides with a bend")
        model.add(early + late == changes)
        third = self._run(name, other, changes)
        self._covers(third, w.track, [])
        self._to_trench(third, [], w.track_left)
        bent = model.new_bool_var(f"{name} along")
        model.add(same + changes == bent)
        self._along(name, w, bent, (same, early, late), other)
        row = model.new_int_var(1, self.rows, f"{name} row across")
        over = model.new_bool_var(f"{name} across")
        model.add(changes + flat == over)
        for kind, place, on_left in ((early, w.parent, right), (late, here, left), (flat, here, left)):
            model.add(row == place).only_enforce_if(kind, on_left)
            model.add(row == place - FAR).only_enforce_if(kind, on_left.negated())
        self.columns.trench.append(model.new_optional_fixed_size_interval_var(row, 1, over, name))

    def _run(self, name: str, place: Any, there: Any) -> tuple[Any, Any]:
        """A piece along a row: its two ends, twentieths of a pitch."""
        low, high = (self.model.new_int_var(-OUT, OUT, f"{name} {end}") for end in ("from", "to"))
        self.columns.box(FINE * place, WIRE, low, high, there, name)
        size = self.model.new_int_var(0, 2 * OUT, f"{name} run")
        self.model.add(size == high - low)
        self.length.append(size)
        return low, high

    def _covers(self, run: tuple[Any, Any], column: Any, kinds: list[Any]) -> None:
        for constraint in (
            self.model.add(run[0] <= FINE * column - WIRE),
            self.model.add(run[1] >= FINE * column + WIRE),
        ):
            if kinds:
                constraint.only_enforce_if(kinds)

    def _to_trench(self, run: tuple[Any, Any], kinds: list[Any], left: Any) -> None:
        self.model.add(run[1] >= TRENCH_LEFT).only_enforce_if(*kinds, left)
        self.model.add(run[0] <= TRENCH_RIGHT).only_enforce_if(*kinds, left.negated())

    def _along(self, name: str, w: _Wire, bent: Any, kinds: tuple[Any, Any, Any], other: Any) -> None:
        """The piece along a column, between the rows of the ends."""
        model = self.model
        same, early, late = kinds
        low, high = (model.new_int_var(1, FAR + self.rows, f"{name} {end}") for end in ("low", "high"))
        down = model.new_bool_var(f"{name} down")
        here, parent = w.child.place, w.parent
        for kind, a, b in ((same, here, parent), (early, here, other), (late, other, parent)):
            for way, one, two in ((down, a, b), (down.negated(), b, a)):
                model.add(low == one).only_enforce_if(kind, way)
                model.add(high == two).only_enforce_if(kind, way)
        size = model.new_int_var(0, FINE * self.rows, f"{name} rows")
        rows = (FINE * low + CLEAR, size, FINE * high - CLEAR)
        self.columns.along.append(model.new_optional_interval_var(*rows, bent, f"{name} along"))
        self.columns.over.append(
            model.new_optional_fixed_size_interval_var(FINE * w.track - WIRE, 2 * WIRE, bent, f"{name} over")
        )
        self.length.append(size)

    def between_rails(self, net: int, child: Slot, parent: Slot) -> list[Way]:
        """Wires from rail to rail run around the board, out of the way of everything: none is modelled."""
        return []

    def lines(self, values: Sequence[int]) -> Iterable[tuple[int, Line]]:
        """(net, points) of every wire of a solution."""
        yield from super().lines(values)
        for w in self._wires:
            if not values[w.there.index]:
                continue
            here, parent = values[w.child.place.index], values[w.parent.index]
            one = (global_column(here, values[w.own.index]), float(here % FAR))
            two = (global_column(parent, values[w.far.index]), float(parent % FAR))
            if values[w.flat.index]:
                yield w.net, (one, two)
                continue
            x = float(values[w.track.index] + 7 * (1 - values[w.track_left.index]))
            points = [point for point, _ in itertools.groupby((one, (x, one[1]), (x, two[1]), two))]
            yield w.net, tuple(points)
