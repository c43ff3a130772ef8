"""Room for the bodies of the strips counted, and for straight wires: a refusal raises the bound."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.build.place._ask import Answer, Purse, ask
from buildalong.build.place._columns import Columns
from buildalong.build.place._frames import FAR, place_name
from buildalong.build.place._straight import Straight
from buildalong.build.place._strips import StripModel

__all__ = ["Room"]

PACKING = 1.0
"""Work for the solver, more than it ever takes: all choices are made."""


class Room:
    """A strip model with room for the bodies, and with straight wires where ``wired`` says so."""

    def __init__(self, strips: StripModel, wired: bool) -> None:
        self.strips, self.model, self.wired = strips, strips.model.clone(), wired
        columns = Columns(strips, self.model)
        if wired:
            Straight(columns)
        else:
            columns.add_ends()
        columns.close()

    def find(self, wires: int, rails: bool, purse: Purse) -> Answer | None:
        """Room with so many wires at most; None where there is none."""
        model = self.model.clone()
        model.add(self.strips.wires <= wires)
        for on in self.strips.on_rails if rails else ():
            model.add(on == 1)
        return ask(self.strips, model, None, purse, None if self.wired else self.strips.half(rails))

    def packed(self, values: Sequence[int]) -> Sequence[int]:
        """An answer with all its choices in as few rows as possible: the solver leaves out none by itself."""
        strips, model = self.strips, self.model.clone()
        last = model.new_int_var(1, strips.length, "last row")
        for slot in (slot for slots in strips.slots.values() for slot in slots if not slot.rail):
            model.add(slot.place <= last).only_enforce_if(slot.left, slot.present)
            model.add(slot.place <= last + FAR).only_enforce_if(slot.left.negated(), slot.present)
        for index, unknown in enumerate(self.model.proto.variables):
            if list(unknown.domain) == [0, 1]:
                model.add(model.get_bool_var_from_proto_index(index) == values[index])
        found = ask(strips, model, last, Purse(PACKING))
        return found.values if found and found.values else values

    def strips_of(self, values: Sequence[int]) -> dict[tuple[str, int], str]:
        """The strip of each leg in an answer."""
        model = self.strips
        out = {(part, leg): place_name(values[slot.place.index]) for part, leg, slot in model.own_legs}
        for legs in model.placed:
            for item, net, choice in zip(legs.ids, legs.nets, legs.choice, strict=True):
                for slot in model.slots[net]:
                    if slot.name in choice and values[choice[slot.name].index]:
                        out[item] = slot.rail or place_name(values[slot.place.index])
        return out
