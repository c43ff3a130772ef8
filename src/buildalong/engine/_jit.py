"""Compile the kernels with numba where it is present, run them as plain Python where it is not.

``BUILDALONG_NO_JIT=1`` in the environment chooses plain Python: same functions, same answers, slower.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, TypeVar, cast

__all__ = ["COMPILED", "entry", "inline", "jit"]

F = TypeVar("F", bound=Callable[..., Any])

_numba: Any = None
if os.environ.get("BUILDALONG_NO_JIT", "") != "1":
    try:
        import numba as _numba
    except ImportError:  # pragma: no cover - numba is a dependency; this is for platforms without a wheel
        _numba = None

COMPILED: bool = _numba is not None
"""Whether the kernels run as machine code in this process."""


def entry(signature: str) -> Callable[[F], F]:
    """Compile a kernel that Python calls: cached on disk, without the interpreter lock."""

    def wrap(function: F) -> F:
        if _numba is None:
            return function
        return cast(F, _numba.njit(signature, cache=True, nogil=True, error_model="numpy")(function))

    return wrap


def jit(signature: str) -> Callable[[F], F]:
    """Compile a function that only kernels call.

    The signature is given so that it is compiled once, not again for each literal argument.
    """

    def wrap(function: F) -> F:
        if _numba is None:
            return function
        options = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
        return cast(
            F, _numba.njit(signature, cache=True, nogil=True, error_model="numpy", **options)(function)
        )

    return wrap


def inline(function: F) -> F:
    """Write a function out where kernels call it: for one place, this compiles several times faster."""
    if _numba is None:
        return function
    return cast(F, _numba.njit(inline="always", error_model="numpy")(function))
