"""Compile the kernels with numba where it is present, run them as plain Python where it is not.

Kernels take plain pointers: no bounds, no negative indices, no reference counts, which makes them half
as large and more than twice as fast as with arrays.  A kernel is compiled when an entry that needs it
is; compiled entries are kept on disk with all their kernels inside, under a digest of the sources.

An entry links its kernels in, and every caller optimises them again.  So the heavy ones, which many
call, are an entry of their own that the others reach by its address (:func:`address`, :func:`call`).

``BUILDALONG_NO_JIT=1`` in the environment chooses plain Python: same functions, same answers, slower.
"""

from __future__ import annotations

import gc
import hashlib
import importlib
import os
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import CellType, FunctionType
from typing import Any, TypeVar, cast

from buildalong.engine import _slots

__all__ = ["COMPILED", "address", "call", "entry", "floats_at", "ints_at", "kernel", "place", "reached"]

Function = TypeVar("Function", bound=Callable[..., Any])

_numba: Any = None
if os.environ.get("BUILDALONG_NO_JIT", "") != "1":
    try:
        import numba as _numba
    except ImportError:  # pragma: no cover - numba is a dependency; this is for platforms without a wheel
        _numba = None


def _put_off_blas() -> None:
    """Let numba look for BLAS when somebody needs it, not at once: that imports scipy.linalg, 0.1 s."""
    linalg: Any = importlib.import_module("numba.np.linalg")
    kept = linalg.ensure_blas
    linalg.ensure_blas = lambda: None
    try:
        arrays: Any = importlib.import_module("numba.np.arraymath")
    finally:
        linalg.ensure_blas = kept
    arrays.ensure_blas = kept


if _numba is not None:
    _put_off_blas()

COMPILED: bool = _numba is not None
"""Whether the kernels run as machine code in this process."""

OPTIONS = {"nogil": True, "error_model": "numpy", "_nrt": False}
NAMES = {"I": "CPointer(int64)", "F": "CPointer(float64)"}
REACHED = "float64(CPointer(int64), CPointer(float64), int64, float64, float64)"
"""What :func:`call` can call."""

_signatures: dict[Any, str] = {}
"""Kernels not compiled yet."""
_reached: list[Any] = []
"""What is called by address."""


def kernel(result: str, *arguments: str) -> Callable[[Function], Function]:
    """Mark a function that only kernels call; types as numba names them, I and F for the two arrays."""

    def wrap(function: Function) -> Function:
        if _numba is None:
            return function
        made = _numba.njit(no_cpython_wrapper=True, no_cfunc_wrapper=True, **OPTIONS)(function)
        _signatures[made] = f"{result}({', '.join(NAMES.get(a, a) for a in arguments)})"
        return cast(Function, made)

    return wrap


def entry(*arguments: str) -> Callable[[Function], Function]:
    """Make what Python calls, giving an integer; I and F are arrays here."""
    kinds = ", ".join({"I": "int64[::1]", "F": "float64[::1]"}.get(a, a) for a in arguments)

    def wrap(function: Function) -> Function:
        if _numba is None:
            return function
        return cast(Function, _built(function, f"int64({kinds})", no_cfunc_wrapper=True))

    return wrap


def reached(function: Function) -> Function:
    """Make what kernels reach by its address: (I, F, number of a job, two numbers) -> a number."""
    made = function if _numba is None else _built(function, REACHED, no_cpython_wrapper=True)
    _reached.append(made)
    return function


@cache
def address() -> int:
    """Where the reached function lies in this process; 0 in plain Python."""
    if _numba is None:
        return 0
    compiled = _reached[0].get_compile_result(_reached[0].nopython_signatures[0])
    return int(compiled.library.get_pointer_to_function(compiled.fndesc.llvm_cfunc_wrapper_name))


def _built(function: Any, signature: str, **options: bool) -> Any:
    """An entry from disk, or compiled now, after all kernels it needs."""
    needed: list[Any] = []
    _need(function, needed)
    made = _numba.njit(cache=True, **OPTIONS, **options)(_with_digest(function, needed))
    collecting = gc.isenabled()
    gc.disable()  # compilation makes millions of objects and hardly any garbage: a tenth of its time
    try:
        with _numba.core.event.install_listener("numba:compile", _listener(made, needed)):
            made.compile(signature)
    finally:
        if collecting:
            gc.enable()
    made.disable_compile()
    return made


def _need(function: Any, needed: list[Any]) -> None:
    """List the kernels that a function calls, callees before their callers."""
    for name in function.__code__.co_names:
        other = function.__globals__.get(name)
        if callable(other) and hasattr(other, "py_func") and other not in needed:
            _need(other.py_func, needed)
            needed.append(other)


def _with_digest(function: Any, needed: list[Any]) -> Any:
    """The same function closed over a digest of all sources, which the cache then takes into its key.

    Of itself the cache looks only at the file in which the function stands.
    """
    files = {each.py_func.__code__.co_filename for each in needed}
    seen = hashlib.sha256()
    for file in sorted({*files, __file__, _slots.__file__}):
        seen.update(Path(file).read_bytes())
    code = function.__code__
    code = code.replace(co_freevars=(*code.co_freevars, "sources"))
    return FunctionType(code, function.__globals__, function.__name__, None, (CellType(seen.hexdigest()),))


def _listener(entry: Any, needed: list[Any]) -> Any:
    """What compiles the needed kernels when the entry turns out not to be on disk."""

    class Needs(_numba.core.event.Listener):  # type: ignore[misc]
        def on_start(self, event: Any) -> None:
            if event.data["dispatcher"] is not entry:
                return
            for number, each in enumerate(needed):
                _tell(entry, number, len(needed))
                if each in _signatures:
                    each.compile(_signatures.pop(each))
                    each.disable_compile()
            _tell(entry, len(needed), len(needed))

        def on_end(self, event: Any) -> None:
            if event.data["dispatcher"] is entry:
                _tell(entry, -1, 0)

    return Needs()


def _tell(entry: Any, done: int, total: int) -> None:
    """Say on a terminal how far compilation is; wipe the line in the end."""
    if sys.stderr is not None and sys.stderr.isatty():
        what = "solver" if entry.py_func.__name__ == "work" else "events"
        text = f"\rPreparing the simulator, once after installation: {what}, {done} of {total} "
        sys.stderr.write("\r\033[K" if done < 0 else text)
        sys.stderr.flush()


def place(array: Any) -> Any:
    """Where an array's data lie: an address when compiled, the array itself in plain Python."""
    return array.ctypes.data if COMPILED else array


def ints_at(where: Any) -> Any:
    """The pointer to integers that a kernel takes, from their :func:`place`."""
    return where


def floats_at(where: Any) -> Any:
    """The pointer to numbers that a kernel takes, from their :func:`place`."""
    return where


def call(where: int, I: Any, F: Any, job: int, x: float, y: float) -> float:  # noqa: E741
    """Call the reached function, by its address when compiled."""
    return float(_reached[where](I, F, job, x, y))


if COMPILED:
    from llvmlite import ir as _ir
    from numba import extending

    _extending: Any = extending

    def _points(kind: Any) -> Any:
        @_extending.intrinsic
        def at(typing, where):  # type: ignore[no-untyped-def]
            def generate(context, builder, signature, args):  # type: ignore[no-untyped-def]
                return builder.inttoptr(args[0], context.get_value_type(signature.return_type))

            return _numba.types.CPointer(kind)(_numba.int64), generate

        return at

    @_extending.intrinsic
    def _call(typing, where, I, F, job, x, y):  # type: ignore[no-untyped-def]  # noqa: E741
        def generate(context, builder, signature, args):  # type: ignore[no-untyped-def]
            kinds = [context.get_value_type(kind) for kind in signature.args[1:]]
            function = _ir.FunctionType(_ir.DoubleType(), kinds)
            return builder.call(builder.inttoptr(args[0], function.as_pointer()), args[1:])

        return _numba.float64(_numba.int64, I, F, _numba.int64, _numba.float64, _numba.float64), generate

    ints_at, floats_at, call = _points(_numba.int64), _points(_numba.float64), _call
