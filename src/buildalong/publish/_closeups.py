"""Which close-ups stand beside which step."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.build.steps import Step
from buildalong.circuit import Circuit
from buildalong.drawing import PLAIN, Picture, Tone, View, bridge_closeup, closeup, shown_slips

__all__ = ["closeups_of", "new_wires"]


def new_wires(step: Step) -> list[int]:
    """Indices of the wires that a step lays."""
    placed = set(step.before.wires)
    return [index for index, wire in enumerate(step.after.wires) if wire not in placed]


MOST = 2
"""Close-ups beside one step at most."""
ALWAYS = ("reversed", "leg-order")
"""Kinds of slip that are shown for every part: the right way round is another on each place."""


def closeups_of(
    circuit: Circuit, steps: Sequence[Step], *, view: View = "top", tone: Tone = PLAIN
) -> dict[int, tuple[Picture, ...]]:
    """Step number -> its close-ups.

    The right way round is shown for one part of every step that has one; any other slip only at the
    first step with a part of that type, and the gap of a split rail at the first wire over it.
    """
    out: dict[int, tuple[Picture, ...]] = {}
    told: set[tuple[str, str]] = set()
    bridged = False
    for step in steps:
        found: list[Picture] = []
        for part in step.parts:
            kind = circuit.by_id[part].type
            for slip in shown_slips(circuit.by_id[part], step.after):
                if (kind.id, slip.kind) in told and (slip.kind not in ALWAYS or part != step.parts[0]):
                    continue
                picture = closeup(circuit, step.after, part, slip, view=view, tone=tone)
                if picture is not None and len(found) < MOST:
                    told.add((kind.id, slip.kind))
                    found.append(picture)
        for wire in new_wires(step):
            picture = None if bridged else bridge_closeup(circuit, step.after, wire, view=view, tone=tone)
            if picture is not None and len(found) < MOST:
                bridged = True
                found.append(picture)
        if found:
            out[step.number] = tuple(found)
    return out
