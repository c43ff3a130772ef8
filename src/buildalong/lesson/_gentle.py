"""What comes of slips on any layout of a circuit: simulated before there is a layout."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from buildalong.board import Board, Layout
from buildalong.build.place import Hurts
from buildalong.circuit import Circuit
from buildalong.store import Store

if TYPE_CHECKING:
    from buildalong.engine import Trial
    from buildalong.mistakes import Mistake

__all__ = ["hurts_of"]

LIKELY = 8.0
"""Weight of a slip by one row, as in ``mistakes.KINDS``."""
MOST = 3_000
"""More slips than this are not simulated."""


def hurts_of(
    circuit: Circuit,
    board: Board,
    trials: Sequence[Trial],
    store: Store | None,
    say: Callable[[float, str], None],
) -> Hurts:
    """Simulate each wire that would join two nets, and each lead in each other net.

    The points are those of ``guide.SEVERITY`` times the weight of a slip by one row, in hundreds; what is
    only seen to be wrong counts nothing.
    """
    from buildalong.guide import SEVERITY, severity
    from buildalong.mistakes import laboratory

    bare = Layout(board, {})
    made = list(_slips(circuit, bare))[:MOST]
    lab = laboratory(
        circuit, bare, trials, made=made, store=store,
        progress=lambda share, text: say(0.1 * share, f"what slips would do: {text}"),
    )  # fmt: skip
    least = SEVERITY["seen"][0]
    wires: dict[tuple[str, str], float] = {}
    leads: dict[tuple[str, str], float] = {}
    for outcome in lab.outcomes:
        points = LIKELY * (SEVERITY[severity(outcome)][0] - least) / 100.0
        if points > 0:
            one, other = outcome.mistake.where.split("\n")
            (wires if outcome.mistake.kind == "wire-one-off" else leads)[one, other] = round(points, 6)
    return Hurts(wires, leads)


def _slips(circuit: Circuit, bare: Layout) -> Iterator[Mistake]:
    """Two nets joined by a wire; a lead in another net."""
    from buildalong.mistakes import Mistake

    nets = sorted(circuit.nets)
    for one, other in combinations(nets, 2):
        joined = Circuit(
            tuple(replace(p, nets=tuple(one if n == other else n for n in p.nets)) for p in circuit.parts)
        )
        name = f"wire-{one}-{other}"
        yield Mistake(name, "wire-one-off", name, f"{one}\n{other}", (), LIKELY, joined, bare)
    for part in circuit.parts:
        if part.type.body.legs or len(part.type.leg_terminals) != len(part.type.terminals):
            continue
        names = [terminal.name for terminal in part.type.terminals]
        for leg, terminal in enumerate(part.type.leg_terminals):
            at = names.index(terminal)
            for net in nets:
                if net != part.nets[at]:
                    moved = replace(part, nets=(*part.nets[:at], net, *part.nets[at + 1 :]))
                    wrong = Circuit(tuple(moved if p is part else p for p in circuit.parts))
                    name = f"lead-{part.id}-{leg}-{net}"
                    where = f"{part.id} {leg}\n{net}"
                    yield Mistake(name, "lead-one-off", name, where, (part.id,), LIKELY, wrong, bare)
