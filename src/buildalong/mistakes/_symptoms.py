"""Symptom classes and the sentences for them; one table."""

from __future__ import annotations

from buildalong.quantity import format_quantity

__all__ = ["SYMPTOMS", "symptom_words"]

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
    "inverted": "It does the opposite: lit when it should be dark, dark when it should be lit.",
    "stays-lit": "It comes on as it should, but does not go out.",
    "stays-lit-from-the-start": "It shines from the start and does not go out.",
    "blinks-by-itself": "It blinks by itself.",
    "comes-by-itself": "It comes on when nobody asked it to.",
    "misses": "It does not come on each time it should.",
    "wrong-colour": "{which} shine{ws} in the wrong colour.",
    "mixed": "Some lights act wrongly: {which}.",
    "other": "It behaves in another way than it should.",
    "comes-and-goes": "It works only now and then.",
    "undetermined": "It behaves differently from one switching on to the next.",
    "overstressed": "Nothing is seen, but a part is strained beyond what it bears.",
    "as-it-should": "Nothing is seen: it works as it should.",
}
"""Every class, worst to see first, with its sentence for the learner."""


def symptom_words(kind: str, lights: tuple[str, ...], which: tuple[str, ...], factor: float) -> str:
    """The sentence of a class."""
    shown = f"{factor:.1f}" if factor < 10 else f"{factor:.0f}"
    one, some = len(lights) == 1, which or lights
    return SYMPTOMS[kind].format(
        lights=_list(lights) or "the circuit", which=_list(some), s="s" if one else "",
        are="is" if one else "are",
        ws="s" if len(some) == 1 else "", they="it" if one else "they", factor=shown,
        inverse=format_quantity(1 / max(factor, 1e-9), "%", 2),
    )  # fmt: skip


def _list(names: tuple[str, ...]) -> str:
    if len(names) > 4:
        return f"{', '.join(names[:3])} and {len(names) - 3} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
