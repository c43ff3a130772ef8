"""What takes long is made once for all workers of a test run."""

from __future__ import annotations

import fcntl
import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar, cast

FOLDER = "BUILDALONG_TEST_RUN"
"""The environment's name for the folder that all workers have in common; set before the first test."""

T = TypeVar("T")
_done: dict[str, object] = {}


def once(name: str, make: Callable[[], T]) -> T:
    """What ``make`` gives, from memory, from what another worker left under this name, or made now."""
    if name not in _done:
        kept = Path(os.environ[FOLDER]) / f"{name}.pickle"
        with open(kept.with_suffix(".lock"), "w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not kept.exists():
                kept.write_bytes(pickle.dumps(make()))
        _done[name] = pickle.loads(kept.read_bytes())
    return cast(T, _done[name])
