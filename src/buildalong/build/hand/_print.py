"""Writing a layout as a build list, which reads back to the same layout."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout, turn_of, wire_words
from buildalong.build.hand._list import ListStep
from buildalong.circuit import Circuit, Part

__all__ = ["item_text", "list_text", "wire_text"]

_MANY = 3
"""A rigid part of more legs is told by its first leg."""


def list_text(
    circuit: Circuit,
    layout: Layout,
    steps: Sequence[ListStep] = (),
    *,
    style: str = "",
    title: str = "",
) -> str:
    """Write a layout as a build list, in the order of ``steps``, else parts first and then wires.

    What no step names follows at the end.  ``style``: of the wires that need no word of their own;
    without it that of most wires.
    """
    if not style:
        styles = [wire.style for wire in layout.wires]
        style = max(dict.fromkeys(styles), key=styles.count) if styles else "formed"
    out = [f"# {line}" for line in title.splitlines()]
    out += [f"board {layout.board.name}", f"style {style}", ""]
    parts = [part.id for part in circuit.parts if part.id in layout.holes]
    wires = list(range(len(layout.wires)))
    told_parts: set[str] = set()
    told_wires: set[int] = set()
    for step in steps:
        told_parts |= set(step.parts)
        told_wires |= set(step.wires)
        items = [item_text(circuit.by_id[name], layout) for name in step.parts if name in layout.holes]
        items += [wire_text(layout, index, style) for index in step.wires]
        if step.test is not None:
            items.append(f"test {step.test}".rstrip())
        if items:
            out.append("; ".join(items) + (f" | {step.why}" if step.why else ""))
    out += [item_text(circuit.by_id[name], layout) for name in parts if name not in told_parts]
    out += [wire_text(layout, index, style) for index in wires if index not in told_wires]
    return "\n".join(out).rstrip() + "\n"


def item_text(part: Part, layout: Layout) -> str:
    """One part: its first leg and turn, its leads by name where they differ, or its holes in order."""
    holes = layout.holes[part.id]
    kind = part.type
    if kind.body.legs and len(holes) > _MANY:
        turn = turn_of(kind, layout.board, holes)
        if turn is not None:
            return f"{part.id} {holes[0]}" + (f" turned {turn}" if turn else "")
    if kind.swappable:
        return f"{part.id} {' '.join(hole or '-' for hole in holes)}"
    leads = [f"{leg}={hole or '-'}" for leg, hole in zip(kind.leg_names, holes, strict=True)]
    return f"{part.id} {' '.join(leads)}"


def wire_text(layout: Layout, index: int, style: str) -> str:
    """One wire: its colour, its places from end to end, and its style where it is another."""
    return f"wire {' '.join(wire_words(layout, layout.wires[index], style))}"
