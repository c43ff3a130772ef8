"""Placing the parts on a board and laying the wires: few wires, proved where possible, and tidy."""

from buildalong.build.place._conflict import smallest_conflict
from buildalong.build.place._gentle import Hurts
from buildalong.build.place._place import place
from buildalong.build.place._result import Placement
from buildalong.build.place._score import WEIGHTS, Score, Term, score
from buildalong.build.place._verify import verify
from buildalong.build.place._wishes import Wishes

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
