"""The plain way: to check each part and wire in the order of building."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from buildalong.mistakes import Outcome, wire_name

if TYPE_CHECKING:
    from buildalong.build.steps import Step

__all__ = ["build_order", "readings_in_build_order"]


def build_order(steps: Iterable[Step]) -> tuple[str, ...]:
    """Parts and wires in the order in which the steps put them down: "R1", "wire 2"."""
    out: dict[str, None] = {}
    for step in steps:
        if step.kind != "test":
            out.update(dict.fromkeys(step.parts))
            out.update(dict.fromkeys(wire_name(index) for index in step.wires))
    return tuple(out)


def readings_in_build_order(outcome: Outcome, order: Sequence[str]) -> int:
    """How many things are checked until the mistake is met.

    One check of a thing is taken to find everything about it, also a loose contact or a spent battery: that
    is kinder to this way than to the plan.  The board's own rails come last.
    """
    places = [order.index(subject) + 1 for subject in outcome.mistake.subjects if subject in order]
    return min(places, default=len(order) + 1)
