"""Simulated annealing, compiled: the one door of the kernel.

The compiler's cache would notice a change in this file only; so the digest of all the files that the
annealer is made of is a variable of its own, and with it a part of the name under which it is kept.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,assignment,var-annotated,call-arg"

from __future__ import annotations

import gc
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np

from buildalong.drawing.schematic._arrays import entry, helper
from buildalong.drawing.schematic._moves import inside, propose, random
from buildalong.drawing.schematic._penalty import penalty
from buildalong.drawing.schematic._score import wires
from buildalong.drawing.schematic._tables import tables

__all__ = ["anneal"]


@helper
def _copy(A, B):
    for k in range(3):
        for i in range(A.sym.columns):
            B.sym[k, i] = A.sym[k, i]
        for i in range(A.ter.columns):
            B.ter[k, i] = A.ter[k, i]
    B.size[0] = A.size[0]
    B.size[1] = A.size[1]


def _compiled(sources: int) -> Any:
    """The annealer, kept on disk under what it was made of."""

    @entry
    def anneal(problem, state, scratch, best_state, room, rng, rounds, work, hot, cold):
        """Anneal from a state; ``best_state`` receives the best placement.  Returns its score.

        It ends after ``rounds`` changes, or sooner after ``work`` steps of routing and comparing: both are
        counted, neither is timed.  No rounds: the state is judged, and its wires are left in ``room``.
        """
        P, W = tables(problem), tables(room)
        S, T, B = tables(state), tables(scratch), tables(best_state)
        begun = W.epoch[1] if sources >= 0 else 0
        current = 1e18
        best = 1e18
        for k in range(rounds + 1):
            limit = current
            if k > 0:
                share = max((k - 1) / rounds, (W.epoch[1] - begun) / work)
                if share >= 1.0:
                    break
                reach = 3 if share < 0.5 else 2 if share < 0.8 else 1
                u = (random(rng) + 1.0) / 2147483649.0
                limit = current - hot * (cold / hot) ** share * np.log(u)
                _copy(S, T)
                if not propose(P, S, rng, reach) or not inside(P, S):
                    _copy(T, S)
                    continue
            score = penalty(P, S, W, limit)
            if score <= limit:
                score = wires(P, S, W, score, limit)
            if score > limit:
                _copy(T, S)
                continue
            current = score
            if current < best - 1e-9:
                best = current
                _copy(S, B)
        return best

    return anneal


def _sources() -> int:
    """A digest of every file that the annealer is made of."""
    digest = sha256()
    for name in (
        "_compiler.py",
        "_arrays.py",
        "_tables.py",
        "_router.py",
        "_penalty.py",
        "_score.py",
        "_moves.py",
        "_anneal.py",
    ):
        digest.update((Path(__file__).parent / name).read_bytes())
    return int.from_bytes(digest.digest()[:7], "big")


_kernel: Any = _compiled(_sources())


def anneal(*arguments: Any) -> float:
    """Call the kernel; while it is compiled the collector of garbage rests, for there is hardly any."""
    collecting = gc.isenabled() and not _kernel.signatures
    if collecting:
        gc.disable()
    try:
        return float(_kernel(*arguments))
    finally:
        if collecting:
            gc.enable()
