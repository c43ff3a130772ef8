"""One step of a build."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from buildalong.board import Layout

__all__ = ["Kind", "Step"]

Kind = Literal["ic", "wire", "flat", "standing", "polarised", "off-board", "test", "check", "supply"]


@dataclass(frozen=True)
class Step:
    """What the learner does at once, and how to see that it is right.

    ``text`` says what to do; ``why`` what it is there for; ``check`` what to look at before going
    on; ``callout`` the warning about polarity or direction; each may be empty but ``text``.
    ``parts`` and ``wires`` (indices into the layout's wires) are what is new; ``before`` and
    ``after`` are the board without and with it.  A step of the kind "test" puts nothing down for
    good: ``after`` has the supply besides, the next step begins without it, and ``shows`` names the
    supply, what is pressed or turned, and the lights to look at.
    """

    number: int
    kind: Kind
    title: str
    text: str
    why: str
    check: str
    callout: str
    parts: tuple[str, ...]
    wires: tuple[int, ...]
    before: Layout
    after: Layout
    shows: tuple[str, ...] = ()
