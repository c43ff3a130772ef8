"""Products speak the language of the lesson they are made of."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from buildalong.lesson._lesson import Compiled

__all__ = ["in_its_language"]

P = ParamSpec("P")
R = TypeVar("R")


def in_its_language(make: Callable[Concatenate[Compiled, P], R]) -> Callable[Concatenate[Compiled, P], R]:
    """Let a function that makes something of a compiled lesson speak that lesson's language."""

    @wraps(make)
    def made(compiled: Compiled, /, *args: P.args, **kwargs: P.kwargs) -> R:
        with compiled.lesson.speaking():
            return make(compiled, *args, **kwargs)

    return made
