"""The lesson's own part types: parts/*.toml in the form of the catalogue."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from buildalong.finding import Finding, Place, Severity, Unreadable
from buildalong.lesson._folder import Folder
from buildalong.lesson._toml import read_toml
from buildalong.parts import Catalogue, PartType, load_part, spoken_texts

__all__ = ["MAX_OWN", "OwnParts", "own_parts"]

MAX_OWN = 40
"""Most part types that a lesson brings along."""


@dataclass(slots=True)
class OwnParts:
    """Part types, their words for a reader with places, those that are wrong, why, and what is fatal."""

    types: dict[str, PartType] = field(default_factory=dict)
    words: list[tuple[str, Place]] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)
    findings: list[Finding] = field(default_factory=list)
    fatal: list[Finding] = field(default_factory=list)


def own_parts(folder: Folder, known: Catalogue) -> OwnParts:
    """Read the lesson's own part types.

    A part type that does not fit the schema is a finding, and the rest of the lesson is still read.
    """
    own = OwnParts()
    try:
        names = folder.files("parts", ".toml")
    except Unreadable as error:
        return OwnParts(fatal=list(error.findings))
    for name in names[:MAX_OWN]:
        try:
            document = read_toml(folder.text(name), folder.shown(name))
        except Unreadable as error:
            own.fatal.extend(error.findings)
            continue
        identity = name.rsplit("/", 1)[1].removesuffix(".toml")
        try:
            own.types[identity] = load_part(document.values, known, identity)
        except Unreadable as error:
            own.broken.add(identity)
            for fault in error.findings:
                fault = _of_the_lesson(fault, document.values, names)
                unknown = fault.message.endswith("no such field")
                find = document.places.key if unknown else document.places.value
                place = find(*fault.about[1:])
                own.findings.append(replace(fault, severity=Severity.ERROR, place=place))
        own.words += [(text, document.places.value(*path)) for path, text in spoken_texts(document.values)]
    if len(names) > MAX_OWN:
        own.findings.append(
            Finding(
                Severity.ERROR,
                "too-many-parts",
                f"the lesson brings {len(names)} part types; at most {MAX_OWN} are read",
                "take out those that the lesson does not use",
            )
        )
    return own


def _of_the_lesson(fault: Finding, values: Mapping[str, Any], names: Sequence[str]) -> Finding:
    """The fault as it is, but where the part builds on another one of the lesson's own."""
    base = values.get("like")
    if fault.code != "part-unknown" or f"parts/{base}.toml" not in names:
        return fault
    message = f"the part '{fault.about[0]}' builds on '{base}', which is itself a part of this lesson"
    hint = "build each part of your own on one of the catalogue"
    return replace(fault, code="part-on-part", message=message, hint=hint)
