"""The lesson's own part types: parts/*.toml in the form of the catalogue."""

from __future__ import annotations

from typing import Any

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson._folder import Folder
from buildalong.lesson._toml import read_toml
from buildalong.lesson._validate import nearest, validate
from buildalong.parts import PartType, catalogue
from buildalong.parts._catalogue import merge

__all__ = ["MAX_OWN", "own_parts"]

MAX_OWN = 40
"""Most part types that a lesson brings along."""


def own_parts(folder: Folder) -> tuple[dict[str, PartType], list[Finding], list[Finding]]:
    """Read the lesson's own part types: (types by id, findings, fatal findings).

    A file names what it builds on: ``like = "led-red"`` (a type) or ``family = "led"``.
    """
    types: dict[str, PartType] = {}
    found: list[Finding] = []
    fatal: list[Finding] = []
    known = catalogue()
    try:
        names = folder.files("parts", ".toml")
    except Unreadable as error:
        return {}, [], list(error.findings)
    for name in names[:MAX_OWN]:
        try:
            document = read_toml(folder.text(name), folder.shown(name))
        except Unreadable as error:
            fatal.extend(error.findings)
            continue
        values = dict(document.values)
        identity = name.rsplit("/", 1)[1].removesuffix(".toml")
        like, family = values.pop("like", None), values.get("family")
        base: dict[str, Any] = {}
        if isinstance(like, str) and like in known:
            base = known[like].model_dump()
        elif like is not None:
            near = nearest(str(like), list(known))
            found.append(
                Finding(
                    Severity.ERROR,
                    "unknown-part",
                    f"there is no part '{like}' to build on",
                    f"did you mean '{near}'?" if near else "",
                    document.places.value("like"),
                )
            )
            continue
        elif isinstance(family, str):
            data = known.family_data(family)
            if data is None:
                families = sorted({kind.family for kind in known.values()})
                found.append(
                    Finding(
                        Severity.ERROR,
                        "unknown-family",
                        f"there is no family '{family}'",
                        f"the families are {', '.join(families)}",
                        document.places.value("family"),
                    )
                )
                continue
            base = dict(data)
        kind, faults = validate(PartType, merge(base, {"id": identity, **values}), document.places)
        found.extend(faults)
        if kind is not None:
            types[identity] = kind
    if len(names) > MAX_OWN:
        found.append(
            Finding(
                Severity.ERROR,
                "too-many-parts",
                f"the lesson brings {len(names)} part types; at most {MAX_OWN} are read",
                "take out those that the lesson does not use",
            )
        )
    return types, found, fatal
