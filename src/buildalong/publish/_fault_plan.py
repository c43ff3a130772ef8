"""The teacher's fault-finding plan: where mistakes hurt most, and a search for each symptom."""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.guide import Flow, Guide, Row, flows_of
from buildalong.lesson import Compiled
from buildalong.publish import _fault_words as words
from buildalong.publish._variant import Variant
from buildalong.quantity import format_quantity
from buildalong.trace import build_order, make_plan
from buildalong.words import numeral, said, say

__all__ = ["fault_plan"]

WORST = 10
"""Steps listed by how bad their likely mistakes are."""


def fault_plan(compiled: Compiled, guide: Guide, variant: Variant) -> dict[str, object]:
    """The plan of a lesson as plain values."""
    plan = make_plan(guide.lab, build_order(compiled.steps))
    by_id = {outcome.mistake.id: outcome for outcome in guide.lab.outcomes}
    flows = flows_of(plan, by_id)
    return {
        "words": said(words.PLAN),
        "expected": say(
            words.PLAN_EXPECTED,
            plan=numeral(f"{plan.readings:.1f}"),
            order=numeral(f"{plan.in_build_order:.1f}"),
        ),
        "meter": say(words.METER),
        "steps": _steps(compiled, guide, variant),
        "flows": [_flow(flow, variant) for flow in flows],
    }


def _steps(compiled: Compiled, guide: Guide, variant: Variant) -> list[list[str]]:
    """The worst steps: number, title, points, what may come of it."""
    rows = []
    for step, points in guide.worst_steps(compiled.steps)[:WORST]:
        dangers = [c.danger for c in guide.cautions if c.step == step.number]
        rows.append((points, step.number, variant.step(step).title, dangers))
    return [
        [
            str(number),
            title,
            numeral(f"{points:.1f}"),
            ", ".join(say(words.DANGERS[name]) for name in dict.fromkeys(dangers)),
        ]
        for points, number, title, dangers in rows
    ]


def _flow(flow: Flow, variant: Variant) -> Mapping[str, object]:
    return {
        "title": flow.title,
        "share": format_quantity(flow.share, "%", 2),
        "readings": numeral(f"{flow.readings:.1f}"),
        "cautions": list(flow.cautions),
        "causes": variant.words(flow.causes),
        "rows": [_row(row, variant) for row in flow.rows],
    }


def _row(row: Row, variant: Variant) -> Mapping[str, object]:
    then = [
        [variant.words(seen), say(words.GO_TO, number=number) if number else variant.words(cause)]
        for seen, number, cause in row.answers
    ]
    return {"number": row.number, "do": variant.words(row.reading.text), "then": then}
