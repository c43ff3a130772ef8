"""Room for the bodies of the strips counted, ways for their wires, and the plan that this gives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from buildalong.build.place._ask import Answer, Purse, ask, hint
from buildalong.build.place._bent import Bent
from buildalong.build.place._columns import FINE, Columns
from buildalong.build.place._frames import FAR, place_name
from buildalong.build.place._slots import Slot
from buildalong.build.place._straight import Straight
from buildalong.build.place._strips import StripModel
from buildalong.build.place._tree import Line, Tree

__all__ = ["Plan", "Room", "plan_of"]

TIDYING = 0.2
"""Share of that for the tidiest strips of a number of wires."""
OTHERS = 6
"""Plans besides the first where no ways were found for its wires."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A strip for every leg; ``bridges``: (net, row) of straight wires across the trench.

    ``holes``: a hole for most of the legs and for the ends of bridges, where room for the bodies was
    found too; ``laid``: (net, points) of the other wires, where ways were found for all of them.
    """

    wires: int
    on_rails: bool
    strips: Mapping[tuple[str, int], str]
    holes: Mapping[tuple[str, int], str]
    bridges: tuple[tuple[int, int], ...] = ()
    laid: tuple[tuple[int, Line], ...] = ()


class Room:
    """A strip model with room for the bodies, and with ways for the wires where ``wired`` says so."""

    def __init__(self, strips: StripModel, wired: bool) -> None:
        self.strips, self.model = strips, strips.model.clone()
        self.weight = FINE * strips.tidiness(self.model)
        self.columns = Columns(strips, self.model)
        self.tree: Tree | None = None
        if wired:
            self.tree = Straight(self.columns) if strips.style == "link" else Bent(self.columns)
            self.weight += sum(self.tree.length)
        else:
            self.columns.add_ends()
        self.columns.close()

    def find(
        self, wires: int, rails: bool, told: Sequence[int], purse: Purse, share: float = 1.0
    ) -> Answer | None:
        """Room with so many wires at most; None where there is none."""
        return ask(self.strips, self._asked(wires, rails, told), None, purse, share)

    def plan(self, wires: int, rails: bool, told: Sequence[int], purse: Purse) -> Plan:
        """A plan from what was found, made tidier."""
        tidier = ask(self.strips, self._asked(wires, rails, told), self.weight, purse, TIDYING)
        values = tidier.values if tidier and tidier.values else told
        on = bool(self.strips.on_rails) and all(values[v.index] for v in self.strips.on_rails)
        return plan_of(self.strips, wires, on, values, self.columns, self.tree)

    def others(self, plan: Plan, purse: Purse) -> tuple[Plan, ...]:
        """Other strips and holes for as many wires."""
        asked = self._asked(plan.wires, plan.on_rails, ())
        out = []
        for seed in range(1, OTHERS + 1):
            found = ask(self.strips, asked, None, purse, 1.0, seed)
            if found and found.values:
                out.append(plan_of(self.strips, plan.wires, plan.on_rails, found.values, self.columns, None))
        return tuple(out)

    def _asked(self, wires: int, rails: bool, told: Sequence[int]) -> Any:
        model = self.model.clone()
        model.add(self.strips.wires <= wires)
        for on in self.strips.on_rails if rails else ():
            model.add(on == 1)
        hint(model, told)
        return model


def plan_of(
    model: StripModel,
    wires: int,
    on_rails: bool,
    value: Sequence[int],
    columns: Columns | None,
    tree: Tree | None,
) -> Plan:
    """The plan of a solution."""

    def where(slot: Slot) -> str:
        return slot.rail or place_name(value[slot.place.index])

    strips: dict[tuple[str, int], str] = {}
    for part_id, leg, slot in model.own_legs:
        strips[part_id, leg] = where(slot)
    for legs in model.placed:
        for item, net, choice in zip(legs.ids, legs.nets, legs.choice, strict=True):
            for slot in model.slots[net]:
                if slot.name in choice and value[choice[slot.name].index]:
                    strips[item] = where(slot)
    holes = columns.holes(value, strips) if columns else {}
    laid = list(tree.lines(value)) if tree else []
    bridges: list[tuple[int, int]] = []
    for net, pairs in model.bridges.items():
        for across, place in pairs:
            if not value[across.index]:
                continue
            row = value[place.index] % FAR
            for wire in [w for w in laid if w[0] == net and {y for _, y in w[1]} == {row}]:
                ends = [model.board.hole_at(x, y) or "" for x, y in wire[1]]
                holes.update({(f"bridge {len(bridges)}", k): hole for k, hole in enumerate(ends)})
                laid.remove(wire)
            bridges.append((net, row))
    return Plan(wires, on_rails, strips, holes, tuple(bridges), tuple(laid))
