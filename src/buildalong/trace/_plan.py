"""The plan of a build: one tree for each symptom, and what it saves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.mistakes import SYMPTOMS, Lab, Outcome
from buildalong.trace._order import readings_in_build_order
from buildalong.trace._tree import Node, Search

__all__ = ["Plan", "Root", "by_symptom", "make_plan"]


@dataclass(frozen=True)
class Root:
    """Where a search begins: a symptom, with the one while a contact fails, its sentence and its tree."""

    symptom: str
    failing: str
    sentence: str
    share: float
    node: Node


@dataclass(frozen=True)
class Plan:
    """A tree for each symptom, worst to see first.

    ``readings`` and ``effort`` are expected over all single mistakes by their weights; ``in_build_order``
    are the readings of checking one part or wire after the other as they were built.
    """

    roots: tuple[Root, ...]
    readings: float
    effort: float
    in_build_order: float


def by_symptom(lab: Lab) -> dict[tuple[str, str], list[Outcome]]:
    """Outcomes by (symptom, symptom while a contact fails), in the order of SYMPTOMS."""
    order = list(SYMPTOMS)
    groups: dict[tuple[str, str], list[Outcome]] = {}
    for outcome in lab.outcomes:
        groups.setdefault((outcome.symptom, outcome.failing), []).append(outcome)
    return dict(
        sorted(groups.items(), key=lambda g: (order.index(g[0][0]), order.index(g[0][1]) if g[0][1] else -1))
    )


def make_plan(lab: Lab, order: Sequence[str]) -> Plan:
    """Plan the search for every single mistake; ``order`` names parts and wires as they are built.

    Equal arguments give equal plans.
    """
    total = sum(o.mistake.weight for o in lab.outcomes)
    roots: list[Root] = []
    for (symptom, failing), group in by_symptom(lab).items():
        share = sum(o.mistake.weight for o in group) / total
        roots.append(Root(symptom, failing, group[0].sentence, share, Search(lab, group).tree()))
    plain = sum(o.mistake.weight * readings_in_build_order(o, order) for o in lab.outcomes) / max(
        total, 1e-12
    )
    return Plan(
        tuple(roots),
        sum(r.share * r.node.readings for r in roots),
        sum(r.share * r.node.effort for r in roots),
        plain,
    )
