"""The plan of a build: one tree for each symptom, and what it saves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildalong.mistakes import Lab
from buildalong.trace._order import readings_in_build_order
from buildalong.trace._seen import Seen, by_symptom
from buildalong.trace._tree import Node, Search

__all__ = ["Plan", "Root", "make_plan"]


@dataclass(frozen=True)
class Root:
    """Where a search begins: what is seen, its sentence, the share of the mistakes that show it, its tree."""

    seen: Seen
    sentence: str
    title: str
    """The sentence without numbers."""
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


def make_plan(lab: Lab, order: Sequence[str]) -> Plan:
    """Plan the search for every single mistake; ``order`` names parts and wires as they are built.

    Equal arguments give equal plans.
    """
    total = sum(o.mistake.weight for o in lab.outcomes)
    roots: list[Root] = []
    for seen, group in by_symptom(lab).items():
        share = sum(o.mistake.weight for o in group) / total
        roots.append(Root(seen, group[0].sentence, group[0].title, share, Search(lab, group).tree()))
    plain = sum(o.mistake.weight * readings_in_build_order(o, order) for o in lab.outcomes) / max(
        total, 1e-12
    )
    return Plan(
        tuple(roots),
        sum(r.share * r.node.readings for r in roots),
        sum(r.share * r.node.effort for r in roots),
        plain,
    )
