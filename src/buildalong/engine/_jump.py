"""A discontinuity: what turns, what follows from it at once, and where the circuit comes to rest after it."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

import math
from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel
from buildalong.engine._record import record
from buildalong.engine._rules import enter, event, notice, rule_state
from buildalong.engine._step import keep_devices, restore_devices, watch
from buildalong.engine._work import assemble, solve

__all__ = ["jump"]

FIRST = 2e-7
"""Longest step just after a discontinuity [s]."""


@kernel("void", "I", "F")
def settle(I: Any, F: Any) -> None:
    """Solve just after a discontinuity: capacitors hold, junction capacitances follow at once.

    Where there are junction capacitances, they are moved by implicit Euler steps from 1 ps up, so
    that of several solutions the one is found that the circuit would really fall into.  A negative
    pivot betrays an unstable solution (a latch on its watershed): it gets a push and moves again.
    """
    nc, base = I[s.NC], I[s.F_C]
    keep_devices(I, F)
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_H] = F[p + s.C_V]
    moving = I[s.SMALL] == 1
    dt = 1e-12
    passed = 0.0
    pushes = 0
    for _ in range(400):
        assemble(I, F, dt if moving else 0.0, True)
        if not solve(I, F, 40, not moving):
            if not moving:
                break
            restore_devices(I, F)
            dt *= 0.125
            if dt < 1e-16:
                moving = False
            continue
        if moving:
            v = I[s.F_V]
            for i in range(nc):
                e = I[s.I_C] + s.C_INTS * i
                if I[e + 6] == 1:
                    p = base + s.C_FLOATS * i
                    current = F[p + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - F[p + s.C_H])
                    F[p + s.C_V] += dt / F[p + s.C_C] * current
                    F[p + s.C_H] = F[p + s.C_V]
            keep_devices(I, F)
            passed += dt
            dt *= 2.0
            moving = passed < 1e-3
            continue
        if I[s.SMALL] == 0 or pushes > 3:
            break
        unstable = False
        for i in range(I[s.KLIN], I[s.N]):
            unstable = unstable or F[I[s.F_A] + I[I[s.I_DIAG] + i]] < 0.0
        if not unstable:
            break
        pushes += 1
        sign = 1.0
        for i in range(nc):
            if I[I[s.I_C] + s.C_INTS * i + 6] == 1:
                p = base + s.C_FLOATS * i
                F[p + s.C_V] += 0.05 * sign * pushes
                F[p + s.C_H] = F[p + s.C_V]
                sign *= -0.7
        moving, dt, passed = True, 1e-12, 0.0
    v = I[s.F_V]
    for i in range(nc):
        e = I[s.I_C] + s.C_INTS * i
        p = base + s.C_FLOATS * i
        across = F[v + I[e]] - F[v + I[e + 1]]
        if I[e + 6] == 1:
            F[p + s.C_V] = across
            F[p + s.C_I] = 0.0
        else:
            F[p + s.C_I] = F[p + s.C_G] * (across - F[p + s.C_V])
        F[p + s.C_K0] = (F[p + s.C_I] - F[p + s.C_L] * F[p + s.C_V]) / F[p + s.C_C]
    keep_devices(I, F)
    watch(I, F, I[s.F_W0])


@kernel("void", "I", "F", "F", "F", "int64")
def jump(I: Any, F: Any, out: Any, ev: Any, because: int) -> None:
    """Take notice of crossed watchers, change states, solve again, until all is quiet.

    ``because`` is the event that made a discontinuity just now (supply, action), or -1.  One cell
    changes at a time, so that cause and effect stay apart; a cell rests for the dead time after.
    """
    t = F[s.S_T]
    nc, base = I[s.NC], I[s.F_C]
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_K1] = F[p + s.C_I]
    changed = because >= 0
    cause = because
    fresh = changed
    for _ in range(200):
        if fresh:
            I[s.LASTJUMP] = cause
            settle(I, F)
        notice(I, F, ev, cause)
        moved = -1
        for cell in range(I[s.NX]):
            x = I[s.I_X] + s.X_INTS * cell
            if I[x + 5] == 0:
                continue
            I[x + 5] = 0
            state = rule_state(I, cell)
            I[x + 6] = 0
            if state >= 0 and state != I[x]:
                moved = cell
                cause = event(I, ev, t, s.EV_STATE, cell, I[x], state, I[x + 7])
                enter(I, cell, state)
                break
        if moved < 0:
            break
        changed = True
        fresh = True
        F[I[s.F_DEAD] + moved] = t + F[s.S_DEAD]
    if changed:
        I[s.JUMPS] += 1
        # the first step tells how long the next may be
        F[s.S_H] = min(F[s.S_H], FIRST)
        F[s.S_GROW] = s.FRESH
        for i in range(nc):
            p = base + s.C_FLOATS * i
            before, after = F[p + s.C_K1], F[p + s.C_I]
            if abs(after - before) > 0.01 * max(abs(after), abs(before)) + 1e-12:
                I[I[s.I_CAUSE] + i] = I[s.LASTJUMP]
        if I[s.RECORD] == 1:
            record(I, F, out, t)
    else:
        # a power of two: so a circuit that is back in a state goes on with the same steps
        F[s.S_H] = math.ldexp(1.0, math.frexp(F[s.S_H])[1] - 1)
