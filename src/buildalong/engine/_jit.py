"""Compile the kernels with numba where it is present, run them as plain Python where it is not.

``BUILDALONG_NO_JIT=1`` in the environment chooses plain Python: same functions, same answers, slower.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, TypeVar, cast

__all__ = ["COMPILED", "jit"]

F = TypeVar("F", bound=Callable[..., Any])

_numba: Any = None
if os.environ.get("BUILDALONG_NO_JIT", "") != "1":
    try:
        import numba as _numba
    except ImportError:  # pragma: no cover - numba is a dependency; this is for platforms without a wheel
        _numba = None

COMPILED: bool = _numba is not None
"""Whether the kernels run as machine code in this process."""


def jit(function: F) -> F:
    """Compile for speed, cached on disk, without the interpreter lock; identity without numba."""
    if _numba is None:
        return function
    return cast(F, _numba.njit(cache=True, nogil=True, error_model="numpy")(function))
