"""Saying: the right form, the right numbers, and knowing what was missing."""

from __future__ import annotations

import re
import threading
from functools import cache

import pytest

from buildalong.design import recognise
from buildalong.engine import simulate
from buildalong.story import tell
from buildalong.words import (
    LANGUAGES,
    Many,
    behind_colon,
    capital,
    faults,
    language,
    listed,
    say,
    say_many,
    sense,
    speaking,
)
from design._circuits import DEMOS, demo, demo_trial

LIGHTS = Many("{light} lights up", "{light} light up")


def test_said_in_the_language_of_the_moment() -> None:
    """Inside the ``with`` another language is spoken, outside English."""
    with speaking("de") as speaker:
        assert language() == "de"
        assert say("At {time} you press {part}.", time="2 s", part="S1") == "Bei 2 s drückst du S1."
        assert say_many(LIGHTS, 1, light="DS1") == "DS1 leuchtet auf"
        assert say_many(LIGHTS, 2, light="DS1") == "DS1 leuchten auf"
        assert listed(["R1", "R2", "D1"]) == "R1, R2 und D1"
    assert speaker.missing == {}
    assert language() == "en"
    assert say("At {time} you press {part}.", time="2 s", part="S1") == "At 2 s you press S1."
    assert [listed(names) for names in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "", "a", "a and b", "a, b and c",
    ]  # fmt: skip


def test_an_error_ends_the_speech_too() -> None:
    """After an error inside the ``with``, English is spoken again."""
    with pytest.raises(KeyError), speaking("de"):
        say("{time}", place="")
    assert language() == "en"


def test_what_is_missing_is_said_in_english_and_known() -> None:
    """A message without translation comes in English and is noted once."""
    with speaking("de") as speaker:
        assert say(sense("lamp", "no such message {x}"), x=1) == "no such message 1"
        assert say_many(Many("{n} such thing", "{n} such things"), 2, n=2) == "2 such things"
        say_many(Many("{n} such thing", "{n} such things"), 1, n=1)
    assert list(speaker.missing) == ["lamp\x04no such message {x}", "{n} such thing"]


def test_own_translations_go_first() -> None:
    """An author's words stand beside the catalogues and before them."""
    with speaking("fr", {"A lamp": "Une lampe"}) as speaker:
        assert say("A lamp") == "Une lampe"
    assert speaker.missing == {}


def test_unfit_translations_are_told() -> None:
    """A place that the message has not is a fault, and so are braces that do not match."""
    assert faults("{a} and {b}", "{b} und {a}") == faults("{a} and {b}", "beide") == ""
    assert "{c}" in faults("{a}", "{c}")
    assert "braces" in faults("{a}", "{a")


def test_a_thread_speaks_english_unless_told() -> None:
    """The language belongs to the context that set it: another thread is not changed behind its back."""
    heard: list[str] = []
    with speaking("es"):
        thread = threading.Thread(target=lambda: heard.append(language()))
        thread.start()
        thread.join()
    assert heard == ["en"]


@pytest.mark.parametrize(
    ("tag", "text", "said"),
    [
        ("de", "nichts geschieht", "Nichts geschieht"),
        ("fr", "Ne branche jamais une LED.", "ne branche jamais une LED."),
        ("es", "Comprueba el sentido.", "comprueba el sentido."),
        ("fr", "LED à l'envers.", "LED à l'envers."),
        ("en", "Check the direction.", "Check the direction."),
    ],
)
def test_behind_a_colon(tag: str, text: str, said: str) -> None:
    """A sentence begins large there in German, small in French and Spanish (Duden K 93; from memory)."""
    with speaking(tag):
        assert behind_colon(text) == said


def test_capital() -> None:
    """The first letter only, and nothing of nothing."""
    assert (capital("écran et LED"), capital("")) == ("Écran et LED", "")


@cache
def told(name: str, tag: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    circuit = demo(name)
    with speaking(tag) as speaker:
        sentences = tell(simulate(circuit, demo_trial(name)), circuit, recognise(circuit))
    return tuple(sentence.text for sentence in sentences), tuple(speaker.missing)


@pytest.mark.parametrize("name", DEMOS)
def test_story_in_german_says_the_same_numbers(name: str) -> None:
    """Nothing is missing, and each sentence has the quantities of the English one, with a decimal comma."""
    english, german = told(name, "en")[0], told(name, "de")
    assert german[1] == ()
    assert len(german[0]) == len(english)
    pattern = r"−?\d+(?:[.,]\d+)?[ \u00a0](?:ms|s|V|lx)\b"
    for ours, theirs in zip(english, german[0], strict=True):
        said = [text.replace(",", ".").replace("\u00a0", " ") for text in re.findall(pattern, theirs)]
        assert sorted(said) == sorted(re.findall(pattern, ours))
        assert not re.search(r"\d\.\d|\d (?:ms|s|V|lx)\b|[{}\x04]", theirs)


def test_lighthouse_in_german() -> None:
    """One sentence as it should stand, with the times that the English story has."""
    assert told("lighthouse", "de")[0][-1] == (
        "Und so geht es weiter bis 30\u00a0s: DS1 leuchtet 0,456\u00a0s lang und ist 2,27\u00a0s lang "
        "dunkel, noch 8-mal."
    )


@pytest.mark.parametrize("tag", LANGUAGES)
def test_every_language_speaks(tag: str) -> None:
    """Where nothing is translated yet, English is heard, and no error."""
    assert told("mailbox-flag", tag)[0]
