"""Whether the steps are safe and lead to the circuit: a read-back after each one."""

from __future__ import annotations

from collections.abc import Sequence

from buildalong.board import Layout, equal, read_back
from buildalong.build.steps._step import Step
from buildalong.circuit import Circuit
from buildalong.finding import Finding, Severity

__all__ = ["check_steps"]


def check_steps(circuit: Circuit, steps: Sequence[Step]) -> list[Finding]:
    """Find steps that join plus to 0 V, place something twice, change what stands, or end elsewhere.

    The supply's own holes are looked at from the first step on, before it is connected.
    """
    findings: list[Finding] = []
    if not steps:
        return [_error("steps-not-the-circuit", "There are no steps.", ())]
    supplies = {part.id for part in circuit.parts if part.type.family == "supply"}
    end = steps[-1].after
    shorted = False
    placed: dict[str, int] = {}
    for number, step in enumerate(steps, start=1):
        about = (f"step {number}",)
        for item in (*step.parts, *(f"wire {index + 1}" for index in step.wires)):
            if item in placed:
                text = f"Step {number} places {item}, which step {placed[item]} has placed already."
                findings.append(_error("step-places-twice", text, (*about, item)))
            placed.setdefault(item, number)
        earlier = [other for other in steps[: number - 1] if other.kind != "test"]
        previous = earlier[-1].after if earlier else None
        if previous is not None and step.before != previous:
            text = f"Step {number} does not begin with the board that step {number - 1} leaves."
            findings.append(_error("step-begins-elsewhere", text, about))
        lost = [part for part in step.before.holes if step.after.holes.get(part) != step.before.holes[part]]
        if lost or not set(step.before.wires) <= set(step.after.wires):
            text = f"Step {number} moves or takes out what stood on the board: {', '.join(lost) or 'a wire'}."
            findings.append(_error("step-takes-out", text, about))
        here = {**{s: end.holes[s] for s in supplies if s in end.holes}, **step.after.holes}
        real = read_back(circuit.parts, Layout(step.after.board, here, step.after.wires))
        for supply in real.parts:
            if supply.id in supplies and None is not supply.nets[0] == supply.nets[1] and not shorted:
                shorted = True
                text = (
                    f"After step {number} plus and 0 V are joined: the supply {supply.id} would be shorted."
                )
                findings.append(_error("step-shorts-the-supply", text, (*about, supply.id)))
    if not equal(circuit, read_back(circuit.parts, end)):
        text = "The board after the last step does not make the circuit."
        findings.append(_error("steps-not-the-circuit", text, (f"step {len(steps)}",)))
    return findings


def _error(code: str, message: str, about: tuple[str, ...]) -> Finding:
    return Finding(Severity.ERROR, code, message, hint="", about=about)
