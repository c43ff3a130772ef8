"""Symptom classes and the sentences for them; one table."""

from __future__ import annotations

from buildalong.quantity import format_quantity

__all__ = ["DOES", "SYMPTOMS", "symptom_words"]

SYMPTOMS: dict[str, str] = {
    "battery-hot": "Nothing works, and the supply and its leads get warm: take it off at once.",
    "nothing": "Nothing happens: {lights} never shine{s}.",
    "burns-out": "{lights} shine{s} far too brightly and then never again.",
    "some-dark": "{which} never shine{ws}; the rest is as it should be.",
    "always-lit": "{lights} shine{s} all the time.",
    "dim": "{lights} {are} much dimmer than {they} should be.",
    "bright": "{lights} {are} much brighter than {they} should be.",
    "too-fast": "It runs too fast, about {factor} times.",
    "too-slow": "It runs too slowly, about {factor} times.",
    "too-short": "It goes out too early, after {inverse} of the time.",
    "too-long": "It shines about {factor} times too long.",
    "once-only": "It shines once and then no more.",
    "other-rhythm": "The rhythm is there, but light and dark last differently.",
    "starts-late": "It starts late.",
    "while-pressed": "It shines only while the button is pressed.",
    "comes-at-once": "It comes on by itself as soon as it is switched on, and goes out too early.",
    "inverted": "It does the opposite: lit when it should be dark, dark when it should be lit.",
    "stays-lit": "It comes on as it should, but does not go out.",
    "stays-lit-from-the-start": "It shines from the start and does not go out.",
    "blinks-by-itself": "It blinks by itself.",
    "comes-by-itself": "It comes on when nobody asked it to.",
    "misses": "It does not come on each time it should.",
    "wrong-colour": "{which} shine{ws} in the wrong colour.",
    "stands-still": "It stands still.",
    "out-of-turn": "{which} come{ws} on out of turn.",
    "mixed": "Several things act wrongly, each in its way.",
    "other": "It behaves in another way than it should.",
    "comes-and-goes": "It works only now and then.",
    "undetermined": "It behaves differently from one switching on to the next.",
    "overstressed": "Nothing is seen, but a part is strained beyond what it bears.",
    "as-it-should": "Nothing is seen: it works as it should.",
}
"""Every class, worst to see first, with its sentence for the learner."""


VERBS: dict[str, tuple[str, str, str]] = {
    "led": ("shine", "shines", "light"),
    "buzzer": ("sound", "sounds", "sound"),
    "motor": ("turn", "turns", "motor"),
}
"""Family -> what several do, what one does, and what it is called."""
DOES: dict[str, str] = {
    "dark": "never {verb}",
    "always-lit": "{verb} all the time",
    "dim": "{verb} much more weakly than it should",
    "bright": "{verb} much more strongly than it should",
    "burns-out": "{verb} far too brightly and then never again",
    "too-fast": "{verb} too fast, {factor} times",
    "too-slow": "{verb} too slowly, {factor} times",
    "too-short": "{verb} for too short a time",
    "too-long": "{verb} for too long a time",
    "once-only": "{verb} once and then no more",
    "other-rhythm": "{verb} in another rhythm",
    "starts-late": "{verb} too late",
    "comes-at-once": "{verb} as soon as it is switched on",
    "while-pressed": "{verb} only while the button is pressed",
    "inverted": "{verb} when it should not and does not when it should",
    "stays-lit": "{verb} as it should, but does not stop",
    "stays-lit-from-the-start": "{verb} from the start and does not stop",
    "blinks-by-itself": "{verb} on and off by itself",
    "comes-by-itself": "{verb} when nobody asked it to",
    "misses": "does not {infinitive} each time it should",
    "out-of-turn": "{verb} out of turn",
    "other": "{verb} in another way than it should",
    "same": "{verb} as it should",
}
"""What one light, buzzer or motor does, by how it differs."""


def symptom_words(
    kind: str,
    lights: tuple[tuple[str, str], ...],
    told: tuple[tuple[str, float], ...],
    which: tuple[str, ...],
) -> str:
    """The sentence of a class.

    ``lights``: (name, family) of each; ``told``: how each differs and by what factor; ``which`` are those
    that the sentence names.
    """
    names = tuple(name for name, _ in lights)
    kinds = [k for k, _ in told]
    if kind in ("stands-still", "mixed", "some-dark") or (kind in DOES and len(set(kinds)) > 1):
        each = _each(lights, told)
        return f"{SYMPTOMS[kind].rstrip('.')}: {each}." if kind == "stands-still" else f"{each}."
    factor = next((f for k, f in told if k != "same"), 1.0)
    families = {family for _, family in lights}
    words = SYMPTOMS[kind].format(
        lights=_list(names) or "the circuit", which=_list(which or names), s="s" if len(names) == 1 else "",
        are="is" if len(names) == 1 else "are", ws="s" if len(which or names) == 1 else "",
        they="it" if len(names) == 1 else "they", factor=_factor(factor),
        inverse=format_quantity(1 / max(factor, 1e-9), "%", 2),
    )  # fmt: skip
    if len(families) == 1 and (verb := VERBS.get(*families)) is not None:
        words = words.replace("shines", verb[1]).replace("shine", verb[0])
    return words


def _each(lights: tuple[tuple[str, str], ...], told: tuple[tuple[str, float], ...]) -> str:
    """'DS1 never shines, DS2 shines all the time; the rest is as it should be'."""
    groups: dict[tuple[str, str], list[tuple[str, float]]] = {}
    for (name, family), (kind, factor) in zip(lights, told, strict=True):
        groups.setdefault((kind, family), []).append((name, factor))
    out: list[str] = []
    for (kind, family), members in groups.items():
        if kind == "same":
            continue
        several, one, _ = VERBS[family]
        verb = one if len(members) == 1 else several
        said = DOES[kind].format(verb=verb, infinitive=several, factor=_factor(members[0][1]))
        if len(members) > 1:
            said = said.replace("does not", "do not").replace("it should", "they should")
        out.append(f"{_list(tuple(name for name, _ in members))} {said}")
    rest = "; the rest is as it should be" if any(kind == "same" for kind, _ in told) else ""
    return "; ".join(out) + rest


def _factor(factor: float) -> str:
    return f"{factor:.1f}" if factor < 10 else f"{factor:.0f}"


def _list(names: tuple[str, ...]) -> str:
    if len(names) > 4:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
