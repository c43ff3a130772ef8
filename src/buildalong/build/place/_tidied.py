"""All last steps on a layout, one after the other until nothing changes; and the same on another's places."""

from __future__ import annotations

from dataclasses import replace

from buildalong.board import Layout
from buildalong.build.dress import dressed
from buildalong.build.place._ground import EDGE
from buildalong.build.place._last import Ask
from buildalong.build.place._last_bypass import bypasses_moved
from buildalong.build.place._last_ends import wire_ends_moved
from buildalong.build.place._last_leads import supply_leads_moved
from buildalong.build.place._result import Placement, railed
from buildalong.build.place._verify import verify
from buildalong.finding import Severity

__all__ = ["as_formed", "tidied"]


def tidied(ask: Ask, layout: Layout) -> Layout:
    """The layout after all last steps, its flexible wires dressed."""
    before, layout = None, dressed(ask.circuit, layout)
    while layout != before:  # ends: each time the check finds less, or as much and the score falls
        before, layout = layout, bypasses_moved(ask, supply_leads_moved(ask, wire_ends_moved(ask, layout)))
    return dressed(ask.circuit, layout)


def as_formed(ask: Ask, flexible: Placement, formed: Placement) -> Placement:
    """A placement with flexible wires, or, where that is tidier, as many in the places of a formed one.

    The search weighs flexible wires as straight ones; formed ones keep off what stands, so that there is
    often an easier way to lead wires around it.
    """
    wires = tuple(
        wire if ask.stays(wire) else replace(wire, style="flexible", path=()) for wire in formed.layout.wires
    )
    if formed.findings or flexible.findings or len(wires) > flexible.wire_count:
        return flexible
    layout = tidied(ask, replace(formed.layout, wires=wires))
    tidier = ask.weighed(layout).total < flexible.score.total - EDGE
    alike = railed(ask.circuit, layout) == railed(ask.circuit, flexible.layout)  # the bound depends on it
    wrong = any(finding.severity >= Severity.ERROR for finding in verify(ask.circuit, layout))
    if wrong or not (tidier and alike):
        return flexible
    count = len(layout.wires)
    proved = flexible.lower_bound == count and not (ask.fixed and ask.fixed.wires)
    return replace(flexible, layout=layout, wire_count=count, proved=proved, score=ask.weighed(layout))
