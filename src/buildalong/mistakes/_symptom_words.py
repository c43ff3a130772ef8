"""What is seen of a mistake, in words.

The clauses of SEEN and of ONES stand as sentences with a capital and a full stop, and after a colon.
"""

from __future__ import annotations

from collections.abc import Mapping

from buildalong.words import Many

SEEN: Mapping[str, str] = {
    "battery-hot": "nothing works, and the supply and its leads get warm: take it off at once",
    "too-fast": "it runs too fast, about {factor} times",
    "too-slow": "it runs too slowly, about {factor} times",
    "too-short": "it goes out too early, after {inverse} of the time",
    "other-rhythm": "the rhythm is there, but light and dark last differently",
    "starts-late": "it starts late",
    "comes-at-once": "it comes on by itself as soon as it is switched on, and goes out too early",
    "inverted": "it does the opposite: lit when it should be dark, dark when it should be lit",
    "stays-lit": "it comes on as it should, but does not go out",
    "blinks-by-itself": "it blinks by itself",
    "comes-by-itself": "it comes on when nobody asked it to",
    "misses": "it does not come on each time it should",
    "other": "it behaves in another way than it should",
    "comes-and-goes": "it works only now and then",
    "undetermined": "it behaves differently from one switching on to the next",
    "overstressed": "nothing is seen, but a part is strained beyond what it bears",
    "as-it-should": "nothing is seen: it works as it should",
}
"""Classes that are said alike of all lights."""
PLAIN: Mapping[str, str] = {
    "too-fast": "it runs too fast",
    "too-slow": "it runs too slowly",
    "too-short": "it goes out too early",
}
"""The same without a number."""
ONES: Mapping[str, Mapping[str, Many]] = {
    "nothing": {
        "": Many("nothing happens: {lights} never shines", "nothing happens: {lights} never shine"),
        "buzzer": Many("nothing happens: {lights} never sounds", "nothing happens: {lights} never sound"),
        "motor": Many("nothing happens: {lights} never turns", "nothing happens: {lights} never turn"),
    },
    "burns-out": {
        "": Many(
            "{lights} shines far too brightly and then never again",
            "{lights} shine far too brightly and then never again",
        ),
        "buzzer": Many(
            "{lights} sounds far too loudly and then never again",
            "{lights} sound far too loudly and then never again",
        ),
        "motor": Many(
            "{lights} turns far too fast and then never again",
            "{lights} turn far too fast and then never again",
        ),
    },
    "backwards": {
        "": Many("{which} turns the wrong way round", "{which} turn the wrong way round"),
    },
    "always-lit": {
        "": Many("{lights} shines all the time", "{lights} shine all the time"),
        "buzzer": Many("{lights} sounds all the time", "{lights} sound all the time"),
        "motor": Many("{lights} turns all the time", "{lights} turn all the time"),
    },
    "dim": {
        "": Many(
            "{lights} is much dimmer than it should be",
            "{lights} are much dimmer than they should be",
        ),
    },
    "bright": {
        "": Many(
            "{lights} is much brighter than it should be",
            "{lights} are much brighter than they should be",
        ),
    },
    "wrong-colour": {
        "": Many("{which} shines in the wrong colour", "{which} shine in the wrong colour"),
    },
    "out-of-turn": {
        "": Many("{which} comes on out of turn", "{which} come on out of turn"),
    },
}
"""Class -> family, "" for all others -> said of one, said of several."""
SHINES: Mapping[str, Mapping[str, str]] = {
    "too-long": {
        "": "it shines about {factor} times too long",
        "buzzer": "it sounds about {factor} times too long",
        "motor": "it turns about {factor} times too long",
    },
    "once-only": {
        "": "it shines once and then no more",
        "buzzer": "it sounds once and then no more",
        "motor": "it turns once and then no more",
    },
    "while-pressed": {
        "": "it shines only while the button is pressed",
        "buzzer": "it sounds only while the button is pressed",
        "motor": "it turns only while the button is pressed",
    },
    "stays-lit-from-the-start": {
        "": "it shines from the start and does not go out",
        "buzzer": "it sounds from the start and does not go out",
        "motor": "it turns from the start and does not go out",
    },
}
"""Class -> family, "" for all others -> said of all lights together."""
TOO_LONG: Mapping[str, str] = {
    "": "it shines too long",
    "buzzer": "it sounds too long",
    "motor": "it turns too long",
}
"""The class "too-long" without a number, by family."""

ACTS: Mapping[str, Many] = {
    "dark": Many("{who} never comes on", "{who} never come on", "lamp"),
    "backwards": Many("{who} turns the wrong way round", "{who} turn the wrong way round"),
    "always-lit": Many("{who} is on all the time", "{who} are on all the time"),
    "dim": Many("{who} is much too weak", "{who} are much too weak"),
    "bright": Many("{who} is much too strong", "{who} are much too strong"),
    "burns-out": Many(
        "{who} is very bright for a moment and then dead",
        "{who} are very bright for a moment and then dead",
    ),
    "too-fast": Many("{who} goes on and off too fast", "{who} go on and off too fast", "lamp"),
    "too-slow": Many("{who} goes on and off too slowly", "{who} go on and off too slowly", "lamp"),
    "too-short": Many("{who} goes off too early", "{who} go off too early", "lamp"),
    "too-long": Many("{who} stays on too long", "{who} stay on too long"),
    "once-only": Many(
        "{who} comes on once and then never again", "{who} come on once and then never again", "lamp"
    ),
    "other-rhythm": Many(
        "{who} goes on and off, but stays on or off for another time than it should",
        "{who} go on and off, but stay on or off for another time than they should",
        "lamp",
    ),
    "starts-late": Many("{who} starts late", "{who} start late"),
    "while-pressed": Many("{who} is on only while you press", "{who} are on only while you press"),
    "inverted": Many(
        "{who} is on when it should be off, and off when it should be on",
        "{who} are on when they should be off, and off when they should be on",
        "lamp",
    ),
    "stays-lit": Many(
        "{who} comes on as it should, but does not go off",
        "{who} come on as they should, but do not go off",
        "lamp",
    ),
    "stays-lit-from-the-start": Many(
        "{who} is on from the start and does not go off",
        "{who} are on from the start and do not go off",
        "lamp",
    ),
    "blinks-by-itself": Many("{who} goes on and off by itself", "{who} go on and off by themselves", "lamp"),
    "comes-by-itself": Many(
        "{who} comes on when nobody asked it to", "{who} come on when nobody asked them to", "lamp"
    ),
    "misses": Many(
        "{who} does not come on each time it should", "{who} do not come on each time they should", "lamp"
    ),
    "comes-at-once": Many(
        "{who} comes on by itself at once and goes off too early",
        "{who} come on by themselves at once and go off too early",
        "lamp",
    ),
    "out-of-turn": Many("{who} comes on out of turn", "{who} come on out of turn", "lamp"),
    "other": Many("{who} does something else than it should", "{who} do something else than they should"),
}
"""How a light, buzzer or motor differs: said of one, said of several; of lights in their own sense."""
STILL = "it stands still: {what}"
REST = "; the rest is as it should be"
SENTENCE = "{what}."
FAILING = "{what} While it fails: {failing}."
CIRCUIT = "the circuit"
MORE = "{some} and {count} more"
