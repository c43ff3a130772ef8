"""A lesson's own part types: the same schema as the catalogue, with errors an author can act on."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.parts._catalogue import Catalogue, merge
from buildalong.parts._schema import PartType

__all__ = ["load_part"]

_MOST_FINDINGS = 10


def load_part(data: Mapping[str, Any], catalogue: Catalogue, identity: str) -> PartType:
    """Build a part type from the table of a lesson's ``parts/<identity>.toml``.

    ``family = "led"`` takes over everything the family shares, ``like = "led-red"`` everything of one
    type; what the table says itself wins.  Raises Unreadable, whose findings keep the path of the
    faulty field in ``about`` (identity first).
    """
    own = dict(data)
    base: Mapping[str, Any] = {}
    like, family = own.pop("like", None), own.get("family")
    if like is not None:
        base = {**_base(like, "like", list(catalogue), catalogue.type_data, identity), "aliases": []}
    elif family is not None:
        base = _base(family, "family", list(catalogue.families), catalogue.family_data, identity)
    else:
        raise Unreadable(
            Finding(
                Severity.FATAL,
                "part-without-family",
                f"the part '{identity}' names no family, so nothing says how it behaves",
                f'add family = "..." ({", ".join(catalogue.families)}) or like = "<a part of the catalogue>"',
                about=(identity,),
            )
        )
    own.pop("id", None)
    try:
        return PartType.model_validate({**merge(base, own), "id": identity})
    except ValidationError as error:
        details = error.errors(include_url=False, include_context=False)[:_MOST_FINDINGS]
        raise Unreadable(*(_finding(detail, identity) for detail in details)) from None


def _base(name: object, key: str, known: list[str], data_of: Any, identity: str) -> Mapping[str, Any]:
    data = data_of(name) if isinstance(name, str) else None
    if data is None:
        close = difflib.get_close_matches(str(name), known, n=1)
        raise Unreadable(
            Finding(
                Severity.FATAL,
                "part-unknown",
                f"the part '{identity}' says {key} = {str(name)[:40]!r}, which is not in the catalogue",
                f"did you mean '{close[0]}'?" if close else f"known are {', '.join(known)}",
                about=(identity, key),
            )
        )
    return dict(data)


def _finding(detail: ErrorDetails, identity: str) -> Finding:
    path = tuple(str(step) for step in detail["loc"])
    field = ".".join(path) or "the table"
    message = detail["msg"].removeprefix("Value error, ")
    hint = ""
    if detail["type"] == "extra_forbidden":
        legal = _fields_at(path[:-1])
        close = difflib.get_close_matches(path[-1], legal, n=1)
        message = "there is no such field"
        hint = f"did you mean '{close[0]}'?" if close else f"legal are {', '.join(legal)}"
    elif detail["type"] == "missing":
        message = "this field is needed and missing"
        hint = f"add {path[-1]} = ..." if path else ""
    return Finding(
        Severity.FATAL,
        "part-unreadable",
        f"part '{identity}', field {field}: {message}",
        hint or "compare with the catalogue reference, which lists every field of every part",
        about=(identity, *path),
    )


def _fields_at(path: tuple[str, ...]) -> list[str]:
    """Names of the legal fields of the table at a path of the schema."""
    schema = PartType.model_json_schema()
    here: Any = schema
    for step in path:
        if "properties" in here:
            here = here["properties"].get(step, {})
        elif step.isdigit():
            here = here.get("items", {})
        else:
            here = here.get("additionalProperties", {})
        if "anyOf" in here:
            here = here["anyOf"][0]
        if "$ref" in here:
            here = schema["$defs"][here["$ref"].rsplit("/", 1)[-1]]
    return list(here.get("properties", {}))
