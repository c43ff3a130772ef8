"""What one type of a family says of its own levels, put into the state tables that the family shares."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["with_levels"]

_OWN = {"level", "back"}


def with_levels(data: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a part type with the figures of its ``[model.levels]`` in its watchers.

    ``model.levels.NAME`` gives ``level`` and ``back`` of the watchers called NAME, each whole; the table
    itself goes.  Raises ValueError for a name that no watcher has, and for anything else in it.
    """
    model = data.get("model")
    levels = model.get("levels") if isinstance(model, Mapping) else None
    if not isinstance(model, Mapping) or not isinstance(levels, Mapping):
        return dict(data)
    for name, own in levels.items():
        if not isinstance(own, Mapping) or not set(own) <= _OWN:
            raise ValueError(f"model.levels.{name} may have level and back only")
    cells = [_with(levels, cell) for cell in _tables(model.get("cells"))]
    known = {watcher.get("name") for cell in cells for watcher in cell["watchers"]}
    if not set(levels) <= known:
        unknown = ", ".join(sorted(str(name) for name in set(levels) - known))
        raise ValueError(f"model.levels names {unknown}, and no watcher of the model is called so")
    rest = {key: value for key, value in model.items() if key != "levels"}
    return {**data, "model": {**rest, "cells": cells}}


def _with(levels: Mapping[str, Any], cell: Mapping[str, Any]) -> dict[str, Any]:
    watchers = _tables(cell.get("watchers"))
    return {**cell, "watchers": [{**each, **levels.get(str(each.get("name")), {})} for each in watchers]}


def _tables(value: object) -> list[Mapping[str, Any]]:
    """The tables of a list; nothing where it is no list of them (the engine's schema then says so)."""
    return [each for each in value if isinstance(each, Mapping)] if isinstance(value, list | tuple) else []
