"""Samples: one row of an output array for each, at the ends of steps and, where they are curved, between."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel
from buildalong.engine._solve import element_currents
from buildalong.engine._step import GAMMA
from buildalong.engine._work import assemble, solve

__all__ = ["between", "record"]


@kernel("void", "I", "F", "F", "float64")
def record(I: Any, F: Any, out: Any, t: float) -> None:
    """Write one sample: time, node voltages, element currents."""
    element_currents(I, F)
    r = I[s.NOUT] * I[s.WIDTH]
    n = I[s.N]
    out[r] = t
    for i in range(n):
        out[r + 1 + i] = F[I[s.F_V] + i]
    c = 1 + n
    for i in range(I[s.NG]):
        out[r + c + i] = F[I[s.F_GI] + i]
    c += I[s.NG]
    for i in range(I[s.NC]):
        out[r + c + i] = F[I[s.F_C] + s.C_FLOATS * i + s.C_I]
    c += I[s.NC]
    for i in range(I[s.ND]):
        out[r + c + i] = F[I[s.F_D] + s.D_FLOATS * i + s.D_I]
    c += I[s.ND]
    for i in range(I[s.NQ]):
        out[r + c + 2 * i] = F[I[s.F_Q] + s.Q_FLOATS * i + s.Q_IB]
        out[r + c + 2 * i + 1] = F[I[s.F_Q] + s.Q_FLOATS * i + s.Q_IC]
    c += 2 * I[s.NQ]
    for i in range(I[s.NK]):
        out[r + c + i] = F[I[s.F_K] + s.K_FLOATS * i + 2]
    I[s.NOUT] += 1


@kernel("void", "I", "F", "F", "float64", "int64")
def between(I: Any, F: Any, out: Any, h: float, points: int) -> None:
    """Samples inside a step: cubic Hermite for the capacitors, then the algebraic part solved again."""
    nc, base, n = I[s.NC], I[s.F_C], I[s.N]
    spare = I[s.F_VP]
    for i in range(n + 1):
        F[spare + i] = F[I[s.F_V] + i]
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV0] + i] = F[I[s.F_DEV] + i]
    # the end of the step, kept while the history slots are borrowed
    hg = GAMMA * h
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_K1] = F[p + s.C_H]
        F[p + s.C_K2] = F[p + s.C_A] * (F[p + s.C_H] + hg / F[p + s.C_C] * F[p + s.C_I])
    assemble(I, F, 0.0, True)
    for q in range(1, points + 1):
        x = q / (points + 1.0)
        for i in range(nc):
            p = base + s.C_FLOATS * i
            v0, v1 = F[p + s.C_V], F[p + s.C_K2]
            # a capacitor that settles much faster than the step has a slope that says nothing of it
            most = 3.0 * abs(v1 - v0) + F[s.S_PLOT]
            d0 = min(max(h * F[p + s.C_K0], -most), most)
            d1 = min(max(h * F[p + s.C_K3], -most), most)
            F[p + s.C_H] = (
                v0 * (1.0 + 2.0 * x) * (1.0 - x) ** 2
                + d0 * x * (1.0 - x) ** 2
                + v1 * x * x * (3.0 - 2.0 * x)
                + d1 * x * x * (x - 1.0)
            )
        if solve(I, F, 20, False):
            record(I, F, out, F[s.S_T] + x * h)
    assemble(I, F, hg, False)
    for i in range(n + 1):
        F[I[s.F_V] + i] = F[spare + i]
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV] + i] = F[I[s.F_DEV0] + i]
    v = I[s.F_V]
    for i in range(nc):
        p = base + s.C_FLOATS * i
        e = I[s.I_C] + s.C_INTS * i
        F[p + s.C_H] = F[p + s.C_K1]
        F[p + s.C_I] = F[p + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - F[p + s.C_A] * F[p + s.C_H])
