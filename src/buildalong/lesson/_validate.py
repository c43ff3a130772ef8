"""Checking values against a pydantic schema: every fault becomes a Finding with its place, all at once."""

from __future__ import annotations

import difflib
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._positions import Positions

__all__ = ["MAX_FAULTS", "nearest", "validate"]

MAX_FAULTS = 50
"""Most faults of one file that are told; more help nobody."""

Model = TypeVar("Model", bound=BaseModel)
_TYPES = {
    "string_type": "a text in quotes",
    "list_type": "a list in square brackets",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "literal_error": "one of the words",
}


def nearest(word: str, known: list[str] | tuple[str, ...]) -> str:
    """The known word most like ``word``, or "" where none is near."""
    found = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    if not found:
        lower = {name.lower(): name for name in known}
        return lower.get(word.lower(), "")
    return found[0]


def validate(
    model: type[Model], values: Any, places: Positions, at: tuple[str | int, ...] = ()
) -> tuple[Model | None, list[Finding]]:
    """Validate; give the model or None, and every fault as a Finding at its line and column."""
    try:
        return model.model_validate(values), []
    except ValidationError as error:
        found: list[Finding] = []
        seen: set[tuple[Place | None, str, str]] = set()
        for fault in error.errors(include_url=False, include_context=True):
            finding = _finding(model, fault, places, at)
            # The branches of a union ("a list or a table") tell the same fault twice.
            key = (finding.place, finding.code, "" if finding.code == "wrong-type" else finding.message)
            if key not in seen:
                seen.add(key)
                found.append(finding)
            if len(found) >= MAX_FAULTS:
                break
        return None, found


def _finding(
    model: type[BaseModel], fault: ErrorDetails, places: Positions, at: tuple[str | int, ...]
) -> Finding:
    kind = fault["type"]
    # Steps of a union ("list[...]", "SupplyTable") are not steps of the author's path.
    path = (*at, *(step for step in fault["loc"] if isinstance(step, int) or _is_key(str(step))))
    name = ".".join(str(step) for step in path)
    if kind == "extra_forbidden":
        known = _keys_at(model, fault["loc"][:-1])
        near = nearest(str(path[-1]), known)
        hint = f"did you mean '{near}'?" if near else f"keys known here: {', '.join(known)}"
        return Finding(
            Severity.ERROR, "unknown-key", f"the key '{path[-1]}' is not known here", hint, places.key(*path)
        )
    if kind == "missing":
        parent = path[:-1]
        where = f" in [{'.'.join(str(p) for p in parent)}]" if parent else ""
        place = places.key(*parent) if parent else Place(places.file, 1, 1)
        hint = f"add {path[-1]}: {_describe(model, fault['loc'])}"
        return Finding(Severity.ERROR, "missing-key", f"the key '{path[-1]}' is missing{where}", hint, place)
    if kind in _TYPES:
        expected = fault.get("ctx", {}).get("expected")
        wanted = f"{_TYPES[kind]}: {expected}" if expected else _TYPES[kind]
        return Finding(
            Severity.ERROR,
            "wrong-type",
            f"'{name}' should be {wanted}",
            _describe(model, fault["loc"]),
            places.value(*path),
        )
    if kind in ("too_long", "string_too_long"):
        limit = fault.get("ctx", {}).get("max_length", "?")
        what = "entries" if kind == "too_long" else "characters"
        code = "too-many" if kind == "too_long" else "text-too-long"
        return Finding(
            Severity.ERROR,
            code,
            f"'{name}' has more than {limit} {what}",
            "make it shorter",
            places.value(*path),
        )
    if kind == "value_error":
        message = str(fault.get("ctx", {}).get("error", fault["msg"]))
        sub = message.split(":", 1)[0]
        place = places.value(*path, sub) if ":" in message else places.value(*path)
        return Finding(Severity.ERROR, "wrong-value", message, "", place)
    return Finding(
        Severity.ERROR,
        "wrong-value",
        f"'{name}' cannot be used: {fault['msg'][:1].lower()}{fault['msg'][1:]}",
        _describe(model, fault["loc"]),
        places.value(*path),
    )


def _is_key(step: str) -> bool:
    return (
        "[" not in step and not step.endswith("Table") and step not in ("str", "function-before", "nullable")
    )


def _model_at(model: type[BaseModel], location: tuple[int | str, ...]) -> type[BaseModel] | None:
    current: type[BaseModel] | None = model
    for step in location:
        if current is None or isinstance(step, int):
            continue
        field = next((f for n, f in current.model_fields.items() if step in (n, f.alias)), None)
        if field is None:
            continue
        found = _models_in(field.annotation)
        current = found[0] if found else current
    return current


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [m for arg in getattr(annotation, "__args__", ()) for m in _models_in(arg)]


def _keys_at(model: type[BaseModel], location: tuple[int | str, ...]) -> list[str]:
    found = _model_at(model, location)
    return [f.alias or n for n, f in found.model_fields.items()] if found else []


def _describe(model: type[BaseModel], location: tuple[int | str, ...]) -> str:
    parent = _model_at(model, location[:-1])
    if parent is None or not location:
        return ""
    for n, f in parent.model_fields.items():
        if location[-1] in (n, f.alias):
            return f.description or ""
    return ""
