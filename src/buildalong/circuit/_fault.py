"""The short way to say that something in a circuit is wrong."""

from __future__ import annotations

from buildalong.finding import Finding, Severity

__all__ = ["fault"]


def fault(code: str, message: str, hint: str, *about: str) -> Finding:
    """Make a finding of severity ERROR about a part, its field and what stands there."""
    return Finding(Severity.ERROR, code, message, hint, about=about)
