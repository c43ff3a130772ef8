"""How a light differs from what it should do, read from sampled currents alone.

Written beside the project's own way, which goes by events: here everything is counted on samples 1 ms apart.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from buildalong.engine import Trial

GRID = 1e-3
VISIBLE = 0.2e-3
"""A light of less current is not seen [A] (our choice, that of the catalogue)."""
FUSED, SHORTEST = 20, 5
"""Dark gaps and flashes of so many samples are not seen."""


def shines(times: np.ndarray, amps: np.ndarray, lasts: float) -> tuple[np.ndarray, float]:
    """Whether the light is seen to shine in each millisecond, and its mean current meanwhile [A]."""
    grid = np.arange(0.0, lasts, GRID)
    level = np.interp(grid, times, amps)
    on = level > VISIBLE
    on = _without(on, FUSED, False)
    on = _without(on, SHORTEST, True)
    return on, float(level[on].mean()) if on.any() else 0.0


def _without(on: np.ndarray, length: int, state: bool) -> np.ndarray:
    """Runs of a state that are shorter than some samples, and not at an end, are given the other state."""
    edges = np.flatnonzero(np.diff(on.astype(int))) + 1
    bounds = np.concatenate([[0], edges, [len(on)]])
    out = on.copy()
    for a, b in pairwise(bounds):
        inside = state or (a > 0 and b < len(on))
        if on[a] == state and b - a < length and inside:
            out[a:b] = not state
    return out


def _rises(on: np.ndarray) -> np.ndarray:
    return np.flatnonzero(np.diff(np.concatenate([[False], on]).astype(int)) == 1)


def _rhythm(on: np.ndarray) -> tuple[float, float] | None:
    """Period and on time [samples] once settled; None where it does not repeat."""
    rises = _rises(on)
    if len(rises) < 3:
        return None
    first = rises[1] if len(rises) > 3 else rises[0]
    period = (rises[-1] - first) / (len(rises) - (2 if len(rises) > 3 else 1))
    whole = on[rises[1] : rises[-1]]
    return float(period), float(whole.sum()) / (len(rises) - 2)


def differs(right: tuple[np.ndarray, float], seen: tuple[np.ndarray, float], trial: Trial) -> str:
    """How a light differs: "same", or the name of a class."""
    (wanted, strong), (on, level) = right, seen
    if not on.any():
        return "same" if not wanted.any() else "dark"
    timing = _timing(wanted, on, trial)
    if timing != "same":
        return timing
    if strong and level < 0.45 * strong:
        return "dim"
    return "bright" if strong and level > 2.2 * strong else "same"


def _timing(wanted: np.ndarray, on: np.ndarray, trial: Trial) -> str:
    should, does = _rhythm(wanted), _rhythm(on)
    rises = _rises(on)
    if should is not None:
        if on.mean() > 0.97:
            return "always-lit"
        if does is None:
            return "too-slow" if len(rises) == 2 and np.diff(rises)[0] > 1.3 * should[0] else "once-only"
        ratio = does[0] / should[0]
        if ratio > 1.3 or ratio < 1 / 1.3:
            return "too-slow" if ratio > 1 else "too-fast"
        if not 1 / 1.4 <= does[1] / should[1] <= 1.4:
            return "other-rhythm"
        late = rises[0] - _rises(wanted)[0]
        return "starts-late" if late > max(0.6 * should[0], 500) else "same"
    slack = max(300, int(0.02 * len(on)))
    goal = _rises(wanted)
    ends, goal_ends = _rises(~on), _rises(~wanted)
    if len(rises) == len(goal) and len(ends) == len(goal_ends):
        length = np.array([(g if g < len(on) else len(on)) - r for r, g in _spells(wanted)])
        off = np.array([abs(e - g) for (_, e), (_, g) in zip(_spells(on), _spells(wanted), strict=True)])
        if np.all(np.abs(rises - goal) <= slack) and np.all(off <= np.maximum(slack, 0.2 * length)):
            return "same"
    if does is not None and len(rises) > len(goal) + 2:
        return "blinks-by-itself"
    if on.mean() > 0.97:
        return "always-lit"
    pressed = _pressed(trial, len(on))
    if pressed.any() and not (on & ~pressed).any():
        return "while-pressed"
    if (
        wanted.any()
        and (on & wanted).sum() < 0.15 * wanted.sum()
        and (on & ~wanted).sum() > 0.5 * (~wanted).sum()
    ):
        return "inverted"
    if on[-1] and not wanted[-1]:
        return (
            "stays-lit-from-the-start"
            if rises[-1] < slack and (not len(goal) or goal[-1] > 2 * slack)
            else "stays-lit"
        )
    if wanted.any() and len(rises) == len(goal):
        if on.sum() > 1.3 * wanted.sum():
            return "too-long"
        if on.sum() < wanted.sum() / 1.3:
            return "too-short"
        if rises[0] - goal[0] > slack:
            return "starts-late"
        return "comes-at-once" if rises[0] < slack < goal[0] - rises[0] else "other"
    return "misses" if len(rises) < len(goal) else "comes-by-itself"


def _spells(on: np.ndarray) -> list[tuple[int, int]]:
    starts = _rises(on)
    ends = [int(e) for e in _rises(~on) if len(starts) and e > starts[0]]
    return [(int(s), e) for s, e in zip(starts, [*ends, len(on)][: len(starts)], strict=True)]


def _pressed(trial: Trial, size: int) -> np.ndarray:
    """When any button is held, with a moment before and after."""
    out = np.zeros(size, dtype=bool)
    down: dict[str, float] = {}
    for action in trial.actions:
        if action.setting == "pressed" and action.value > 0.5:
            down[action.part] = action.time
        elif action.setting == "pressed" and action.part in down:
            start = down.pop(action.part)
            out[max(int((start - 0.1) / GRID), 0) : int((action.time + 0.15) / GRID)] = True
    return out
