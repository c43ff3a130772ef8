"""Orbits: after each event, whether the circuit is back in a state it was in before.

A circuit that nothing from outside moves goes on from equal states in equal ways.  Each event leaves a
mark: everything the future depends on, and how far events and samples had come.  Where a mark equals an
earlier one, what happened between the two will happen again until something comes from outside, and need
not be computed (_repeat.py writes it out).  Tolerances, proof and limits: docs/engine.md.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel

__all__ = ["EQUAL", "periods"]

EQUAL = 1e-9
"""Two voltages v are equal that differ by no more than this part of 1 V + |v|."""
ROUNDING = 1e-12
"""States no further apart than this part are one state, whatever came before."""
DRIFT = 1e-7
"""Were the circuit to drift on by the distance of two equal states each time, it may come so far."""
STEP = 1e-6
"""Equal steps and rests differ by no more than this part."""


@kernel("int64", "I", "F")
def discrete(I: Any, F: Any) -> int:
    """A digest of what takes whole values: cells, watchers, growth of steps, which sample comes next."""
    x = int(F[s.S_GROW])
    for cell in range(I[s.NX]):
        e = I[s.I_X] + s.X_INTS * cell
        x = (x * 1000003 + I[e] + 64 * I[e + 5]) & 0xFFFFFFFFFFFF
        x = (x * 1000003 + I[e + 6]) & 0xFFFFFFFFFFFF
    for w in range(I[s.NW]):
        x = (x * 1000003 + I[I[s.I_W] + s.W_INTS * w + 5]) & 0xFFFFFFFFFFFF
    return int((x * 1000003 + (I[s.SINCE] if I[s.STRIDE] > 1 else 0)) & 0xFFFFFFFFFFFF)


@kernel("void", "I", "F", "F", "int64")
def write(I: Any, F: Any, marks: Any, here: int) -> None:
    """Write the mark that begins at ``here``."""
    nc, t = I[s.NC], F[s.S_T]
    rest = 0.0
    for cell in range(I[s.NX]):
        rest += (cell + 1.0) * max(F[I[s.F_DEAD] + cell] - t, 0.0)
    marks[here + s.M_TIME] = t
    marks[here + s.M_STEP] = F[s.S_H]
    marks[here + s.M_FAILED] = F[s.S_FAILED]
    marks[here + s.M_REST] = rest
    marks[here + s.M_STATE] = discrete(I, F)
    marks[here + s.M_EVENTS] = I[s.EVENTS]
    marks[here + s.M_SAMPLES] = I[s.KEPT] + I[s.NOUT]
    marks[here + s.M_STEPS] = I[s.STEPS]
    marks[here + s.M_APART] = 1.0
    marks[here + s.M_BACK] = 0.0
    c = here + s.MARK
    for i in range(nc):
        marks[c + i] = F[I[s.F_C] + s.C_FLOATS * i + s.C_V]
        marks[c + nc + i] = I[I[s.I_CAUSE] + i]
    marks[c + 2 * nc] = I[s.LASTJUMP]


@kernel("float64", "I", "F", "F", "int64", "int64")
def apart(I: Any, F: Any, marks: Any, here: int, there: int) -> float:
    """Largest relative distance of two marks' voltages; 1 where they are not equal in all else."""
    nc = I[s.NC]
    if marks[there + s.M_STATE] != marks[here + s.M_STATE]:
        return 1.0
    worst = 0.0
    for i in range(nc):
        v = marks[here + s.MARK + i]
        worst = max(worst, abs(v - marks[there + s.MARK + i]) / (1.0 + abs(v)))
        if worst > EQUAL:
            return 1.0
    for k in (s.M_STEP, s.M_FAILED):
        if abs(marks[here + k] - marks[there + k]) > STEP * marks[here + k]:
            return 1.0
    grain = STEP * F[s.S_DEAD] + 2e-15 * (I[s.NX] + 1.0) * marks[here + s.M_TIME]
    if abs(marks[here + s.M_REST] - marks[there + s.M_REST]) > grain:
        return 1.0
    # what moves each capacitor: an event within the orbit each time anew, or always the same one
    events = marks[here + s.M_EVENTS] - marks[there + s.M_EVENTS]
    causes = s.MARK + nc
    for i in range(nc + 1):
        before, now = marks[there + causes + i], marks[here + causes + i]
        if now != before and not (before >= 0.0 and now == before + events):
            return 1.0
        for j in range(nc + 1):
            if marks[there + causes + j] == before and marks[here + causes + j] != now:
                return 1.0
    return worst


@kernel("int64", "I", "F", "F", "float64", "int64", "int64")
def periods(I: Any, F: Any, marks: Any, end: float, events: int, steps: int) -> int:
    """Leave a mark; give how often what followed an equal one fits in before ``end`` and the limits.

    The orbit lies between the last mark and the one ``M_BACK`` before it.
    """
    nc = I[s.NC]
    width = s.MARK + 2 * nc + 1
    here = (I[s.MARKS] % s.MARKS_KEPT) * width
    write(I, F, marks, here)
    I[s.MARKS] += 1
    found = 0
    for back in range(1, min(I[s.MARKS], s.MARKS_KEPT)):
        there = ((I[s.MARKS] - 1 - back) % s.MARKS_KEPT) * width
        distance = apart(I, F, marks, here, there)
        passed = marks[here + s.M_EVENTS] - marks[there + s.M_EVENTS]
        if distance > EQUAL or passed <= 0.0:
            continue
        marks[here + s.M_BACK], marks[here + s.M_APART] = back, distance
        # further apart than rounding: then also one orbit before, and not so near
        if distance <= ROUNDING or (marks[there + s.M_BACK] == back and marks[there + s.M_APART] >= distance):
            n = (end - F[s.S_T]) / (F[s.S_T] - marks[there + s.M_TIME])
            n = min(n, (events - I[s.EVENTS]) / passed)
            n = min(n, (steps - I[s.STEPS]) / max(marks[here + s.M_STEPS] - marks[there + s.M_STEPS], 1.0))
            samples = marks[here + s.M_SAMPLES] - marks[there + s.M_SAMPLES]
            if samples > 0.0:
                n = min(n, (I[s.MOST] - marks[here + s.M_SAMPLES]) / samples)
            n = min(n, 1e9)
            if n * distance <= DRIFT:
                found = int(n)
        break
    return found
