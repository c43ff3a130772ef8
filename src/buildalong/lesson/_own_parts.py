"""The lesson's own part types: parts/*.toml in the form of the catalogue."""

from __future__ import annotations

from dataclasses import replace

from buildalong.finding import Finding, Severity, Unreadable
from buildalong.lesson._folder import Folder
from buildalong.lesson._toml import read_toml
from buildalong.parts import Catalogue, PartType, load_part

__all__ = ["MAX_OWN", "own_parts"]

MAX_OWN = 40
"""Most part types that a lesson brings along."""


def own_parts(folder: Folder, known: Catalogue) -> tuple[dict[str, PartType], list[Finding], list[Finding]]:
    """Read the lesson's own part types: (types by id, findings, findings that make the lesson unreadable).

    A part type that does not fit the schema is a finding, and the rest of the lesson is still read.
    """
    types: dict[str, PartType] = {}
    found: list[Finding] = []
    fatal: list[Finding] = []
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
        identity = name.rsplit("/", 1)[1].removesuffix(".toml")
        try:
            types[identity] = load_part(document.values, known, identity)
        except Unreadable as error:
            for fault in error.findings:
                unknown = fault.message.endswith("no such field")
                find = document.places.key if unknown else document.places.value
                place = find(*fault.about[1:])
                found.append(replace(fault, severity=Severity.ERROR, place=place))
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
