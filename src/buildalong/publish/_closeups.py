"""Which close-ups stand beside which step."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout
from buildalong.build.steps import Step
from buildalong.circuit import Circuit
from buildalong.drawing import (
    PLAIN,
    Picture,
    Tone,
    View,
    bridge_closeup,
    closeup,
    shown_slips,
    slip_closeup,
)
from buildalong.guide import Guide
from buildalong.mistakes import Mistake

__all__ = ["closeups_of", "new_wires"]


def new_wires(step: Step) -> list[int]:
    """Indices of the wires that a step lays."""
    placed = set(step.before.wires)
    return [index for index, wire in enumerate(step.after.wires) if wire not in placed]


MOST = 2
"""Close-ups beside one step at most."""
ALWAYS = ("reversed", "leg-order")
"""Kinds of slip that are shown anew for a part that faces another way, where the right way is another."""


KINDS = {
    "reversed": ("part-reversed", "chip-turned", "supply-reversed"),
    "leg-order": ("leg-order",),
    "rotated": ("button-turned",),
    "one-strip": ("one-strip",),
    "off-by-one": ("rows-off",),
}
"""Slip of a part type -> the kinds of mistakes that it is."""


def closeups_of(
    circuit: Circuit, steps: Sequence[Step], guide: Guide | None = None, *, view: View = "top",
    tone: Tone = PLAIN,
) -> dict[int, tuple[Picture, ...]]:  # fmt: skip
    """Step number -> its close-ups.

    The right way round is shown for one part of a step, unless a like part that faces the same way had it;
    any other slip only at the first step with a part of that type, and the gap of a split rail at the first
    wire over it.  With a
    ``guide`` dangerous slips have a warning sign, and the likeliest dangerous slip of a step is shown
    where no other close-up stands.
    """
    feared = _feared(guide)
    dangerous = {(mistake.kind, name) for mistakes in feared.values() for mistake in mistakes
                 for name in mistake.subjects}  # fmt: skip
    out: dict[int, tuple[Picture, ...]] = {}
    told: set[tuple[str, str]] = set()
    faced: set[tuple[str, str, tuple[int, int]]] = set()
    bridged = False
    for step in steps:
        found: list[Picture] = []
        for part in step.parts:
            sort = circuit.by_id[part].type
            for slip in shown_slips(circuit.by_id[part], step.after):
                if (sort.id, slip.kind) in told and (slip.kind not in ALWAYS or part != step.parts[0]):
                    continue
                facing = (sort.family, slip.kind, _facing(step.after, part))
                if facing in faced:
                    continue
                danger = any((kind, part) in dangerous for kind in KINDS.get(slip.kind, ()))
                picture = closeup(circuit, step.after, part, slip, danger=danger, view=view, tone=tone)
                if picture is not None and len(found) < MOST:
                    told.add((sort.id, slip.kind))
                    faced.add(facing)
                    found.append(picture)
        for wire in new_wires(step):
            picture = None if bridged else bridge_closeup(circuit, step.after, wire, view=view, tone=tone)
            if picture is not None and len(found) < MOST:
                bridged = True
                found.append(picture)
        if guide is not None and not found:
            found += _dangers(guide, feared.get(step.number, ()), view, tone)
        if found:
            out[step.number] = tuple(found)
    return out


def _facing(layout: Layout, part: str) -> tuple[int, int]:
    """Which way the last leg of a part lies from its first: across and along the board, -1, 0 or 1."""
    (x0, y0), (x1, y1) = (layout.board.holes[layout.holes[part][end]] for end in (0, -1))
    return (x1 > x0) - (x1 < x0), (y1 > y0) - (y1 < y0)


def _feared(guide: Guide | None) -> dict[int, list[Mistake]]:
    """Step number -> the dangerous slips there, likeliest first."""
    if guide is None:
        return {}
    by_id = {outcome.mistake.id: outcome.mistake for outcome in guide.lab.outcomes}
    out: dict[int, list[Mistake]] = {}
    for caution in guide.cautions:
        out.setdefault(caution.step, []).extend(by_id[name] for name in caution.mistakes)
    return {step: sorted(found, key=lambda m: (-m.weight, m.id)) for step, found in out.items()}


def _dangers(guide: Guide, mistakes: Sequence[Mistake], view: View, tone: Tone) -> list[Picture]:
    """The likeliest dangerous slip that can be shown."""
    lab = guide.lab
    for mistake in mistakes:
        if len(mistake.subjects) == 1:
            picture = slip_closeup(
                lab.circuit, lab.layout, mistake.layout, mistake.subjects[0], mistake.what, danger=True,
                view=view, tone=tone,
            )  # fmt: skip
            if picture is not None:
                return [picture]
    return []
