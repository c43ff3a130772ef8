"""Processes that work together: whoever does the work, the results are the same."""

from __future__ import annotations

import multiprocessing
import os
import time

import pytest

from buildalong.publish._crew import Crew, cores_here


def square(number: int) -> int:
    return number * number


def fail(number: int) -> int:
    raise ValueError(f"no {number}")


def die(parent: int) -> int:
    if os.getpid() != parent:
        os._exit(3)
    return 7


def dawdle(seconds: float) -> float:
    time.sleep(seconds)
    return seconds


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_results_come_in_order(cores: int) -> None:
    """Squares of 0 to 39, however many processes work; the count goes up to all of them."""
    counts: list[int] = []
    with Crew(cores) as crew:
        assert crew.map(square, list(range(40)), counts.append) == [n * n for n in range(40)]
    assert counts == sorted(counts)
    assert counts[-1] == 40


@pytest.mark.parametrize("cores", [1, 2])
def test_errors_come_through(cores: int) -> None:
    """What a function raises is raised where its result is asked for."""
    with Crew(cores) as crew:
        task = crew.start(fail, 4)
        with pytest.raises(ValueError, match="no 4"):
            task.result()


def test_the_work_of_a_process_that_dies_is_done_here() -> None:
    """A process that is ended from outside takes nothing away: the first one does its work."""
    with Crew(2) as crew:
        task = crew.start(die, os.getpid())
        time.sleep(0.5)
        assert task.result() == 7
        assert crew.map(square, [1, 2, 3]) == [1, 4, 9]


def _stopped() -> None:
    with Crew(3) as crew:
        for _ in range(6):
            crew.start(dawdle, 60.0)
        time.sleep(0.2)
        raise KeyboardInterrupt


def test_nobody_is_left() -> None:
    """Left by an exception while the others work, they are ended at once."""
    before = set(multiprocessing.active_children())
    start = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        _stopped()
    while set(multiprocessing.active_children()) - before:  # another thread may be seeing them off
        assert time.monotonic() - start < 30
        time.sleep(0.01)


def test_cores() -> None:
    """At least this one, at most those of the machine."""
    assert 1 <= cores_here() <= (os.cpu_count() or 1)
