"""How much harm the likely slips of a layout do: what a gentle layout has little of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

__all__ = ["ACROSS", "AWAY", "Hurts", "harm"]

Point = tuple[float, float]
End = tuple[Point, str, str]
"""Where an end stands, whose it is ("" for a wire, else part and leg number: "R1 0"), and its net."""

AWAY: Mapping[int, float] = {1: 1.0, 2: 0.25}
"""How likely an end slips by so many rows, each way (our judgement: the weights of the mistakes)."""
ACROSS = 0.375
"""How likely it slips across the trench, by the same judgement."""
_LEFT, _RIGHT = 0.0, 11.0


@dataclass(frozen=True)
class Hurts:
    """What comes of an end in a strip of another net, in points.

    ``wires``: (net, other net), in the order of the alphabet -> points where a wire joins them; ``leads``:
    (part and leg number "R1 0", other net) -> points where that lead stands there.
    """

    wires: Mapping[tuple[str, str], float] = field(default_factory=dict)
    leads: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def of(self, owner: str, net: str, other: str) -> float:
        """The points of one end, of a wire or of a lead, in a strip of ``other``."""
        if owner:
            return self.leads.get((owner, other), 0.0)
        return self.wires.get((min(net, other), max(net, other)), 0.0)


def harm(ends: Iterable[End], held: Iterable[tuple[Point, str]], hurts: Hurts) -> float:
    """Points of all slips of one end by their likelihood.

    ``ends``: of wires and of leads that bend; ``held``: every leg and wire end with its net.  Places are in
    pitches; what stands on a rail is left out, for there both poles are side by side by nature.
    """
    nets: dict[tuple[bool, int], str] = {}
    for (x, y), net in held:
        if _LEFT <= x <= _RIGHT:
            nets.setdefault((x > 5.5, round(y)), net)
    amount = 0.0
    for (x, y), owner, net in ends:
        if not _LEFT <= x <= _RIGHT:
            continue
        right, row = x > 5.5, round(y)
        near = [((right, row + sign * rows), share) for rows, share in AWAY.items() for sign in (-1, 1)]
        for place, share in (*near, ((not right, row), ACROSS)):
            other = nets.get(place, net)
            if other != net:
                amount += share * hurts.of(owner, net, other)
    return amount
