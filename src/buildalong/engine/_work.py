"""The heavy kernels, compiled once and reached by their address, and the solver that never gives up.

:func:`assemble` and :func:`newton` have the names and arguments of those in _solve.py that they reach.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine import _solve
from buildalong.engine._jit import call, kernel, reached

__all__ = ["assemble", "newton", "solve"]

_assemble, _newton = _solve.assemble, _solve.newton


@reached
def work(I: Any, F: Any, job: int, x: float, y: float) -> float:
    """Do a job with its two numbers."""
    if job == s.NEWTON:
        return float(_newton(I, F, int(x)))
    _assemble(I, F, x, y > 0.0)
    return 0.0


@kernel("void", "I", "F", "float64", "boolean")
def assemble(I: Any, F: Any, hg: float, frozen: bool) -> None:
    """Build and part-factorise the linear matrix for stage size ``hg`` [s]."""
    call(I[s.WORK], I, F, s.ASSEMBLE, hg, 1.0 if frozen else 0.0)


@kernel("int64", "I", "F", "int64")
def newton(I: Any, F: Any, limit: int) -> int:
    """Iterate until every junction rests; give the number of turns, or -1 after ``limit``."""
    return int(call(I[s.WORK], I, F, s.NEWTON, float(limit), 0.0))


@kernel("boolean", "I", "F", "int64", "boolean")
def solve(I: Any, F: Any, limit: int, hard: bool) -> bool:
    """Solve the assembled system; where ``hard``, never give up.

    The hard way is pseudo-transient continuation: each node gets a conductance to its last voltage,
    taken away step by step, so that the solution is approached by a damped motion from the voltages
    and unknowns kept at the start.  Gives False where no rest was found; the voltages are then the
    last that were found with the least conductance.
    """
    if newton(I, F, limit) >= 0:
        return True
    if not hard:
        return False
    n = I[s.N]
    hg, frozen = F[s.S_HG], F[s.S_FROZEN] != 0.0
    for i in range(n + 1):
        F[I[s.F_VP] + i] = F[I[s.F_VS] + i]
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV0] + i] = F[I[s.F_DEVS] + i]
    g, last, down = 1e-2, 1e-2, 0.25
    good = False
    for _ in range(200):
        for i in range(I[s.NDEV]):
            F[I[s.F_DEV] + i] = F[I[s.F_DEV0] + i]
        F[s.S_GPT] = g
        assemble(I, F, hg, frozen)
        turns = newton(I, F, 15)
        if turns < 0:
            g = min(4.0 * max(g, 0.01 * last), 1e6)
            down = 0.5
            continue
        for i in range(n + 1):
            F[I[s.F_VP] + i] = F[I[s.F_V] + i]
        for i in range(I[s.NDEV]):
            F[I[s.F_DEV0] + i] = F[I[s.F_DEV] + i]
        if g == 0.0:
            good = True
            break
        last = g
        # where nothing moves any more the rest of the way is tried at once
        g = g * down if g > 1e-12 and (turns > 1 or g > 1e-5) else 0.0
        down = max(0.5 * down, 0.1)
    if not good:
        I[s.FAILS] += 1
        for i in range(n + 1):
            F[I[s.F_V] + i] = F[I[s.F_VP] + i]
        for i in range(I[s.NDEV]):
            F[I[s.F_DEV] + i] = F[I[s.F_DEV0] + i]
    F[s.S_GPT] = 0.0
    I[s.DIRTY] = 1
    return good
