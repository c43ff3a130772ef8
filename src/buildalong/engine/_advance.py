"""From event to event: step control, exact location of crossings, jumps, recording.

:func:`advance` carries a prepared circuit to a given time.  It returns early when an output array is
full; calling it again continues.  All state is in ``I`` and ``F``.
"""

from __future__ import annotations

import math
from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import jit
from buildalong.engine._solve import assemble, element_currents, solve
from buildalong.engine._step import GAMMA, keep_devices, ramps, restore_devices, step, watch

__all__ = ["advance", "jump", "record"]

CLOSE = 2e-6
"""A crossing is located when the watched level is passed by no more than this [V]."""


@jit
def record(I: Any, F: Any, out: Any, t: float) -> None:
    """Write one sample: time, node voltages, element currents."""
    element_currents(I, F)
    r = I[s.NOUT]
    n = I[s.N]
    out[r, 0] = t
    for i in range(n):
        out[r, 1 + i] = F[I[s.F_V] + i]
    c = 1 + n
    for i in range(I[s.NG]):
        out[r, c + i] = F[I[s.F_GI] + i]
    c += I[s.NG]
    for i in range(I[s.NC]):
        out[r, c + i] = F[I[s.F_C] + s.C_FLOATS * i + s.C_I]
    c += I[s.NC]
    for i in range(I[s.ND]):
        out[r, c + i] = F[I[s.F_D] + s.D_FLOATS * i + s.D_I]
    c += I[s.ND]
    for i in range(I[s.NQ]):
        out[r, c + 2 * i] = F[I[s.F_Q] + s.Q_FLOATS * i + s.Q_IB]
        out[r, c + 2 * i + 1] = F[I[s.F_Q] + s.Q_FLOATS * i + s.Q_IC]
    c += 2 * I[s.NQ]
    for i in range(I[s.NK]):
        out[r, c + i] = F[I[s.F_K] + s.K_FLOATS * i + 2]
    I[s.NOUT] = r + 1


@jit
def event(I: Any, ev: Any, t: float, kind: int, what: int, before: int, after: int, because: int) -> int:
    """Write one event row; give its number in the whole run."""
    r = I[s.NEV]
    ev[r, 0], ev[r, 1], ev[r, 2], ev[r, 3], ev[r, 4], ev[r, 5] = t, kind, what, before, after, because
    I[s.NEV] = r + 1
    I[s.EVENTS] += 1
    return I[s.EVENTS] - 1


@jit
def relax(I: Any, F: Any) -> bool:
    """Find the algebraic solution by following a damped motion from the present voltages.

    Pseudo-transient continuation: each node gets a conductance to its last voltage, taken away
    step by step.  Gives False where even that found no rest; the voltages are then the last tried.
    """
    n = I[s.N]
    g = 1e-2
    hg, frozen = F[s.S_HG], F[s.S_FROZEN] != 0.0
    good = False
    for i in range(n + 1):
        F[I[s.F_VP] + i] = F[I[s.F_VS] + i]
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV] + i] = F[I[s.F_DEVS] + i]
        F[I[s.F_DEV0] + i] = F[I[s.F_DEVS] + i]
    for _ in range(200):
        F[s.S_GPT] = g
        assemble(I, F, hg, frozen)
        if solve(I, F, 25) >= 0:
            for i in range(n + 1):
                F[I[s.F_VP] + i] = F[I[s.F_V] + i]
            for i in range(I[s.NDEV]):
                F[I[s.F_DEV0] + i] = F[I[s.F_DEV] + i]
            if g < 1e-11:
                good = True
                break
            g *= 0.25
        else:
            for i in range(I[s.NDEV]):
                F[I[s.F_DEV] + i] = F[I[s.F_DEV0] + i]
            g = min(g * 10.0, 1e6)
    F[s.S_GPT] = 0.0
    assemble(I, F, hg, frozen)
    if good and solve(I, F, 40) >= 0:
        return True
    for i in range(n + 1):
        F[I[s.F_V] + i] = F[I[s.F_VP] + i]
    for i in range(I[s.NDEV]):
        F[I[s.F_DEV] + i] = F[I[s.F_DEV0] + i]
    I[s.FAILS] += 1
    return good


@jit
def settle(I: Any, F: Any) -> None:
    """Solve just after a discontinuity: capacitors hold, junction capacitances follow at once.

    Where there are junction capacitances, they are moved by implicit Euler steps from 0.1 ns up, so
    that of several solutions the one is found that the circuit would really fall into.
    """
    nc, base = I[s.NC], I[s.F_C]
    keep_devices(I, F)
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_H] = F[p + s.C_V]
    if I[s.SMALL] == 1:
        dt = 1e-10
        passed = 0.0
        for _ in range(60):
            assemble(I, F, dt, True)
            if solve(I, F, 40) < 0:
                restore_devices(I, F)
                dt *= 0.125
                if dt < 1e-15:
                    break
                continue
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
            if passed > 1e-3:
                break
            dt *= 2.5
    assemble(I, F, 0.0, True)
    if solve(I, F, 40) < 0:
        relax(I, F)
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


@jit
def rule_state(I: Any, cell: int) -> int:
    """State a cell moves to by its rules, first match wins; -1 where none applies.

    An edge rule needs its watcher among those that have just become true.
    """
    e = I[s.I_X] + s.X_INTS * cell
    state, r0, rn, w0, wn, risen = I[e], I[e + 1], I[e + 2], I[e + 3], I[e + 4], I[e + 6]
    truth = 0
    for w in range(wn):
        truth |= I[I[s.I_W] + s.W_INTS * (w0 + w) + 5] << w
    for r in range(r0, r0 + rn):
        q = I[s.I_RULE] + s.RULE_INTS * r
        if I[q] == 1 and (risen >> I[q + 1]) & 1 == 0:
            continue
        if (truth & I[q + 2]) != I[q + 2] or (truth & I[q + 3]) != 0:
            continue
        if (I[q + 4] >> state) & 1 == 0:
            continue
        return I[I[s.I_NEXT] + I[q + 5] + state]
    return -1


@jit
def enter(I: Any, cell: int, state: int) -> None:
    """Put a cell into a state: choose which of its curves conduct."""
    I[I[s.I_X] + s.X_INTS * cell] = state
    for k in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * k
        if I[e + 6] == cell:
            I[e + 10] = (I[e + 7] >> state) & 1
    I[s.DIRTY] = 1


@jit
def cause_of(I: Any, F: Any, w: int) -> int:
    """The event that set the watched quantity moving: that of the fastest capacitor near the watcher."""
    e = I[s.I_W] + s.W_INTS * w
    best = -1
    fastest = 0.0
    for q in range(I[e + 7], I[e + 7] + I[e + 8]):
        c = I[I[s.I_CAPSET] + q]
        slope = abs(F[I[s.F_C] + s.C_FLOATS * c + s.C_K0])
        if slope > fastest:
            fastest = slope
            best = I[I[s.I_CAUSE] + c]
    return best if best >= 0 else I[s.LASTJUMP]


@jit
def notice(I: Any, F: Any, ev: Any, because: int) -> bool:
    """Turn every watcher that has crossed; note which cells must look at their rules."""
    t = F[s.S_T]
    any_turned = False
    for w in range(I[s.NW]):
        e = I[s.I_W] + s.W_INTS * w
        cell = I[e + 4]
        if F[I[s.F_W0] + w] <= 0.0 or (cell >= 0 and F[I[s.F_DEAD] + cell] > t):
            continue
        if I[s.NEV] >= ev.shape[0] - 4:
            break
        any_turned = True
        true = 1 - I[e + 5]
        I[e + 5] = true
        F[I[s.F_W0] + w] = -1.0
        why = because if because >= 0 else cause_of(I, F, w)
        number = event(I, ev, t, I[e + 6], w, 1 - true, true, why)
        if cell >= 0:
            x = I[s.I_X] + s.X_INTS * cell
            I[x + 5] = 1
            if true == 1:
                I[x + 6] |= 1 << (w - I[x + 3])
            I[x + 7] = number
        elif I[e + 6] == s.EV_WATCH:
            I[s.LASTJUMP] = number
    return any_turned


@jit
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
    if changed:
        I[s.LASTJUMP] = because
        settle(I, F)
    for _ in range(200):
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
        if moved < 0 or I[s.NEV] >= ev.shape[0] - 4:
            break
        changed = True
        F[I[s.F_DEAD] + moved] = t + F[s.S_DEAD]
        I[s.LASTJUMP] = cause
        settle(I, F)
    if not changed:
        return
    I[s.JUMPS] += 1
    for i in range(nc):
        p = base + s.C_FLOATS * i
        before, after = F[p + s.C_K1], F[p + s.C_I]
        if abs(after - before) > 0.01 * max(abs(after), abs(before)) + 1e-12:
            I[I[s.I_CAUSE] + i] = I[s.LASTJUMP]
    if I[s.RECORD] == 1:
        record(I, F, out, t)


@jit
def worst_watcher(I: Any, F: Any, at: int, t: float) -> float:
    """Largest distance past a crossing among the watchers that may act at time ``t``."""
    worst = -1e30
    for w in range(I[s.NW]):
        cell = I[I[s.I_W] + s.W_INTS * w + 4]
        if cell >= 0 and F[I[s.F_DEAD] + cell] > t:
            continue
        worst = max(worst, F[at + w])
    return worst


@jit
def accept(I: Any, F: Any, out: Any, h: float) -> None:
    """Move the state to the end of the step just tried; sample the way there where it is curved."""
    nc, base = I[s.NC], I[s.F_C]
    t = F[s.S_T]
    points = 0
    if I[s.RECORD] == 1:
        I[s.SINCE] += 1
        bow = 0.0
        for i in range(nc):
            if I[I[s.I_C] + s.C_INTS * i + 6] == 0:
                p = base + s.C_FLOATS * i
                bow = max(bow, abs(h * (F[p + s.C_K3] - F[p + s.C_K0])) / 8.0)
        if I[s.RAMPING] == 0 and bow > F[s.S_PLOT]:
            points = min(int(math.sqrt(bow / F[s.S_PLOT])), 8)
    if points > 0 and I[s.SMALL] == 0:
        between(I, F, out, h, points)
    F[s.S_T] = t + h
    for i in range(nc):
        p = base + s.C_FLOATS * i
        e = I[s.I_C] + s.C_INTS * i
        inner = F[p + s.C_A] * (F[p + s.C_H] + GAMMA * h / F[p + s.C_C] * F[p + s.C_I])
        F[p + s.C_V] = inner
        F[p + s.C_K0] = F[p + s.C_K3]
    if I[s.RECORD] == 1 and I[s.SINCE] >= I[s.STRIDE]:
        I[s.SINCE] = 0
        record(I, F, out, F[s.S_T])
    keep_devices(I, F)
    for w in range(I[s.NW]):
        F[I[s.F_W0] + w] = F[I[s.F_WS] + 2 * I[s.NW] + w]


@jit
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
            d0, d1 = h * F[p + s.C_K0], h * F[p + s.C_K3]
            F[p + s.C_H] = (
                v0 * (1.0 + 2.0 * x) * (1.0 - x) ** 2
                + d0 * x * (1.0 - x) ** 2
                + v1 * x * x * (3.0 - 2.0 * x)
                + d1 * x * x * (x - 1.0)
            )
        if solve(I, F, 20) >= 0:
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


@jit
def locate(I: Any, F: Any, h: float) -> float:
    """Find the step that ends just past the first crossing; leave that step tried.  Illinois rule."""
    nw = I[s.NW]
    at = I[s.F_WS]
    t = F[s.S_T]
    low, high = 0.0, h
    g_low = min(worst_watcher(I, F, I[s.F_W0], t), -1e-12)
    g_high = worst_watcher(I, F, at + 2 * nw, t + h)
    # the stages tell roughly where the first crossing lies
    first = worst_watcher(I, F, at, t + h)
    second = worst_watcher(I, F, at + nw, t + h)
    if first > 0.0:
        guess = h * GAMMA * g_low / (g_low - first)
    elif second > 0.0:
        guess = h * (GAMMA + (0.5 * (1.0 - GAMMA)) * first / (first - second))
    else:
        m = 0.5 * (1.0 + GAMMA)
        guess = h * (m + (1.0 - m) * second / (second - g_high))
    side = 0
    for turn in range(60):
        if turn > 0:
            guess = (low * g_high - high * g_low) / (g_high - g_low)
            if turn > 12 or not (low < guess < high):
                guess = 0.5 * (low + high)
        restore_devices(I, F)
        if not step(I, F, guess):
            return -1.0
        g = worst_watcher(I, F, at + 2 * nw, t + guess)
        if g > 0.0:
            high, g_high = guess, g
            if g < CLOSE:
                return guess
            if side == 1:
                g_low *= 0.5
            side = 1
        else:
            low, g_low = guess, min(g, -1e-12)
            if side == -1:
                g_high *= 0.5
            side = -1
        if high - low < 1e-13 + 1e-11 * high:
            break
    restore_devices(I, F)
    return high if step(I, F, high) else -1.0


@jit
def advance(I: Any, F: Any, out: Any, ev: Any, end: float, max_events: int, max_steps: int) -> int:
    """Run to time ``end`` [s]; give how it ended (DONE, OUT_FULL, EV_FULL, TOO_MANY_..., STUCK)."""
    nw = I[s.NW]
    at = I[s.F_WS]
    while F[s.S_T] < end:
        if I[s.NOUT] > out.shape[0] - 32:
            return s.OUT_FULL
        if I[s.NEV] > ev.shape[0] - 32:
            return s.EV_FULL
        if I[s.EVENTS] > max_events:
            return s.TOO_MANY_EVENTS
        if I[s.STEPS] > max_steps:
            return s.TOO_MANY_STEPS
        t = F[s.S_T]
        if worst_watcher(I, F, I[s.F_W0], t) > 0.0:
            jump(I, F, out, ev, -1)
        h = min(F[s.S_H], F[s.S_HMAX])
        wanted = h
        rest = end - t
        if h > 0.5 * rest:
            h = rest if h >= 0.999 * rest else 0.5 * rest
        for cell in range(I[s.NX]):
            dead = F[I[s.F_DEAD] + cell] - t
            if dead > 0.0:
                h = min(h, dead)
        if t + h <= t:
            F[s.S_T] = min(end, t + max(1e-15, abs(t) * 4e-16))
            continue
        cut = h < wanted
        if not step(I, F, h):
            restore_devices(I, F)
            I[s.REJECTS] += 1
            F[s.S_H] = 0.125 * h
            if h < F[s.S_HMIN]:
                # no solution near by even for the shortest step: let the circuit fall to the next one
                relax_step(I, F, h)
                F[s.S_H] = h
                accept(I, F, out, h)
            continue
        error = F[s.S_ERR]
        if error > 1.0 and h > F[s.S_HMIN]:
            restore_devices(I, F)
            I[s.REJECTS] += 1
            F[s.S_H] = h * max(0.1, 0.9 * error ** (-1.0 / 3.0))
            continue
        if worst_watcher(I, F, at + 2 * nw, t + h) > 0.0:
            located = locate(I, F, h)
            if located < 0.0:
                restore_devices(I, F)
                F[s.S_H] = 0.125 * h
                I[s.REJECTS] += 1
                if h < F[s.S_HMIN]:
                    relax_step(I, F, h)
                    accept(I, F, out, h)
                continue
            accept(I, F, out, located)
            jump(I, F, out, ev, -1)
            continue
        if max(worst_watcher(I, F, at, t + h), worst_watcher(I, F, at + nw, t + h)) > 0.0 and h > 1e-9:
            # a crossing inside the step that is gone at its end: look closer
            restore_devices(I, F)
            F[s.S_H] = 0.4 * h
            I[s.REJECTS] += 1
            continue
        accept(I, F, out, h)
        grown = h * min(5.0, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))
        F[s.S_H] = max(grown, wanted) if cut else grown
    if worst_watcher(I, F, I[s.F_W0], F[s.S_T]) > 0.0:
        jump(I, F, out, ev, -1)
    return s.DONE


@jit
def relax_step(I: Any, F: Any, h: float) -> None:
    """A last resort: implicit Euler over ``h`` by pseudo-transient continuation."""
    nc, base = I[s.NC], I[s.F_C]
    hg = GAMMA * h
    restore_devices(I, F)
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_H] = F[p + s.C_V]
    assemble(I, F, hg, False)
    relax(I, F)
    v = I[s.F_V]
    for i in range(nc):
        e = I[s.I_C] + s.C_INTS * i
        p = base + s.C_FLOATS * i
        current = F[p + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - F[p + s.C_A] * F[p + s.C_H])
        inner = F[p + s.C_A] * (F[p + s.C_H] + hg / F[p + s.C_C] * current)
        F[p + s.C_I] = current
        F[p + s.C_K3] = (current - F[p + s.C_L] * inner) / F[p + s.C_C]
    watch(I, F, I[s.F_WS] + 2 * I[s.NW])
