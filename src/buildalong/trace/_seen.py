"""What is known before the first reading: the symptom as it is seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildalong.mistakes import SYMPTOMS, Lab, Outcome

__all__ = ["Seen", "by_symptom", "seen_of", "suspects_of"]


@dataclass(frozen=True, slots=True)
class Seen:
    """A symptom, the one while a contact fails, and (light, how it differs) where lights differ unlike."""

    symptom: str
    failing: str = ""
    lights: tuple[tuple[str, str], ...] = ()


def seen_of(outcome: Outcome) -> Seen:
    """What is seen of an outcome."""
    several = len({kind for _, kind in outcome.sights}) > 1
    hidden = "undetermined" in (outcome.symptom, outcome.failing)
    return Seen(outcome.symptom, outcome.failing, outcome.sights if several and not hidden else ())


def by_symptom(lab: Lab) -> dict[Seen, list[Outcome]]:
    """Outcomes by what is seen of them, in the order of SYMPTOMS."""
    order = {name: number for number, name in enumerate(SYMPTOMS)}
    groups: dict[Seen, list[Outcome]] = {}
    for outcome in lab.outcomes:
        groups.setdefault(seen_of(outcome), []).append(outcome)
    return dict(
        sorted(groups.items(), key=lambda g: (order[g[0].symptom], order.get(g[0].failing, -1), g[0].lights))
    )


def suspects_of(
    lab: Lab, symptom: str, failing: str = "", lights: Mapping[str, str] | None = None
) -> list[Outcome]:
    """Outcomes that agree with what is seen, as far as it is told; raises ValueError where there is none.

    ``failing`` "" stands for any; ``lights`` names those that were looked at, with how they differ.
    """
    wanted = dict(lights or {})
    if unknown := sorted(set(wanted) - set(lab.lights)):
        raise ValueError(
            f"'{unknown[0][:40]}' is nothing to look at here; there are: {', '.join(lab.lights)}"
        )
    found = [
        o
        for o in lab.outcomes
        if o.symptom == symptom
        and failing in ("", o.failing)
        and all(dict(o.sights)[light] == kind for light, kind in wanted.items())
    ]
    if not found:
        shown = ", ".join(dict.fromkeys(seen.symptom for seen in by_symptom(lab)))
        said = "".join(f", {light} {kind[:40]}" for light, kind in sorted(wanted.items()))
        if any(o.symptom == symptom for o in lab.outcomes) and failing:
            choices = dict.fromkeys(
                f"{seen.symptom} --failing {seen.failing}" for seen in by_symptom(lab) if seen.failing
            )
            raise ValueError(
                f"no single mistake of this build shows '{symptom[:40]}' with --failing "
                f"'{failing[:40]}'{said}; with --failing they show: {', '.join(choices) or 'nothing'}"
            )
        raise ValueError(f"no single mistake of this build shows '{symptom[:40]}'{said}; they show: {shown}")
    return found
