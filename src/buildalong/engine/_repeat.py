"""Write out an orbit that the kernel has found as often as it fits, without computing it again."""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from buildalong.engine import _slots as s

if TYPE_CHECKING:
    from buildalong.engine._simulate import Stage

__all__ = ["repeat"]

Floats = NDArray[np.float64]


def repeat(stage: Stage) -> None:
    """Add ``TURNS`` periods of events and samples, and move the machine on by as much.

    The orbit lies between the last mark and an equal one before it; see _orbit.py.  Everything taken
    out of the kernel's arrays so far must be in the stage.
    """
    I, F = stage.machine.I, stage.machine.F
    nc, turns = int(I[s.NC]), int(I[s.TURNS])
    width = s.MARK + 2 * nc + 1
    marks = stage.marks.reshape(-1, width)
    last = int(I[s.MARKS]) - 1
    now = marks[last % s.MARKS_KEPT]
    then = marks[(last - int(now[s.M_BACK])) % s.MARKS_KEPT]
    passed = now - then
    period, events = float(passed[s.M_TIME]), int(passed[s.M_EVENTS])

    rows = _tail(stage.events, events)
    stage.events.append(_again(rows, period, turns, events, _relative(rows, now, then, nc)))
    samples = int(passed[s.M_SAMPLES])
    if samples:
        stage.samples.append(_again(_tail(stage.samples, samples), period, turns))
        stage.kept += turns * samples
        I[s.KEPT] = stage.kept

    moved = turns * period
    F[s.S_T] = now[s.M_TIME] + moved
    rests = int(I[s.F_DEAD])
    F[rests : rests + int(I[s.NX])] += moved
    causes = int(I[s.I_CAUSE])
    renewed = passed[s.MARK + nc :] > 0
    I[causes : causes + nc] += renewed[:nc] * turns * events
    I[s.LASTJUMP] += int(renewed[nc]) * turns * events
    I[s.EVENTS] += turns * events
    I[s.STEPS] += turns * int(passed[s.M_STEPS])
    stage.repeated += turns * int(passed[s.M_STEPS])
    stage.turns += turns
    I[s.MARKS] = 0


def _tail(pieces: list[Floats], count: int) -> Floats:
    """The last ``count`` rows."""
    need: list[Floats] = []
    for piece in reversed(pieces):
        need.append(piece[-count:])
        count -= len(need[-1])
        if count <= 0:
            break
    return need[0] if len(need) == 1 else np.concatenate(need[::-1])


def _again(rows: Floats, period: float, turns: int, events: int = 0, renewed: Floats | None = None) -> Floats:
    """The rows as often as told, each time a period later; renewed causes count on by ``events``."""
    turn = np.arange(1.0, turns + 1.0)[:, None]
    cube = np.empty((turns, *rows.shape))
    cube[:] = rows
    cube[:, :, 0] += period * turn
    if renewed is not None:
        cube[:, :, s.EV_COLUMNS - 1] += events * turn * renewed
    return cube.reshape(-1, rows.shape[1])


def _relative(rows: Floats, now: Floats, then: Floats, nc: int) -> Floats:
    """1 for each event whose cause lies in the orbit, or in its counterpart before; 0 where it is older."""
    because = rows[:, -1]
    inside = because >= then[s.M_EVENTS]
    causes = s.MARK + nc
    for before, after in zip(then[causes:].tolist(), now[causes:].tolist(), strict=True):
        if after > before:
            inside |= because == before
    return np.where(inside, 1.0, 0.0)
