"""What is seen at a test, in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from buildalong.board import and_list
from buildalong.build.steps._marks import wiper_words
from buildalong.build.steps._sight import MOMENT, Sight, Spell
from buildalong.build.steps._words import SEE, SEE_CAUSE, SEE_RATE, SEE_VERBS
from buildalong.circuit import Circuit
from buildalong.quantity import format_quantity

__all__ = ["sight_words"]

_LIKE_HELD = 0.2
"""So near to the length of the press a light is said to follow the finger."""
_MOST_NAMED = 4


def sight_words(circuit: Circuit, spells: Sequence[Spell]) -> str:
    """Say what to do at a test and what must be seen, sentence by sentence; '' where nothing shows."""
    last = max((number for number, spell in enumerate(spells) if spell.sights), default=-1)
    said = []
    for spell in spells[: last + 1]:
        cause = _cause(spell)
        seen = _seen(circuit, spell)
        if cause and seen:
            said.append(f"{cause}: {seen}.")
        elif cause or seen:
            said.append(f"{cause or seen}.")
    return " ".join(said)


def _cause(spell: Spell) -> str:
    """The action before a spell, as an instruction; '' for switching on."""
    action = spell.cause
    if action is None:
        return ""
    gaps = {"part": action.part, "time": format_quantity(spell.held, "s", 2), "place": "", "end": ""}
    key: str = action.setting
    if action.setting == "pressed":
        key = "pressed" if spell.held < MOMENT else "held"
    elif action.setting == "thrown":
        gaps["end"] = "B" if action.value else "A"
    elif action.setting == "light":
        key = "light" if action.value >= spell.before else "dark"
    elif action.setting == "position":
        gaps["place"] = wiper_words(action.value)
    return SEE_CAUSE[key].format_map(gaps)


def _seen(circuit: Circuit, spell: Spell) -> str:
    """What the lights do in a spell; lights that do the same are named together."""
    said = []

    def doing(sight: Sight) -> tuple[str, str]:
        return circuit.by_id[sight.part].type.family, _doing(circuit, sight, spell.held)

    for (_, what), same in groupby(sorted(spell.sights, key=doing), key=doing):
        names = [sight.part for sight in sorted(same, key=lambda s: list(circuit.by_id).index(s.part))]
        if len(names) > _MOST_NAMED:
            names = [SEE["many"].format(first=names[0], last=names[-1], count=len(names))]
        said.append(
            (
                list(circuit.by_id).index(names[0].split(" ")[0]),
                SEE["must"].format(who=and_list(names), what=what),
            )
        )
    return "; ".join(words for _, words in sorted(said))


def _doing(circuit: Circuit, sight: Sight, held: float) -> str:
    """What one light must do: 'light', 'go out after about 3 s'."""
    verbs = SEE_VERBS[circuit.by_id[sight.part].type.family]
    what = sight.what
    if what == "pulse" and held and abs(sight.seconds - held) <= _LIKE_HELD * held:
        what = "follows"
    time = format_quantity(sight.seconds, "s", 2) if sight.seconds else ""
    return SEE[what].format(**verbs, time=time, rate=_rate(sight.seconds))


def _rate(period: float) -> str:
    """How often something repeats."""
    if period <= 0:
        return ""
    if period < 0.75:
        return SEE_RATE["many"].format(count=f"{1 / period:.2g}")
    if period < 1.3:
        return SEE_RATE["once"]
    return SEE_RATE["slow"].format(time=format_quantity(period, "s", 2))
