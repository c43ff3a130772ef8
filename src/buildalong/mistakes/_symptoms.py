"""What is seen of a mistake: the classes of symptoms, and their sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildalong.mistakes import _symptom_words as words
from buildalong.mistakes._symptom_words import ACTS
from buildalong.quantity import format_quantity
from buildalong.words import Many, behind_colon, capital, in_parts, listed, numeral, say, say_many

__all__ = ["SYMPTOMS", "act_of", "symptom_words"]

SYMPTOMS = (
    "battery-hot",
    "nothing",
    "burns-out",
    "backwards",
    "some-dark",
    "always-lit",
    "dim",
    "bright",
    "too-fast",
    "too-slow",
    "too-short",
    "too-long",
    "once-only",
    "other-rhythm",
    "starts-late",
    "while-pressed",
    "comes-at-once",
    "inverted",
    "stays-lit",
    "stays-lit-from-the-start",
    "blinks-by-itself",
    "comes-by-itself",
    "misses",
    "wrong-colour",
    "stands-still",
    "out-of-turn",
    "mixed",
    "other",
    "comes-and-goes",
    "undetermined",
    "overstressed",
    "as-it-should",
)
"""Every class, worst to see first."""

_EACH = ("stands-still", "mixed", "some-dark")
"""Classes in which it is told of each light what it does."""
_MOST_NAMED = 4


def symptom_words(
    kind: str,
    failing: str,
    lights: Sequence[tuple[str, str]],
    told: Sequence[tuple[str, float]],
    which: Sequence[str],
    *,
    numbers: bool = True,
) -> str:
    """The sentence of a class, and of the one while a contact fails ("" for none).

    ``lights``: (name, family) of each; ``told``: how each differs and by what factor; ``which`` are those
    that the sentence names.
    """
    first = _clause(kind, lights, told, which, numbers=numbers)
    said = say(words.SENTENCE, what=capital(first))
    if not failing:
        return said
    failing = behind_colon(_clause(failing, lights, told, which, numbers=numbers))
    return say(words.FAILING, what=said, failing=failing)


def act_of(kind: str, families: Iterable[str]) -> Many:
    """What parts of these families do, as a message about {who}; lights come on in a sense of their own."""
    act = ACTS.get(kind, ACTS["other"])
    return act.meant if set(families) == {"led"} else act


def _clause(
    kind: str,
    lights: Sequence[tuple[str, str]],
    told: Sequence[tuple[str, float]],
    which: Sequence[str],
    *,
    numbers: bool,
) -> str:
    kinds = {k for k, _ in told}
    if kind in _EACH or (kind in ACTS and len(kinds) > 1):
        each = _each(lights, told)
        return say(words.STILL, what=each) if kind == "stands-still" else each
    names = [name for name, _ in lights]
    families = {family for _, family in lights}
    family = families.pop() if len(families) == 1 else ""
    if not numbers and kind == "too-long":
        return say(words.TOO_LONG.get(family, words.TOO_LONG[""]))
    if not numbers and kind in words.PLAIN:
        return say(words.PLAIN[kind])
    factor = next((f for k, f in told if k != "same"), 1.0)
    places = {
        "lights": _names(names) or say(words.CIRCUIT),
        "which": _names(which or names),
        "factor": numeral(f"{factor:.1f}" if factor < 10 else f"{factor:.0f}"),
        "inverse": format_quantity(1 / max(factor, 1e-9), "%", 2),
    }
    if kind in words.ONES:
        table = words.ONES[kind]
        message = table.get(family, table[""])
        return say_many(message, len(which or names) if "{which}" in message.one else len(names), **places)
    if kind in words.SHINES:
        return say(words.SHINES[kind].get(family, words.SHINES[kind][""]), **places)
    return say(words.SEEN[kind], **places)


def _each(lights: Sequence[tuple[str, str]], told: Sequence[tuple[str, float]]) -> str:
    """'DS1 never comes on; DS2 is on all the time; the rest is as it should be'."""
    groups: dict[str, dict[str, str]] = {}
    for (name, family), (kind, _) in zip(lights, told, strict=True):
        groups.setdefault(kind, {})[name] = family
    out = [
        say_many(act_of(kind, named.values()), len(named), who=_names(list(named)))
        for kind, named in groups.items()
        if kind != "same"
    ]
    return in_parts(out) + (say(words.REST) if any(kind == "same" for kind, _ in told) else "")


def _names(names: Sequence[str]) -> str:
    if len(names) > _MOST_NAMED:
        shown = names[: _MOST_NAMED - 1]
        return say(words.MORE, some=", ".join(shown), count=len(names) - len(shown))
    return listed(names)
