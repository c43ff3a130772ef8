"""Processes that work beside the first one, so that a machine's other cores do their share."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait
from types import TracebackType
from typing import Any, Generic, ParamSpec, TypeVar

from buildalong.words import language, speaking

__all__ = ["Crew", "Task", "cores_here"]

Given = ParamSpec("Given")
Result = TypeVar("Result")
Item = TypeVar("Item")


def cores_here() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Task(Generic[Result]):
    """Work that may be done by another process; what nobody has begun is done by who asks for it."""

    def __init__(self, call: Callable[[], Result], future: Future[Result] | None = None) -> None:
        self.call, self.future = call, future

    @property
    def free(self) -> bool:
        """Whether nobody has begun; then nobody else will."""
        return self.future is None or self.future.cancel()

    def result(self) -> Result:
        """What the work gives; raises what it raises."""
        if self.future is not None and not self.free:
            try:
                return self.future.result()
            except (BrokenProcessPool, CancelledError):
                pass  # the process was ended from outside
        return self.call()


class Crew:
    """A process and ``cores`` - 1 others, which are started when there is work for them.

    The functions given are plain functions of a module, and what they take and give can be pickled.  The
    results do not depend on who does what.  Left by an exception, the others are ended at once.  A first
    process that ``leads`` leaves all work to ``cores`` others.
    """

    def __init__(self, cores: int, *, leads: bool = False) -> None:
        self.cores = max(1, cores)
        self.leads = leads and self.cores > 1
        self._pool: ProcessPoolExecutor | None = None
        self._before: set[int | None] = set()

    def __enter__(self) -> Crew:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._pool is None:
            return
        self._pool.shutdown(wait=False, cancel_futures=True)
        for child in multiprocessing.active_children():
            if child.pid not in self._before:
                child.terminate()
                child.join()

    def start(
        self, function: Callable[Given, Result], *given: Given.args, **named: Given.kwargs
    ) -> Task[Result]:
        """Let another process begin with some work."""

        def call() -> Result:
            return function(*given, **named)

        if self.cores == 1:
            return Task(call)
        try:
            return Task(call, self._others().submit(_spoken, language(), function, given, named))
        except (BrokenProcessPool, OSError):
            return Task(call)

    def map(
        self, function: Callable[[Item], Result], items: Sequence[Item],
        done: Callable[[int], None] = lambda count: None,
    ) -> list[Result]:  # fmt: skip
        """The results in the order of the items; ``done`` hears how many there are."""
        return self.finish([self.start(function, item) for item in items], done)

    def finish(
        self, tasks: Sequence[Task[Result]], done: Callable[[int], None] = lambda count: None
    ) -> list[Result]:
        """The results of tasks that were started, in their order; all processes work until they are there."""
        own: dict[int, Result] = {}
        for index in () if self.leads else reversed(range(len(tasks))):  # the others begin at the front
            if tasks[index].free:
                own[index] = tasks[index].call()
                done(len(own))
            elif self.cores > 1:
                break
        out = []
        for index, task in enumerate(tasks):
            out.append(own[index] if index in own else task.result())
            done(max(len(own), index + 1))
        return out

    def _others(self) -> ProcessPoolExecutor:
        if self._pool is None:
            self._before = {child.pid for child in multiprocessing.active_children()}
            # Spawned, not forked: threads of the simulation may hold locks.
            self._pool = ProcessPoolExecutor(
                self.cores - (not self.leads),
                mp_context=multiprocessing.get_context("spawn"),
                initializer=_settle,
            )
        return self._pool


def _spoken(
    tag: str, function: Callable[..., Result], given: Sequence[Any], named: Mapping[str, Any]
) -> Result:
    """Do some work in the language of the process that asks for it."""
    with speaking(tag):
        return function(*given, **named)


def _settle() -> None:
    """Leave Ctrl-C to the first process, and end when it has ended."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)
