"""In which order to build, and where to switch on for a look: the order that costs least.

The parts are taken in the order of the trade (``_order``); then tests are brought forward: for a light,
the parts without which it would not show a thing are built first, and the board is tried.  One table
weighs what speaks for and against; every test is looked at on the very board that stands by then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from buildalong.board import Layout
from buildalong.build.hand import ListStep
from buildalong.build.steps._cost import Cost
from buildalong.build.steps._order import groups, kind_of, ordered_parts
from buildalong.build.steps._sight import DARK, LIGHTS, Spell, look
from buildalong.build.steps._wires import wire_steps
from buildalong.build.steps._wiring import Wiring
from buildalong.circuit import Circuit

if TYPE_CHECKING:
    from buildalong.engine import Trial

__all__ = ["Plan", "best_plan", "completed", "order_cost", "partial", "with_sights"]

MOST_TESTS = 3
MOST_LIGHTS = 4
_SWEEPS = 3


@dataclass(frozen=True)
class Plan:
    """Steps in order; ``sights``: number of the step (from 0) that is a test, or the last -> what is seen."""

    steps: tuple[ListStep, ...]
    sights: Mapping[int, tuple[Spell, ...]]


def partial(layout: Layout, steps: Sequence[ListStep], *more: str) -> Layout:
    """The board after these steps, and the parts of ``more`` besides."""
    parts = {name for step in steps for name in step.parts} | set(more)
    wires = {index for step in steps for index in step.wires}
    return Layout(
        layout.board,
        {name: holes for name, holes in layout.holes.items() if name in parts},
        tuple(wire for index, wire in enumerate(layout.wires) if index in wires),
    )


def best_plan(circuit: Circuit, layout: Layout, trials: Sequence[Trial] = ()) -> Plan:
    """The best order that is found for building a layout, with its tests; deterministic."""
    wiring = Wiring(circuit, layout)
    steps, last = usual_order(circuit, layout, wiring)
    cost = Cost(circuit, layout, steps, wiring=wiring)
    best, least = _climbed(steps, [], cost)
    needed: list[frozenset[ListStep]] = []
    for found in _test_points(circuit, layout, steps, last, trials) if trials and last else ():
        needed.append(found)
        plan, costs = _climbed(steps, needed, cost)
        if costs < least:
            best, least = plan, costs
    return with_sights(circuit, layout, [*best, *last], trials)


def usual_order(
    circuit: Circuit, layout: Layout, wiring: Wiring | None = None
) -> tuple[list[ListStep], list[ListStep]]:
    """The steps in the order of the trade, and those of the supply, which comes last."""
    parts = ordered_parts(circuit.parts, layout)
    steps = [ListStep(tuple(p.id for p in g)) for g in groups([p for p in parts if kind_of(p) == "ic"])]
    steps += wire_steps(circuit, layout, wiring or Wiring(circuit, layout))
    rest = [part for part in parts if kind_of(part) not in ("ic", "supply")]
    steps += [ListStep(tuple(p.id for p in g)) for g in groups(rest)]
    return steps, [ListStep((part.id,)) for part in parts if kind_of(part) == "supply"]


def completed(circuit: Circuit, layout: Layout, order: Sequence[ListStep]) -> list[ListStep]:
    """An author's steps, and before the supply goes on what they leave out."""
    named = {name for step in order for name in step.parts} | {i for step in order for i in step.wires}
    steps, last = usual_order(circuit, layout)
    rest = [step for step in steps if not named.intersection((*step.parts, *step.wires))]
    lone = [step for step in steps if step not in rest]
    rest += [ListStep(wires=(index,)) for step in lone for index in step.wires if index not in named]
    rest += [ListStep((name,)) for step in lone for name in step.parts if name not in named]
    out = list(order)
    supply = {name for step in last for name in step.parts}
    at = next((n for n, step in enumerate(out) if supply.intersection(step.parts)), len(out))
    return [*out[:at], *rest, *out[at:], *(step for step in last if not named.intersection(step.parts))]


def _test_points(
    circuit: Circuit,
    layout: Layout,
    steps: Sequence[ListStep],
    last: Sequence[ListStep],
    trials: Sequence[Trial],
) -> Iterator[frozenset[ListStep]]:
    """For one light after the other, what must be there before it shows something."""
    supply = tuple(name for step in last for name in step.parts)
    done: frozenset[ListStep] = frozenset()

    def shows(some: Sequence[ListStep], light: str, quick: bool = True) -> bool:
        seen = look(circuit, partial(layout, some, *supply), trials[0], quick=quick)
        return any(s.part == light and s.what not in DARK for spell in seen for s in spell.sights)

    def surely(some: Sequence[ListStep], light: str) -> bool:
        return shows(some, light, quick=False)

    count = 0
    for light in _lights(circuit, layout, steps)[:MOST_LIGHTS]:
        if count == MOST_TESTS or light in {name for step in done for name in step.parts}:
            continue
        found = _needed(steps, light, done, shows, surely)
        if found is not None and done < found and len(found) < len(steps):
            done, count = found, count + 1
            yield found


def _lights(circuit: Circuit, layout: Layout, steps: Sequence[ListStep]) -> list[str]:
    placed = [name for step in steps for name in step.parts]
    return [n for n in placed if circuit.by_id[n].type.family in LIGHTS and n in layout.holes]


def _needed(
    steps: Sequence[ListStep],
    light: str,
    done: frozenset[ListStep],
    shows: Callable[[Sequence[ListStep], str], bool],
    surely: Callable[[Sequence[ListStep], str], bool],
) -> frozenset[ListStep] | None:
    """Steps without which a light shows nothing; all wires are among them, and what is done.

    ``shows`` is asked first and often; what it finds must hold before ``surely``, and grows until it does.
    """
    if not shows(steps, light):
        return None
    kept, left = list(steps), []
    for step in reversed(steps):
        if step.wires or step in done or light in step.parts:
            continue
        rest = [other for other in kept if other is not step]
        if shows(rest, light):
            kept = rest
            left.append(step)
    while left and not surely(kept, light):
        kept.append(left.pop())
    return frozenset(kept) if left else None


def with_sights(circuit: Circuit, layout: Layout, steps: Sequence[ListStep], trials: Sequence[Trial]) -> Plan:
    """The plan with what is seen at each test and at the end; a test that shows nothing new is left out."""
    by_name = {trial.name: trial for trial in trials}
    supply = tuple(p.id for p in circuit.parts if kind_of(p) == "supply" and p.id in layout.holes)
    out: list[ListStep] = []
    sights: dict[int, tuple[Spell, ...]] = {}
    before: tuple[Spell, ...] = ()
    for step in steps:
        trial = by_name.get(step.test or "", trials[0] if trials else None)
        if step.test is not None and trial is not None:
            seen = look(circuit, partial(layout, out, *supply), trial)
            if not seen or seen == before:
                continue
            before = seen
            sights[len(out)] = seen
        out.append(step)
    if trials and out and not sights.get(len(out) - 1):
        final = look(circuit, layout, trials[0])
        if final:
            sights[len(out) - 1] = final
    return Plan(tuple(out), sights)


def _climbed(
    steps: Sequence[ListStep], needed: Sequence[frozenset[ListStep]], cost: Cost
) -> tuple[list[ListStep], float]:
    """The steps with a test after each set of needed ones, improved by moving single steps; and its cost."""
    order: list[int] = []
    sets = [frozenset(cost.number[step] for step in wanted) for wanted in needed]
    for wanted in sets:
        order += [n for n in range(len(steps)) if n in wanted and n not in order]
    order += [n for n in range(len(steps)) if n not in order]
    best = cost.of(order, sets)
    for _ in range(_SWEEPS):
        before = best
        for step in tuple(order):
            rest = [n for n in order if n != step]
            pairs = cost.pairs([step, *rest])
            for at in range(len(order)):
                if at:
                    other = rest[at - 1]
                    pairs += cost.matrix[other][step] - cost.matrix[step][other]
                trial = [*rest[:at], step, *rest[at:]]
                found = pairs + cost.run(trial, sets)
                if found < best - 1e-9:
                    best, order = found, trial
        if best >= before - 1e-9:
            break
    out = [steps[n] for n in order]
    for wanted in sets:
        last = max((steps[n] for n in wanted), key=out.index)
        out.insert(out.index(last) + 1, ListStep(test=""))
    return out, best


def order_cost(circuit: Circuit, layout: Layout, steps: Sequence[ListStep]) -> float:
    """What an order of steps costs by ORDER_WEIGHTS; less is better, no unit."""
    things = [step for step in steps if step.parts or step.wires]
    usual, last = usual_order(circuit, layout)
    turn = {name: n for n, step in enumerate([*usual, *last]) for name in step.parts}
    turns = [min((turn[name] for name in step.parts), default=0) for step in things]
    cost = Cost(circuit, layout, things, turns)
    sets: list[frozenset[int]] = []
    done: list[int] = []
    for step in steps:
        if step.test is not None and not (step.parts or step.wires):
            sets.append(frozenset(done))
        else:
            done.append(len(done))
    return cost.of(range(len(things)), [wanted for wanted in sets if wanted])
