"""Assemble and solve the nodal equations: one linear factorisation, then Newton on the rest.

The nodes that no nonlinear part touches are ordered first; their part of the matrix is factorised
once for each step size and each set of conductances, and only the remaining block in each Newton
iteration.  Elimination needs no pivoting: the order is fixed for each circuit (_pack.py).
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._devices import (
    curve_eval,
    curve_update,
    diode_eval,
    diode_update,
    transistor_eval,
    transistor_update,
)
from buildalong.engine._jit import kernel

__all__ = ["assemble", "element_currents", "newton"]


@kernel("void", "I", "F", "int64", "int64", "int64", "int64", "boolean")
def eliminate(I: Any, F: Any, a: int, y: int, first: int, last: int, numbers: bool) -> None:
    """Eliminate pivots ``first``..``last``-1 in the matrix at ``a`` and the right-hand side at ``y``."""
    diag, lptr, lidx, lrow = I[s.I_DIAG], I[s.I_LPTR], I[s.I_LIDX], I[s.I_LROW]
    uptr, uidx, dptr, dst = I[s.I_UPTR], I[s.I_UIDX], I[s.I_DPTR], I[s.I_DST]
    for k in range(first, last):
        l0, l1 = I[lptr + k], I[lptr + k + 1]
        yk = F[y + k]
        if not numbers:
            for q in range(l0, l1):
                F[y + I[lrow + q]] -= F[a + I[lidx + q]] * yk
            continue
        pivot = F[a + I[diag + k]]
        if abs(pivot) < 1e-15:
            pivot = 1e-15
            F[a + I[diag + k]] = pivot
        inverse = 1.0 / pivot
        u0, u1 = I[uptr + k], I[uptr + k + 1]
        d = dst + I[dptr + k]
        for q in range(l0, l1):
            x = F[a + I[lidx + q]] * inverse
            F[a + I[lidx + q]] = x
            for r in range(u0, u1):
                F[a + I[d]] -= x * F[a + I[uidx + r]]
                d += 1
            F[y + I[lrow + q]] -= x * yk


@kernel("void", "I", "F", "int64", "int64", "int64", "int64")
def substitute(I: Any, F: Any, a: int, y: int, first: int, last: int) -> None:
    """Back-substitute rows ``last``-1 down to ``first`` into the node voltages."""
    diag, uptr, uidx, ucol, v = I[s.I_DIAG], I[s.I_UPTR], I[s.I_UIDX], I[s.I_UCOL], I[s.F_V]
    for k in range(last - 1, first - 1, -1):
        x = F[y + k]
        for q in range(I[uptr + k], I[uptr + k + 1]):
            x -= F[a + I[uidx + q]] * F[v + I[ucol + q]]
        F[v + k] = x / F[a + I[diag + k]]


@kernel("void", "I", "F", "int64", "int64", "float64")
def stamp(I: Any, F: Any, a: int, e: int, g: float) -> None:
    """Add a conductance; ``e`` is where the element's six integers stand."""
    F[a + I[e + 2]] += g
    F[a + I[e + 3]] += g
    F[a + I[e + 4]] -= g
    F[a + I[e + 5]] -= g


@kernel("void", "I", "F", "float64", "boolean")
def assemble(I: Any, F: Any, hg: float, frozen: bool) -> None:
    """Build and part-factorise the linear matrix for stage size ``hg`` [s].

    ``frozen``: capacitors hold their voltages behind their series resistance, except the small
    ones, which move by ``hg`` (or are left out where it is 0).
    """
    a = I[s.F_AL]
    n = I[s.N]
    for i in range(I[s.NNZ] + 1):
        F[a + i] = 0.0
    least = F[s.S_GMIN] + F[s.S_GPT]
    for i in range(n):
        F[a + I[I[s.I_DIAG] + i]] += least
    for i in range(I[s.NG]):
        stamp(I, F, a, I[s.I_G] + s.G_INTS * i, F[I[s.F_G] + i])
    for i in range(I[s.NC]):
        e = I[s.I_C] + s.C_INTS * i
        c = I[s.F_C] + s.C_FLOATS * i
        small = I[e + 6] == 1
        if frozen and not small:
            F[c + s.C_G] = 1.0 / F[c + s.C_R]
            F[c + s.C_A] = 1.0
        elif hg == 0.0:
            F[c + s.C_G] = 0.0
            F[c + s.C_A] = 1.0
        else:
            beta = hg / F[c + s.C_C]
            alpha = 1.0 / (1.0 + beta * F[c + s.C_L])
            F[c + s.C_A] = alpha
            F[c + s.C_G] = 1.0 / (beta * alpha + F[c + s.C_R])
        stamp(I, F, a, e, F[c + s.C_G])
    eliminate(I, F, a, I[s.F_Z], 0, I[s.KLIN], True)
    F[s.S_HG] = hg
    F[s.S_FROZEN] = 1.0 if frozen else 0.0
    I[s.DIRTY] = 0


@kernel("void", "I", "F", "int64")
def load_linear(I: Any, F: Any, y: int) -> None:
    """Right-hand side of sources and capacitor histories (and of the pseudo-transient)."""
    n = I[s.N]
    for i in range(n + 1):
        F[y + i] = 0.0
    if F[s.S_GPT] > 0.0:
        for i in range(n):
            F[y + i] = F[s.S_GPT] * F[I[s.F_VP] + i]
    for i in range(I[s.NS]):
        e = I[s.I_S] + 3 * i
        j = F[I[s.F_G] + I[e + 2]] * F[I[s.F_E] + i]
        F[y + I[e]] += j
        F[y + I[e + 1]] -= j
    for i in range(I[s.NC]):
        e = I[s.I_C] + s.C_INTS * i
        c = I[s.F_C] + s.C_FLOATS * i
        j = F[c + s.C_G] * F[c + s.C_A] * F[c + s.C_H]
        F[y + I[e]] += j
        F[y + I[e + 1]] -= j


@kernel("void", "I", "F", "int64", "int64")
def load_devices(I: Any, F: Any, a: int, y: int) -> None:
    """Linearise every nonlinear part about its unknowns and add it to matrix and right-hand side."""
    x = I[s.F_DEV]
    for i in range(I[s.ND]):
        e = I[s.I_D] + s.D_INTS * i
        p = I[s.F_D] + s.D_FLOATS * i
        diode_eval(F, p, F[x + i])
        stamp(I, F, a, e, F[p + s.D_G])
        F[y + I[e]] -= F[p + s.D_J]
        F[y + I[e + 1]] += F[p + s.D_J]
    x += I[s.ND]
    for i in range(I[s.NQ]):
        e = I[s.I_Q] + s.Q_INTS * i
        p = I[s.F_Q] + s.Q_FLOATS * i
        transistor_eval(F, p, F[x + 2 * i], F[x + 2 * i + 1])
        y11, y12, y21, y22 = F[p + s.Q_Y11], F[p + s.Q_Y12], F[p + s.Q_Y21], F[p + s.Q_Y22]
        # rows collector, base, emitter; columns collector, base, emitter
        F[a + I[e + 3]] -= y22
        F[a + I[e + 4]] += y21 + y22
        F[a + I[e + 5]] -= y21
        F[a + I[e + 6]] -= y12
        F[a + I[e + 7]] += y11 + y12
        F[a + I[e + 8]] -= y11
        F[a + I[e + 9]] += y12 + y22
        F[a + I[e + 10]] -= y11 + y12 + y21 + y22
        F[a + I[e + 11]] += y11 + y21
        sign = F[p + s.Q_SIGN]
        F[y + I[e]] -= sign * F[p + s.Q_J2]
        F[y + I[e + 1]] -= sign * F[p + s.Q_J1]
        F[y + I[e + 2]] += sign * (F[p + s.Q_J1] + F[p + s.Q_J2])
    x += 2 * I[s.NQ]
    for i in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * i
        if I[e + 10] == 0:
            continue
        p = I[s.F_K] + s.K_FLOATS * i
        v = F[x + i]
        current, g = curve_eval(I, F, e, v)
        F[p] = g
        F[p + 1] = current - g * v
        stamp(I, F, a, e, g)
        F[y + I[e]] -= F[p + 1]
        F[y + I[e + 1]] += F[p + 1]


@kernel("float64", "I", "F", "boolean")
def update_devices(I: Any, F: Any, damp: bool) -> float:
    """Take the unknowns of the nonlinear parts from the solved voltages; give the largest change."""
    v = I[s.F_V]
    x = I[s.F_DEV]
    worst = 0.0
    for i in range(I[s.ND]):
        e = I[s.I_D] + s.D_INTS * i
        p = I[s.F_D] + s.D_FLOATS * i
        old = F[x + i]
        new = diode_update(F, p, old, F[v + I[e]] - F[v + I[e + 1]])
        if damp:
            new = 0.5 * (old + new)
        worst = max(worst, abs(new - old))
        F[x + i] = new
    x += I[s.ND]
    for i in range(I[s.NQ]):
        e = I[s.I_Q] + s.Q_INTS * i
        p = I[s.F_Q] + s.Q_FLOATS * i
        sign = F[p + s.Q_SIGN]
        b = F[v + I[e + 1]]
        old1, old2 = F[x + 2 * i], F[x + 2 * i + 1]
        new1, new2 = transistor_update(
            F, p, old1, old2, sign * (b - F[v + I[e + 2]]), sign * (b - F[v + I[e]])
        )
        if damp:
            new1, new2 = 0.5 * (old1 + new1), 0.5 * (old2 + new2)
        worst = max(worst, abs(new1 - old1), abs(new2 - old2))
        F[x + 2 * i], F[x + 2 * i + 1] = new1, new2
    x += 2 * I[s.NQ]
    for i in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * i
        if I[e + 10] == 0:
            continue
        old = F[x + i]
        target = F[v + I[e]] - F[v + I[e + 1]]
        new = curve_update(I, F, e, old, target)
        if damp:
            new = 0.5 * (old + new)
        # inside one straight line the linearisation is exact, whatever the distance
        g_old = F[I[s.F_K] + s.K_FLOATS * i]
        _current, g_new = curve_eval(I, F, e, new)
        if new != target or abs(g_new - g_old) > 1e-9 * abs(g_old) + 1e-15:
            worst = max(worst, abs(target - old))
        F[x + i] = new
    return worst


@kernel("int64", "I", "F", "int64")
def newton(I: Any, F: Any, limit: int) -> int:
    """Iterate until every junction rests; give the number of turns, or -1 after ``limit``."""
    n, k = I[s.N], I[s.KLIN]
    al, a, y, z = I[s.F_AL], I[s.F_A], I[s.F_Y], I[s.F_Z]
    load_linear(I, F, y)
    eliminate(I, F, al, y, 0, k, False)
    I[s.SOLVES] += 1
    if I[s.NDEV] == 0:
        substitute(I, F, al, y, 0, n)
        return 1
    for turn in range(limit):
        for i in range(I[s.TAIL], I[s.NNZ] + 1):
            F[a + i] = F[al + i]
        for i in range(k, n + 1):
            F[z + i] = F[y + i]
        load_devices(I, F, a, z)
        eliminate(I, F, a, z, k, n, True)
        substitute(I, F, a, z, k, n)
        worst = update_devices(I, F, turn > 25)
        I[s.ITERATIONS] += 1
        if worst < F[s.S_NEAR]:
            substitute(I, F, al, y, 0, k)
            return turn + 1
        if not worst < 1e12:
            return -1
    return -1


@kernel("void", "I", "F")
def element_currents(I: Any, F: Any) -> None:
    """Currents of all elements at the solved voltages, from a to b (collector, base for transistors)."""
    v = I[s.F_V]
    for i in range(I[s.NG]):
        e = I[s.I_G] + s.G_INTS * i
        F[I[s.F_GI] + i] = F[I[s.F_G] + i] * (F[v + I[e]] - F[v + I[e + 1]])
    for i in range(I[s.NS]):
        e = I[s.I_S] + 3 * i
        g = I[e + 2]
        F[I[s.F_GI] + g] -= F[I[s.F_G] + g] * F[I[s.F_E] + i]
    for i in range(I[s.NC]):
        e = I[s.I_C] + s.C_INTS * i
        c = I[s.F_C] + s.C_FLOATS * i
        F[c + s.C_I] = F[c + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - F[c + s.C_A] * F[c + s.C_H])
    for i in range(I[s.ND]):
        e = I[s.I_D] + s.D_INTS * i
        p = I[s.F_D] + s.D_FLOATS * i
        F[p + s.D_I] = F[p + s.D_G] * (F[v + I[e]] - F[v + I[e + 1]]) + F[p + s.D_J]
    for i in range(I[s.NQ]):
        e = I[s.I_Q] + s.Q_INTS * i
        p = I[s.F_Q] + s.Q_FLOATS * i
        sign = F[p + s.Q_SIGN]
        tbe = sign * (F[v + I[e + 1]] - F[v + I[e + 2]])
        tbc = sign * (F[v + I[e + 1]] - F[v + I[e]])
        F[p + s.Q_IB] = sign * (F[p + s.Q_Y11] * tbe + F[p + s.Q_Y12] * tbc + F[p + s.Q_J1])
        F[p + s.Q_IC] = sign * (F[p + s.Q_Y21] * tbe + F[p + s.Q_Y22] * tbc + F[p + s.Q_J2])
    for i in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * i
        p = I[s.F_K] + s.K_FLOATS * i
        if I[e + 10] == 0:
            F[p + 2] = 0.0
        else:
            F[p + 2] = F[p] * (F[v + I[e]] - F[v + I[e + 1]]) + F[p + 1]
