"""From event to event: step control, exact location of crossings, jumps, recording.

:func:`advance` carries a prepared circuit to a given time.  It returns early when an output array is
full; calling it again continues.  All state is in ``I`` and ``F``.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

import math
from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import entry, inline, jit
from buildalong.engine._solve import assemble, element_currents, solve
from buildalong.engine._step import GAMMA, keep_devices, ramps, restore_devices, step, watch

__all__ = ["advance", "jump", "record"]

CLOSE = 2e-6
"""A crossing is located when the watched level is passed by no more than this [V]."""

FOLD = 1e-8
"""A transistor circuit with no solution near by even for a step this short switches at once [s]."""


@jit("void(int64[::1], float64[::1], float64[:, ::1], float64)")
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


@jit("int64(int64[::1], float64[:, ::1], float64, int64, int64, int64, int64, int64)")
def event(I: Any, ev: Any, t: float, kind: int, what: int, before: int, after: int, because: int) -> int:
    """Write one event row; give its number in the whole run."""
    r = I[s.NEV]
    ev[r, 0], ev[r, 1], ev[r, 2], ev[r, 3], ev[r, 4], ev[r, 5] = t, kind, what, before, after, because
    I[s.NEV] = r + 1
    I[s.EVENTS] += 1
    return int(I[s.EVENTS] - 1)


@inline
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


@inline
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
        return int(I[I[s.I_NEXT] + I[q + 5] + state])
    return -1


@inline
def enter(I: Any, cell: int, state: int) -> None:
    """Put a cell into a state: choose which of its curves conduct."""
    I[I[s.I_X] + s.X_INTS * cell] = state
    for k in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * k
        if I[e + 6] == cell:
            I[e + 10] = (I[e + 7] >> state) & 1
    I[s.DIRTY] = 1


@inline
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


@inline
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


@inline
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
        for i in range(nc):
            p = base + s.C_FLOATS * i
            before, after = F[p + s.C_K1], F[p + s.C_I]
            if abs(after - before) > 0.01 * max(abs(after), abs(before)) + 1e-12:
                I[I[s.I_CAUSE] + i] = I[s.LASTJUMP]
        if I[s.RECORD] == 1:
            record(I, F, out, t)


@jit("float64(int64[::1], float64[::1], int64, float64)")
def worst_watcher(I: Any, F: Any, at: int, t: float) -> float:
    """Largest distance past a crossing among the watchers that may act at time ``t``."""
    worst = -1e30
    for w in range(I[s.NW]):
        cell = I[I[s.I_W] + s.W_INTS * w + 4]
        if cell >= 0 and F[I[s.F_DEAD] + cell] > t:
            continue
        worst = max(worst, F[at + w])
    return worst


@inline
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
        I[s.I_C] + s.C_INTS * i
        inner = F[p + s.C_A] * (F[p + s.C_H] + GAMMA * h / F[p + s.C_C] * F[p + s.C_I])
        F[p + s.C_V] = inner
        F[p + s.C_K0] = F[p + s.C_K3]
    if I[s.RECORD] == 1 and I[s.SINCE] >= I[s.STRIDE]:
        I[s.SINCE] = 0
        record(I, F, out, F[s.S_T])
    keep_devices(I, F)
    for w in range(I[s.NW]):
        F[I[s.F_W0] + w] = F[I[s.F_WS] + 2 * I[s.NW] + w]


@inline
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


@inline
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
    result = -1.0
    for turn in range(60):
        final = high - low < 1e-13 + 1e-11 * high
        if final:
            guess = high
        elif turn > 0:
            guess = (low * g_high - high * g_low) / (g_high - g_low)
            if turn > 12 or not (low < guess < high):
                guess = 0.5 * (low + high)
        restore_devices(I, F)
        if not step(I, F, guess):
            break
        g = worst_watcher(I, F, at + 2 * nw, t + guess)
        if final or 0.0 < g < CLOSE:
            result = guess
            break
        if g > 0.0:
            high, g_high = guess, g
            if side == 1:
                g_low *= 0.5
            side = 1
        else:
            low, g_low = guess, min(g, -1e-12)
            if side == -1:
                g_high *= 0.5
            side = -1
    return result


@inline
def fall(I: Any, F: Any, h: float) -> None:
    """A last resort: implicit Euler over ``h`` to wherever the circuit goes, by hard solving."""
    nc, base = I[s.NC], I[s.F_C]
    hg = GAMMA * h
    restore_devices(I, F)
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_H] = F[p + s.C_V]
    assemble(I, F, hg, False)
    solve(I, F, 40, True)
    v = I[s.F_V]
    for i in range(nc):
        e = I[s.I_C] + s.C_INTS * i
        p = base + s.C_FLOATS * i
        current = F[p + s.C_G] * (F[v + I[e]] - F[v + I[e + 1]] - F[p + s.C_A] * F[p + s.C_H])
        inner = F[p + s.C_A] * (F[p + s.C_H] + hg / F[p + s.C_C] * current)
        F[p + s.C_I] = current
        F[p + s.C_K3] = (current - F[p + s.C_L] * inner) / F[p + s.C_C]
    watch(I, F, I[s.F_WS] + 2 * I[s.NW])


@inline
def choose(I: Any, F: Any, end: float) -> float:
    """Length of the next step [s]: the natural one, or less to meet the end or the end of a dead time."""
    t = F[s.S_T]
    h = min(F[s.S_H], F[s.S_HMAX])
    rest = end - t
    if h > 0.5 * rest:
        h = rest if h >= 0.999 * rest else 0.5 * rest
    for cell in range(I[s.NX]):
        dead = F[I[s.F_DEAD] + cell] - t
        if dead > 0.0:
            h = min(h, dead)
    return float(h)


@entry(
    "int64(int64[::1], float64[::1], float64[:, ::1], float64[:, ::1], "
    "float64, int64, int64, int64, int64[::1])"
)
def advance(
    I: Any, F: Any, out: Any, ev: Any, end: float, kind: int, what: int, value: int, most: Any
) -> int:
    """Run to time ``end`` [s]; give how it ended (DONE, OUT_FULL, EV_FULL, TOO_MANY_..., STUCK).

    Where ``kind`` is not -1 an event of that kind has just happened from outside: the circuit
    answers to it first.  ``most``: largest numbers of events and of steps.
    """
    nw = I[s.NW]
    at = I[s.F_WS]
    because = -1
    if I[s.NR] > 0:
        ramps(I, F, F[s.S_T])
    if kind >= 0:
        because = event(I, ev, F[s.S_T], kind, what, 0, value, -1)
    elif kind == -2:
        because = I[s.LASTJUMP]
    outcome = s.DONE
    while True:
        t = F[s.S_T]
        if because >= 0 or worst_watcher(I, F, I[s.F_W0], t) > 0.0:
            jump(I, F, out, ev, because)
            because = -1
        if t >= end:
            break
        if I[s.NOUT] > out.shape[0] - 32:
            outcome = s.OUT_FULL
        elif I[s.NEV] > ev.shape[0] - I[s.ROOM]:
            outcome = s.EV_FULL
        elif I[s.EVENTS] > most[0]:
            outcome = s.TOO_MANY_EVENTS
        elif I[s.STEPS] > most[1]:
            outcome = s.TOO_MANY_STEPS
        if outcome != s.DONE:
            break
        wanted = min(F[s.S_H], F[s.S_HMAX])
        h = choose(I, F, end)
        if t + h <= t:
            F[s.S_T] = min(end, t + max(1e-15, abs(t) * 4e-16))
            continue
        shortest = h <= F[s.S_HMIN]
        good = step(I, F, h)
        error = F[s.S_ERR]
        located = False
        if not good:
            F[s.S_H] = 0.125 * h
            F[s.S_FAILED] = h
            shortest = shortest or (I[s.SMALL] == 1 and h < FOLD)
        elif error > 1.0 and not shortest:
            F[s.S_H] = h * max(0.1, 0.9 * error ** (-1.0 / 3.0))
            good = False
        elif worst_watcher(I, F, at + 2 * nw, t + h) > 0.0 >= worst_watcher(I, F, at + 2 * nw, t):
            # only cells whose rest ends with this step: they had crossed while they rested
            located = True
        elif worst_watcher(I, F, at + 2 * nw, t + h) > 0.0:
            exact = locate(I, F, h)
            if exact < 0.0:
                F[s.S_H] = 0.125 * h
                good = False
            else:
                located = True
                h = exact
        elif h > 1e-9 and (worst_watcher(I, F, at, t) > 0.0 or worst_watcher(I, F, at + nw, t) > 0.0):
            # a crossing inside the step that is gone at its end: look closer
            F[s.S_H] = 0.4 * h
            good = False
        if not good:
            I[s.REJECTS] += 1
            restore_devices(I, F)
            if not shortest:
                continue
            # no solution near by even for the shortest step: let the circuit fall to the next one
            fall(I, F, h)
            F[s.S_H] = h
        elif not located:
            grown = h * min(5.0, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))
            F[s.S_H] = max(grown, wanted) if h < wanted else grown
        if good and F[s.S_FAILED] > 0.0:
            # near a fold of the solution the next step fails as well unless it stays short
            F[s.S_H] = min(F[s.S_H], max(0.25 * F[s.S_FAILED], h))
            F[s.S_FAILED] = 2.0 * F[s.S_FAILED] if F[s.S_FAILED] < F[s.S_HMAX] else 0.0
        accept(I, F, out, h)
    return outcome
