"""What is seen, in the words of each language."""

from __future__ import annotations

import pytest

from buildalong.mistakes import SYMPTOMS, act_of
from buildalong.words import say_many, speaking


@pytest.mark.parametrize(
    ("tag", "families", "said"),
    [
        ("en", ("led",), "X never comes on"),
        ("en", ("motor",), "X never comes on"),
        ("fr", ("led",), "X ne s'allume jamais"),
        ("fr", ("motor",), "X ne se met jamais en marche"),
        ("fr", ("led", "buzzer"), "X ne se met jamais en marche"),
    ],
)
def test_a_light_comes_on_otherwise_than_a_motor(tag: str, families: tuple[str, ...], said: str) -> None:
    """English has one verb for both; in French a lamp "s'allume" (common usage)."""
    with speaking(tag):
        assert say_many(act_of("dark", families), 1, who="X") == said


def test_no_light_is_set_going_in_french() -> None:
    """Nothing said of lights alone speaks of starting or stopping a machine (common usage)."""
    with speaking("fr"):
        for kind in SYMPTOMS:
            for count in (1, 2):
                told = say_many(act_of(kind, ("led",)), count, who="X")
                assert "en marche" not in told
                assert "arrêt" not in told
