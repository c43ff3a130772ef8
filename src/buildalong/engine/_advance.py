"""From event to event: step control and exact location of crossings.

:func:`advance` carries prepared circuits, each to a given time.  It returns early with one when an output
array is full, or when an orbit has been found; calling it again continues.  All state is in ``I`` and ``F``.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

import math
from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import entry, floats_at, ints_at, kernel
from buildalong.engine._jump import jump
from buildalong.engine._orbit import periods
from buildalong.engine._record import between, record
from buildalong.engine._rules import event, worst_watcher
from buildalong.engine._step import GAMMA, keep_devices, ramps, restore_devices, step, watch
from buildalong.engine._work import assemble, solve

__all__ = ["advance"]

GROW = 10.0
"""How many times longer than the last step the next one may be."""


@kernel("int64", "I", "F", "float64")
def curved(I: Any, F: Any, h: float) -> int:
    """How many samples the way to the end of the step just tried needs in between."""
    I[s.SINCE] += 1
    bow = 0.0
    for i in range(I[s.NC]):
        if I[I[s.I_C] + s.C_INTS * i + 6] == 0:
            p = I[s.F_C] + s.C_FLOATS * i
            bow = max(bow, abs(h * (F[p + s.C_K3] - F[p + s.C_K0])) / 8.0)
    if I[s.RAMPING] == 1 or I[s.SMALL] == 1 or bow <= F[s.S_PLOT]:
        return 0
    return min(int(math.sqrt(bow / F[s.S_PLOT])), 8)


@kernel("void", "I", "F", "float64")
def accept(I: Any, F: Any, h: float) -> None:
    """Move the state to the end of the step just tried."""
    nc, base = I[s.NC], I[s.F_C]
    F[s.S_T] += h
    for i in range(nc):
        p = base + s.C_FLOATS * i
        F[p + s.C_V] = F[p + s.C_A] * (F[p + s.C_H] + GAMMA * h / F[p + s.C_C] * F[p + s.C_I])
        F[p + s.C_K0] = F[p + s.C_K3]
    keep_devices(I, F)
    for w in range(I[s.NW]):
        F[I[s.F_W0] + w] = F[I[s.F_WS] + 2 * I[s.NW] + w]


@kernel("float64", "I", "F", "float64")
def locate(I: Any, F: Any, h: float) -> float:
    """Find the step that ends just past the first crossing; leave that step tried."""
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
    aim = 0.5 * F[s.S_CLOSE]
    third, g_third = 0.0, 0.0
    result = -1.0
    for turn in range(60):
        final = high - low < 1e-13 + 1e-11 * high
        if final:
            guess = high
        elif turn > 0:
            guess = high + (aim - g_high) * (high - low) / (g_high - g_low)
            if third > 0.0 and g_third != g_low and g_third != g_high:
                # the parabola through three points, time over distance
                slope = (low - high) / (g_low - g_high)
                bend = ((third - low) / (g_third - g_low) - slope) / (g_third - g_high)
                guess = high + (aim - g_high) * (slope + bend * (aim - g_low))
            if turn > 12 or not (low < guess < high):
                guess = 0.5 * (low + high)
        restore_devices(I, F)
        if not step(I, F, guess):
            break
        g = worst_watcher(I, F, at + 2 * nw, t + guess)
        if final or 0.0 < g < F[s.S_CLOSE]:
            result = guess
            break
        if g > 0.0:
            third, g_third = high, g_high
            high, g_high = guess, g
        else:
            third, g_third = low, g_low
            low, g_low = guess, min(g, -1e-12)
    return result


@kernel("void", "I", "F", "float64")
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


@kernel("float64", "I", "F", "float64")
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


@kernel("int64", "I", "F", "F", "F", "F", "float64", "int64", "int64", "int64", "int64")
def carry(
    I: Any, F: Any, out: Any, ev: Any, marks: Any, end: float, kind: int, what: int, events: int, steps: int
) -> int:
    """Run to time ``end`` [s]; give how it ended (DONE, OUT_FULL, EV_FULL, TOO_MANY_..., ORBIT).

    Where ``kind`` is not -1 an event of that kind has just happened from outside: the circuit
    answers to it first.  ``events``, ``steps``: their largest numbers.
    """
    nw = I[s.NW]
    at = I[s.F_WS]
    because = -1
    if I[s.NR] > 0:
        ramps(I, F, F[s.S_T])
    if kind != -1:
        I[s.MARKS] = 0
    if kind >= 0:
        because = event(I, ev, F[s.S_T], kind, what, 0, 1, -1)
    elif kind == -2:
        because = I[s.LASTJUMP]
    outcome = s.DONE
    while True:
        t = F[s.S_T]
        if because >= 0 or worst_watcher(I, F, I[s.F_W0], t) > 0.0:
            jump(I, F, out, ev, because)
            because = -1
            if I[s.SEEK] == 1 and I[s.RAMPING] == 0:
                I[s.TURNS] = periods(I, F, marks, end, events, steps)
                if I[s.TURNS] > 0:
                    outcome = s.ORBIT
                    break
        if t >= end:
            break
        if I[s.NOUT] > I[s.OUTROWS] - 32 or I[s.KEPT] + I[s.NOUT] > I[s.MOST]:
            outcome = s.OUT_FULL
        elif I[s.NEV] > I[s.EVROWS] - I[s.ROOM]:
            outcome = s.EV_FULL
        elif I[s.EVENTS] > events:
            outcome = s.TOO_MANY_EVENTS
        elif I[s.STEPS] > steps:
            outcome = s.TOO_MANY_STEPS
        if outcome != s.DONE:
            break
        wanted = min(F[s.S_H], F[s.S_HMAX])
        h = choose(I, F, end)
        if t + h <= t:
            F[s.S_T] = min(end, t + max(1e-15, abs(t) * 4e-16))
            continue
        tried = h
        shortest = h <= F[s.S_HMIN]
        good = step(I, F, h)
        error = F[s.S_ERR]
        if not good:
            F[s.S_H] = 0.125 * h
            F[s.S_FAILED] = h
            shortest = shortest or (I[s.SMALL] == 1 and h < F[s.S_FOLD])
        elif error > 1.0 and not shortest:
            F[s.S_H] = h * max(0.1, 0.9 * error ** (-1.0 / 3.0))
            good = False
        elif worst_watcher(I, F, at + 2 * nw, t + h) > 0.0 >= worst_watcher(I, F, at + 2 * nw, t):
            # only cells whose rest ends with this step: they had crossed while they rested
            pass
        elif worst_watcher(I, F, at + 2 * nw, t + h) > 0.0:
            exact = locate(I, F, h)
            if exact < 0.0:
                F[s.S_H] = 0.125 * h
                good = False
            else:
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
            F[s.S_FAILED] = 0.0
            F[s.S_GROW] = s.FRESH
        else:
            # the step that was tried has kept the tolerance, whether or not a crossing has cut it short
            grown = tried * min(F[s.S_GROW], 0.9 * max(error, 1e-9) ** (-1.0 / 3.0))
            F[s.S_H] = max(grown, wanted) if tried < wanted else grown
            F[s.S_GROW] = max(0.1 * F[s.S_GROW], GROW)
        if good and F[s.S_FAILED] > 0.0:
            # near a fold of the solution the next step fails as well unless it stays short
            F[s.S_H] = min(F[s.S_H], max(0.25 * F[s.S_FAILED], h))
            F[s.S_FAILED] = 2.0 * F[s.S_FAILED] if F[s.S_FAILED] < F[s.S_HMAX] else 0.0
        if I[s.RECORD] == 1:
            points = curved(I, F, h)
            if points > 0:
                between(I, F, out, h, points)
        accept(I, F, h)
        if I[s.RECORD] == 1 and I[s.SINCE] >= I[s.STRIDE]:
            I[s.SINCE] = 0
            record(I, F, out, F[s.S_T])
    return outcome


@entry("I", "F")
def advance(jobs: Any, ends: Any) -> int:
    """Carry one circuit after the other to its time in ``ends`` [s]; how each ended goes into its job.

    A job is ``JOB`` numbers: where its five arrays lie (I, F, samples, events, marks), kind and number of
    what happens first, the largest numbers of events and steps, and room for the outcome.
    """
    for number in range(len(ends)):
        at = s.JOB * number
        jobs[at + s.JOB - 1] = carry(
            ints_at(jobs[at]), floats_at(jobs[at + 1]), floats_at(jobs[at + 2]), floats_at(jobs[at + 3]),
            floats_at(jobs[at + 4]), ends[number], jobs[at + 5], jobs[at + 6], jobs[at + 7], jobs[at + 8],
        )  # fmt: skip
    return 0
