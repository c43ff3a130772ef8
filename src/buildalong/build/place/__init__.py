"""Placing the parts on a board and laying the wires: few wires, proved where possible, and tidy."""

from buildalong.board import Layout, check_layout, compare, read_back
from buildalong.build.place._conflict import smallest_conflict
from buildalong.build.place._gentle import Hurts
from buildalong.build.place._place import place
from buildalong.build.place._result import Placement
from buildalong.build.place._score import WEIGHTS, Score, Term, score
from buildalong.build.place._wishes import Wishes
from buildalong.circuit import Circuit
from buildalong.finding import Finding

__all__ = [
    "WEIGHTS",
    "Hurts",
    "Placement",
    "Score",
    "Term",
    "Wishes",
    "place",
    "score",
    "smallest_conflict",
    "verify",
]


def verify(circuit: Circuit, layout: Layout) -> list[Finding]:
    """Check a layout with the board's own read-back and geometry; the placer's code has no part in it."""
    return [*check_layout(circuit, layout), *compare(circuit, read_back(circuit.parts, layout), layout)]
