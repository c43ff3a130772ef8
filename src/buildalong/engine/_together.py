"""Let the kernel carry stages on: one by itself, or many in one call.

What plays a stage is a generator, a :data:`Way`: it yields where the stage shall be carried, finds it there
when it goes on, and gives its result in the end.  In a call that carries many no other thread waits for
the interpreter lock, which changes hands once for all of them.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from buildalong.engine import _slots as s
from buildalong.engine._advance import advance
from buildalong.engine._jit import COMPILED

if TYPE_CHECKING:
    from buildalong.engine._simulate import Stage

__all__ = ["Way", "alone", "together"]

T = TypeVar("T")
Call = tuple["Stage", float, int, int]
"""A stage, the time to carry it to [s], and kind (-1: none) and number of what happens first."""
Way = Generator[Call, None, T]


def alone(way: Way[T]) -> T:
    """Go one way to its end."""
    return together([way])[0]


def together(ways: Sequence[Way[T]]) -> list[T]:
    """Go all ways to their ends; the results are those of each one alone."""
    ended: dict[int, T] = {}
    while len(ended) < len(ways):
        calls: list[Call] = []
        for number, way in enumerate(ways):
            if number not in ended:
                try:
                    calls.append(next(way))
                except StopIteration as end:
                    ended[number] = end.value
        if calls:
            _carry(calls)
    return [ended[number] for number in range(len(ways))]


def _carry(calls: list[Call]) -> None:
    jobs: Any = []
    for stage, _, kind, what in calls:
        jobs += (*stage.places, kind, what, stage.options.max_events, stage.options.max_steps, s.DONE)
    ends: Any = [float(end) for _, end, _, _ in calls]
    if COMPILED:
        jobs, ends = np.array(jobs, dtype=np.int64), np.array(ends, dtype=np.float64)
    advance(jobs, ends)
    for (stage, *_), outcome in zip(calls, jobs[s.JOB - 1 :: s.JOB], strict=True):
        stage.outcome = int(outcome)
