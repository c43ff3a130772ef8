"""Check everything at once: what a fault spoils is set aside, and the rest is still read."""

from __future__ import annotations

import copy
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from buildalong.finding import Finding
from buildalong.lesson._positions import Positions
from buildalong.lesson._validate import validate

__all__ = ["salvage"]

Model = TypeVar("Model", bound=BaseModel)


def salvage(
    model: type[Model], values: dict[str, Any], places: Positions
) -> tuple[Model | None, list[Finding], bool]:
    """Validate; where it fails, drop the smallest pieces at fault and validate what is left.

    Gives (model or None, findings of the whole text, whether no part or supply was dropped).
    """
    table, found = validate(model, values, places)
    if table is not None:
        return table, [], True
    rest = copy.deepcopy(values)
    whole = True
    for _round in range(4):
        try:
            return model.model_validate(rest), found, whole
        except ValidationError as error:
            dropped = False
            faults = error.errors(include_url=False)
            for fault in sorted(faults, key=lambda f: [str(s).zfill(6) for s in f["loc"]], reverse=True):
                path = fault["loc"]
                if path and path[0] in ("parts", "supply"):
                    whole = whole and fault["type"] == "extra_forbidden"
                dropped = _drop(rest, path, fault["type"]) or dropped
            if not dropped:
                break
    return None, found, False


def _drop(values: dict[str, Any], path: tuple[int | str, ...], kind: str) -> bool:
    """Take out the key at fault, or the entry (part, trial, promise) that cannot do without it."""
    if not path:
        return False
    depth = {"parts": 2, "trial": 2, "promise": 2, "source": 2}.get(str(path[0]), 1)
    if kind == "extra_forbidden":
        depth = len(path)
    if kind == "missing" and len(path) == 1:
        return _stand_in(values, str(path[0]))
    node: Any = values
    for step in path[: depth - 1]:
        try:
            node = node[step]
        except (KeyError, IndexError, TypeError):
            return False
    last = path[min(depth, len(path)) - 1]
    try:
        del node[last]
    except (KeyError, IndexError, TypeError):
        return False
    return True


def _stand_in(values: dict[str, Any], key: str) -> bool:
    """Give a missing key of the lesson a value, so that the rest can still be checked."""
    values[key] = {"title": "untitled lesson", "supply": "4 x AA", "parts": {}}.get(key)
    return values[key] is not None
