"""Capacitance between neighbouring strips: what the board itself adds to a circuit."""

from __future__ import annotations

from buildalong.board._layout import Layout
from buildalong.board._readback import strip_nets
from buildalong.circuit import Circuit

__all__ = ["strip_capacitances"]

STRIP = 2e-12
"""Between two neighbouring strips of five holes [F]: measured, DigiKey TechForum, "The Real Impact of
Breadboard Capacitance on Prototype Designs"; older texts say 2 pF to 25 pF."""
HOLES = 5


def strip_capacitances(
    circuit: Circuit, layout: Layout, strip: float = STRIP
) -> tuple[tuple[str, str, float], ...]:
    """Give the capacitance [F] between each two nets whose strips lie side by side: (net, net, farad).

    ``strip``: that of two strips of five holes; longer ones (rails) have more in proportion.  The result
    is what ``Options.strays`` of the engine takes.  Strips that carry no net are left out.
    """
    nets = strip_nets(circuit, layout)
    order = {name: number for number, name in enumerate(layout.board.strips)}
    found: dict[tuple[str, str], float] = {}
    for one, net in nets.items():
        for other in layout.board.next_strips(one):
            beside = nets.get(other, net)
            if beside == net or order[other] < order[one]:
                continue
            pair = (net, beside) if net < beside else (beside, net)
            facing = min(len(layout.board.strips[name]) for name in (one, other))
            found[pair] = found.get(pair, 0.0) + strip * facing / HOLES
    return tuple((a, b, farad) for (a, b), farad in sorted(found.items()))
