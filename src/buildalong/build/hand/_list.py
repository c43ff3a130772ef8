"""A build list: parts and wires in the order of building, each with its place in the author's file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from buildalong.board import Layout
from buildalong.finding import Finding, Place

__all__ = ["BuildList", "ListStep"]


@dataclass(frozen=True)
class ListStep:
    """One line of the list: what goes on the board at once, or a test.

    ``parts``: ids; ``wires``: indices into the wires of the list's layout; ``test``: None, or the
    name of a trial ("" for the first); ``why``: the author's reason.
    """

    parts: tuple[str, ...] = ()
    wires: tuple[int, ...] = ()
    test: str | None = None
    why: str = ""
    place: Place | None = None


@dataclass(frozen=True)
class BuildList:
    """What an author's list says.  ``layout`` is None where a finding is an error.

    ``places``: "R1" or "wire 3" (numbered as in ``layout``) -> where it stands; ``words``: the same
    with a hole, "R1 a5", -> where the hole stands.
    """

    layout: Layout | None
    steps: tuple[ListStep, ...]
    findings: tuple[Finding, ...] = ()
    places: Mapping[str, Place] = field(default_factory=dict)

    def place_of(self, about: tuple[str, ...]) -> Place | None:
        """Where in the list the first thing stands that a finding is about; a hole before its part."""
        for name in about:
            for hole in about:
                if (found := self.places.get(f"{name} {hole}")) is not None:
                    return found
        return next((self.places[name] for name in about if name in self.places), None)

    def locate(self, findings: list[Finding] | tuple[Finding, ...]) -> list[Finding]:
        """The findings, each at its place in the list where it has none."""
        return [finding.at(self.place_of(finding.about)) for finding in findings]
