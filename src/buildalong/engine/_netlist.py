"""From a circuit to the elements of the engine, for one variant or many."""

from __future__ import annotations

from dataclasses import replace
from operator import attrgetter

from buildalong.circuit import Circuit
from buildalong.engine._build_parts import add
from buildalong.engine._builder import Builder
from buildalong.engine._elements import Netlist
from buildalong.engine._run import Variation

__all__ = ["Variants", "netlist"]


def netlist(
    circuit: Circuit, variation: Variation, contact: float = 0.0,
    strays: tuple[tuple[str, str, float], ...] = (),
) -> Netlist:  # fmt: skip
    """Build the elements of one variant; raises Unreadable where a part's model is not usable."""
    return Variants(circuit, variation, contact, strays).first


KINDS = (
    "conductances", "sources", "capacitors", "diodes", "transistors", "curves", "watchers", "cells", "ramps",
)  # fmt: skip
"""The lists of a netlist that parts add to."""
_LISTS = attrgetter(*KINDS)


class Variants:
    """Netlists of variants of one circuit: only the parts that a variant changes are built anew."""

    def __init__(
        self, circuit: Circuit, variation: Variation, contact: float = 0.0,
        strays: tuple[tuple[str, str, float], ...] = (),
    ) -> None:  # fmt: skip
        self._given = (contact, strays)
        self._variation = variation
        self._builder = builder = Builder(circuit, variation, contact)
        self.first = builder.out
        for part in circuit.parts:
            self.first.ends.append(self._counts(builder.out))
            add(builder, part)
        self.first.ends.append(self._counts(builder.out))
        builder.strays(strays)

    @staticmethod
    def _counts(net: Netlist) -> tuple[int, ...]:
        return tuple(map(len, _LISTS(net)))

    def netlist(self, variation: Variation) -> Netlist:
        """The elements of a variant; raises Unreadable where a part's model is not usable."""
        first, circuit = self.first, self.first.circuit
        before, after = dict(self._variation.changes), dict(variation.changes)
        changed = {name for name, _ in before.items() ^ after.items()}
        moved = {part for part, _ in changed}
        if variation.temperature != self._variation.temperature or any(
            p.type.family == "supply" for p in circuit.parts if p.id in moved
        ):
            return netlist(circuit, variation, *self._given)
        builder = object.__new__(Builder)
        builder.__dict__.update(self._builder.__dict__, changes=after)
        out = replace(first, **{kind: getattr(first, kind).copy() for kind in KINDS})
        for part, *lengths in zip(circuit.parts, first.ends, first.ends[1:], strict=False):
            if part.id not in moved:
                continue
            # as if the parts before it had just been added
            builder.out = replace(
                first, **{kind: getattr(first, kind)[:n] for kind, n in zip(KINDS, lengths[0], strict=True)}
            )
            add(builder, part)
            if self._counts(builder.out) != lengths[1]:
                return netlist(circuit, variation, *self._given)
            for kind, a, b in zip(KINDS, *lengths, strict=True):
                getattr(out, kind)[a:b] = getattr(builder.out, kind)[a:b]
        return out
