"""Making the steps of a build from a circuit and its layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from buildalong.board import Layout, strip_nets
from buildalong.build.steps._final import final_checks
from buildalong.build.steps._marks import mark_of
from buildalong.build.steps._order import groups, kind_of, ordered_parts, ordered_wires
from buildalong.build.steps._say import Marks, Said, say_group, say_part, say_wire
from buildalong.build.steps._step import Kind, Step
from buildalong.build.steps._subject import with_subject
from buildalong.build.steps._why import part_why, wire_why
from buildalong.build.steps._words import TEXT, TITLE, WHY
from buildalong.circuit import Circuit, Part

__all__ = ["make_steps"]

_NO_REASONS: Mapping[str, str] = MappingProxyType({})


def make_steps(
    circuit: Circuit,
    layout: Layout,
    *,
    reasons: Mapping[str, str] = _NO_REASONS,
    marks: Marks = mark_of,
) -> tuple[Step, ...]:
    """Give the steps that build the layout: ICs, wires, flat, standing, polarised parts, then the supply.

    ``reasons``: part id or "wire 1", "wire 2", ... -> why it is there, in place of what the nets
    tell; ``marks``: what is printed on a part.  Parts that the layout does not hold have no step.
    """
    strips = strip_nets(circuit, layout)
    parts = ordered_parts(circuit.parts, layout)
    plan: list[tuple[Kind, tuple[Part, ...], tuple[int, ...]]] = []
    for batch in groups([part for part in parts if kind_of(part) == "ic"]):
        plan.append(("ic", batch, ()))
    plan += [("wire", (), (index,)) for index in ordered_wires(layout)]
    rest = [part for part in parts if kind_of(part) not in ("ic", "supply")]
    plan += [(kind_of(batch[0]), batch, ()) for batch in groups(rest)]
    plan.append(("check", (), ()))
    plan += [("supply", (part,), ()) for part in parts if kind_of(part) == "supply"]

    steps: list[Step] = []
    done_parts: set[str] = set()
    done_wires: set[int] = set()
    before = _partial(layout, done_parts, done_wires)
    for number, (kind, batch, wires) in enumerate(plan, start=1):
        done_parts |= {part.id for part in batch}
        done_wires |= set(wires)
        after = _partial(layout, done_parts, done_wires) if batch or wires else before
        if kind == "check":
            said = Said(TITLE["check"], TEXT["check"], " ".join(final_checks(circuit, layout)))
            why = WHY["check"]
        elif wires:
            said = say_wire(wires[0], layout)
            why = reasons.get(f"wire {wires[0] + 1}") or wire_why(circuit, layout, wires[0], strips)
        else:
            said = say_part(batch[0], layout, marks) if len(batch) == 1 else say_group(batch, layout, marks)
            why = _whys(circuit, batch, reasons)
        new = tuple(part.id for part in batch)
        step = Step(
            number, kind, said.title, said.text, why, said.check, said.callout, new, wires, before, after
        )
        steps.append(step)
        before = after
    return tuple(steps)


def _whys(circuit: Circuit, batch: Sequence[Part], reasons: Mapping[str, str]) -> str:
    """The reasons of the parts of one step: one for all, or each with its part."""
    said = {
        part.id: with_subject(part.id, reasons.get(part.id, "")) or part_why(circuit, part) for part in batch
    }
    if len(set(said.values())) == 1:
        return said[batch[0].id]
    return " ".join(
        why if why.startswith(f"{name} ") else WHY["each"].format(id=name, why=why)
        for name, why in said.items()
        if why
    )


def _partial(layout: Layout, parts: set[str], wires: set[int]) -> Layout:
    return Layout(
        layout.board,
        {part: holes for part, holes in layout.holes.items() if part in parts},
        tuple(wire for index, wire in enumerate(layout.wires) if index in wires),
    )
