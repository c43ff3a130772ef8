"""A plan's tree as a numbered list: do this; if you see that, go to another number or mend a cause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.guide._badness import QUIET
from buildalong.guide._words import ELSE, FOUND, OR, UNTOLD
from buildalong.mistakes import Outcome
from buildalong.trace import Node, Plan, Reading, Root
from buildalong.words import say, say_many

__all__ = ["Flow", "Row", "flows_of"]

NAMED = 3
"""Causes that no reading tells apart are named up to so many."""


@dataclass(frozen=True, slots=True)
class Row:
    """One reading and its answers: (what is seen, number to go to or 0, cause)."""

    number: int
    reading: Reading
    answers: tuple[tuple[str, int, str], ...]


@dataclass(frozen=True, slots=True)
class Flow:
    """The search from one symptom: its sentence, share of all mistakes, cautions, rows, readings expected.

    Without rows ``causes`` is what is left from the start.
    """

    title: str
    symptom: str
    share: float
    cautions: tuple[str, ...]
    rows: tuple[Row, ...]
    readings: float
    causes: str


def flows_of(plan: Plan, outcomes: Mapping[str, Outcome]) -> tuple[Flow, ...]:
    """Each tree of a plan as a list, likeliest first; ``outcomes`` by the id of their mistake.

    What shows nothing comes last.
    """
    flows = [_flow(root, outcomes) for root in plan.roots]
    return tuple(sorted(flows, key=lambda flow: (flow.symptom in QUIET, -flow.share)))


def _flow(root: Root, outcomes: Mapping[str, Outcome]) -> Flow:
    rows: list[Row] = []
    cautions: dict[str, None] = {}

    def add(node: Node) -> int:
        """Number a node and all below it, going straight on where everything is right."""
        assert node.reading is not None
        rows.append(Row(len(rows) + 1, node.reading, ()))
        place = len(rows) - 1
        cautions.update(dict.fromkeys(node.cautions))
        answers: list[tuple[str, int, str]] = []
        for answer, child in node.branches:
            leaf = child.reading is None
            if node.reading.kind == "look" and answer.key != "right" and leaf and child.causes == 1:
                continue  # told at once below: what is seen is the cause
            answers.append(
                (answer.words, 0 if leaf else add(child), _causes(child, outcomes) if leaf else "")
            )
        if node.reading.kind == "look":
            answers.append((say(ELSE), 0, say(FOUND)))
        rows[place] = Row(place + 1, node.reading, tuple(answers))
        return place + 1

    if root.node.reading is not None:
        add(root.node)
    causes = "" if rows else _causes(root.node, outcomes)
    return Flow(
        root.title, root.seen.symptom, root.share, tuple(cautions), tuple(rows), root.node.readings, causes
    )


def _causes(node: Node, outcomes: Mapping[str, Outcome]) -> str:
    """What a leaf stands for: its cause, or the likeliest of those that are left."""
    told = list(dict.fromkeys(outcomes[name].mistake.what.removesuffix(".") for name, _ in node.suspects))
    causes, more = say(OR).join(told[:NAMED]), len(told) - NAMED
    return f"{say_many(UNTOLD, more, causes=causes, count=more) if more > 0 else causes}."
