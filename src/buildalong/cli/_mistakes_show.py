"""What a person reads of mistakes, of the plan and of the search for one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

from buildalong.cli._show import say, styled
from buildalong.words import capital

if TYPE_CHECKING:
    from buildalong.build.steps import Step
    from buildalong.guide import Guide
    from buildalong.mistakes import Lab, Outcome
    from buildalong.trace import Advice, Node, Plan, Seen

__all__ = ["ask", "show_advice", "show_badness", "show_mistakes", "show_plan", "show_symptoms"]

FEW = 5
"""So many suspects are named."""
WORST = 3
"""So many of the worst steps are named."""


def show_badness(guide: Guide, steps: Sequence[Step]) -> None:
    """How bad the likely mistakes are, where the worst are made, and what to look at before switching on."""
    names = [f"{name} {points:.1f}" for name, points in guide.badness.by_name.items() if points >= 0.05]
    say(f"How bad they are: {guide.badness.total:.1f} points ({', '.join(names)}).")
    say("  More is worse. hidden: nothing is seen; undetermined: hard to find; seen: nothing worse happens.")
    say("Worst steps, with their points:")
    for step, points in guide.worst_steps(steps)[:WORST]:
        say(f"  step {step.number} {points:.1f}: {step.title}")
    if guide.checks:
        say(f"Look twice before switching on: {', '.join(check.subject for check in guide.checks)}.")


def show_mistakes(lab: Lab, chosen: frozenset[str], *, whole: bool) -> None:
    """The chosen mistakes by what is seen of them, ``whole`` with what each part suffers."""
    from buildalong.guide import SEVERITY
    from buildalong.mistakes import DANGERS
    from buildalong.trace import by_symptom

    for seen, group in by_symptom(lab).items():
        some = [o for o in group if o.mistake.id in chosen]
        if not some:
            continue
        say(styled(f"{seen.symptom}: {some[0].sentence}", bold=True))
        for outcome in sorted(some, key=lambda o: -o.mistake.weight):
            marks = "".join(f" [{word}]" for word in (outcome.grade, outcome.danger) if word)
            say(f"  {outcome.mistake.id}: {outcome.mistake.what}{marks}")
            if whole:
                for harm in outcome.harms:
                    say(f"      {harm.sentence}")
    marked = [o for o in lab.outcomes if o.mistake.id in chosen]
    if not marked:
        say("No mistake of this build fits both --symptom and --part.")
    meanings = {o.danger: DANGERS[o.danger] for o in marked if o.danger}
    grades = {o.grade for o in marked if o.grade}
    meanings |= {name: f"{capital(words)}." for name, (_, words) in SEVERITY.items() if name in grades}
    if meanings:
        say()
    for name, meaning in meanings.items():
        say(f"[{name}] {meaning}")


def show_plan(plan: Plan, lab: Lab, symptom: str | None) -> None:
    """The search for each symptom, indented by how far it has come."""
    known = {o.mistake.id: o for o in lab.outcomes}
    for root in plan.roots:
        if symptom in (None, root.seen.symptom):
            say()
            say(styled(f"{root.seen.symptom}: {root.sentence}", bold=True))
            _show_node(root.node, known, 1)


def _show_node(node: Node, known: dict[str, Outcome], depth: int) -> None:
    indent = "  " * depth
    if node.reading is None:
        for identity, _ in node.suspects[:FEW]:
            say(f"{indent}-> {known[identity].mistake.what}")
        if len(node.suspects) > FEW:
            say(f"{indent}-> or one of {len(node.suspects) - FEW} more that nothing tells apart")
        return
    for caution in node.cautions:
        say(f"{indent}! {caution}")
    say(f"{indent}{node.reading.text}")
    seen = [below for answer, below in node.branches if node.reading.kind == "look" and answer.key != "right"]
    for answer, below in node.branches:
        if below in seen and below.causes == 1:
            continue
        say(f"{indent}  = {answer.words}:")
        _show_node(below, known, depth + 2)
    if any(below.causes == 1 for below in seen):
        say(f"{indent}  = otherwise: this is the fault")


def show_symptoms(lab: Lab) -> None:
    """What may be seen, with the options that say so."""
    from buildalong.trace import by_symptom

    say("What do you see?  Say it with these options:")
    for seen, group in by_symptom(lab).items():
        failing = f" --failing {seen.failing}" if seen.failing else ""
        lights = "".join(f" --light {light}={kind}" for light, kind in seen.lights if kind != "same")
        say(f"  --symptom {seen.symptom}{failing}{lights}")
        say(f"      {group[0].sentence}")


def show_advice(lab: Lab, advice: Advice) -> None:
    """Who is suspected, and the next reading with its answers."""
    from buildalong.trace import grammar

    known = {o.mistake.id: o for o in lab.outcomes}
    if not advice.suspects:
        say("No single mistake explains all of this: there are several, or a reading is not as it was taken.")
        if advice.against:
            say(f"Take this again first: {', '.join(dict.fromkeys(advice.against))}")
        return
    if advice.reading is None:
        _show_found(known, advice)
        return
    say(f"{advice.causes} causes are left; the likeliest:")
    for identity, share in advice.suspects[:FEW]:
        say(f"  {share:4.0%}  {known[identity].mistake.what}")
    say()
    for caution in advice.cautions:
        say(styled(f"Caution: {caution}", fg="red"))
    say(f"Next ({advice.reading.id}): {advice.reading.text}")
    if advice.reading.kind != "look":
        say(f"  On a right board: {advice.reading.expected}.")
        say("  It may show:")
        for answer in advice.answers:
            say(f"    {answer.words}")
    say(f"  Answer {advice.reading.id}: {grammar(advice.reading)}.")


def _show_found(known: dict[str, Outcome], advice: Advice) -> None:
    from buildalong.mistakes import KINDS

    if advice.found:
        say(f"Found at {advice.found}: set it right as its step shows.  It is one of these:")
    elif advice.causes == 1:
        say("Found:")
    else:
        say(f"No reading tells these {advice.causes} apart; try them one by one:")
    for identity, share in advice.suspects:
        mistake = known[identity].mistake
        say(f"  {share:4.0%}  {mistake.what}  {KINDS[mistake.kind].cure}")


def ask(
    lab: Lab, symptom: str | None, failing: str, lights: Mapping[str, str], readings: Sequence[str]
) -> None:
    """Ask and advise on a terminal until the cause is found."""
    from buildalong.trace import Given, answer_from, given_from, next_reading

    if symptom is None:
        seen = _ask_symptom(lab)
        symptom, failing, lights = seen.symptom, seen.failing, dict(seen.lights)
    given = list(given_from(lab, readings))
    while True:
        advice = next_reading(lab, symptom, given, failing=failing, lights=lights)
        show_advice(lab, advice)
        if advice.reading is None:
            return
        while True:
            said = click.prompt(advice.reading.id, prompt_suffix=" = ")
            try:
                given.append(Given(advice.reading.id, answer_from(advice.reading, said)))
                break
            except ValueError as error:
                say(str(error))
        say()


def _ask_symptom(lab: Lab) -> Seen:
    from buildalong.trace import by_symptom

    groups = by_symptom(lab)
    say("What do you see?")
    for number, group in enumerate(groups.values(), start=1):
        say(f"  {number}  {group[0].sentence}")
    return list(groups)[click.prompt("Number", type=click.IntRange(1, len(groups))) - 1]
