"""The JSON documents of kit and worksheet, of the form described in docs/json.md."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, finding_object, number, quantity_object

if TYPE_CHECKING:
    from collections.abc import Sequence

    from buildalong.finding import Finding
    from buildalong.kit import Kit, Swap
    from buildalong.spread import Target
    from buildalong.worksheet import Sheet

__all__ = ["kit_document", "worksheet_document"]


def kit_document(
    kit: Kit, swaps: Sequence[tuple[Swap, Sequence[Target]]], faults: Sequence[Finding]
) -> dict[str, Any]:
    """Lines, bags, swaps, sums."""
    return {
        "schema": SCHEMA,
        "learners": kit.learners,
        "reused": kit.reused,
        "lines": [
            {
                "part": line.name, "family": line.family, "marking": line.mark, "each": dict(line.each),
                "for_one": line.for_one, "needed": line.needed, "spares": line.spares, "there": line.there,
                "to_buy": line.to_buy, "packs": line.packs, "pack": line.pack, "price": line.price,
                "outlay": None if line.outlay is None else number(line.outlay), "where": line.where,
            }
            for line in kit.lines
        ],
        "bags": [
            {"lesson": bag.lesson, "items": [{"count": n, "part": line.name} for n, line in bag.items]}
            for bag in kit.bags
        ],
        "swaps": [
            {
                "lesson": swap.lesson, "part": swap.part.id, "instead": swap.instead, "kept": swap.kept,
                "warning": swap.warning,
                "measures": {str(t): number(v) for t, v in zip(targets, swap.measures, strict=True)},
            }
            for swap, targets in swaps
        ],
        "cost_for_one": None if kit.cost_for_one is None else number(kit.cost_for_one),
        "outlay": None if kit.outlay is None else number(kit.outlay),
        "findings": [finding_object(fault) for fault in faults],
    }  # fmt: skip


def worksheet_document(sheets: Sequence[Sheet], seed: int, findings: Sequence[Finding]) -> dict[str, Any]:
    """Every sheet with its values, questions and answers."""
    return {
        "schema": SCHEMA,
        "seed": seed,
        "sheets": [
            {
                "number": sheet.number,
                "values": dict(sheet.values),
                "questions": [
                    {
                        "kind": q.kind, "text": q.text, "answer": q.answer, "working": list(q.working),
                        "number": None if q.number is None else quantity_object(q.number),
                        "accept": q.accept,
                    }
                    for q in sheet.questions
                ],
            }
            for sheet in sheets
        ],
        "findings": [finding_object(finding) for finding in findings],
    }  # fmt: skip
