"""Packages whose modules are loaded when something of them is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import Any

__all__ = ["lazily"]


def lazily(package: str, homes: Mapping[str, Sequence[str]]) -> Callable[[str], Any]:
    """The ``__getattr__`` of a package (PEP 562): ``homes`` tells which module has which names.

    It raises AttributeError for a name that no module has.
    """
    home_of = {name: module for module, names in homes.items() for name in names}

    def found(name: str) -> Any:
        if name not in home_of:
            raise AttributeError(f"module '{package}' has no attribute '{name}'")
        return getattr(import_module(f"{package}.{home_of[name]}"), name)

    return found
