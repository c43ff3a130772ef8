"""What is seen at a test, in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from buildalong.build.steps._marks import wiper_words
from buildalong.build.steps._see_words import SEE, SEE_AFTER, SEE_CAUSE, SEE_MANY
from buildalong.build.steps._sight import MOMENT, Sight, Spell
from buildalong.circuit import Circuit
from buildalong.quantity import format_quantity
from buildalong.words import in_parts, listed, numeral, say, say_many

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
            said.append(say(SEE_AFTER, cause=cause, seen=seen))
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
    return say(SEE_CAUSE[key], **gaps)


def _seen(circuit: Circuit, spell: Spell) -> str:
    """What the lights do in a spell; lights that do the same are named together."""
    order = list(circuit.by_id)
    said = []

    def doing(sight: Sight) -> tuple[str, str, str, str]:
        return circuit.by_id[sight.part].type.family, *_doing(sight, spell.held)

    for (family, what, time, count), same in groupby(sorted(spell.sights, key=doing), key=doing):
        names = [sight.part for sight in sorted(same, key=lambda s: order.index(s.part))]
        who = listed(names)
        if len(names) > _MOST_NAMED:
            who = say(SEE_MANY, first=names[0], last=names[-1], count=len(names))
        words = say_many(SEE[family][what], len(names), who=who, time=time, count=count)
        said.append((order.index(names[0]), words))
    return in_parts([words for _, words in sorted(said)])


def _doing(sight: Sight, held: float) -> tuple[str, str, str]:
    """What one light must do: a key of SEE, the time of which it speaks, and how often in a second."""
    what, seconds = sight.what, sight.seconds
    rhythm = what in ("flashes", "in-turn")
    if rhythm and seconds < 0.75:
        return f"{what}-many", "", numeral(f"{1 / seconds:.2g}")
    if rhythm and seconds < 1.3:
        return f"{what}-once", "", ""
    if what == "pulse" and held and abs(seconds - held) <= _LIKE_HELD * held:
        return "follows", "", ""
    time = format_quantity(seconds, "s", 2)
    if rhythm:
        return f"{what}-slow", time, ""
    return what, time if what in ("late-on", "late-off", "pulse") else "", ""
