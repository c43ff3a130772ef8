"""The JSON documents of mistakes and of the search for one, of the form described in docs/json.md."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from buildalong.cli._json import SCHEMA, number

if TYPE_CHECKING:
    from buildalong.mistakes import Lab
    from buildalong.trace import Advice, Answer, Node, Plan, Reading, Seen

__all__ = ["mistakes_document", "trace_document"]


def mistakes_document(lab: Lab, plan: Plan, chosen: frozenset[str]) -> dict[str, Any]:
    """The chosen mistakes with what comes of it, and the plan."""
    return {
        "schema": SCHEMA,
        "mistakes": [
            {
                "id": o.mistake.id,
                "kind": o.mistake.kind,
                "what": o.mistake.what,
                "where": o.mistake.where,
                "subjects": list(o.mistake.subjects),
                "weight": number(o.mistake.weight),
                "symptom": o.symptom,
                "failing": o.failing,
                "lights": dict(o.sights),
                "sentence": o.sentence,
                "damage": o.grade,
                "harms": [{"part": h.part, "grade": h.grade, "sentence": h.sentence} for h in o.harms],
                "danger": o.danger,
                "merged": list(o.same),
                "doubts": list(o.doubts),
            }
            for o in lab.outcomes
            if o.mistake.id in chosen
        ],
        "circuits": lab.circuits,
        "unchanged": lab.unchanged,
        "plan": {
            "readings": number(plan.readings),
            "effort": number(plan.effort),
            "in_build_order": number(plan.in_build_order),
            "symptoms": [
                {
                    **_seen(root.seen),
                    "sentence": root.sentence,
                    "share": number(root.share),
                    "tree": _node(root.node),
                }
                for root in plan.roots
            ],
        },
        "findings": [],
    }


def _seen(seen: Seen) -> dict[str, Any]:
    return {"symptom": seen.symptom, "failing": seen.failing, "lights": dict(seen.lights)}


def _node(node: Node) -> dict[str, Any]:
    return {
        "suspects": _suspects(node.suspects),
        "causes": node.causes,
        "readings": number(node.readings),
        "effort": number(node.effort),
        "cautions": list(node.cautions),
        "reading": _reading(node.reading) if node.reading is not None else None,
        "branches": [{"answer": _answer(answer), "tree": _node(below)} for answer, below in node.branches],
    }


def _suspects(suspects: tuple[tuple[str, float], ...]) -> list[dict[str, Any]]:
    return [{"id": identity, "share": number(share)} for identity, share in suspects]


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "id": reading.id,
        "kind": reading.kind,
        "text": reading.text,
        "expected": reading.expected,
        "effort": number(reading.effort),
        "holes": list(reading.holes),
    }


def _answer(answer: Answer) -> dict[str, Any]:
    low, high = (None if math.isinf(v) else number(v) for v in (answer.low, answer.high))
    return {"key": answer.key, "words": answer.words, "low": low, "high": high}


def trace_document(lab: Lab, symptom: str, advice: Advice | None) -> dict[str, Any]:
    """Who is suspected, and the next reading; without a symptom, those that there are."""
    from buildalong.trace import by_symptom

    known = {o.mistake.id: o for o in lab.outcomes}
    out: dict[str, Any] = {
        "schema": SCHEMA,
        "symptom": symptom,
        "symptoms": [
            {**_seen(seen), "sentence": group[0].sentence, "count": len(group)}
            for seen, group in by_symptom(lab).items()
        ],
    }
    if advice is not None:
        out |= {
            "suspects": [
                {**entry, "what": known[entry["id"]].mistake.what} for entry in _suspects(advice.suspects)
            ],
            "causes": advice.causes,
            "reading": _reading(advice.reading) if advice.reading is not None else None,
            "answers": [_answer(answer) for answer in advice.answers],
            "cautions": list(advice.cautions),
            "against": list(advice.against),
            "found": advice.found,
        }
    return {**out, "findings": []}
