"""Symptom classes and the sentences for them; one table."""

from __future__ import annotations

from buildalong.quantity import format_quantity

__all__ = ["ACTS", "SYMPTOMS", "symptom_words"]

SYMPTOMS: dict[str, str] = {
    "battery-hot": "Nothing works, and the supply and its leads get warm: take it off at once.",
    "nothing": "Nothing happens: {lights} never shine{s}.",
    "burns-out": "{lights} shine{s} far too brightly and then never again.",
    "backwards": "{which} turn{ws} the wrong way round.",
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


VERBS: dict[str, tuple[str, str]] = {"buzzer": ("sound", "sounds"), "motor": ("turn", "turns")}
"""Family -> what several do and what one does, in place of shining."""
ACTS: dict[str, tuple[str, str]] = {
    "dark": ("never comes on", "never come on"),
    "backwards": ("turns the wrong way round", "turn the wrong way round"),
    "always-lit": ("is on all the time", "are on all the time"),
    "dim": ("is much too weak", "are much too weak"),
    "bright": ("is much too strong", "are much too strong"),
    "burns-out": ("is very bright for a moment and then dead", "are very bright for a moment and then dead"),
    "too-fast": ("goes on and off too fast", "go on and off too fast"),
    "too-slow": ("goes on and off too slowly", "go on and off too slowly"),
    "too-short": ("goes off too early", "go off too early"),
    "too-long": ("stays on too long", "stay on too long"),
    "once-only": ("comes on once and then never again", "come on once and then never again"),
    "other-rhythm": (
        "goes on and off, but stays on or off for another time than it should",
        "go on and off, but stay on or off for another time than they should",
    ),
    "starts-late": ("starts late", "start late"),
    "while-pressed": ("is on only while you press", "are on only while you press"),
    "inverted": ("is on when it should be off, and off when it should be on",
                 "are on when they should be off, and off when they should be on"),
    "stays-lit": ("comes on as it should, but does not go off", "come on as they should, but do not go off"),
    "stays-lit-from-the-start": ("is on from the start and does not go off",
                                 "are on from the start and do not go off"),
    "blinks-by-itself": ("goes on and off by itself", "go on and off by themselves"),
    "comes-by-itself": ("comes on when nobody asked it to", "come on when nobody asked them to"),
    "misses": ("does not come on each time it should", "do not come on each time they should"),
    "comes-at-once": ("comes on by itself at once and goes off too early",
                      "come on by themselves at once and go off too early"),
    "out-of-turn": ("comes on out of turn", "come on out of turn"),
    "other": ("does something else than it should", "do something else than they should"),
}  # fmt: skip
"""How a light, buzzer or motor differs: said of one, said of several."""


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
    if kind in ("stands-still", "mixed", "some-dark") or (kind in ACTS and len(set(kinds)) > 1):
        each = _each(lights, told)
        return f"{SYMPTOMS[kind].rstrip('.')}: {each}." if kind == "stands-still" else f"{each}."
    factor = next((f for k, f in told if k != "same"), 1.0)
    shown = f"{factor:.1f}" if factor < 10 else f"{factor:.0f}"
    families = {family for _, family in lights}
    words = SYMPTOMS[kind].format(
        lights=_list(names) or "the circuit", which=_list(which or names), s="s" if len(names) == 1 else "",
        are="is" if len(names) == 1 else "are", ws="s" if len(which or names) == 1 else "",
        they="it" if len(names) == 1 else "they", factor=shown,
        inverse=format_quantity(1 / max(factor, 1e-9), "%", 2),
    )  # fmt: skip
    if len(families) == 1 and (verb := VERBS.get(*families)) is not None:
        words = words.replace("shines", verb[1]).replace("shine", verb[0])
    return words


def _each(lights: tuple[tuple[str, str], ...], told: tuple[tuple[str, float], ...]) -> str:
    """'DS1 never comes on; DS2 is on all the time; the rest is as it should be'."""
    groups: dict[str, list[str]] = {}
    for (name, _), (kind, _) in zip(lights, told, strict=True):
        groups.setdefault(kind, []).append(name)
    out = [
        f"{_list(tuple(names))} {ACTS[kind][len(names) > 1]}"
        for kind, names in groups.items()
        if kind != "same"
    ]
    rest = "; the rest is as it should be" if any(kind == "same" for kind, _ in told) else ""
    return "; ".join(out) + rest


def _list(names: tuple[str, ...]) -> str:
    if len(names) > 4:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
