"""Finding: one thing that needs attention, with its place and its cure.

Every check in every module returns findings; terminal, JSON, and article show the same ones.
Input that cannot be read at all is raised as :class:`Unreadable`, which carries a finding.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum

__all__ = ["Finding", "Place", "Severity", "Unreadable", "by_severity"]


class Severity(IntEnum):
    """How bad a finding is; the order is the order of attention."""

    NOTE = 0
    WARNING = 1
    ERROR = 2
    FATAL = 3
    """The input could not be read or understood at all (exit code 2)."""


@dataclass(frozen=True, slots=True)
class Place:
    """A position in one of the author's files; ``line`` and ``column`` count from 1, 0 = unknown."""

    file: str = ""
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """Give ``file:line:column`` without the parts that are unknown."""
        bits = [self.file or "?"]
        if self.line:
            bits.append(str(self.line))
            if self.column:
                bits.append(str(self.column))
        return ":".join(bits)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that needs attention.

    ``code`` is a stable kebab-case name ("value-out-of-range"); ``message`` says what is wrong and
    what was expected; ``hint`` says how to mend it; ``about`` names what it concerns inside the
    circuit (a part, a net, a hole, a step), so that a caller may add the file position later.
    """

    severity: Severity
    code: str
    message: str
    hint: str = ""
    place: Place | None = None
    about: tuple[str, ...] = ()

    def at(self, place: Place | None) -> Finding:
        """Return the same finding with a position, unless it already has one."""
        return self if place is None or self.place is not None else replace(self, place=place)


class Unreadable(ValueError):
    """Input that cannot be read or understood at all; ``findings`` say why and where."""

    def __init__(self, *findings: Finding) -> None:
        self.findings = findings
        super().__init__("; ".join(f.message for f in findings))


def by_severity(findings: list[Finding]) -> list[Finding]:
    """Sort findings, worst first, then by position, keeping the given order among equals."""
    return sorted(
        findings,
        key=lambda f: (
            -f.severity,
            (f.place.file, f.place.line, f.place.column) if f.place else ("", 0, 0),
        ),
    )
