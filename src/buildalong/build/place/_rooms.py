"""Room for the bodies of the strips counted, and for straight wires: a refusal raises the bound."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.build.place._ask import Answer, Purse, ask
from buildalong.build.place._columns import Columns
from buildalong.build.place._frames import place_name
from buildalong.build.place._straight import Straight
from buildalong.build.place._strips import StripModel

__all__ = ["Room"]


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
