"""All last steps on a layout, one after the other until nothing changes, and on others' places."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from buildalong.board import Layout
from buildalong.build.dress import dressed
from buildalong.build.place._count import railed_at_most
from buildalong.build.place._ground import EDGE
from buildalong.build.place._last import Ask, better
from buildalong.build.place._last_bypass import bypasses_moved
from buildalong.build.place._last_ends import wire_ends_moved
from buildalong.build.place._last_leads import supply_leads_moved
from buildalong.build.place._last_parts import parts_moved
from buildalong.build.place._result import Placement, railed
from buildalong.build.place._score import Score
from buildalong.build.place._verify import verify
from buildalong.finding import Severity

__all__ = ["as_formed", "tidied", "tidiest"]

FEW = 2
"""Layouts that are tidied, those first that promise most."""
SHINING = 3.0
"""How often "own light" counts in that choice: a lamp that shines on its own sensor is more than untidy."""


def tidied(ask: Ask, layout: Layout) -> Layout:
    """The layout after all last steps, its flexible wires dressed."""
    before, layout = None, dressed(ask.circuit, layout)
    while layout != before:  # ends: each time the check finds less, or as much and the score falls
        before = layout
        for step in (wire_ends_moved, supply_leads_moved, bypasses_moved, parts_moved):
            layout = step(ask, layout)
    again = dressed(ask.circuit, layout)
    return again if better(ask, again, layout) else layout


def tidiest(ask: Ask, found: Placement, layouts: Iterable[Layout]) -> Placement:
    """A placement with flexible wires, tidied, or another layout where that is tidier with no more wires.

    The search weighs flexible wires as straight ones, so that what it finds second best may be better to lead
    them in; all are dressed and weighed, and the first few tidied.
    """
    seen: list[Layout] = []
    for layout in (found.layout, *layouts):
        if layout not in seen and len(layout.wires) <= found.wire_count:
            seen.append(layout)
    seen = [dressed(ask.circuit, layout) for layout in seen]
    found = _with(ask, found, seen[0])
    for layout in sorted(seen, key=lambda layout: _untidy(ask.weighed(layout)))[:FEW]:
        found = _tidier(ask, found, tidied(ask, layout))
    return found


def as_formed(ask: Ask, flexible: Placement, formed: Placement) -> Placement:
    """A placement with flexible wires, or, where that is tidier, as many in the places of a formed one.

    Formed wires keep off what stands, so that there is often an easy way to lead flexible ones around it.
    """
    if formed.findings or flexible.findings or formed.wire_count > flexible.wire_count:
        return flexible
    wires = tuple(
        wire if ask.stays(wire) else replace(wire, style="flexible", path=()) for wire in formed.layout.wires
    )
    return _tidier(ask, flexible, tidied(ask, replace(formed.layout, wires=wires)))


def _untidy(score: Score) -> float:
    """What decides between layouts of as many wires; less is better."""
    return score.total + (SHINING - 1) * sum(term.cost for term in score.terms if term.name == "own light")


def _tidier(ask: Ask, old: Placement, layout: Layout) -> Placement:
    if _untidy(ask.weighed(layout)) >= _untidy(old.score) - EDGE:
        return old
    other_way = railed(ask.circuit, layout) != railed(ask.circuit, old.layout)
    if other_way and railed_at_most(old.lower_bound) > old.lower_bound:  # of few wires both have one bound
        return old
    wrong = any(finding.severity >= Severity.ERROR for finding in verify(ask.circuit, layout))
    return old if wrong else _with(ask, old, layout)


def _with(ask: Ask, old: Placement, layout: Layout) -> Placement:
    count = len(layout.wires)
    proved = old.lower_bound == count and not (ask.fixed and ask.fixed.wires)
    return replace(old, layout=layout, wire_count=count, proved=proved, score=ask.weighed(layout))
