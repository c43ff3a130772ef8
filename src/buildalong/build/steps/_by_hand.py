"""An author's own order of steps: kept as it is, with what fingers and learners would say to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from buildalong.board import Layout
from buildalong.build.hand import ListStep
from buildalong.build.steps._cost import Cost
from buildalong.build.steps._order import kind_of
from buildalong.build.steps._plan import best_plan, completed, order_cost, with_sights
from buildalong.build.steps._see import sight_words
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity
from buildalong.words import capital

if TYPE_CHECKING:
    from buildalong.engine import Trial

__all__ = ["order_findings"]

_MUCH = 1.15
"""So many times the cost of the best order found an order is told to be worse."""


def order_findings(
    circuit: Circuit, layout: Layout, order: Sequence[ListStep], trials: Sequence[Trial] = ()
) -> list[Finding]:
    """Say where an author's order makes the work hard, each at the place of its line.

    Warnings: the supply is on while there is more to do; a jumper lead lies over a hole that is needed
    later; a test shows nothing that is sure.  Notes: something tall stands in the way; the order as a
    whole beside the best that is found, by ORDER_WEIGHTS.
    """
    things = [step for step in order if step.parts or step.wires]
    out = [*_supply(circuit, things), *_in_the_way(circuit, layout, things)]
    shown = with_sights(circuit, layout, completed(circuit, layout, order), trials)
    kept = {step.place for number, step in enumerate(shown.steps) if step.test is not None}
    for step in order if trials else ():
        if step.test is not None and step.place not in kept:
            out.append(
                Finding(
                    Severity.WARNING,
                    "test-shows-nothing",
                    "At this test nothing new can be seen for sure on the board as it then is.",
                    "Put it after the parts that make something light up, or take it out.",
                    step.place,
                )
            )
    mine = order_cost(circuit, layout, shown.steps)
    best = best_plan(circuit, layout, trials)
    least = order_cost(circuit, layout, best.steps)
    if mine > _MUCH * least:
        tests = [number for number, step in enumerate(best.steps) if step.test is not None]
        seen = sight_words(circuit, best.sights[tests[0]]) if tests and tests[0] in best.sights else ""
        after = f"; it can be tried after {tests[0]} steps: {seen}" if seen else ""
        out.append(
            Finding(
                Severity.NOTE,
                "order-could-be-easier",
                f"This order costs {mine:.0f} by the weights of docs/build-list.md, the best that was found"
                f" {least:.0f}{after}",
                'See it with order = "best"; keep yours where it explains better.',
                next((step.place for step in things), None),
            )
        )
    return out


def _supply(circuit: Circuit, things: Sequence[ListStep]) -> list[Finding]:
    for number, step in enumerate(things):
        left = len(things) - number - 1
        for name in step.parts:
            if left and kind_of(circuit.by_id[name]) == "supply":
                more = "one more thing comes" if left == 1 else f"{left} more things come"
                return [
                    Finding(
                        Severity.WARNING,
                        "supply-before-the-end",
                        f"{name} is connected while {more} after it.",
                        "Connect the supply last; a line 'test' switches it on for a moment.",
                        step.place,
                        (name,),
                    )
                ]
    return []


def _all_supply(circuit: Circuit, step: ListStep) -> bool:
    """Whether a step puts down the supply alone, which goes last whatever stands beside its holes."""
    return bool(step.parts) and all(kind_of(circuit.by_id[name]) == "supply" for name in step.parts)


def _in_the_way(circuit: Circuit, layout: Layout, things: Sequence[ListStep]) -> list[Finding]:
    cost = Cost(circuit, layout, things)
    out = []
    for later, step in enumerate(things):
        for first in range(later):
            name = _name(things[first])
            if cost.covers(first, later):
                message = f"{_start(_name(step))} goes in under {name}, which is there already."
                hint = "Put the jumper lead in afterwards."
                out.append(Finding(Severity.WARNING, "covered", message, hint, step.place, step.parts))
            elif cost.reaches(first, later) and not _all_supply(circuit, step):
                message = f"{_start(name)} stands taller beside the holes of {_name(step)}, which come later."
                hint = "Put in flat things before tall ones."
                out.append(Finding(Severity.NOTE, "hard-to-reach", message, hint, step.place, step.parts))
    return out


def _name(step: ListStep) -> str:
    return " and ".join(step.parts) if step.parts else f"wire {step.wires[0] + 1}"


def _start(words: str) -> str:
    return capital(words)
