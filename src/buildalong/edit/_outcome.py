"""What comes of an edit."""

from __future__ import annotations

from dataclasses import dataclass, field

from buildalong.edit._change import Change
from buildalong.edit._editing import Editing
from buildalong.finding import Finding

__all__ = ["Outcome"]


@dataclass(frozen=True)
class Outcome:
    """What came of an edit.

    ``ok``: it was accepted; ``editing``: the lesson after it, or as it was; ``says``: what was done;
    ``findings``: why it was refused, or what to know of it; ``changes``: what became of the texts.
    """

    editing: Editing
    ok: bool
    says: str = ""
    findings: tuple[Finding, ...] = ()
    changes: tuple[Change, ...] = field(default=(), repr=False)
