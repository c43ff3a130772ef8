"""The fault finder that asks: the plan's tree as data for a page that puts one question at a time."""

from __future__ import annotations

from buildalong.guide import Guide, flows_of
from buildalong.lesson import Compiled
from buildalong.publish._metadata import data_of
from buildalong.publish._variant import Variant
from buildalong.trace import build_order, make_plan

__all__ = ["finder_data"]

MOST_ROWS = 400
"""Questions of all symptoms together; less likely symptoms beyond that are left out."""


def finder_data(compiled: Compiled, guide: Guide, variant: Variant) -> str:
    """Each symptom with its cautions and questions as JSON; "" where there is nothing to ask.

    A question is its words and its answers: (what is seen, number of the next question or 0, the cause).
    """
    plan = make_plan(guide.lab, build_order(compiled.steps))
    flows = flows_of(plan, {outcome.mistake.id: outcome for outcome in guide.lab.outcomes})
    shown: list[dict[str, object]] = []
    rows = 0
    for flow in flows:
        rows += len(flow.rows)
        if rows > MOST_ROWS:
            break
        shown.append(
            {
                "title": flow.title,
                "cautions": flow.cautions,
                "causes": variant.words(flow.causes),
                "rows": [
                    [
                        variant.words(row.reading.text),
                        [
                            [variant.words(seen), number, variant.words(cause)]
                            for seen, number, cause in row.answers
                        ],
                    ]
                    for row in flow.rows
                ],
            }
        )
    return data_of(shown) if shown else ""
