"""What integrated circuits do: watchers that turn, rules of cells, events and their causes."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel

__all__ = ["enter", "event", "notice", "rule_state", "worst_watcher"]


@kernel("int64", "I", "F", "float64", "int64", "int64", "int64", "int64", "int64")
def event(I: Any, ev: Any, t: float, kind: int, what: int, before: int, after: int, because: int) -> int:
    """Write one event row; give its number in the whole run."""
    r = I[s.NEV] * s.EV_COLUMNS
    ev[r], ev[r + 1], ev[r + 2] = t, kind, what
    ev[r + 3], ev[r + 4], ev[r + 5] = before, after, because
    I[s.NEV] += 1
    I[s.EVENTS] += 1
    return int(I[s.EVENTS] - 1)


@kernel("int64", "I", "int64")
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


@kernel("void", "I", "int64", "int64")
def enter(I: Any, cell: int, state: int) -> None:
    """Put a cell into a state: choose which of its curves conduct."""
    I[I[s.I_X] + s.X_INTS * cell] = state
    for k in range(I[s.NK]):
        e = I[s.I_K] + s.K_INTS * k
        if I[e + 6] == cell:
            I[e + 10] = (I[e + 7] >> state) & 1
    I[s.DIRTY] = 1


@kernel("int64", "I", "F", "int64")
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


@kernel("boolean", "I", "F", "F", "int64")
def notice(I: Any, F: Any, ev: Any, because: int) -> bool:
    """Turn every watcher that has crossed; note which cells must look at their rules."""
    t = F[s.S_T]
    any_turned = False
    for w in range(I[s.NW]):
        e = I[s.I_W] + s.W_INTS * w
        cell = I[e + 4]
        if F[I[s.F_W0] + w] <= 0.0 or (cell >= 0 and F[I[s.F_DEAD] + cell] > t):
            continue
        if I[s.NEV] >= I[s.EVROWS] - 4:
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


@kernel("float64", "I", "F", "int64", "float64")
def worst_watcher(I: Any, F: Any, at: int, t: float) -> float:
    """Largest distance past a crossing among the watchers that may act at time ``t``."""
    worst = -1e30
    for w in range(I[s.NW]):
        cell = I[I[s.I_W] + s.W_INTS * w + 4]
        if cell >= 0 and F[I[s.F_DEAD] + cell] > t:
            continue
        worst = max(worst, F[at + w])
    return worst
