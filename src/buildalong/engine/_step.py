"""One step of the integrator, watchers, ramps.

Integrator: Alexander's singly diagonally implicit Runge-Kutta method of order 3 with three stages,
L-stable and stiffly accurate (R. Alexander, SIAM J. Numer. Anal. 14 (1977) 1006-1021), with an
embedded solution of order 2 from its first two stages.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel
from buildalong.engine._work import assemble, newton

__all__ = ["GAMMA", "keep_devices", "ramps", "restore_devices", "step", "watch"]

GAMMA = 0.4358665215084590
"""The root of x³ - 3x² + 3x/2 - 1/6 that makes the method L-stable."""
C2 = (1.0 + GAMMA) / 2.0
A21 = (1.0 - GAMMA) / 2.0
B1 = -(6.0 * GAMMA * GAMMA - 16.0 * GAMMA + 1.0) / 4.0
B2 = (6.0 * GAMMA * GAMMA - 20.0 * GAMMA + 5.0) / 4.0
E2 = (0.5 - GAMMA) / (C2 - GAMMA)
E1 = 1.0 - E2


@kernel("void", "I", "F")
def keep_devices(I: Any, F: Any) -> None:
    """Remember voltages and nonlinear unknowns as the start of a step."""
    for i in range(I[s.NDEV]):
        F[I[s.F_DEVS] + i] = F[I[s.F_DEV] + i]
    for i in range(I[s.N] + 1):
        F[I[s.F_VS] + i] = F[I[s.F_V] + i]


@kernel("void", "I", "F")
def restore_devices(I: Any, F: Any) -> None:
    """Go back to what :func:`keep_devices` remembered."""
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV] + i] = F[I[s.F_DEVS] + i]
    for i in range(I[s.N] + 1):
        F[I[s.F_V] + i] = F[I[s.F_VS] + i]


@kernel("void", "I", "F", "float64")
def ramps(I: Any, F: Any, t: float) -> None:
    """Set the conductances that follow a moving setting at time ``t`` [s]."""
    for i in range(I[s.NR]):
        e = I[s.I_RAMP] + s.RAMP_INTS * i
        p = I[s.F_RAMP] + s.RAMP_FLOATS * i
        u0, u1, t0, t1 = F[p + 2], F[p + 3], F[p + 4], F[p + 5]
        if t >= t1:
            u = u1
        elif t <= t0:
            u = u0
        else:
            u = u0 + (u1 - u0) * (t - t0) / (t1 - t0)
        kind = I[e]
        if kind == 0:  # light-dependent resistor: p0 ohm at 10 lx, exponent p1
            g = (max(u, 1e-3) / 10.0) ** F[p + 1] / F[p]
        elif kind == 1:  # track of p0 ohm with p1 ohm of end resistance
            g = 1.0 / (u * F[p] + F[p + 1])
        elif kind == 2:
            g = 1.0 / ((1.0 - u) * F[p] + F[p + 1])
        elif kind == 3:  # contact: p0 siemens closed, p1 open
            g = F[p] if u > 0.5 else F[p + 1]
        else:
            g = F[p + 1] if u > 0.5 else F[p]
        if F[I[s.F_G] + I[e + 1]] != g:
            F[I[s.F_G] + I[e + 1]] = g
            I[s.DIRTY] = 1


@kernel("float64", "I", "F", "int64", "int64", "float64")
def weighted(I: Any, F: Any, first: int, count: int, x: float) -> float:
    """Sum of ``x`` and so many terms of a watcher, from term ``first`` on [V]."""
    for q in range(first, first + count):
        x += F[I[s.F_TERM] + q] * F[I[s.F_V] + I[I[s.I_TERM] + q]]
    return x


@kernel("void", "I", "F", "int64")
def watch(I: Any, F: Any, out: int) -> None:
    """Write each watcher's distance past its next change [V]: above 0 it has crossed.

    A level of its own for the way back may change places with the other where the supply is reversed
    (Schmitt inputs); the outer one of the two then counts, or the watcher would turn for ever.
    """
    for w in range(I[s.NW]):
        e = I[s.I_W] + s.W_INTS * w
        c = I[s.F_WC] + 2 * w
        if I[e + 9] == 1:
            on = weighted(I, F, I[e], I[e + 1], F[c])
            off = weighted(I, F, I[e + 2], I[e + 3], F[c + 1])
            F[out + w] = -max(on, off) if I[e + 5] == 1 else min(on, off)
        elif I[e + 5] == 0:
            F[out + w] = weighted(I, F, I[e], I[e + 1], F[c])
        else:
            F[out + w] = -weighted(I, F, I[e + 2], I[e + 3], F[c + 1])


@kernel("boolean", "I", "F", "float64")
def step(I: Any, F: Any, h: float) -> bool:
    """Try one step of ``h`` [s] from the kept start; the error measure goes to ``S_ERR``.

    Leaves the solution at the end in the node voltages and in stage 3; does not move the state.
    """
    t = F[s.S_T]
    hg = GAMMA * h
    nc = I[s.NC]
    base = I[s.F_C]
    ramping = I[s.RAMPING] == 1
    I[s.STEPS] += 1
    if hg != F[s.S_HG] or F[s.S_FROZEN] != 0.0 or I[s.DIRTY] == 1:
        assemble(I, F, hg, False)
    for stage in range(3):
        if stage == 0:
            a1, a2, c = 0.0, 0.0, GAMMA
        elif stage == 1:
            a1, a2, c = A21, 0.0, C2
        else:
            a1, a2, c = B1, B2, 1.0
        if ramping:
            ramps(I, F, t + c * h)
            if I[s.DIRTY] == 1:
                assemble(I, F, hg, False)
        for i in range(nc):
            p = base + s.C_FLOATS * i
            F[p + s.C_H] = F[p + s.C_V] + h * (a1 * F[p + s.C_K1] + a2 * F[p + s.C_K2])
        if newton(I, F, 8) < 0:
            I[s.FAILS] += 1
            return False
        v = I[s.F_V]
        for i in range(nc):
            e = I[s.I_C] + s.C_INTS * i
            p = base + s.C_FLOATS * i
            alpha = F[p + s.C_A]
            current = F[p + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - alpha * F[p + s.C_H])
            inner = alpha * (F[p + s.C_H] + hg / F[p + s.C_C] * current)
            F[p + s.C_I] = current
            F[p + s.C_K1 + stage] = (current - F[p + s.C_L] * inner) / F[p + s.C_C]
        watch(I, F, I[s.F_WS] + stage * I[s.NW])
    worst = 0.0
    for i in range(nc):
        if I[I[s.I_C] + s.C_INTS * i + 6] == 1:
            continue
        p = base + s.C_FLOATS * i
        k1, k2, k3 = F[p + s.C_K1], F[p + s.C_K2], F[p + s.C_K3]
        error = abs(h * ((B1 - E1) * k1 + (B2 - E2) * k2 + GAMMA * k3))
        size = max(abs(F[p + s.C_V]), abs(F[p + s.C_H] + hg * k3))
        worst = max(worst, error / (F[s.S_ATOL] + F[s.S_RTOL] * size))
    F[s.S_ERR] = worst
    return True
